//! From one thing gone wrong to every jar that shares it.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Range;

use rusqlite::Row;

use super::hold::HoldCause;
use super::jar::{JARS, Jar};
use super::names::Names;
use super::reprocessed::{Follow, SameFood};
use super::row::{batch_code, date, parsed};
use super::{Ledger, LedgerError, Named, Write};
use crate::rules::gauge_history::tests_in_force;
use crate::rules::jar_code::{BatchCode, JarCode};
use crate::rules::jar_state::{Act, JarState};
use crate::rules::load_code::LoadCode;
use crate::rules::name::Name;
use chrono::NaiveDate;

/// What to trace from. Of one kind any will do; of several kinds each must hold.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TraceQuery {
    /// Jars, whose whole batches are traced, with the batches of the same food.
    pub jars: Vec<JarCode>,
    /// Batches; one kind with jars and loads.
    pub batches: Vec<BatchCode>,
    /// Loads; one kind with jars and batches.
    pub loads: Vec<LoadCode>,
    /// Lid lots.
    pub lid_lots: Vec<Name>,
    /// Canners.
    pub canners: Vec<Name>,
    /// Days of gauge tests: the loads those tests speak for.
    pub gauge_tests: Vec<NaiveDate>,
    /// Lots of ingredients.
    pub ingredient_lots: Vec<Name>,
    /// Put up on this day or later.
    pub from: Option<NaiveDate>,
    /// Put up on this day or earlier.
    pub to: Option<NaiveDate>,
}

/// A jar that was traced.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct TracedJar {
    /// The jar.
    #[serde(flatten)]
    pub jar: Jar,
    /// Its load.
    pub load: Option<LoadCode>,
    /// What it shares.
    pub reason: String,
    /// Why it is on hold, if it is.
    pub holds: Vec<String>,
    /// How it was opened or left the household, if it was.
    pub ending: Option<Ending>,
}

/// How a jar was opened or left the household.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Ending {
    /// What happened.
    pub act: Act,
    /// When.
    pub on: NaiveDate,
    /// To whom it was given.
    pub to: Option<String>,
    /// Why.
    pub why: Option<String>,
}

/// The jars a trace found, in the order of a pull sheet: first those still in the household, by place, then those
/// that are gone. They may be all that were ever put up, so each is kept in a few bytes and read when it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    jars: Vec<Found>,
    in_house: usize,
    why: Why,
}

/// A jar found, with what it is ordered and counted by.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Found {
    id: i64,
    /// Where its place comes among the places; none on record: last.
    place: u32,
    code: JarCode,
    state: JarState,
    on_hold: bool,
}

/// What the jars found share.
#[derive(Debug, Clone, PartialEq)]
enum Why {
    Asked { query: TraceQuery, batches: Vec<SameFood>, shared: Vec<String> },
    OfLoads(BTreeMap<LoadCode, String>),
}

/// Jars read at a time.
const AT_A_TIME: usize = 500;

/// Conditions on `j` and `b`, with their parameters.
#[derive(Default)]
struct Conditions {
    sql: Vec<String>,
    parameters: Vec<String>,
}

impl Conditions {
    /// Adds a condition in which `?` stands for `parameter`.
    fn add(&mut self, sql: &str, parameter: String) {
        self.parameters.push(parameter);
        self.sql.push(sql.replace('?', &format!("?{}", self.parameters.len())));
    }
}

/// Rows for an `IN (SELECT value FROM json_each(?))`.
fn listed(ids: &[i64]) -> String {
    let ids: Vec<String> = ids.iter().map(i64::to_string).collect();
    format!("[{}]", ids.join(","))
}

