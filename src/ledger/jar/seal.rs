//! Seal checks.

use chrono::{DateTime, FixedOffset};
use rusqlite::params;

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::jar::acts::refused;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::{When, permit};
use crate::rules::seal::seal_window::SealStage;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::seal_test::SealTest;
use crate::values::time::on_screen::moment_in_words;

/// One look at one lid, to be recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct SealLook {
    /// The jar.
    pub jar: Jar,
    /// Whether it holds.
    pub sealed: bool,
    /// How it was tested.
    pub test: SealTest,
}

/// A seal check as it was recorded.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Checked {
    /// The jar.
    pub jar: JarCode,
    /// Whether its lid holds.
    pub sealed: bool,
    /// How it was tested.
    pub test: SealTest,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Whether that was before 12 hours.
    pub early: bool,
    /// Whether that was after 24 hours.
    pub late: bool,
    /// Where the jar stands now.
    pub state: JarState,
    /// What may be done with it now; none for a jar that sealed.
    pub rescue: Option<Rescue>,
}

impl Write<'_> {
    /// Records seal checks made at `at`.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] before 12 hours, unless `early` says it was meant and the lid failed, and
    /// where the order of time forbids it; [`LedgerError::Illegal`] for a jar that is not cooling.
    pub fn check_seals(
        &self,
        looks: &[SealLook],
        at: DateTime<FixedOffset>,
        early: bool,
    ) -> Result<Vec<Checked>, LedgerError> {
        looks.iter().map(|look| self.check_seal(look, at, early)).collect()
    }

    fn check_seal(
        &self,
        look: &SealLook,
        at: DateTime<FixedOffset>,
        early: bool,
    ) -> Result<Checked, LedgerError> {
        let SealLook { jar, sealed, test } = look;
        let act = if *sealed { Act::CheckSealed } else { Act::CheckFailed };
        jar.state.after(act).map_err(|act| LedgerError::Illegal { jar: jar.code, act })?;
        let stage = match self.load_of_jar(jar.id)? {
            None => SealStage::Open,
            Some(load) if at < load.facts.out_at => {
                return Err(LedgerError::Refused {
                    what: format!(
                        "load {} came out {}, after that check",
                        load.code,
                        moment_in_words(on_the_wall(load.facts.out_at), self.clock.now)
                    ),
                    hint: "look at the time again: --at 2026-08-14T07:30".to_owned(),
                });
            }
            Some(load) => match load.seal_window().stage(at) {
                // A lid that looks sealed while the jar is warm can still let go.
                SealStage::TooEarly if !early || *sealed => {
                    return Err(LedgerError::Refused {
                        what: format!(
                            "load {} is to cool for 12 hours: its seals may be checked from {}",
                            load.code,
                            moment_in_words(on_the_wall(load.seal_window().opens()), self.clock.now)
                        ),
                        hint: "leave the jars alone until then; a lid that has failed already: --early --failed LIST"
                            .to_owned(),
                    });
                }
                stage => stage,
            },
        };
        let live = self.case(jar)?;
        let permitted = permit(act, &self.circumstances(&live)?, at, self.clock.now);
        permitted.map_err(|refusal| refused(&live, act, refusal))?;
        let (event_id, state) = self.act_at(jar, act, at, &Particulars::default())?;
        let early = stage == SealStage::TooEarly;
        self.conn
            .prepare_cached(
                "INSERT INTO seal_check (event_id, jar_id, sealed, test, early) VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![event_id, jar.id, sealed, test.as_str(), early])?;
        let rescue = if *sealed { None } else { Some(self.rescue(jar, self.clock.now)?) };
        let late = stage == SealStage::Overdue;
        Ok(Checked { jar: jar.code, sealed: *sealed, test: *test, at, early, late, state, rescue })
    }

    /// Records that the seal of a jar on the shelf was found lost, and returns what may be done with it.
    ///
    /// # Errors
    /// [`LedgerError::Illegal`] for a jar that is not sealed, [`LedgerError::Refused`] where the order
    /// of time forbids it.
    pub(crate) fn seal_lost(
        &self,
        jar: &Jar,
        at: DateTime<FixedOffset>,
        why: Option<&str>,
    ) -> Result<Rescue, LedgerError> {
        let particulars = Particulars { why: why.map(str::to_owned), ..Particulars::default() };
        self.act_on(std::slice::from_ref(jar), Act::SealLost, When::At(at), &particulars)?;
        self.rescue(&self.jar(jar.code)?, self.clock.now)
    }
}
