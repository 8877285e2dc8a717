//! What has to be decided about a jar now, and until when.
//!
//! | state | matter |
//! | --- | --- |
//! | cooling or sealed, its load withheld | rescue, within 2 hours of a cooling one; afterwards load-failed |
//! | cooling, 12 to 24 hours | check-lid |
//! | cooling, past 24 hours | check-lid-late |
//! | unsealed | mend or rescue while there is time, then unsealed-too-late |
//! | opened | finish, then opened-too-long; on hold: opened-on-hold |
//! | chilled | finish, then chilled-too-long; on hold: chilled-on-hold |

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::{KeepingTime, chilled_unsealed};
use crate::rules::jar::permit::{Circumstances, remedies, rescue_deadline};
use crate::rules::load::remedy::Remedy;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::names::named::named_enum;

named_enum! {
    /// What has to be decided.
    pub enum Matter as "a matter to decide" {
        /// Its load failed and it may still be rescued.
        Rescue = "rescue",
        /// It did not seal and may still be mended.
        Mend = "mend",
        /// Its lid is to be checked.
        CheckLid = "check-lid",
        /// Its lid should have been checked.
        CheckLidLate = "check-lid-late",
        /// It is to be eaten up.
        Finish = "finish",
        /// It did not seal, and the time to mend it is over.
        UnsealedTooLate = "unsealed-too-late",
        /// Its load failed, and the time to rescue it is over.
        LoadFailed = "load-failed",
        /// It was opened too long ago.
        OpenedTooLong = "opened-too-long",
        /// It was chilled too long ago.
        ChilledTooLong = "chilled-too-long",
        /// It was opened and is on hold.
        OpenedOnHold = "opened-on-hold",
        /// It was chilled and is on hold.
        ChilledOnHold = "chilled-on-hold",
    }
}

/// A decision that is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decision {
    /// What has to be decided.
    pub matter: Matter,
    /// The last moment for it, or the one that has passed.
    pub until: Option<DateTime<FixedOffset>>,
    /// The last day on which it may be eaten.
    pub last_day: Option<NaiveDate>,
    /// What may be done.
    pub remedies: &'static [Remedy],
}

/// Whether a jar in this state is ever to be decided about.
pub(crate) const fn awaits_decision(state: JarState) -> bool {
    matches!(state, JarState::Cooling | JarState::Unsealed | JarState::Opened | JarState::Chilled)
}

/// What has to be decided about a jar at `now`; `keeps` is how long it keeps once opened.
pub fn decide(jar: &Circumstances, keeps: &KeepingTime, now: DateTime<FixedOffset>) -> Option<Decision> {
    match jar.state {
        JarState::Cooling => cooling(jar, now),
        JarState::Unsealed => Some(unsealed(jar, now)),
        JarState::Opened if jar.held.is_some() => Some(gone(Matter::OpenedOnHold, None)),
        JarState::Opened => Some(keeping(jar, keeps, Matter::OpenedTooLong, now)),
        JarState::Chilled if jar.held.is_some() => Some(gone(Matter::ChilledOnHold, None)),
        JarState::Chilled => Some(keeping(jar, &chilled_unsealed(), Matter::ChilledTooLong, now)),
        JarState::Sealed | JarState::Frozen if load_failed(jar) => Some(gone(Matter::LoadFailed, None)),
        JarState::Sealed
        | JarState::Frozen
        | JarState::Reprocessed
        | JarState::Finished
        | JarState::Given
        | JarState::Discarded
        | JarState::Missing
        | JarState::Used
        | JarState::Void => None,
    }
}

fn load_failed(jar: &Circumstances) -> bool {
    jar.held.is_some_and(|held| held.by_verdict)
}

fn in_time(remedies: &[Remedy]) -> bool {
    remedies.iter().any(|&remedy| remedy != Remedy::Discard)
}

fn cooling(jar: &Circumstances, now: DateTime<FixedOffset>) -> Option<Decision> {
    if load_failed(jar) {
        let decision = unsealed(jar, now);
        return Some(match decision.matter {
            Matter::UnsealedTooLate => gone(Matter::LoadFailed, None),
            _ => decision,
        });
    }
    let window = jar.out_at.map(SealWindow::after);
    let matter = match window.map(|window| window.stage(now)) {
        Some(SealStage::TooEarly) => return None,
        Some(SealStage::Open) => Matter::CheckLid,
        Some(SealStage::Overdue) | None => Matter::CheckLidLate,
    };
    Some(Decision { matter, until: window.map(SealWindow::due), last_day: None, remedies: &[] })
}

fn unsealed(jar: &Circumstances, now: DateTime<FixedOffset>) -> Decision {
    let load_failed = load_failed(jar);
    let remedies = remedies(jar.out_at, load_failed, now);
    let until = jar.out_at.map(|out_at| rescue_deadline(out_at, load_failed));
    let matter = match (in_time(remedies), load_failed) {
        (true, true) => Matter::Rescue,
        (true, false) => Matter::Mend,
        (false, _) => Matter::UnsealedTooLate,
    };
    Decision { matter, until, last_day: None, remedies }
}

fn keeping(jar: &Circumstances, keeps: &KeepingTime, over: Matter, now: DateTime<FixedOffset>) -> Decision {
    // A jar that came opened, without a day, counts from the day it was put up.
    let from = jar.since.map_or(jar.put_up, |since| since.date_naive());
    let last_day = Some(keeps.last_day(from));
    if keeps.is_over(from, now.date_naive()) {
        return gone(over, last_day);
    }
    Decision { matter: Matter::Finish, until: None, last_day, remedies: &[] }
}