impl Ledger {
    /// Finds every jar that shares what is asked for.
    ///
    /// # Errors
    /// [`LedgerError`] where a jar, batch, load, lot, canner or gauge test is not in the ledger.
    pub fn trace(&self, query: &TraceQuery) -> Result<Traced, LedgerError> {
        let mut conditions = Conditions::default();
        let batches = self.by_code(query, &mut conditions)?;
        if !query.lid_lots.is_empty() {
            let ids = self.known_lid_lots(&query.lid_lots)?;
            conditions.add("j.lid_lot_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if !query.canners.is_empty() {
            let ids = query
                .canners
                .iter()
                .map(|name| Ok(self.canner(name)?.id))
                .collect::<Result<Vec<i64>, LedgerError>>()?;
            conditions.add(
                "j.load_id IN (SELECT id FROM load WHERE canner_id IN (SELECT value FROM json_each(?)))",
                listed(&ids),
            );
        }
        if !query.gauge_tests.is_empty() {
            let ids = self.loads_of_gauge_tests(&query.gauge_tests)?;
            conditions.add("j.load_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if !query.ingredient_lots.is_empty() {
            let own = self.batches_of_lots(&query.ingredient_lots)?;
            let reached = self.same_food(&listed(&own), Follow::Onward)?;
            let ids: Vec<i64> = reached.iter().map(|batch| batch.id).collect();
            conditions.add("j.batch_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if let Some(from) = query.from {
            conditions.add("b.put_up >= ?", from.to_string());
        }
        if let Some(to) = query.to {
            conditions.add("b.put_up <= ?", to.to_string());
        }
        self.traced(conditions, Why::Asked { query: query.clone(), batches, shared: query.shared() })
    }

    /// The jars of some loads; the reason is that of their load.
    pub(super) fn traced_of_loads(&self, loads: BTreeMap<LoadCode, String>) -> Result<Traced, LedgerError> {
        let ids = loads.keys().map(|&load| self.load_id(load)).collect::<Result<Vec<i64>, _>>()?;
        let mut conditions = Conditions::default();
        conditions.add("j.load_id IN (SELECT value FROM json_each(?))", listed(&ids));
        self.traced(conditions, Why::OfLoads(loads))
    }

    /// Hands out the jars found, one by one in their order; `which` of them by their positions.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub fn each_traced<E: From<LedgerError>>(
        &self,
        traced: &Traced,
        which: Range<usize>,
        mut each: impl FnMut(TracedJar) -> Result<(), E>,
    ) -> Result<(), E> {
        for some in traced.jars[which].chunks(AT_A_TIME) {
            let mut read = self.read_traced(some, &traced.why)?;
            for found in some {
                if let Some(jar) = read.remove(&found.id) {
                    each(jar)?;
                }
            }
        }
        Ok(())
    }

    /// Adds the jars, batches and loads asked for; returns the batches, with those of the same food.
    fn by_code(&self, query: &TraceQuery, conditions: &mut Conditions) -> Result<Vec<SameFood>, LedgerError> {
        if query.jars.is_empty() && query.batches.is_empty() && query.loads.is_empty() {
            return Ok(Vec::new());
        }
        let mut batches = Vec::new();
        for &jar in &query.jars {
            batches.push(self.batch_row(self.jar(jar)?.code.batch)?);
        }
        for &batch in &query.batches {
            batches.push(self.batch_row(batch)?);
        }
        let batches = self.same_food(&listed(&batches), Follow::BothWays)?;
        let loads = query.loads.iter().map(|&load| self.load_id(load)).collect::<Result<Vec<_>, _>>()?;
        let ids: Vec<i64> = batches.iter().map(|batch| batch.id).collect();
        // Either list alone leads to its jars by an index.
        conditions.add(
            "(j.batch_id IN (SELECT value FROM json_each(?, '$.batches'))
              OR j.load_id IN (SELECT value FROM json_each(?, '$.loads')))",
            format!("{{\"batches\":{},\"loads\":{}}}", listed(&ids), listed(&loads)),
        );
        Ok(batches)
    }

    fn batch_row(&self, batch: BatchCode) -> Result<i64, LedgerError> {
        match self.batch_id(batch)? {
            Some(id) => Ok(id),
            None => Err(LedgerError::NoBatch { given: batch, near: self.batches_of_year(batch.year)? }),
        }
    }

    fn known_lid_lots(&self, given: &[Name]) -> Result<Vec<i64>, LedgerError> {
        given
            .iter()
            .map(|lot| match self.name_id(Names::LidLot, lot)? {
                Some(id) => Ok(id),
                None => Err(Self::no_name("lid lot", lot, &self.names_in_use(Named::LidLot)?)),
            })
            .collect()
    }

    fn batches_of_lots(&self, lots: &[Name]) -> Result<Vec<i64>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT DISTINCT i.batch_id FROM ingredient_lot i
                 JOIN batch b ON b.id = i.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                 WHERE i.lot_key = ?1",
        )?;
        let mut batches = Vec::new();
        for lot in lots {
            let found: Vec<i64> = statement
                .query_and_then([lot.key()], |row| Ok::<_, LedgerError>(row.get(0)?))?
                .collect::<Result<_, _>>()?;
            if found.is_empty() {
                return Err(Self::no_name("ingredient lot", lot, &self.names_in_use(Named::IngredientLot)?));
            }
            batches.extend(found);
        }
        Ok(batches)
    }

    /// The loads for which a gauge test of one of these days speaks.
    fn loads_of_gauge_tests(&self, days: &[NaiveDate]) -> Result<Vec<i64>, LedgerError> {
        let mut loads = Vec::new();
        let mut seen = BTreeSet::new();
        let mut tested = BTreeSet::new();
        for canner in self.canners()? {
            let tests: Vec<_> =
                self.gauge_tests(&canner)?.into_iter().map(|recorded| recorded.test).collect();
            tested.extend(tests.iter().map(|test| test.date()));
            if !tests.iter().any(|test| days.contains(&test.date())) {
                continue;
            }
            for (load, day) in self.loads_of_canner(canner.id)? {
                let speaking = tests_in_force(&tests, day);
                if speaking.iter().any(|test| days.contains(&test.date())) {
                    loads.push(load);
                }
            }
            seen.extend(tests.iter().map(|test| test.date()).filter(|day| days.contains(day)));
        }
        match days.iter().find(|day| !seen.contains(day)) {
            None => Ok(loads),
            Some(day) => {
                let tested: Vec<String> = tested.iter().map(ToString::to_string).collect();
                let known =
                    if tested.is_empty() { "none is on record".to_owned() } else { tested.join(", ") };
                Err(LedgerError::NotFound(format!("no gauge was tested on {day}; days of tests: {known}")))
            }
        }
    }

    /// The loads of a canner in force, with their days.
    pub(super) fn loads_of_canner(&self, canner_id: i64) -> Result<Vec<(i64, NaiveDate)>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT o.id, b.put_up FROM load o
             JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.canner_id = ?1 ORDER BY o.id",
        )?;
        let loads =
            statement.query_and_then([canner_id], |row| Ok((row.get("id")?, date(row, "put_up")?)))?;
        loads.collect()
    }

    fn traced(&self, conditions: Conditions, why: Why) -> Result<Traced, LedgerError> {
        let Conditions { sql, parameters } = conditions;
        let mut statement = self.conn.prepare(&format!(
            "SELECT j.id, j.state, j.held, j.place_id, b.year, b.number AS batch_number, j.number
             FROM jar j JOIN batch b ON b.id = j.batch_id
             WHERE {} AND j.state <> 'void'",
            sql.join(" AND ")
        ))?;
        let places = self.places_in_order()?;
        let mut jars: Vec<Found> = statement
            .query_and_then(rusqlite::params_from_iter(parameters), |row| Found::from_row(row, &places))?
            .collect::<Result<_, _>>()?;
        jars.sort_unstable_by_key(|found| (!found.state.is_live(), found.place, found.code));
        let in_house = jars.partition_point(|found| found.state.is_live());
        Ok(Traced { jars, in_house, why })
    }

    /// Where each place comes among the places, by the row of its name.
    fn places_in_order(&self) -> Result<HashMap<i64, u32>, LedgerError> {
        let mut statement = self.conn.prepare_cached("SELECT id, name FROM place")?;
        let mut places: Vec<(String, i64)> = statement
            .query_map([], |row| Ok((row.get::<_, String>(1)?.to_lowercase(), row.get(0)?)))?
            .collect::<Result<_, _>>()?;
        places.sort_unstable();
        Ok((0..).zip(places).map(|(at, (_, id))| (id, at)).collect())
    }

    fn read_traced(&self, some: &[Found], why: &Why) -> Result<HashMap<i64, TracedJar>, LedgerError> {
        let ids = listed(&some.iter().map(|found| found.id).collect::<Vec<_>>());
        let loads = self.load_numbers(&ids)?;
        let mut endings = self.endings(&ids)?;
        let mut holds: HashMap<i64, Vec<String>> = HashMap::new();
        for hold in self.holds_on_jars(&ids)? {
            holds.entry(hold.jar_id).or_default().push(hold.reason);
        }
        let mut statement =
            self.conn.prepare_cached(&format!("{JARS} WHERE j.id IN (SELECT value FROM json_each(?1))"))?;
        let read = statement.query_and_then([&ids], |row| {
            let jar = Jar::from_row(row)?;
            let mut found = TracedJar {
                load: loads.get(&jar.id).map(|&number| LoadCode { batch: jar.code.batch, number }),
                reason: String::new(),
                holds: holds.remove(&jar.id).unwrap_or_default(),
                ending: endings.remove(&jar.id),
                jar,
            };
            found.reason = why.reason(&found);
            Ok((found.jar.id, found))
        })?;
        read.collect()
    }

    fn load_numbers(&self, ids: &str) -> Result<HashMap<i64, u32>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT j.id, o.number FROM jar j JOIN load o ON o.id = j.load_id
             WHERE j.id IN (SELECT value FROM json_each(?1))",
        )?;
        let rows = statement.query_and_then([ids], |row| Ok((row.get(0)?, row.get(1)?)))?;
        rows.collect()
    }

    fn endings(&self, ids: &str) -> Result<HashMap<i64, Ending>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT v.jar_id, v.act, v.on_date, v.who, v.why FROM event v
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             WHERE v.jar_id IN (SELECT value FROM json_each(?1))
               AND v.act IN ('open', 'finish', 'give', 'discard', 'reprocess')
             ORDER BY v.id",
        )?;
        let rows = statement.query_and_then([ids], |row| {
            let ending = Ending {
                act: parsed(row, "act")?,
                on: date(row, "on_date")?,
                to: row.get("who")?,
                why: row.get("why")?,
            };
            Ok((row.get("jar_id")?, ending))
        })?;
        // Of several the last one is kept.
        rows.collect()
    }
}

