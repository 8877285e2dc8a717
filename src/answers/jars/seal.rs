//! Seal checks: what is written down, and what is said of it.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use crate::answers::jars::rescue_lines::say_rescue;
use crate::answers::say::Say;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::jar::seal::{Checked, SealLook};
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::remedy::Remedy;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::names::counted::jars as counted;
use crate::values::time::clock::Clock;

/// A seal check as it was written down.
#[derive(Serialize)]
pub(crate) struct SealAnswer {
    pub(crate) entry: EntryId,
    pub(crate) sealed: usize,
    pub(crate) failed: Vec<JarCode>,
    pub(crate) checked: Vec<Checked>,
    still_unchecked: Vec<JarCode>,
    #[serde(skip)]
    early: bool,
    #[serde(skip)]
    held: u32,
    #[serde(skip)]
    is_warm: bool,
}

/// Why only failures are recorded before 12 hours.
pub(crate) const CAN_STILL_LET_GO: &str =
    "a lid that looks sealed before its jar has cooled for 12 hours can still let go";

/// Writes down looks at lids made at `at`.
pub(crate) fn check(
    ledger: &Ledger,
    looks: &[SealLook],
    at: DateTime<FixedOffset>,
    early: bool,
    clock: Clock,
) -> Result<SealAnswer, LedgerError> {
    let written =
        ledger.write("seal", clock, |write| Ok((write.check_seals(looks, at, early)?, summary(looks))))?;
    let (entry, checked) = (written.entry, written.outcome);
    let batches: BTreeSet<_> = checked.iter().map(|check| check.jar.batch).collect();
    let mut still_unchecked = Vec::new();
    let (mut held, mut is_warm) = (0, false);
    for &batch in &batches {
        for jar in ledger.jars_of_batch(batch)? {
            if jar.state == JarState::Cooling {
                still_unchecked.push(jar.code);
            }
            held += u32::from(jar.on_hold);
        }
        let of_batch = Which { batch: Some(batch), ..Which::default() };
        is_warm |= early && ledger.live_jars(&of_batch)?.iter().any(|live| is_too_early(live, clock));
    }
    let failed: Vec<JarCode> = checked.iter().filter(|check| !check.sealed).map(|check| check.jar).collect();
    let sealed = checked.len() - failed.len();
    Ok(SealAnswer { entry, sealed, failed, checked, still_unchecked, early, held, is_warm })
}

impl SealAnswer {
    /// The batches whose lids were looked at.
    pub(crate) fn batches(&self) -> BTreeSet<BatchCode> {
        self.checked.iter().map(|check| check.jar.batch).collect()
    }

    /// Says what was found, and what may still be done.
    pub(crate) fn say(&self, clock: Clock, screen: &mut impl Say) {
        let codes: Vec<String> = self.batches().iter().map(ToString::to_string).collect();
        screen.say(if self.early {
            format!("{}  {} did not seal.", codes.join(", "), counted(self.failed.len()))
        } else {
            format!("{}  {} of {} sealed.", codes.join(", "), self.sealed, self.checked.len())
        });
        if self.checked.iter().any(|check| check.late) {
            screen.say("Checked after 24 hours.");
        }
        say_failed(&self.checked, clock, screen);
        if !self.still_unchecked.is_empty() {
            let codes: Vec<String> = self.still_unchecked.iter().map(ToString::to_string).collect();
            screen.say(format!("Not checked yet: {}.", codes.join(" ")));
            if self.is_warm {
                screen.say(format!("They keep cooling; check them after 12 hours: {CAN_STILL_LET_GO}."));
            }
        }
        if self.held > 0 && self.sealed > 0 {
            screen.say("A sealed lid does not end a hold: jars on hold stay on hold.");
        }
        if self.sealed > 0 {
            screen.say(cautions::STORAGE.text);
        }
    }
}

fn summary(looks: &[SealLook]) -> String {
    let sealed = looks.iter().filter(|look| look.sealed).count();
    let batches: BTreeSet<_> = looks.iter().map(|look| look.jar.code.batch.to_string()).collect();
    let batches: Vec<_> = batches.into_iter().collect();
    format!("{}: {sealed} sealed, {} failed", batches.join(", "), looks.len() - sealed)
}

/// Whether the lid of a jar is not to be checked yet.
fn is_too_early(live: &LiveJar, clock: Clock) -> bool {
    let stage = live.out_at.map(|out_at| SealWindow::after(out_at).stage(clock.now));
    live.jar.state == JarState::Cooling && stage == Some(SealStage::TooEarly)
}

/// Everything that may be done with one jar or another of those that failed.
pub(crate) fn remedies_of(checked: &[Checked]) -> Vec<Remedy> {
    checked
        .iter()
        .filter_map(|check| check.rescue.as_ref())
        .flat_map(|rescue| rescue.remedies.clone())
        .collect()
}

/// The jars that failed, together where the same may be done with them.
fn say_failed(checked: &[Checked], clock: Clock, screen: &mut impl Say) {
    let mut groups: Vec<(&Rescue, Vec<String>)> = Vec::new();
    for check in checked {
        let Some(rescue) = &check.rescue else { continue };
        match groups.iter_mut().find(|(other, _)| *other == rescue) {
            Some((_, codes)) => codes.push(check.jar.to_string()),
            None => groups.push((rescue, vec![check.jar.to_string()])),
        }
    }
    for (rescue, codes) in groups {
        screen.say(format!("{}  did not seal.", codes.join(" ")));
        say_rescue(rescue, "  ", clock, screen);
    }
}
