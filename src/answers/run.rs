//! A run under way, and where it stands now.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::answers::say::Say;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{Instant, Stand, full_minute, left_in_words, stand};
use crate::rules::gauge::dial::Dial;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::kinds::run_step::RunStep;
use crate::values::measures::pressure::Pressure;
use crate::values::time::clock::Clock;

/// The runs asked for.
#[derive(serde::Serialize)]
pub(crate) struct RunsNow {
    pub(crate) runs: Vec<RunNow>,
}

/// A run and its stand.
#[derive(serde::Serialize)]
pub(crate) struct RunNow {
    pub(crate) run: i64,
    pub(crate) canner: String,
    pub(crate) food: FoodId,
    pub(crate) pack: Pack,
    pub(crate) jar: JarSize,
    pub(crate) altitude: String,
    pub(crate) recipe: Option<String>,
    pub(crate) minutes: u32,
    pub(crate) psi: Option<Pressure>,
    /// What the dial must show, where it reads high.
    pub(crate) dial_psi: Option<Pressure>,
    pub(crate) phase: &'static str,
    pub(crate) since: Option<DateTime<FixedOffset>>,
    /// Seconds left of what is timed now.
    pub(crate) left_s: Option<u64>,
    pub(crate) ends_at: Option<DateTime<FixedOffset>>,
    pub(crate) restarts: u32,
    pub(crate) next: Vec<&'static str>,
    /// What is going on and what to do.
    pub(crate) say: String,
    pub(crate) by_wall_clock: bool,
    pub(crate) begun: DateTime<FixedOffset>,
    pub(crate) steps: Vec<StepTaken>,
    /// The name of the last step, by which a step said from here is known to be up to date.
    #[serde(skip)]
    pub(crate) last_name: String,
    /// The process by what the dial must show.
    #[serde(skip)]
    process: String,
}

/// A step and when it was.
#[derive(serde::Serialize)]
pub(crate) struct StepTaken {
    pub(crate) step: &'static str,
    pub(crate) at: DateTime<FixedOffset>,
    /// The phone it was pressed on; none: the terminal.
    pub(crate) by: Option<String>,
}

impl std::fmt::Display for StepTaken {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.step, self.at.format("%H:%M"))?;
        match &self.by {
            Some(phone) => write!(f, " ({phone})"),
            None => Ok(()),
        }
    }
}

impl RunNow {
    /// Where a run stands at a moment.
    pub(crate) fn at(run: Run, now: &Instant) -> Self {
        let Stand { phase, since, left_s, ends_at, restarts, next, by_wall_clock, say, .. } =
            stand(&run.aim, &run.taken, now);
        let steps = run.taken.iter().zip(run.said_by).map(|(taken, by)| StepTaken {
            step: taken.step.as_str(),
            at: taken.when.at,
            by,
        });
        let steps = steps.collect();
        Self {
            run: run.id,
            canner: run.canner,
            food: run.food,
            pack: run.pack,
            jar: run.size,
            altitude: run.altitude.to_string(),
            recipe: run.recipe,
            minutes: run.aim.minutes,
            psi: run.aim.psi,
            dial_psi: if let Dial::High(reading) = run.aim.dial { Some(reading) } else { None },
            phase: phase.as_str(),
            since,
            left_s,
            ends_at,
            restarts,
            next: next.iter().map(|step| step.as_str()).collect(),
            say,
            by_wall_clock,
            begun: run.begun,
            steps,
            last_name: run.last_name,
            process: run.aim.in_words(),
        }
    }

    /// What is in which canner, and the process it is to get.
    pub(crate) fn heading(&self) -> String {
        let Self { run, canner, food, pack, process, .. } = self;
        format!("Run {run}, {canner}: {food}, {pack} pack, {}, {process}", self.jar.plural())
    }

    /// The steps taken, each with its time and the phone it was pressed on.
    pub(crate) fn so_far(&self) -> Option<String> {
        let steps: Vec<String> = self.steps.iter().map(ToString::to_string).collect();
        (!steps.is_empty()).then(|| format!("So far: {}", steps.join(", ")))
    }

    pub(crate) fn say(&self, screen: &mut impl Say) {
        screen.say(self.heading());
        screen.say(format!("  {}", self.say));
        if let Some(so_far) = self.so_far() {
            screen.say(format!("  {so_far}"));
        }
    }

    /// Whether something is timed that is not over: a step said now would cut it short.
    pub(crate) fn is_timed(&self) -> bool {
        self.left_s.is_some_and(|left| left > 0)
    }

