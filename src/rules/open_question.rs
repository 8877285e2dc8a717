//! What is still to be decided about a jar that is not simply food on the shelf.

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::food::FoodId;
use super::jar_state::JarState;
use super::method::Acidity;
use super::opened::{chilled_unsealed, once_opened};
use super::remedy::Remedy;
use super::seal_window::{SealStage, SealWindow};

/// Days before the last one from which an opened or chilled jar is pressing.
const PRESSING_DAYS: i64 = 1;

/// What is known of the jar.
#[derive(Debug, Clone, Copy)]
pub struct JarFacts<'a> {
    /// Its state.
    pub state: JarState,
    /// When its load came out of the canner.
    pub out_at: Option<DateTime<FixedOffset>>,
    /// When it came to be unsealed, chilled or opened.
    pub since: Option<DateTime<FixedOffset>>,
    /// The food of the process tables.
    pub food: Option<&'a FoodId>,
    /// Its acidity, as the household gave it.
    pub acidity: Option<Acidity>,
}

/// A question that must not wait.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpenQuestion {
    /// The lid is to be checked.
    CheckSeal {
        /// The last moment, where it is known when the load came out.
        due: Option<DateTime<FixedOffset>>,
        /// Whether that has gone by.
        is_overdue: bool,
    },
    /// The lid did not hold.
    SealFailed {
        /// What may still be done.
        remedies: &'static [Remedy],
        /// Until when, where that is still ahead.
        until: Option<DateTime<FixedOffset>>,
    },
    /// An opened or chilled jar runs out of days.
    RunsOut {
        /// `opened` or `chilled`.
        state: JarState,
        /// The last day it may be eaten.
        last: NaiveDate,
        /// Whether that has gone by.
        is_over: bool,
    },
}

impl OpenQuestion {
    /// The question a jar raises now, if any.
    pub fn of(jar: JarFacts<'_>, now: DateTime<FixedOffset>) -> Option<Self> {
        let today = now.date_naive();
        let runs_out = |last: NaiveDate| {
            let is_pressing = (last - today).num_days() <= PRESSING_DAYS;
            is_pressing.then_some(Self::RunsOut { state: jar.state, last, is_over: today > last })
        };
        let window = jar.out_at.map(SealWindow::after);
        match jar.state {
            JarState::Cooling => {
                let stage = window.map_or(SealStage::Overdue, |window| window.stage(now));
                let is_overdue = stage == SealStage::Overdue;
                (stage != SealStage::TooEarly)
                    .then(|| Self::CheckSeal { due: window.map(SealWindow::due), is_overdue })
            }
            JarState::Unsealed => {
                let is_late = window.is_none_or(|window| window.stage(now) == SealStage::Overdue);
                let remedies = window.map_or(&[Remedy::Discard][..], |window| window.remedies(now));
                let until = window.filter(|_| !is_late).map(SealWindow::due);
                Some(Self::SealFailed { remedies, until })
            }
            JarState::Opened => {
                runs_out(once_opened(jar.food, jar.acidity).last_day(jar.since?.date_naive()))
            }
            JarState::Chilled => runs_out(chilled_unsealed().last_day(jar.since?.date_naive())),
            _ => None,
        }
    }

    /// The question in words.
    pub fn sentence(&self) -> String {
        let moment = |at: &DateTime<FixedOffset>| at.format("%a %-d %b, %H:%M").to_string();
        match self {
            Self::CheckSeal { due: None, .. } => "seal never checked".to_owned(),
            Self::CheckSeal { due: Some(due), is_overdue: true } => {
                format!("seal not checked, due since {}", moment(due))
            }
            Self::CheckSeal { due: Some(due), is_overdue: false } => {
                format!("check the seal by {}", moment(due))
            }
            Self::SealFailed { remedies, until } => {
                let ways: Vec<&str> = remedies.iter().map(|remedy| remedy.as_str()).collect();
                let until = until.as_ref().map_or_else(String::new, |at| format!(" by {}", moment(at)));
                format!("seal failed: {}{until}", ways.join(", "))
            }
            Self::RunsOut { state, last, is_over: false } => format!("{state}: last day {last}"),
            Self::RunsOut { state, last, is_over: true } => {
                format!("{state}: last day was {last}; discard it")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("{text}:00-05:00")).unwrap()
    }

    fn asked(state: JarState, since: &str, now: &str) -> Option<String> {
        let out_at = Some(at("2026-08-14T16:40"));
        let jar = JarFacts { state, out_at, since: Some(at(since)), food: None, acidity: None };
        OpenQuestion::of(jar, at(now)).map(|question| question.sentence())
    }

    #[test]
    fn a_lid_asks_from_twelve_hours_on_and_is_overdue_after_twenty_four() {
        // AIB 539, Guide 1, Testing jar seals: 12 to 24 hours.
        let cooling = |now| asked(JarState::Cooling, "2026-08-14T16:40", now);
        assert_eq!(cooling("2026-08-15T04:39"), None);
        assert_eq!(cooling("2026-08-15T04:40").unwrap(), "check the seal by Sat 15 Aug, 16:40");
        assert_eq!(cooling("2026-08-15T16:41").unwrap(), "seal not checked, due since Sat 15 Aug, 16:40");
    }

    #[test]
    fn a_failed_seal_can_be_mended_in_time_and_only_discarded_later() {
        let failed = |now| asked(JarState::Unsealed, "2026-08-15T08:00", now).unwrap();
        assert_eq!(failed("2026-08-15T09:00"), "seal failed: reprocess, chill, freeze by Sat 15 Aug, 16:40");
        assert_eq!(failed("2026-08-15T17:00"), "seal failed: discard");
    }

    #[test]
    fn an_opened_or_chilled_jar_asks_the_day_before_its_last() {
        // Food not known counts as low-acid: 4 days; a chilled jar 2 (see the module `opened`).
        let opened = |now| asked(JarState::Opened, "2026-09-01T18:00", now);
        assert_eq!(opened("2026-09-03T12:00"), None);
        assert_eq!(opened("2026-09-04T12:00").unwrap(), "opened: last day 2026-09-05");
        assert_eq!(opened("2026-09-06T12:00").unwrap(), "opened: last day was 2026-09-05; discard it");
        assert_eq!(
            asked(JarState::Chilled, "2026-09-01T18:00", "2026-09-02T12:00").unwrap(),
            "chilled: last day 2026-09-03"
        );
        assert_eq!(asked(JarState::Sealed, "2026-09-01T18:00", "2027-09-02T12:00"), None);
    }
}
