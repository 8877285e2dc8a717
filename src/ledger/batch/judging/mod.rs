//! The verdict on a load: gathered from its record, judged by the rules, and kept.
//!
//! May use: entry, error, file, jar, schema, rules, values.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Row, params};

use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::RESCUED;
use crate::ledger::jar::find::{JARS, Jar};
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::schema::row::{batch_code, date, parsed, parsed_opt};
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::permit::was_rescued;
use crate::rules::load::consequence::LoadHold;
use crate::rules::load::finding::{Bearing, Finding};
use crate::rules::load::load_record::LoadRecord;
use crate::rules::load::verdict::{Judgement, Verdict};
use crate::rules::process::household::HouseholdProcess;
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;

mod before_saving;

/// A verdict on a load, beside the one before it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Judged {
    /// The load.
    pub load: LoadCode,
    /// The verdict before; none for a load never judged.
    pub was: Option<Verdict>,
    /// The verdict now.
    pub verdict: Verdict,
    /// Failing facts, missing facts and cautions.
    pub findings: Vec<Finding>,
}

/// What judging a load led to.
#[derive(Debug, Clone, PartialEq)]
pub struct Judging {
    /// The verdict.
    pub judged: Judged,
    /// Why its jars were withheld before, if they were.
    pub was_withheld: Option<LoadHold>,
    /// Why its jars are withheld, if they are.
    pub withheld: Option<LoadHold>,
    /// Jars put on hold now.
    pub held: Vec<Jar>,
    /// Jars let go now.
    pub released: Vec<Jar>,
}

impl Judging {
    /// Whether the load's jars are withheld now and were not before.
    pub(crate) const fn is_newly_withheld(&self) -> bool {
        self.withheld.is_some() && self.was_withheld.is_none()
    }
}

impl Judged {
    /// Whether the verdict is another than before.
    pub(crate) fn is_changed(&self) -> bool {
        self.was != Some(self.verdict)
    }

    /// The load, its verdict and the reason that weighs most, in one line. A caution is no reason.
    pub fn line(&self) -> String {
        self.line_with("")
    }

    /// The same with a remark on the verdict, which stands before the reason so that it is not taken for one.
    pub(crate) fn line_with(&self, remark: &str) -> String {
        let weighs = |finding: &&Finding| finding.bearing != Bearing::Caution;
        let reason = self.findings.iter().find(weighs).map(|finding| format!(": {}", finding.shown()));
        format!("load {} {}{remark}{}", self.load, self.verdict, reason.unwrap_or_default())
    }
}

/// A verdict as it was written down, beside the one the rules give now.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::ledger) struct JudgedAnew {
    /// The load.
    pub load: LoadCode,
    /// The verdict in the ledger; none for a load never judged.
    pub stored: Option<Verdict>,
    /// What the rules say now.
    pub anew: Judgement,
    /// Whether verdict and reasons are those in the ledger; cautions are no reasons.
    pub same: bool,
}

/// A load's row and what belongs to it.
struct Gathered {
    id: i64,
    code: LoadCode,
    canner_id: Option<i64>,
    record: LoadRecord,
    verdict: Option<Verdict>,
    findings: Option<String>,
}

/// What judging needs beside the load itself, read once for all loads of a command.
#[derive(Default)]
pub(in crate::ledger) struct Bench {
    household: Option<Vec<HouseholdProcess>>,
    tests: BTreeMap<i64, Vec<GaugeTest>>,
}

const LOADS: &str =
    "SELECT o.*, b.year, b.number AS batch_number, c.method, b.food, b.acidity, b.pack, b.put_up, b.name_reason
     FROM load o
     JOIN batch b ON b.id = o.batch_id
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     LEFT JOIN canner c ON c.id = o.canner_id";

impl Gathered {
    /// Reads a row of [`LOADS`].
    fn from_row(row: &Row<'_>, facts: &LoadFacts, sizes: Vec<JarSize>) -> Result<Self, LedgerError> {
        let method: Option<Method> = parsed_opt(row, "method")?;
        let record = LoadRecord {
            food: parsed_opt(row, "food")?,
            acidity: parsed_opt(row, "acidity")?,
            pack: parsed_opt(row, "pack")?,
            sizes,
            method,
            altitude: facts.altitude,
            day: date(row, "put_up")?,
            pressure: facts.pressure_that_counts(method),
            vent_min: facts.vent_min,
            time: facts.run_time(),
            acid: facts.acid,
            trouble_noted: facts.has_trouble(),
            name_reason: row.get("name_reason")?,
        };
        Ok(Self {
            id: row.get("id")?,
            code: LoadCode { batch: batch_code(row)?, number: row.get("number")? },
            canner_id: row.get("canner_id")?,
            record,
            verdict: parsed_opt(row, "verdict")?,
            findings: row.get("findings")?,
        })
    }

