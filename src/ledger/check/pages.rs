//! The file itself: pages, indexes, constraints and references.

use super::{CheckReport, Kind, MOST_OF_A_KIND};
use crate::ledger::{Ledger, LedgerError};

pub(super) fn pages(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for flaw in ledger.flaws(MOST_OF_A_KIND as u32)? {
        checked.find(Kind::Page, flaw);
    }
    Ok(())
}

pub(super) fn references(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for reference in ledger.dangling()? {
        checked.find(Kind::Reference, reference);
    }
    Ok(())
}
