//! `check`: whether everything in the ledger still follows from what was written.
//!
//! May use: batch, entry, error, file, jar, kitchen, schema, rules, tables, values.
//!
//! Nothing is repaired. What triggers keep (a jar's state, place and hold, a load's verdict, which
//! entries count) is derived here a second time, from the events and by the rules, and compared.

use crate::ledger::check::report::{CheckReport, Kind, Problem};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::file::progress::progress;

mod chain;
mod jars;
mod kitchen;
mod loads;
mod names;
mod records;
mod replay;
pub mod report;
mod runs;
pub(in crate::ledger) mod scope;
mod standing;
mod values;

/// Most findings kept of one kind; more are counted.
const MOST_OF_A_KIND: usize = 100;

/// The parts that derive everything anew, once the pages are whole; `undo` runs them on the batches it touches.
const DERIVED: [Part; 5] = [jars::jars, loads::loads, records::records, runs::runs, standing::standing];

/// One part of the check.
type Part = fn(&Ledger, &Scope, &mut CheckReport) -> Result<(), LedgerError>;

impl Ledger {
    /// Derives everything again and says what differs.
    ///
    /// # Errors
    /// [`LedgerError`] when the check is interrupted or the disk fails; what is damaged is a finding.
    pub fn check(&self) -> Result<CheckReport, LedgerError> {
        let mut checked = CheckReport { most_of_a_kind: MOST_OF_A_KIND, ..CheckReport::default() };
        // One transaction: every part sees the same state.
        let tx = self.conn.unchecked_transaction()?;
        let of_the_file: [Part; 6] =
            [pages, references, values::values, chain::entries, names::names, kitchen::kitchen];
        let parts = of_the_file.into_iter().chain(DERIVED);
        let count = (of_the_file.len() + DERIVED.len()) as u64;
        for (part, done) in parts.zip(0..) {
            progress(done, count);
            match part(self, &Scope::ALL, &mut checked).map_err(|error| error.at(&self.path)) {
                Ok(()) => {}
                // Where pages are damaged the other parts may fail at the same spot.
                Err(LedgerError::Damaged { what, .. }) => checked.find(Kind::Value, what),
                Err(error) => return Err(error),
            }
        }
        // The transaction only read, so it does not matter how it ends.
        drop(tx);
        Ok(checked)
    }

    /// Derives the batches of a scope anew from the facts in force, and returns every fact that does not fit.
    pub(in crate::ledger) fn derived_anew(&self, scope: &Scope) -> Result<Vec<Problem>, LedgerError> {
        let mut checked = CheckReport { most_of_a_kind: usize::MAX, ..CheckReport::default() };
        for part in DERIVED {
            part(self, scope, &mut checked)?;
        }
        Ok(checked.problems)
    }
}

/// The pages, indexes and constraints.
fn pages(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for flaw in ledger.flaws(MOST_OF_A_KIND as u32)? {
        checked.find(Kind::Page, flaw);
    }
    Ok(())
}

/// The references.
fn references(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for reference in ledger.dangling()? {
        checked.find(Kind::Reference, reference);
    }
    Ok(())
}

#[cfg(test)]
mod tests;