    /// Why its verdict, as judged last, withholds the jars by the record as it is now.
    fn withheld(&self) -> Option<LoadHold> {
        self.verdict.and_then(|verdict| self.record.withheld(verdict))
    }

    fn is_as_stored(&self, judgement: &Judgement) -> Result<bool, LedgerError> {
        Ok(self.verdict == Some(judgement.verdict)
            && self.findings.as_deref() == Some(json(&judgement.findings)?.as_str()))
    }

    /// Whether the verdict still stands on the reasons that were written down. Cautions do not count, since newer tables may
    /// have more of them.
    fn stands_as_stored(&self, judgement: &Judgement) -> bool {
        let reasons = |findings: &[Finding]| -> Vec<Finding> {
            findings.iter().filter(|finding| finding.bearing != Bearing::Caution).cloned().collect()
        };
        let written = self.findings.as_deref().map(written_findings);
        self.verdict == Some(judgement.verdict)
            && written.is_some_and(|written| {
                written.is_ok_and(|written| reasons(&written) == reasons(&judgement.findings))
            })
    }
}

/// Findings as they were written down.
pub(in crate::ledger) fn written_findings(text: &str) -> Result<Vec<Finding>, LedgerError> {
    serde_json::from_str(text).map_err(|error| LedgerError::Unreadable(format!("findings {text:?}: {error}")))
}

fn json(findings: &[Finding]) -> Result<String, LedgerError> {
    serde_json::to_string(findings).map_err(|error| LedgerError::Unreadable(format!("findings: {error}")))
}

impl Ledger {
    /// Judges a load by the rules as they are now, and writes nothing.
    #[cfg(test)]
    pub(in crate::ledger) fn judge_anew(&self, load: LoadCode) -> Result<JudgedAnew, LedgerError> {
        let gathered = self.gather_load(self.load_id(load)?)?;
        self.anew(&gathered, &mut Bench::default())
    }

    /// Judges loads by the rules as they are now, and returns those whose verdict or reasons
    /// differ from what is written down.
    pub(in crate::ledger) fn verdicts_that_differ(
        &self,
        loads: &[i64],
    ) -> Result<Vec<JudgedAnew>, LedgerError> {
        let mut bench = Bench::default();
        let mut differ = Vec::new();
        for &id in loads {
            if let Some(gathered) = self.gather_load_if_in_force(id)? {
                let anew = self.anew(&gathered, &mut bench)?;
                if !anew.same {
                    differ.push(anew);
                }
            }
        }
        Ok(differ)
    }

    /// Live jars not on hold though the record of their load, as judged last, withholds them.
    pub(in crate::ledger) fn jars_not_withheld(
        &self,
        loads: &[i64],
    ) -> Result<Vec<(LoadCode, JarCode)>, LedgerError> {
        let mut found = Vec::new();
        for &id in loads {
            let Some(load) = self.gather_load_if_in_force(id)? else { continue };
            if load.withheld().is_none() {
                continue;
            }
            for jar in self.jars_of_load(id)? {
                if jar.state.is_live() && !jar.on_hold && !self.was_rescued(&jar)? {
                    found.push((load.code, jar.code));
                }
            }
        }
        Ok(found)
    }

    /// The row of a load in force.
    pub(in crate::ledger) fn load_id(&self, load: LoadCode) -> Result<i64, LedgerError> {
        self.conn
            .prepare_cached(
                "SELECT o.id FROM load o JOIN batch b ON b.id = o.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                 WHERE b.year = ?1 AND b.number = ?2 AND o.number = ?3",
            )?
            .query_row(params![load.batch.year, load.batch.number, load.number], |row| row.get(0))
            .optional()?
            .ok_or_else(|| LedgerError::NotFound(format!("there is no load {load} in this ledger")))
    }

