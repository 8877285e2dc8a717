//! What may still be done with jars whose seal or whose load failed.

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::{Jar, Ledger, LedgerError, Particulars, Write};
use crate::ledger::on_the_wall;
use crate::rules::clock::moment_in_words;
use crate::rules::consequence::{self, RESCUE_HOURS};
use crate::rules::jar_code::BatchCode;
use crate::rules::jar_state::Act;
use crate::rules::remedy::Remedy;

/// What may be done with one jar, and until when.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Rescue {
    /// The ways there are now.
    pub remedies: Vec<Remedy>,
    /// The last moment for anything but discarding; none where nobody wrote down when the load came out.
    pub until: Option<DateTime<FixedOffset>>,
    /// Whether the shorter time holds, since the load itself is withheld.
    pub load_failed: bool,
}

impl Ledger {
    /// What may be done at `at` with a jar that is not sealed, or whose load is withheld.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn rescue(&self, jar: &Jar, at: DateTime<FixedOffset>) -> Result<Rescue, LedgerError> {
        let load_failed = self.withheld_by_load(jar)?.is_some();
        let Some(load) = self.load_of_jar(jar.id)? else {
            let remedies = consequence::remedies(None, at).to_vec();
            return Ok(Rescue { remedies, until: None, load_failed });
        };
        let window = load.seal_window();
        let (remedies, until) = if load_failed {
            let until = load.out_at.checked_add_signed(TimeDelta::hours(RESCUE_HOURS));
            (consequence::remedies(Some(load.out_at), at), until.unwrap_or(load.out_at))
        } else {
            (window.remedies(at), window.due())
        };
        Ok(Rescue { remedies: remedies.to_vec(), until: Some(until), load_failed })
    }
}

impl Write<'_> {
    /// Empties jars into the loads of a new batch, begun at `begun`.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where it is too late for one of them, [`LedgerError::Illegal`] where
    /// its state does not take it.
    pub fn reprocess(
        &self,
        jars: &[Jar],
        into: BatchCode,
        begun: DateTime<FixedOffset>,
    ) -> Result<(), LedgerError> {
        for jar in jars {
            jar.state.after(Act::Reprocess).map_err(|act| LedgerError::Illegal { jar: jar.code, act })?;
            let rescue = self.rescue(jar, begun)?;
            if !rescue.remedies.contains(&Remedy::Reprocess) {
                let since = match rescue.until {
                    Some(until) => format!("the last moment was {}", moment_in_words(on_the_wall(until))),
                    None => "when it came out of the canner is not on record".to_owned(),
                };
                return Err(LedgerError::Refused {
                    what: format!("{} is too late to be reprocessed: {since}", jar.code),
                    hint: format!("do not taste it: `jarledger discard {}`", jar.code),
                });
            }
            let why = Some(format!("into batch {into}"));
            self.act_at(jar, Act::Reprocess, begun, &Particulars { why, ..Particulars::default() })?;
        }
        Ok(())
    }
}