fn gone(matter: Matter, last_day: Option<NaiveDate>) -> Decision {
    Decision { matter, until: None, last_day, remedies: &[Remedy::Discard] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::jar::opened::once_opened;
    use crate::rules::jar::permit::Held;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("{text}:00-05:00")).unwrap()
    }

    /// A jar of beans out of the canner on Friday 14 August 2026 at 16:40.
    fn beans(state: JarState) -> Circumstances {
        Circumstances {
            state,
            since: None,
            put_up: "2026-08-14".parse().unwrap(),
            out_at: Some(at("2026-08-14T16:40")),
            last_at: None,
            held: None,
        }
    }

    fn decided(jar: &Circumstances, moment: &str) -> Option<(&'static str, String)> {
        let keeps = once_opened(Some(&"green-beans".parse().unwrap()), "Jars");
        let decision = decide(jar, &keeps, at(moment))?;
        let until = decision.until.map(|until| until.format("%dT%H:%M").to_string());
        Some((
            decision.matter.as_str(),
            until.or(decision.last_day.map(|day| day.to_string())).unwrap_or_default(),
        ))
    }

    fn owed(matter: &'static str, until: &str) -> Option<(&'static str, String)> {
        Some((matter, until.to_owned()))
    }

    #[test]
    fn a_decision_comes_only_in_the_states_that_await_one() {
        // Before the seal check, within its window, and long after.
        let moments = ["2026-08-14T17:00", "2026-08-15T07:00", "2027-08-14T12:00"];
        for &state in JarState::ALL {
            let ever = moments.iter().any(|moment| decided(&beans(state), moment).is_some());
            assert_eq!(ever, awaits_decision(state), "{state}");
        }
    }

    // USDA AIB 539, Guide 1, Testing jar seals and Reprocessing unsealed jars: 12 to 24 h, mend within 24 h.
    #[test]
    fn lids_are_due_from_twelve_hours_and_late_past_twenty_four() {
        let cooling = beans(JarState::Cooling);
        assert_eq!(decided(&cooling, "2026-08-15T04:39"), None);
        assert_eq!(decided(&cooling, "2026-08-15T04:40"), owed("check-lid", "15T16:40"));
        assert_eq!(decided(&cooling, "2026-08-15T16:40"), owed("check-lid", "15T16:40"));
        assert_eq!(decided(&cooling, "2026-08-15T16:41"), owed("check-lid-late", "15T16:40"));
        let unsealed = beans(JarState::Unsealed);
        assert_eq!(decided(&unsealed, "2026-08-15T16:40"), owed("mend", "15T16:40"));
        assert_eq!(decided(&unsealed, "2026-08-15T16:41"), owed("unsealed-too-late", "15T16:40"));
        let imported = Circumstances { out_at: None, ..unsealed };
        assert_eq!(decided(&imported, "2026-08-14T17:00"), owed("unsealed-too-late", ""));
    }

    #[test]
    fn a_failed_load_is_rescued_within_two_hours_and_then_decided_on() {
        let held = Some(Held { since: at("2026-08-14T16:45"), by_verdict: true, by_others: false });
        let cooling = Circumstances { held, ..beans(JarState::Cooling) };
        assert_eq!(decided(&cooling, "2026-08-14T18:40"), owed("rescue", "14T18:40"));
        assert_eq!(decided(&cooling, "2026-08-14T18:41"), owed("load-failed", ""));
        // Found out once it was sealed, as by a gauge test: the two hours are long over.
        let sealed = Circumstances { held, ..beans(JarState::Sealed) };
        assert_eq!(decided(&sealed, "2027-05-01T12:00"), owed("load-failed", ""));
        let by_hand = Some(Held { since: at("2026-08-14T20:00"), by_verdict: false, by_others: true });
        let doubted = Circumstances { held: by_hand, ..sealed };
        assert_eq!(decided(&doubted, "2027-05-01T12:00"), None);
        let since = Some(at("2026-08-14T18:00"));
        let chilled = Circumstances { since, ..beans(JarState::Chilled) };
        assert_eq!(decided(&chilled, "2026-08-16T20:00"), owed("finish", "2026-08-16"));
        let traced = Some(Held { since: at("2026-08-14T20:00"), by_verdict: false, by_others: true });
        let doubted = Circumstances { held: traced, ..chilled };
        assert_eq!(decided(&doubted, "2026-08-15T20:00"), owed("chilled-on-hold", ""));
    }

    // USDA FSIS, at second hand: low-acid food 4 days; University of Missouri Extension: chilled, 2 days.
    #[test]
    fn opened_and_chilled_jars_run_out() {
        let opened = Circumstances { since: Some(at("2026-11-01T18:00")), ..beans(JarState::Opened) };
        assert_eq!(decided(&opened, "2026-11-05T23:00"), owed("finish", "2026-11-05"));
        assert_eq!(decided(&opened, "2026-11-06T00:00"), owed("opened-too-long", "2026-11-05"));
        let chilled = Circumstances { since: Some(at("2026-08-15T08:00")), ..beans(JarState::Chilled) };
        assert_eq!(decided(&chilled, "2026-08-17T08:00"), owed("finish", "2026-08-17"));
        assert_eq!(decided(&chilled, "2026-08-18T08:00"), owed("chilled-too-long", "2026-08-17"));
        let held = Some(Held { since: at("2026-11-02T09:00"), by_verdict: true, by_others: false });
        assert_eq!(
            decided(&Circumstances { held, ..opened }, "2026-11-02T10:00"),
            owed("opened-on-hold", "")
        );
    }

    #[test]
    fn a_sealed_jar_needs_no_decision() {
        for state in [JarState::Sealed, JarState::Frozen, JarState::Missing, JarState::Given] {
            assert_eq!(decided(&beans(state), "2027-08-18T08:00"), None, "{state}");
        }
    }
}
