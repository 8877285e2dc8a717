//! Runs: loads while they are in a canner, step by step.

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::{Row, params};

use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::ledger::schema::row::{instant, offset_minutes, parsed};
use crate::rules::canning_day::run::{Aim, BootTime, Instant, Taken, is_in_canner, lies_before, may_step};
use crate::rules::gauge::dial::{Dial, dial};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::kinds::run_step::RunStep;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;
use crate::values::time::on_screen;

/// A run to be begun.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NewRun {
    pub canner: Canner,
    pub food: FoodId,
    /// Hot or raw.
    pub pack: Pack,
    /// The largest jar.
    pub size: JarSize,
    /// Where the canner stands.
    pub altitude: Altitude,
    /// The process.
    pub aim: Aim,
    /// The recipe that is put up.
    pub recipe: Option<RecipeOnRecord>,
}

/// A run as it stands in the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Its number.
    pub id: i64,
    /// When it was begun.
    pub begun: DateTime<FixedOffset>,
    /// The canner's name.
    pub canner: String,
    /// The food.
    pub food: FoodId,
    /// Hot or raw.
    pub pack: Pack,
    /// The largest jar.
    pub size: JarSize,
    /// Where the canner stands.
    pub altitude: Altitude,
    /// The process.
    pub aim: Aim,
    /// The name of the recipe that is put up.
    pub recipe: Option<String>,
    /// Its steps, in order.
    pub taken: Vec<Taken>,
    /// The phone that said each of them; none: it was said at the terminal.
    pub said_by: Vec<Option<String>>,
    /// The entry of the last step, which `run back` takes back.
    pub last_entry: Option<EntryId>,
    /// The name of that entry, by which whoever looked at the run says what was seen of it; empty before the first step.
    pub last_name: String,
}

/// Runs in force of which no load was put up and none was given up.
const UNDER_WAY: &str = "
    SELECT r.id, n.at AS begun, n.at_offset AS begun_offset, k.id AS canner_id, k.name AS canner, k.method, r.food, r.pack, r.size, r.altitude, r.minutes, r.pressure, r.vent_min,
           (SELECT c.name FROM recipe c WHERE c.id = r.recipe_id) AS recipe
    FROM run r JOIN entry n ON n.id = r.entry_id AND n.effective = 1 JOIN canner k ON k.id = r.canner_id
    WHERE NOT EXISTS (SELECT 1 FROM load o JOIN batch b ON b.id = o.batch_id
                      JOIN entry m ON m.id = b.entry_id AND m.effective = 1 WHERE o.run_id = r.id)
      AND NOT EXISTS (SELECT 1 FROM run_step s JOIN entry m ON m.id = s.entry_id AND m.effective = 1
                      WHERE s.run_id = r.id AND s.step = 'abandon')
    ORDER BY r.id";

/// A step as it was written down.
struct Written {
    taken: Taken,
    entry: EntryId,
    name: String,
    phone: Option<String>,
}

/// Reads a row that has the columns of `run_step`.
pub(in crate::ledger) fn taken_from_row(row: &Row<'_>) -> Result<Taken, LedgerError> {
    let boot: Option<String> = row.get("boot_id")?;
    let ms: Option<i64> = row.get("boot_ms")?;
    let boot = boot.zip(ms).and_then(|(boot, ms)| Some(BootTime { boot, ms: u64::try_from(ms).ok()? }));
    let when = Instant { at: instant(row.get("at")?, row.get("at_offset")?)?, boot };
    Ok(Taken { step: parsed(row, "step")?, when })
}

/// Reads a row that has the columns of `run`, and the method of its canner; `dial` is what is known of that.
pub(in crate::ledger) fn aim_from_row(row: &Row<'_>, dial: Dial) -> Result<Aim, LedgerError> {
    Ok(Aim {
        method: parsed(row, "method")?,
        minutes: row.get("minutes")?,
        psi: row.get::<_, Option<i64>>("pressure")?.map(Pressure::from_centi_psi),
        vent_min: row.get("vent_min")?,
        dial,
    })
}

fn written_from_row(row: &Row<'_>) -> Result<Written, LedgerError> {
    Ok(Written {
        taken: taken_from_row(row)?,
        entry: EntryId(row.get("entry_id")?),
        name: row.get("uuid")?,
        phone: row.get("phone")?,
    })
}

impl Ledger {
    /// The runs whose jars are in a canner, or out of it and not put up yet.
    pub(crate) fn runs_under_way(&self) -> Result<Vec<Run>, LedgerError> {
        let mut statement = self.conn.prepare_cached(UNDER_WAY)?;
        let mut rows = statement.query([])?;
        let mut runs = Vec::new();
        while let Some(row) = rows.next()? {
            let id: i64 = row.get("id")?;
            let begun = instant(row.get("begun")?, row.get("begun_offset")?)?;
            let aim = aim_from_row(row, Dial::AtItsWord)?;
            let dial = self.dial(row.get("canner_id")?, begun.date_naive(), aim.psi)?;
            let aim = Aim { dial, ..aim };
            let steps = self.steps_of(id)?;
            runs.push(Run {
                id,
                begun,
                canner: row.get("canner")?,
                food: parsed(row, "food")?,
                pack: parsed(row, "pack")?,
                size: parsed(row, "size")?,
                altitude: parsed(row, "altitude")?,
                aim,
                recipe: row.get("recipe")?,
                last_entry: steps.last().map(|written| written.entry),
                last_name: steps.last().map(|written| written.name.clone()).unwrap_or_default(),
                said_by: steps.iter().map(|written| written.phone.clone()).collect(),
                taken: steps.into_iter().map(|written| written.taken).collect(),
            });
        }
        Ok(runs)
    }

