//! Jars and batches offered where a command asks which are meant.

use crate::answers::jars::stands::at;
use crate::cli::errors::Failure;
use crate::cli::talk::offers::{Offer, Offers};
use crate::ledger::batch::batch_story::BatchLine;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::permit;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Most jars offered; any other is named by its code.
const MOST: usize = 500;

/// Which jars are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli) enum Offered {
    /// Those in the house.
    InTheHouse,
    /// Those to which this may happen now.
    That(Act),
    /// Those on hold.
    OnHold,
    /// Those not on hold.
    NotOnHold,
}

impl Offered {
    fn fits(self, live: &LiveJar, clock: Clock) -> bool {
        match self {
            Self::InTheHouse => true,
            Self::OnHold => live.jar.on_hold,
            Self::NotOnHold => !live.jar.on_hold,
            Self::That(act) => {
                live.jar.state.after(act).is_ok()
                    && permit(act, &live.circumstances(), clock.now, clock.now).is_ok()
            }
        }
    }
}

/// The jars that fit: those that did not seal in front, then the one to eat first.
pub(in crate::cli) fn jars(offered: Offered, ledger: &Ledger, clock: Clock) -> Result<Offers, Failure> {
    let mut jars = ledger.live_jars(&Which::default())?;
    jars.retain(|live| offered.fits(live, clock));
    jars.sort_by_key(|live| {
        (live.jar.state != JarState::Unsealed, live.jar.best_by, live.jar.put_up, live.jar.code)
    });
    jars.truncate(MOST);
    Ok(Offers::codes(jars.into_iter().map(|live| {
        let jar = live.jar;
        let state = if jar.state == JarState::Sealed { String::new() } else { format!(", {}", jar.state) };
        let held = live.holds.first().map(|hold| format!(", on hold: {}", hold.reason)).unwrap_or_default();
        let place = at(jar.state, jar.place.as_deref());
        Offer {
            answer: jar.code.to_string(),
            about: format!(
                "{} ({}){place}, best by {}{state}{held}",
                jar.product,
                jar.size,
                on_screen::day(jar.best_by)
            ),
        }
    })))
}

/// Why a look through the batches ends before the last of them.
enum End {
    Enough,
    Failed(LedgerError),
}

impl From<LedgerError> for End {
    fn from(error: LedgerError) -> Self {
        Self::Failed(error)
    }
}

/// The newest batches that `wanted` picks, `most` at most.
pub(in crate::cli) fn lately(
    ledger: &Ledger,
    most: usize,
    wanted: impl Fn(&BatchLine) -> bool,
) -> Result<Vec<BatchLine>, Failure> {
    let mut lines = Vec::new();
    let looked = ledger.each_batch(|line| {
        if lines.len() == most {
            return Err(End::Enough);
        }
        if wanted(&line) {
            lines.push(line);
        }
        Ok(())
    });
    match looked {
        Err(End::Failed(error)) => Err(error.into()),
        Ok(()) | Err(End::Enough) => Ok(lines),
    }
}

/// The batches that `wanted` picks, the newest first.
pub(in crate::cli) fn batches(
    ledger: &Ledger,
    wanted: impl Fn(&BatchLine) -> bool,
) -> Result<Offers, Failure> {
    Ok(Offers::codes(lately(ledger, MOST, wanted)?.into_iter().map(|line| {
        let states: Vec<String> = line.states.iter().map(|(state, jars)| format!("{jars} {state}")).collect();
        Offer {
            answer: line.batch.code.to_string(),
            about: format!(
                "{}, put up {}: {}",
                line.batch.product,
                on_screen::day(line.batch.put_up),
                states.join(", ")
            ),
        }
    })))
}

/// The batches that wait for their seal check, those whose 12 hours are over in front.
pub(in crate::cli) fn to_check(ledger: &Ledger, clock: Clock) -> Result<Offers, Failure> {
    let is_due = |line: &BatchLine| {
        let stage = |out_at| SealWindow::after(out_at).stage(clock.now);
        line.unchecked_since.is_some_and(|out_at| stage(out_at) != SealStage::TooEarly)
    };
    let due = batches(ledger, is_due)?;
    if due.is_empty() { batches(ledger, |line| line.unchecked_since.is_some()) } else { Ok(due) }
}
