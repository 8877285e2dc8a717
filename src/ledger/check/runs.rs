//! The runs: each begun and its steps taken again in order, and the loads put up from them, by the rules that let them be.

use std::collections::HashMap;

use chrono::{DateTime, FixedOffset};
use rusqlite::Row;

use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::household_process::ProcessEntered;
use crate::ledger::kitchen::run::{aim_from_row, taken_from_row};
use crate::ledger::schema::row::{batch_code, instant, parsed};
use crate::rules::canning_day::run::{Aim, Taken, facts, is_in_canner, lies_before, may_step};
use crate::rules::gauge::dial::Dial;
use crate::rules::process::look_up;
use crate::rules::process::tested::ProcessQuestion;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::run_step::RunStep;
use crate::values::time::on_screen;

const RUNS: &str = "
    SELECT r.*, k.name AS canner, k.method
    FROM run r JOIN entry n ON n.id = r.entry_id AND n.effective = 1 JOIN canner k ON k.id = r.canner_id ORDER BY r.id";

const STEPS: &str = "
    SELECT s.*, n.effective, n.at AS made_at, n.at_offset AS made_offset
    FROM run_step s JOIN entry n ON n.id = s.entry_id ORDER BY s.run_id, s.id";

const PUT_UP: &str = "
    SELECT o.run_id, b.entry_id, b.year, b.number AS batch_number, o.number
    FROM load o JOIN batch b ON b.id = o.batch_id JOIN entry n ON n.id = b.entry_id AND n.effective = 1
    WHERE o.run_id IS NOT NULL ORDER BY o.id";

struct Run {
    id: i64,
    entry: i64,
    canner_id: i64,
    canner: String,
    question: ProcessQuestion,
    aim: Aim,
}

impl Run {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let aim = aim_from_row(row, Dial::AtItsWord)?;
        Ok(Self {
            id: row.get("id")?,
            entry: row.get("entry_id")?,
            canner_id: row.get("canner_id")?,
            canner: row.get("canner")?,
            question: ProcessQuestion {
                food: parsed(row, "food")?,
                pack: parsed(row, "pack")?,
                size: parsed(row, "size")?,
                method: aim.method,
                altitude: parsed(row, "altitude")?,
            },
            aim,
        })
    }
}

/// A step, in force or not.
struct Step {
    entry: i64,
    taken: Taken,
    in_force: bool,
    /// When its entry was made.
    made_at: DateTime<FixedOffset>,
}

impl Step {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            entry: row.get("entry_id")?,
            taken: taken_from_row(row)?,
            in_force: row.get("effective")?,
            made_at: instant(row.get("made_at")?, row.get("made_offset")?)?,
        })
    }

    fn in_words(&self) -> String {
        format!("\u{201c}{}\u{201d} at {}", self.taken.step, self.taken.when.at.format("%H:%M"))
    }
}

/// Which entry took back which.
struct Undone(HashMap<i64, i64>);

impl Undone {
    /// Whether an entry was in force when a later one was made.
    fn was_in_force(&self, entry: i64, when: i64) -> bool {
        let (mut last, mut in_force) = (entry, true);
        while let Some(&by) = self.0.get(&last).filter(|&&by| by < when) {
            (last, in_force) = (by, !in_force);
        }
        in_force
    }
}

