//! A run under way, and where it stands now.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{Instant, Stand, Taken, stand};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::pressure::Pressure;

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
    pub(crate) minutes: u32,
    pub(crate) psi: Option<Pressure>,
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
    pub(crate) steps: Vec<StepTaken>,
}

/// A step and when it was.
#[derive(serde::Serialize)]
pub(crate) struct StepTaken {
    pub(crate) step: &'static str,
    pub(crate) at: DateTime<FixedOffset>,
}

impl RunNow {
    /// Where a run stands at a moment.
    pub(crate) fn at(run: Run, now: &Instant) -> Self {
        let Stand { phase, since, left_s, ends_at, restarts, next, by_wall_clock, say } =
            stand(&run.aim, &run.taken, now);
        let step = |taken: &Taken| StepTaken { step: taken.step.as_str(), at: taken.when.at };
        Self {
            run: run.id,
            canner: run.canner,
            food: run.food,
            pack: run.pack,
            jar: run.size,
            altitude: run.altitude.to_string(),
            minutes: run.aim.minutes,
            psi: run.aim.psi,
            phase: phase.as_str(),
            since,
            left_s,
            ends_at,
            restarts,
            next: next.iter().map(|step| step.as_str()).collect(),
            say,
            by_wall_clock,
            steps: run.taken.iter().map(step).collect(),
        }
    }

    /// Whether nobody has said anything of it for a day.
    pub(crate) fn is_forgotten(&self, now: DateTime<FixedOffset>) -> bool {
        self.since.is_some_and(|since| now - since >= TimeDelta::days(1))
    }
}
