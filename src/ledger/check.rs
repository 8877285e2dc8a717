//! `check`: whether everything in the ledger still follows from what was written.
//!
//! Nothing is repaired. What triggers keep (a jar's state, place and hold, a load's verdict, which
//! entries count) is derived here a second time, from the events and by the rules, and compared.

use super::progress::progress;
use super::{Ledger, LedgerError};
use crate::rules::named_enum;

mod chain;
mod jars;
mod loads;
mod names;
mod pages;

/// Most findings kept of one kind; more are counted.
const MOST_OF_A_KIND: usize = 100;

named_enum! {
    /// What is wrong; the names are stable.
    pub enum Kind as "a kind of finding" {
        /// SQLite finds a page, an index or a row that is not whole.
        Page = "page",
        /// A reference leads to nothing.
        Reference = "reference",
        /// Entries have a gap, or a name that does not follow from their number.
        Entry = "entry",
        /// An entry counts that was undone, or the other way round.
        Undo = "undo",
        /// An event starts from a state the jar was not in, or does what that state does not take.
        Event = "event",
        /// A jar's state is not where its events lead.
        State = "state",
        /// A jar's place is not where its events put it.
        Place = "place",
        /// A jar is on hold without a hold in force, or the other way round.
        Hold = "hold",
        /// A jar was eaten, given or thrown away more than once.
        Twice = "twice",
        /// A seal check says something else than its event.
        Seal = "seal",
        /// A code cannot be read back from what is printed on a label.
        Code = "code",
        /// A load's verdict is not the last one given.
        Judgement = "judgement",
        /// The rules give another verdict than the one on record.
        Verdict = "verdict",
        /// A canner, gauge test or batch lacks what it cannot be without.
        Lacking = "lacking",
        /// A name is not found by its own key.
        Name = "name",
        /// A value is one that no release writes.
        Value = "value",
    }
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Problem {
    /// Its kind.
    pub code: Kind,
    /// What, and where.
    pub what: String,
}

/// What was looked at, and what was found.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct CheckReport {
    /// Entries looked at.
    pub entries: i64,
    /// Jars looked at.
    pub jars: i64,
    /// Events looked at.
    pub events: i64,
    /// Loads judged again.
    pub loads: i64,
    /// What is wrong, at most 100 of a kind.
    pub problems: Vec<Problem>,
    /// Problems found beyond those.
    pub more: usize,
}

impl CheckReport {
    fn find(&mut self, code: Kind, what: impl Into<String>) {
        if self.problems.iter().filter(|problem| problem.code == code).count() < MOST_OF_A_KIND {
            self.problems.push(Problem { code, what: what.into() });
        } else {
            self.more += 1;
        }
    }
}

/// One part of the check.
type Part = fn(&Ledger, &mut CheckReport) -> Result<(), LedgerError>;

impl Ledger {
    /// Derives everything again and says what differs.
    ///
    /// # Errors
    /// [`LedgerError`] when the check is interrupted or the disk fails; what is damaged is a finding.
    pub fn check(&self) -> Result<CheckReport, LedgerError> {
        let mut checked = CheckReport::default();
        // One transaction: every part sees the same state.
        let tx = self.conn.unchecked_transaction()?;
        let parts: [Part; 6] =
            [pages::pages, pages::references, chain::entries, jars::jars, loads::loads, names::names];
        for (part, done) in parts.into_iter().zip(0..) {
            progress(done, parts.len() as u64);
            match part(self, &mut checked).map_err(|error| error.at(&self.path)) {
                Ok(()) => {}
                // Where the pages are not whole the other parts may stumble over the same spot.
                Err(LedgerError::Damaged { what, .. }) => checked.find(Kind::Value, what),
                Err(error) => return Err(error),
            }
        }
        // Only reads: how the transaction ends says nothing.
        drop(tx);
        Ok(checked)
    }
}
