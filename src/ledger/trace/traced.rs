//! The jars a trace found.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use chrono::NaiveDate;
use rusqlite::Row;

use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::{JARS, Jar};
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::schema::row::{batch_code, date, parsed};
use crate::ledger::trace::made_with::MadeWith;
use crate::ledger::trace::query::{Conditions, TraceQuery, listed};
use crate::ledger::trace::reprocessed::SameFood;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;

/// A jar that was traced.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct TracedJar {
    #[serde(flatten)]
    pub jar: Jar,
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
pub(crate) struct Ending {
    /// What happened.
    pub act: Act,
    /// When.
    pub on: NaiveDate,
    /// To whom it was given.
    pub to: Option<String>,
    pub why: Option<String>,
}

/// The jars a trace found, in the order of a pull sheet: first those still in the household, by place, then those
/// that are gone. They may be all that were ever put up, so each is kept in a few bytes and read when it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    jars: Vec<Found>,
    in_house: usize,
    why: Why,
    /// For each batch made with one of the jars, the jar through which it was reached.
    made_with: HashMap<BatchCode, MadeWith>,
}

/// A jar found, with what it is ordered and counted by.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Found {
    id: i64,
    /// The rank of its place in the order of places; jars without a place come last.
    place: u32,
    code: JarCode,
    state: JarState,
    on_hold: bool,
    /// Whether it was found only as one made with another.
    is_made_with: bool,
}

/// What the jars found share.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ledger) enum Why {
    Asked {
        query: Box<TraceQuery>,
        batches: Vec<SameFood>,
        shared: Vec<String>,
    },
    /// What this entry judged of their load.
    Judged(EntryId),
}

/// Jars read at a time.
const AT_A_TIME: usize = 500;

impl Ledger {
    /// Hands out the jars found, one by one in their order; `which` of them by their positions.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub(crate) fn each_traced<E: From<LedgerError>>(
        &self,
        traced: &Traced,
        which: Range<usize>,
        mut each: impl FnMut(TracedJar) -> Result<(), E>,
    ) -> Result<(), E> {
        for some in traced.jars[which].chunks(AT_A_TIME) {
            let mut read = self.read_traced(some, traced)?;
            for found in some {
                if let Some(jar) = read.remove(&found.id) {
                    each(jar)?;
                }
            }
        }
        Ok(())
    }

    pub(in crate::ledger) fn traced(&self, conditions: Conditions, why: Why) -> Result<Traced, LedgerError> {
        let Conditions { sql, parameters } = conditions;
        let places = self.places_in_order()?;
        let find = |sql: &str, parameters: Vec<String>| -> Result<Vec<Found>, LedgerError> {
            let mut statement = self.conn.prepare(&format!(
                "SELECT j.id, j.state, j.held, j.place_id, b.year, b.number AS batch_number, j.number
                 FROM jar j JOIN batch b ON b.id = j.batch_id
                 WHERE {sql} AND j.state <> 'void'"
            ))?;
            statement
                .query_and_then(rusqlite::params_from_iter(parameters), |row| Found::from_row(row, &places))?
                .collect()
        };
        let mut jars = find(&sql.join(" AND "), parameters)?;
        let used: Vec<i64> =
            jars.iter().filter(|found| found.state == JarState::Used).map(|found| found.id).collect();
        let made_with = self.made_with(&used)?;
        if !made_with.is_empty() {
            let known: HashSet<i64> = jars.iter().map(|found| found.id).collect();
            let batches = listed(&made_with.iter().map(|made| made.batch_id).collect::<Vec<_>>());
            let reached = find("j.batch_id IN (SELECT value FROM json_each(?1))", vec![batches])?;
            jars.extend(
                reached
                    .into_iter()
                    .filter(|found| !known.contains(&found.id))
                    .map(|found| Found { is_made_with: true, ..found }),
            );
        }
        let made_with = made_with.into_iter().map(|made| (made.batch, made)).collect();
        jars.sort_unstable_by_key(|found| (!found.state.is_live(), found.place, found.code));
        let in_house = jars.partition_point(|found| found.state.is_live());
        Ok(Traced { jars, in_house, why, made_with })
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

    fn read_traced(&self, some: &[Found], traced: &Traced) -> Result<HashMap<i64, TracedJar>, LedgerError> {
        let why = &traced.why;
        let only_made: HashSet<i64> =
            some.iter().filter(|found| found.is_made_with).map(|found| found.id).collect();
        let ids = listed(&some.iter().map(|found| found.id).collect::<Vec<_>>());
        let loads = self.load_numbers(&ids)?;
        let judged = match why {
            Why::Judged(entry) => self.judged_of_jars(&ids, *entry)?,
            Why::Asked { .. } => HashMap::new(),
        };
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
            let made_with = traced.made_with.get(&found.jar.code.batch);
            found.reason = match why {
                _ if let Some(made) = made_with.filter(|_| only_made.contains(&found.jar.id)) => {
                    format!("made with {}", made.jar)
                }
                Why::Asked { query, batches, shared } => {
                    query.reason(found.jar.code, found.load, batches, shared)
                }
                Why::Judged(_) => found.load.and_then(|load| judged.get(&load).cloned()).unwrap_or_default(),
            };
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
               AND v.act IN ('open', 'finish', 'give', 'discard', 'reprocess', 'use')
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
    pub(crate) fn hold_traced(&self, traced: &Traced, reason: &str) -> Result<usize, LedgerError> {
        let mut held = 0;
        self.each_traced(traced, 0..traced.in_house, |found| {
            if !found.holds.iter().any(|held| held == reason) {
                let through = traced.made_with.get(&found.jar.code.batch).map(|made| made.jar_id);
                self.insert_hold_through(found.jar.id, HoldCause::Trace, reason, through)?;
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
            is_made_with: false,
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
    pub(crate) fn may_have_been_eaten(&self) -> bool {
        self.jars.iter().any(|found| may_have_been_eaten(found.state))
    }
}

/// Whether somebody may have eaten of a jar: opened, eaten up or given away.
const fn may_have_been_eaten(state: JarState) -> bool {
    matches!(state, JarState::Opened | JarState::Finished | JarState::Given | JarState::Used)
}

impl TracedJar {
    /// Whether somebody may have eaten of it: opened, eaten up or given away.
    pub(crate) const fn may_have_been_eaten(&self) -> bool {
        may_have_been_eaten(self.jar.state)
    }
}
