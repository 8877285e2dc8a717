//! What is written of a run: one entry for each step taken, and for each taken back.

use crate::answers::run;
use crate::cli::errors::Failure;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::Instant;
use crate::values::kinds::run_step::RunStep;
use crate::values::time::clock::Clock;

/// Takes a step of a run, as it was when it was looked at.
pub(super) fn take(
    ledger: &Ledger,
    run: &Run,
    step: RunStep,
    when: &Instant,
    clock: Clock,
) -> Result<(), Failure> {
    run::take(ledger, run.id, step, when, Some(&run.last_name), clock)?;
    Ok(())
}

/// Takes back the last step of a run, as it was when it was looked at.
pub(super) fn take_back(ledger: &Ledger, run: &Run, clock: Clock) -> Result<(), Failure> {
    run::step_back(ledger, run.id, Some(&run.last_name), clock)?;
    Ok(())
}