impl Write<'_> {
    /// Puts every traced jar that is still in the household on hold; returns how many were not
    /// held for this reason already.
    ///
    /// # Errors
    /// [`LedgerError`] when a row cannot be written.
    pub fn hold_traced(&self, traced: &Traced, reason: &str) -> Result<usize, LedgerError> {
        let mut held = 0;
        self.each_traced(traced, 0..traced.in_house, |found| {
            if !found.holds.iter().any(|held| held == reason) {
                self.insert_hold(found.jar.id, HoldCause::Trace, reason)?;
                held += 1;
            }
            Ok::<(), LedgerError>(())
        })?;
        Ok(held)
    }
}

impl Found {
    fn from_row(row: &Row<'_>, places: &HashMap<i64, u32>) -> Result<Self, LedgerError> {
        let state: JarState = parsed(row, "state")?;
        let place: Option<i64> = row.get("place_id")?;
        Ok(Self {
            id: row.get("id")?,
            place: place.and_then(|id| places.get(&id).copied()).unwrap_or(u32::MAX),
            code: JarCode { batch: batch_code(row)?, number: row.get("number")? },
            state,
            on_hold: row.get::<_, bool>("held")? && state.is_live(),
        })
    }
}

impl Traced {
    /// How many were found.
    pub fn len(&self) -> usize {
        self.jars.len()
    }

