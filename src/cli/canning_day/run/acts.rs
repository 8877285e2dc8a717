//! What is written of a run: one entry for each step taken, and for each taken back.

use crate::answers::run;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::Instant;
use crate::values::kinds::run_step::RunStep;

/// Takes a step of a run, as it was when it was looked at.
pub(super) fn take(run: &Run, step: RunStep, when: &Instant, ctx: &Context) -> Result<(), Failure> {
    run::take(&ctx.open_to_write()?, run.id, step, when, Some(&run.last_name), ctx.clock)?;
    Ok(())
}

/// Takes back the last step of a run, as it was when it was looked at.
pub(super) fn take_back(run: &Run, ctx: &Context) -> Result<(), Failure> {
    run::step_back(&ctx.open_to_write()?, run.id, Some(&run.last_name), ctx.clock)?;
    Ok(())
}
