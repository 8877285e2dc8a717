//! Until when a jar is to be eaten: by its best by, or once it stands in the refrigerator by its last day there.

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::rules::jar::decide_now::{Matter, awaits_decision, decide};
use crate::rules::jar::opened::KeepingTime;
use crate::rules::jar::permit::Circumstances;

/// Until when a jar is to be eaten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Keeps {
    /// Its quality is promised until this day.
    BestBy(NaiveDate),
    /// It stands in the refrigerator, and this is its last day.
    UseBy(NaiveDate),
    /// It is to be thrown away: its days there are over, it is on hold, or it was not mended in time.
    Discard,
    /// It did not seal, and what becomes of it is still to be decided.
    Undecided,
}

/// Until when a jar is to be eaten, as things stand at `now`; `opened` says how long it keeps once opened, and is asked
/// only where there may be something to decide.
pub fn keeps(
    jar: &Circumstances,
    best_by: NaiveDate,
    opened: impl FnOnce() -> KeepingTime,
    now: DateTime<FixedOffset>,
) -> Keeps {
    if !awaits_decision(jar.state) {
        return Keeps::BestBy(best_by);
    }
    let Some(decision) = decide(jar, &opened(), now) else {
        return Keeps::BestBy(best_by);
    };
    match (decision.matter, decision.last_day) {
        (Matter::Finish, Some(day)) => Keeps::UseBy(day),
        (
            Matter::OpenedTooLong
            | Matter::ChilledTooLong
            | Matter::OpenedOnHold
            | Matter::ChilledOnHold
            | Matter::UnsealedTooLate,
            _,
        ) => Keeps::Discard,
        (Matter::Rescue | Matter::Mend, _) => Keeps::Undecided,
        (Matter::Finish | Matter::CheckLid | Matter::CheckLidLate | Matter::LoadFailed, _) => {
            Keeps::BestBy(best_by)
        }
    }
}

impl Keeps {
    /// The day of a jar in the refrigerator.
    pub const fn use_by(self) -> Option<NaiveDate> {
        match self {
            Self::UseBy(day) => Some(day),
            Self::BestBy(_) | Self::Discard | Self::Undecided => None,
        }
    }

    /// A whole saying, such as "best by 14 Aug 2027"; none while nothing is decided.
    pub(crate) fn in_words(self, write: impl Fn(NaiveDate) -> String) -> Option<String> {
        match self {
            Self::BestBy(day) => Some(format!("best by {}", write(day))),
            Self::UseBy(day) => Some(format!("eat by {}", write(day))),
            Self::Discard => Some("discard it: do not eat it".to_owned()),
            Self::Undecided => None,
        }
    }

    /// What stands in a column of best-by days.
    pub(crate) fn in_column(self, write: impl Fn(NaiveDate) -> String) -> String {
        match self {
            Self::BestBy(day) => write(day),
            Self::UseBy(day) => format!("eat by {}", write(day)),
            Self::Discard => "discard".to_owned(),
            Self::Undecided => "decide".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::jar::jar_state::JarState;
    use crate::rules::jar::opened::once_opened;
    use crate::rules::jar::permit::Held;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("{text}:00-05:00")).unwrap()
    }

    /// Pears out of the canner on 14 August, in this state since the morning of the 15th, as they stand on a day.
    fn keeps_until(state: JarState, now: &str, held: bool) -> String {
        let jar = Circumstances {
            state,
            since: Some(at("2026-08-15T09:00")),
            put_up: "2026-08-14".parse().unwrap(),
            out_at: Some(at("2026-08-14T16:40")),
            last_at: None,
            held: held.then(|| Held { since: at("2026-08-16T09:00"), by_verdict: false, by_others: true }),
        };
        let opened = || once_opened(Some(&"pears".parse().unwrap()), "Jars");
        keeps(&jar, "2027-08-14".parse().unwrap(), opened, at(now)).in_column(|day| day.to_string())
    }

    #[test]
    fn a_jar_in_the_refrigerator_keeps_its_few_days_and_not_to_its_best_by() {
        // Acid food 7 days once opened, a jar that did not seal 2 (see the figures in rules::jar::opened).
        assert_eq!(keeps_until(JarState::Opened, "2026-08-22T23:00", false), "eat by 2026-08-22");
        assert_eq!(keeps_until(JarState::Opened, "2026-08-23T00:00", false), "discard");
        assert_eq!(keeps_until(JarState::Chilled, "2026-08-17T23:00", false), "eat by 2026-08-17");
        assert_eq!(keeps_until(JarState::Chilled, "2026-08-18T00:00", false), "discard");
        for state in [JarState::Opened, JarState::Chilled] {
            assert_eq!(keeps_until(state, "2026-08-16T10:00", true), "discard");
        }
        for state in [JarState::Sealed, JarState::Frozen, JarState::Missing, JarState::Cooling] {
            assert_eq!(keeps_until(state, "2026-08-22T23:00", false), "2027-08-14");
        }
    }

    #[test]
    fn a_jar_that_did_not_seal_is_promised_nothing() {
        // Within 24 hours of 16:40 it may be mended, afterwards not.
        assert_eq!(keeps_until(JarState::Unsealed, "2026-08-15T16:40", false), "decide");
        assert_eq!(keeps_until(JarState::Unsealed, "2026-08-15T16:41", false), "discard");
    }
}