    /// What to do with a run that nobody has said anything of for a day.
    pub(crate) fn forgotten(&self) -> String {
        let run = self.run;
        let finish = match self.next.first() {
            Some(step) => format!("run step {step} --run {run}"),
            None => format!("putup --run {run}"),
        };
        format!(
            "Forgotten? Nothing was entered for a day. Finish it with `jarledger {finish}`, or give it up with \
             `jarledger run abandon --run {run}`."
        )
    }

    /// How the batch is logged once the jars are out.
    pub(crate) fn to_log(&self) -> String {
        let name = self.recipe.as_ref().map(|recipe| format!(" as {recipe}")).unwrap_or_default();
        let asked = match (&self.recipe, self.psi) {
            (Some(_), Some(_)) => "the jars and the lowest reading",
            (Some(_), None) => "the jars",
            (None, Some(_)) => "the product, the jars and the lowest reading",
            (None, None) => "the product and the jars",
        };
        format!("`jarledger putup --run {}` logs them{name} and asks for {asked}", self.run)
    }

    /// The clock time to set an alarm to for what is timed now.
    pub(crate) fn alarm(&self) -> Option<String> {
        let ends_at = self.ends_at.filter(|_| self.is_timed())?;
        Some(full_minute(ends_at).format("%H:%M").to_string())
    }

    /// What is left of it, in words.
    pub(crate) fn left(&self) -> String {
        left_in_words(self.left_s.unwrap_or(0))
    }

    /// The step that is said once what is timed now is over.
    pub(crate) fn early(&self) -> Option<&'static str> {
        self.next.first().copied().filter(|_| self.is_timed())
    }

    /// The steps that may be said now without cutting anything short.
    pub(crate) fn in_time(&self) -> &[&'static str] {
        if self.is_timed() { &self.next[1..] } else { &self.next }
    }

    /// Whether nobody has said anything of it for a day.
    pub(crate) fn is_forgotten(&self, now: DateTime<FixedOffset>) -> bool {
        now - self.since.unwrap_or(self.begun) >= TimeDelta::days(1)
    }
}

/// Every run under way, as it stands now.
pub(crate) fn under_way(ledger: &Ledger, now: &Instant) -> Result<Vec<RunNow>, LedgerError> {
    Ok(ledger.runs_under_way()?.into_iter().map(|run| RunNow::at(run, now)).collect())
}

/// Takes a step of a run; `seen`: the name of the last step that whoever says it knows of, where that may be old.
pub(crate) fn take(
    ledger: &Ledger,
    run: i64,
    step: RunStep,
    when: &Instant,
    seen: Option<&str>,
    clock: Clock,
) -> Result<EntryId, LedgerError> {
    let command = if step == RunStep::Abandon { "run abandon" } else { "run step" };
    let written = ledger.write(command, clock, |write| {
        still_as_seen(write, run, seen)?;
        write.take_step(run, step, when)?;
        Ok(((), format!("run {run}: {step} at {}", when.at.format("%H:%M"))))
    })?;
    Ok(written.entry)
}

/// Takes the last step of a run back.
pub(crate) fn step_back(
    ledger: &Ledger,
    run: i64,
    seen: Option<&str>,
    clock: Clock,
) -> Result<EntryId, LedgerError> {
    let written = ledger.write("run back", clock, |write| {
        let now = still_as_seen(write, run, seen)?;
        let (Some(entry), Some(last)) = (now.last_entry, now.taken.last()) else {
            return Err(LedgerError::Refused {
                what: format!("run {run} has no step yet"),
                hint: format!("`jarledger run abandon --run {run}` gives it up"),
            });
        };
        write.undo(Some(entry))?;
        Ok(((), format!("run {run}: {} taken back", last.step)))
    })?;
    Ok(written.entry)
}

/// The run, unless somebody else has taken it on meanwhile.
fn still_as_seen(ledger: &Ledger, run: i64, seen: Option<&str>) -> Result<Run, LedgerError> {
    let now = ledger.run_under_way(run)?;
    // Not by their number: a step taken back and pressed again starts its time again.
    if seen.is_none_or(|seen| seen == now.last_name) {
        return Ok(now);
    }
    let last = now.taken.last().zip(now.said_by.last()).map(|(last, by)| StepTaken {
        step: last.step.as_str(),
        at: last.when.at,
        by: by.clone(),
    });
    let last = last.map_or_else(|| "its last step was taken back".to_owned(), |last| last.to_string());
    Err(LedgerError::Refused {
        what: format!("run {run} has gone on meanwhile: {last}"),
        hint: "see `jarledger run show`".to_owned(),
    })
}
