//! The file itself: pages, indexes, constraints and references.

use crate::ledger::check::scope::Scope;
use crate::ledger::check::{CheckReport, Kind, MOST_OF_A_KIND};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

pub(super) fn pages(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for flaw in ledger.flaws(MOST_OF_A_KIND as u32)? {
        checked.find(Kind::Page, flaw);
    }
    Ok(())
}

pub(super) fn references(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for reference in ledger.dangling()? {
        checked.find(Kind::Reference, reference);
    }
    Ok(())
}