/// Few: nothing is gained by leaving those of other batches out.
pub(super) fn runs(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let conn = &ledger.conn;
    let mut steps: HashMap<i64, Vec<Step>> = HashMap::new();
    let mut statement = conn.prepare_cached(STEPS)?;
    for step in statement
        .query_and_then([], |row| Ok::<_, LedgerError>((row.get("run_id")?, Step::from_row(row)?)))?
    {
        let (run, step): (i64, Step) = step?;
        steps.entry(run).or_default().push(step);
    }
    let mut put_up: HashMap<i64, Vec<(i64, LoadCode)>> = HashMap::new();
    let mut statement = conn.prepare_cached(PUT_UP)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let load = LoadCode { batch: batch_code(row)?, number: row.get("number")? };
        put_up.entry(row.get("run_id")?).or_default().push((row.get("entry_id")?, load));
    }
    let mut statement = conn.prepare_cached("SELECT reverses, id FROM entry WHERE reverses IS NOT NULL")?;
    let undone =
        Undone(statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?);
    let own = ledger.processes_entered()?;
    // The steps in force of the runs begun so far, by their canner.
    let mut begun: HashMap<i64, Vec<(i64, Vec<&Step>)>> = HashMap::new();
    let mut statement = conn.prepare_cached(RUNS)?;
    for run in statement.query_and_then([], Run::from_row)? {
        let run: Run = run?;
        let steps: &[Step] = steps.get(&run.id).map_or(&[], Vec::as_slice);
        let taken: Vec<&Step> = steps.iter().filter(|step| step.in_force).collect();
        let in_canner = begun.entry(run.canner_id).or_default();
        in_canner.retain(|(_, steps)| is_in_canner(&before(steps, run.entry)));
        if let Some((other, _)) = in_canner.first() {
            let Run { id, entry, canner, .. } = &run;
            checked.find_of(
                Kind::Run,
                *entry,
                format!("run {id} was begun in {canner} while run {other} was in it"),
            );
        }
        aims_at_a_process(&run, &taken, &own, checked);
        steps_follow(&run, &taken, checked);
        let loads = put_up.get(&run.id).map_or(&[][..], Vec::as_slice);
        for &put_up in loads {
            taken_as_put_up(&run, (steps, &taken), put_up, &undone, checked);
        }
        if let [(_, first), later @ ..] = loads {
            for (entry, load) in later {
                let what = format!("run {} was put up as load {first}, and again as load {load}", run.id);
                checked.find_of(Kind::Run, *entry, what);
            }
        }
        in_canner.push((run.id, taken));
    }
    Ok(())
}

/// The steps taken before an entry.
fn before(steps: &[&Step], entry: i64) -> Vec<Taken> {
    steps.iter().filter(|step| step.entry < entry).map(|step| step.taken.clone()).collect()
}

/// Says where a run aims at a process of the household's own that it took back. From a run given up nothing follows.
fn aims_at_a_process(run: &Run, taken: &[&Step], own: &[ProcessEntered], checked: &mut CheckReport) {
    let is_its = |minutes, psi| (minutes, psi) == (run.aim.minutes, run.aim.psi);
    let (known, gone): (Vec<_>, Vec<_>) =
        own.iter().filter(|one| one.entry < run.entry).partition(|one| one.in_force);
    let was_its = |one: &&ProcessEntered| {
        one.process.answers(&run.question) && is_its(one.process.minutes, one.process.psi)
    };
    let Some(gone) = gone.into_iter().find(was_its) else { return };
    let known: Vec<_> = known.into_iter().map(|one| one.process.clone()).collect();
    if taken.iter().all(|step| step.taken.step != RunStep::Abandon)
        && !look_up(&run.question, &known).all().any(|process| is_its(process.minutes, process.psi))
    {
        checked.find_of(
            Kind::Run,
            run.entry,
            format!(
                "run {} is by your own process for {} of entry {}, which is not on record",
                run.id, run.question.food, gone.entry
            ),
        );
    }
}

/// Says which steps do not follow from those before them.
fn steps_follow(run: &Run, steps: &[&Step], checked: &mut CheckReport) {
    let mut taken: Vec<Taken> = Vec::new();
    for step in steps {
        let id = run.id;
        let Taken { step: act, when } = &step.taken;
        let mut find = |what: String| {
            checked.find_of(Kind::Run, step.entry, format!("run {id}: {} {what}", step.in_words()));
        };
        if let Err(error) = may_step(&run.aim, &taken, *act) {
            find(format!("does not fit there: {}", error.what_fits()));
        } else if let Some(last) = lies_before(&taken, when, step.made_at) {
            find(format!("lies before {} at {}", last.step, on_screen::moment(last.when.at)));
        }
        taken.push(step.taken.clone());
    }
}

/// Says where a load was not put up from a run that was over, or from other steps than the run has now: of `steps` those
/// in force are `taken`.
fn taken_as_put_up(
    run: &Run,
    (steps, taken): (&[Step], &[&Step]),
    (entry, load): (i64, LoadCode),
    undone: &Undone,
    checked: &mut CheckReport,
) {
    let id = run.id;
    let mut find = |entry: i64, what: String| checked.find_of(Kind::Run, entry, what);
    for step in steps.iter().filter(|step| step.entry < entry) {
        let was_taken = undone.was_in_force(step.entry, entry);
        if was_taken != step.in_force {
            let with = if was_taken { "with" } else { "without" };
            find(entry, format!("load {load} was put up from run {id} {with} {}", step.in_words()));
        }
    }
    if facts(&before(taken, entry)).is_none() {
        find(entry, format!("load {load} was put up from run {id}, and its jars were not out"));
    }
    for step in taken.iter().filter(|step| step.entry > entry) {
        find(step.entry, format!("run {id}: {} is after load {load} was put up from it", step.in_words()));
    }
}