    /// What is known of a canner's dial on a day on which it is to be read for a pressure.
    fn dial(&self, canner: i64, day: NaiveDate, psi: Option<Pressure>) -> Result<Dial, LedgerError> {
        let Some(psi) = psi else { return Ok(Dial::AtItsWord) };
        let tests = self.gauge_tests_of(canner)?;
        Ok(dial(&tests.into_iter().map(|recorded| recorded.test).collect::<Vec<_>>(), day, psi))
    }

    fn steps_of(&self, run: i64) -> Result<Vec<Written>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT s.step, s.at, s.at_offset, s.boot_id, s.boot_ms, s.entry_id, n.uuid, n.phone FROM run_step s
             JOIN entry n ON n.id = s.entry_id AND n.effective = 1 WHERE s.run_id = ?1 ORDER BY s.id",
        )?;
        let steps = statement.query_and_then([run], written_from_row)?;
        steps.collect()
    }

    /// A run under way by its number.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`] where none of this number is under way.
    pub(crate) fn run_under_way(&self, id: i64) -> Result<Run, LedgerError> {
        let runs = self.runs_under_way()?;
        let known: Vec<String> = runs.iter().map(|run| run.id.to_string()).collect();
        runs.into_iter().find(|run| run.id == id).ok_or_else(|| {
            let known =
                if known.is_empty() { "none is".to_owned() } else { format!("{} is", known.join(", ")) };
            LedgerError::NotFound(format!("no run {id} is under way; {known}"))
        })
    }
}

impl Write<'_> {
    /// Begins a run and returns its number.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] while another run's jars are in that canner.
    pub(crate) fn begin_run(&self, new: &NewRun) -> Result<i64, LedgerError> {
        let in_it = |run: &Run| run.canner == new.canner.name && is_in_canner(&run.taken);
        if let Some(run) = self.runs_under_way()?.iter().find(|run| in_it(run)) {
            return Err(LedgerError::Refused {
                what: format!("run {} is under way in {}", run.id, run.canner),
                hint: format!("go on with `jarledger run`, or `jarledger run abandon --run {}`", run.id),
            });
        }
        self.conn.execute(
            "INSERT INTO run (entry_id, canner_id, food, pack, size, altitude, minutes, pressure, vent_min,
                              recipe_id)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            params![
                self.entry.0,
                new.canner.id,
                new.food.as_str(),
                new.pack.as_str(),
                new.size.as_str(),
                new.altitude.to_string(),
                new.aim.minutes,
                new.aim.psi.map(Pressure::centi_psi),
                new.aim.vent_min,
                new.recipe.as_ref().map(|recipe| recipe.id),
            ],
        )?;
        Ok(self.conn.last_insert_rowid())
    }

    /// Takes a step of a run.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where it does not fit after the steps taken, which are read anew here, or lies before the
    /// last of them or in time to come.
    pub(crate) fn take_step(&self, run: i64, step: RunStep, when: &Instant) -> Result<(), LedgerError> {
        let run = self.run_under_way(run)?;
        may_step(&run.aim, &run.taken, step).map_err(|error| LedgerError::Refused {
            what: format!("run {}: {error}", run.id),
            hint: format!(
                "see `jarledger run show`; `jarledger run back --run {}` takes back the last step",
                run.id
            ),
        })?;
        if when.at > self.clock.now {
            return Err(LedgerError::Refused {
                what: format!("{} is still to come", on_screen::moment(when.at)),
                hint: "leave --at out for a step that happens now".to_owned(),
            });
        }
        if let Some(last) = lies_before(&run.taken, when, self.clock.now) {
            return Err(LedgerError::Refused {
                what: format!("{} was at {}, after that", last.step, on_screen::moment(last.when.at)),
                hint: "give --at a later time, or take that step back with `jarledger run back`".to_owned(),
            });
        }
        let boot = when.boot.as_ref();
        self.conn
            .prepare_cached(
                "INSERT INTO run_step (run_id, entry_id, step, at, at_offset, boot_id, boot_ms)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                run.id,
                self.entry.0,
                step.as_str(),
                when.at.timestamp(),
                offset_minutes(when.at),
                boot.map(|boot| boot.boot.as_str()),
                boot.map(|boot| i64::try_from(boot.ms).unwrap_or(i64::MAX)),
            ])?;
        Ok(())
    }
}
