//! What the household's ledger brings to the tables, if there is one: its measures, its processes, its altitude.

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::process::household::HouseholdProcess;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::units::Units;

/// The ledger, if there is one: the published tables are there without it.
pub(super) fn ledger_if_any(ctx: &Context) -> Result<Option<Ledger>, Failure> {
    match Ledger::open(&ctx.path) {
        Ok(ledger) => Ok(Some(ledger)),
        Err(LedgerError::NoLedger(_)) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The measures the household reads first; US ones without a ledger.
pub(super) fn units(ledger: Option<&Ledger>) -> Result<Units, Failure> {
    Ok(ledger.map_or(Ok(Units::Us), Ledger::units)?)
}

/// The household's own processes, if there is a ledger.
pub(super) fn own_processes(ledger: Option<&Ledger>) -> Result<Vec<HouseholdProcess>, Failure> {
    Ok(ledger.map(Ledger::household_processes).transpose()?.unwrap_or_default())
}

/// The altitude given, else the kitchen's, else the answer to a question.
pub(in crate::cli) fn altitude(
    given: Option<Altitude>,
    ledger: Option<&Ledger>,
    asker: &Asker,
) -> Result<Altitude, Failure> {
    let kitchen = match ledger.map(Ledger::household) {
        Some(Ok(household)) => Some(household.altitude),
        Some(Err(LedgerError::NotFound(_))) | None => None,
        Some(Err(error)) => return Err(error.into()),
    };
    asker.need(
        given.or(kitchen),
        Question {
            ask: "How high above sea level is the kitchen?",
            flag: "--altitude HEIGHT",
            help: "With its unit, such as 850ft or 260m",
            default: None,
        },
        parsed,
    )
}
