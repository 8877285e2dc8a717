//! One act on several jars: all of them or none.

use chrono::{DateTime, FixedOffset};
use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::LiveJar;
use crate::ledger::schema::row::instant;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::{Circumstances, Refusal, When, permit_when, was_rescued};
use crate::values::names::name::Name;
use crate::values::time::on_screen;

/// Why the verdict on its load no longer withholds a jar chilled or frozen in time.
pub(in crate::ledger) const RESCUED: &str = "rescued in time";

/// What an act made of one jar.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Happened {
    /// The jar afterwards.
    pub jar: LiveJar,
    /// Its state before.
    pub from: JarState,
    /// Since when it was in that state, where an event led there.
    pub since: Option<DateTime<FixedOffset>>,
    /// When it happened.
    pub at: DateTime<FixedOffset>,
}

impl Ledger {
    /// Whether a place of this name is known.
    pub(crate) fn knows_place(&self, place: &Name) -> Result<bool, LedgerError> {
        Ok(self.name_id(Names::Place, place)?.is_some())
    }

    pub(in crate::ledger) fn circumstances(&self, live: &LiveJar) -> Result<Circumstances, LedgerError> {
        let last: Option<(i64, i64)> = self
            .conn
            .prepare_cached(
                "SELECT v.at, v.at_offset FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                 WHERE v.jar_id = ?1 ORDER BY v.id DESC LIMIT 1",
            )?
            .query_row(params![live.jar.id], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let last_at = last.map(|(at, offset)| instant(at, offset)).transpose()?;
        Ok(Circumstances { last_at, ..live.circumstances() })
    }
}

impl Write<'_> {
    /// Lets one act happen to every jar given, each read anew inside this transaction.
    ///
    /// # Errors
    /// [`LedgerError::Illegal`] where a jar's state does not take the act, [`LedgerError::Refused`]
    /// where a hold, its seal window or the order of time forbids it. Then nothing happens to any.
    pub(crate) fn act_on(
        &self,
        jars: &[Jar],
        act: Act,
        when: When,
        particulars: &Particulars,
    ) -> Result<Vec<Happened>, LedgerError> {
        jars.iter()
            .map(|jar| {
                let before = self.case(jar)?;
                let (from, since) = (before.jar.state, before.since);
                from.after(act).map_err(|act| LedgerError::Illegal { jar: jar.code, act })?;
                let circumstances = self.circumstances(&before)?;
                let at = permit_when(act, &circumstances, when, self.clock.now)
                    .map_err(|refusal| refused(&before, act, refusal))?;
                self.act_at(&before.jar, act, at, particulars)?;
                let mut after = self.case(jar)?;
                if matches!(act, Act::Chill | Act::Freeze)
                    && !after.holds.is_empty()
                    && was_rescued(&after.circumstances())
                {
                    self.end_verdict_holds(jar, RESCUED)?;
                    after = self.case(jar)?;
                }
                Ok(Happened { jar: after, from, since, at })
            })
            .collect()
    }
}

/// Says why an act is refused, with the reasons of the holds, and what to do instead.
pub(in crate::ledger) fn refused(live: &LiveJar, act: Act, refusal: Refusal) -> LedgerError {
    let code = live.jar.code;
    let (mut what, hint) = (
        format!("{code} cannot be {}: {refusal}", act.participle()),
        match refusal {
            Refusal::OnHold(since) => format!(
                "do not eat it: `jarledger discard {code} --why ...`; `jarledger jar {code}` shows its story. \
                 If it happened before {}, say when with --on",
                on_screen::moment(since)
            ),
            Refusal::HeldForMore => format!(
                "`jarledger jar {code}` says why; do not taste it: `jarledger discard {code} --why ...`, or where \
                 that hold was a mistake, release the jar first"
            ),
            Refusal::TooLate { .. } => format!("do not taste it: `jarledger discard {code} --why ...`"),
            Refusal::NeedsTime(limit) => {
                format!("give the time as well, such as --on {}T13:00", limit.date_naive())
            }
            Refusal::Future(_) | Refusal::BeforePutUp(_) | Refusal::OutOfOrder(_) => {
                let flag = match act {
                    Act::CheckSealed | Act::CheckFailed | Act::SealLost => "--at",
                    // There --on is the day of the new batch.
                    Act::Reprocess => "--reached or --out",
                    _ => "--on",
                };
                format!("say when with {flag}; `jarledger jar {code}` shows what is written down")
            }
        },
    );
    if matches!(refusal, Refusal::OnHold(_) | Refusal::HeldForMore) {
        let reasons: Vec<&str> = live.holds.iter().map(|hold| hold.reason.as_str()).collect();
        what.push_str(&format!(" ({})", reasons.join("; ")));
    }
    LedgerError::Refused { what, hint }
}