    /// The loads a query with one parameter finds.
    pub(in crate::ledger) fn load_ids(&self, sql: &str, parameter: i64) -> Result<Vec<i64>, LedgerError> {
        let mut statement = self.conn.prepare_cached(sql)?;
        let ids = statement.query_and_then([parameter], |row| Ok(row.get(0)?))?;
        ids.collect()
    }

    /// Why the record of a load, as judged last, withholds its jars, if it does.
    pub(in crate::ledger) fn withheld_by_record(
        &self,
        load_id: i64,
    ) -> Result<Option<LoadHold>, LedgerError> {
        Ok(self.gather_load(load_id)?.withheld())
    }

    /// The load, if it is in force and its record withholds its jars.
    pub(in crate::ledger) fn withheld_if_in_force(
        &self,
        load_id: i64,
    ) -> Result<Option<LoadCode>, LedgerError> {
        let load = self.gather_load_if_in_force(load_id)?;
        Ok(load.filter(|load| load.withheld().is_some()).map(|load| load.code))
    }

    /// Whether a jar was chilled or frozen in time, so that no verdict on its load withholds it.
    pub(in crate::ledger) fn was_rescued(&self, jar: &Jar) -> Result<bool, LedgerError> {
        // In other states no rescue is possible, so the events need not be read.
        Ok(matches!(jar.state, JarState::Chilled | JarState::Frozen)
            && was_rescued(&self.case(jar)?.circumstances()))
    }

    fn anew(&self, load: &Gathered, bench: &mut Bench) -> Result<JudgedAnew, LedgerError> {
        let anew = self.judgement(load, bench)?;
        let same = load.stands_as_stored(&anew);
        Ok(JudgedAnew { load: load.code, stored: load.verdict, anew, same })
    }

    fn judgement(&self, load: &Gathered, bench: &mut Bench) -> Result<Judgement, LedgerError> {
        if bench.household.is_none() {
            bench.household = Some(self.household_processes()?);
        }
        if let Some(canner) = load.canner_id
            && !bench.tests.contains_key(&canner)
        {
            let tests = self.gauge_tests_of(canner)?.into_iter().map(|recorded| recorded.test).collect();
            bench.tests.insert(canner, tests);
        }
        let tests = load.canner_id.and_then(|canner| bench.tests.get(&canner));
        let household = bench.household.as_deref().unwrap_or_default();
        Ok(load.record.judge(tests.map_or(&[], Vec::as_slice), household))
    }

    fn gather_load(&self, load_id: i64) -> Result<Gathered, LedgerError> {
        self.gather_load_if_in_force(load_id)?
            .ok_or_else(|| LedgerError::NotFound(format!("the putting-up of load row {load_id} was undone")))
    }

    fn gather_load_if_in_force(&self, load_id: i64) -> Result<Option<Gathered>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{LOADS} WHERE o.id = ?1"))?;
        let mut rows = statement.query([load_id])?;
        let Some(row) = rows.next()? else { return Ok(None) };
        let mut sizes = self.conn.prepare_cached("SELECT DISTINCT size FROM jar WHERE load_id = ?1")?;
        let sizes = sizes.query_and_then([load_id], |row| parsed(row, "size"))?;
        let mut sizes = sizes.collect::<Result<Vec<JarSize>, _>>()?;
        sizes.sort_unstable();
        Gathered::from_row(row, &self.load_facts(row)?, sizes).map(Some)
    }

    pub(in crate::ledger) fn jars_of_load(&self, load_id: i64) -> Result<Vec<Jar>, LedgerError> {
        let mut statement =
            self.conn.prepare_cached(&format!("{JARS} WHERE j.load_id = ?1 ORDER BY j.number"))?;
        let jars = statement.query_and_then([load_id], Jar::from_row)?;
        jars.collect()
    }
}