    /// Whether none was found.
    pub fn is_empty(&self) -> bool {
        self.jars.is_empty()
    }

    /// How many of them are still in the household: theirs are the first positions.
    pub const fn in_house(&self) -> usize {
        self.in_house
    }

    /// How many of them are on hold.
    pub fn on_hold(&self) -> usize {
        self.jars.iter().filter(|found| found.on_hold).count()
    }

    /// Whether somebody may have eaten of one of them.
    pub fn may_have_been_eaten(&self) -> bool {
        self.jars.iter().any(|found| may_have_been_eaten(found.state))
    }
}

/// Whether somebody may have eaten of a jar: opened, eaten up or given away.
const fn may_have_been_eaten(state: JarState) -> bool {
    matches!(state, JarState::Opened | JarState::Finished | JarState::Given)
}

impl Why {
    fn reason(&self, found: &TracedJar) -> String {
        match self {
            Self::Asked { query, batches, shared } => query.reason(found, batches, shared),
            Self::OfLoads(loads) => found.load.and_then(|load| loads.get(&load).cloned()).unwrap_or_default(),
        }
    }
}

impl TracedJar {
    /// Whether somebody may have eaten of it: opened, eaten up or given away.
    pub const fn may_have_been_eaten(&self) -> bool {
        may_have_been_eaten(self.jar.state)
    }
}

