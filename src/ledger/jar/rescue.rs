//! What may still be done with jars whose seal or whose load failed.

use chrono::{DateTime, FixedOffset};
use rusqlite::params;

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::HoldCause;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::permit::{When, remedies, rescue_deadline};
use crate::rules::load::remedy::Remedy;
use crate::values::codes::jar_code::BatchCode;

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
    pub fn rescue(&self, jar: &Jar, at: DateTime<FixedOffset>) -> Result<Rescue, LedgerError> {
        let load_failed = self.holds_on(jar)?.iter().any(|hold| hold.cause == HoldCause::Verdict);
        let out_at = self.load_of_jar(jar.id)?.map(|load| load.facts.out_at);
        Ok(Rescue {
            remedies: remedies(out_at, load_failed, at).to_vec(),
            until: out_at.map(|out_at| rescue_deadline(out_at, load_failed)),
            load_failed,
        })
    }
}

/// What a batch is of, as far as the food going from one batch into another must stay the same.
#[derive(PartialEq)]
struct Contents {
    food: Option<String>,
    /// Of food no table knows, what it was called and how acid it is.
    unlisted: Option<(String, Option<String>)>,
}

impl Contents {
    fn in_words(&self) -> String {
        match (&self.food, &self.unlisted) {
            (Some(food), _) => food.clone(),
            (None, Some((product, acidity))) => {
                let acidity = acidity.as_deref().unwrap_or("acidity not on record");
                format!("{product}, food of no table, {acidity}")
            }
            (None, None) => "food of no table".to_owned(),
        }
    }
}

impl Ledger {
    fn what_is_in(&self, batch: BatchCode) -> Result<Contents, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT b.food, p.name_key, b.acidity FROM batch b JOIN product p ON p.id = b.product_id
             WHERE b.year = ?1 AND b.number = ?2",
        )?;
        Ok(statement.query_row(params![batch.year, batch.number], |row| {
            let food: Option<String> = row.get(0)?;
            let unlisted = if food.is_none() { Some((row.get(1)?, row.get(2)?)) } else { None };
            Ok(Contents { food, unlisted })
        })?)
    }
}

impl Write<'_> {
    /// Empties jars into the loads of a new batch, begun at `begun`.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where the batch is of another food than one of them, it is too late for
    /// one or something else than its load's verdict withholds it, [`LedgerError::Illegal`] where its
    /// state does not take it.
    pub fn reprocess(
        &self,
        jars: &[Jar],
        into: BatchCode,
        begun: DateTime<FixedOffset>,
    ) -> Result<(), LedgerError> {
        let wanted = self.what_is_in(into)?;
        for jar in jars {
            let found = self.what_is_in(jar.code.batch)?;
            if found != wanted {
                return Err(LedgerError::Refused {
                    what: format!(
                        "{} holds {} ({}), and the new batch is of {}: reprocessing changes the jar, not the food",
                        jar.code,
                        jar.product,
                        found.in_words(),
                        wanted.in_words()
                    ),
                    hint: format!(
                        "log a batch for each food, the same as that of the jars; where the food of batch {0} is \
                         wrong, amend it first: `jarledger correct batch {0}`",
                        jar.code.batch
                    ),
                });
            }
        }
        let why = Some(format!("into batch {into}"));
        let particulars = Particulars { why, ..Particulars::default() };
        self.act_on(jars, Act::Reprocess, When::At(begun), &particulars)?;
        Ok(())
    }
}