impl Write<'_> {
    /// Judges a load and keeps the verdict: its jars go on hold where the rules withhold them, but for
    /// those chilled or frozen in time, and come off the holds of an earlier verdict where the load now
    /// meets its process.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`] where no such load was put up.
    pub fn judge_load(&self, load: LoadCode) -> Result<Judging, LedgerError> {
        self.judge_row(self.load_id(load)?, &mut Bench::default())
    }

    /// Judges a load whose record is as it was when it was judged last.
    pub(in crate::ledger) fn judge_row(
        &self,
        load_id: i64,
        bench: &mut Bench,
    ) -> Result<Judging, LedgerError> {
        let load = self.gather_load(load_id)?;
        let was_withheld = load.withheld();
        self.judge_gathered(load, was_withheld, bench)
    }

    /// Judges a load whose record was amended since; `was_withheld` is why it withheld the jars before that.
    pub(in crate::ledger) fn judge_amended(
        &self,
        load_id: i64,
        was_withheld: Option<LoadHold>,
        bench: &mut Bench,
    ) -> Result<Judging, LedgerError> {
        self.judge_gathered(self.gather_load(load_id)?, was_withheld, bench)
    }

    fn judge_gathered(
        &self,
        load: Gathered,
        was_withheld: Option<LoadHold>,
        bench: &mut Bench,
    ) -> Result<Judging, LedgerError> {
        let judgement = self.judgement(&load, bench)?;
        if !load.is_as_stored(&judgement)? {
            self.conn
                .prepare_cached(
                    "INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (?1, ?2, ?3, ?4)",
                )?
                .execute(params![
                    load.id,
                    self.entry.0,
                    judgement.verdict.as_str(),
                    json(&judgement.findings)?
                ])?;
        }
        let withheld = load.record.withheld(judgement.verdict);
        let (held, released) = match withheld {
            Some(why) => self.withhold(&load, why)?,
            None if matches!(judgement.verdict, Verdict::Meets | Verdict::MeetsOwn) => {
                (Vec::new(), self.let_go(&load, judgement.verdict)?)
            }
            None => (Vec::new(), Vec::new()),
        };
        let Judgement { verdict, findings } = judgement;
        let judged = Judged { load: load.code, was: load.verdict, verdict, findings };
        Ok(Judging { judged, was_withheld, withheld, held, released })
    }

    /// Puts every live jar of a load on hold that no verdict holds yet, and lets go those that were rescued in time;
    /// returns the jars held and those let go.
    fn withhold(&self, load: &Gathered, why: LoadHold) -> Result<(Vec<Jar>, Vec<Jar>), LedgerError> {
        let standing: Vec<i64> = self.verdict_holds(load.id)?.iter().map(|hold| hold.jar_id).collect();
        let reason = format!("load {}: {}", load.code, why.reason());
        let (mut held, mut released) = (Vec::new(), Vec::new());
        for mut jar in self.jars_of_load(load.id)?.into_iter().filter(|jar| jar.state.is_live()) {
            match (self.was_rescued(&jar)?, standing.contains(&jar.id)) {
                (false, false) => {
                    self.insert_hold(jar.id, HoldCause::Verdict, &reason)?;
                    jar.on_hold = true;
                    held.push(jar);
                }
                // The rescue counted as late only because a time was entered wrongly at first.
                (true, true) => {
                    self.end_verdict_holds(&jar, RESCUED)?;
                    released.extend(Some(self.jar(jar.code)?).filter(|jar| !jar.on_hold));
                }
                (false, true) | (true, false) => {}
            }
        }
        // Batches made with jars of this load are held too.
        held.extend(self.hold_made_with(&self.jars_of_load(load.id)?, &reason)?);
        Ok((held, released))
    }

    /// Ends the holds an earlier verdict put on a load's jars, and returns the jars no hold is left on.
    ///
    /// A process of the household's own lifts no hold that was there before it was entered.
    fn let_go(&self, load: &Gathered, verdict: Verdict) -> Result<Vec<Jar>, LedgerError> {
        let mut holds = self.verdict_holds(load.id)?;
        let reason = if verdict == Verdict::MeetsOwn {
            let entered = match &load.record.food {
                Some(food) => self.own_process_entered(food)?,
                None => None,
            };
            holds.retain(|hold| entered.is_none_or(|entered| hold.entry > entered));
            format!("the record of load {} was mended and meets the household's own process", load.code)
        } else {
            format!("load {} meets its tested process", load.code)
        };
        for hold in &holds {
            self.end_hold(hold, &reason)?;
        }
        let mut jars = if holds.is_empty() { Vec::new() } else { self.jars_of_load(load.id)? };
        jars.retain(|jar| !jar.on_hold && holds.iter().any(|hold| hold.jar_id == jar.id));
        Ok(jars)
    }
}

#[cfg(test)]
mod numbers_tests;
#[cfg(test)]
mod tests;