impl TraceQuery {
    /// Whether nothing was asked for.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// What every jar found shares, in words.
    fn shared(&self) -> Vec<String> {
        let mut shared = Vec::new();
        let mut kind = |what: &str, names: Vec<String>| {
            if !names.is_empty() {
                shared.push(format!("{what} {}", names.join(" or ")));
            }
        };
        let words = |names: &[Name]| names.iter().map(ToString::to_string).collect::<Vec<_>>();
        kind("lid lot", words(&self.lid_lots));
        kind("canner", words(&self.canners));
        kind("gauge test of", self.gauge_tests.iter().map(ToString::to_string).collect());
        kind("ingredient lot", words(&self.ingredient_lots));
        match (self.from, self.to) {
            (Some(from), Some(to)) if from == to => shared.push(format!("put up on {from}")),
            (Some(from), Some(to)) => shared.push(format!("put up {from} to {to}")),
            (Some(from), None) => shared.push(format!("put up on or after {from}")),
            (None, Some(to)) => shared.push(format!("put up on or before {to}")),
            (None, None) => {}
        }
        shared
    }

    /// What one jar shares, its load or batch before the rest.
    fn reason(&self, found: &TracedJar, batches: &[SameFood], shared: &[String]) -> String {
        let code = found.jar.code;
        let by_batch = || {
            let reached = batches.iter().find(|reached| reached.batch == code.batch)?;
            Some(if reached.from != code.batch {
                format!("same food as batch {}, by reprocessing", reached.from)
            } else if self.batches.contains(&code.batch) {
                format!("batch {}", code.batch)
            } else {
                format!("same batch as {}", self.jars.iter().find(|jar| jar.batch == code.batch)?)
            })
        };
        let by_code = if self.jars.contains(&code) {
            Some("the jar itself".to_owned())
        } else {
            found
                .load
                .filter(|load| self.loads.contains(load))
                .map(|load| format!("load {load}"))
                .or_else(by_batch)
        };
        by_code.into_iter().chain(shared.iter().cloned()).collect::<Vec<_>>().join("; ")
    }
}
