//! What a verdict means for the jars of the load: withheld or not, and what may still be done.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::rules::load::remedy::{IN_TIME, Remedy, TOO_LATE};
use crate::rules::load::verdict::Verdict;
use crate::values::kinds::method::Acidity;
use crate::values::names::named::named_enum;

/// Hours after the load came out in which its jars may still be rescued.
///
/// Extension services differ: one allows 2 hours where the process itself was
/// wrong, another 24 hours. The shorter is acted on; both are shown.
const RESCUE_HOURS: i64 = 2;

/// Both figures, to be shown wherever [`RESCUE_HOURS`] is acted on.
pub(crate) const RESCUE_SOURCES: &str = "extension services differ on how long such a load may still be rescued: \
    one says 2 hours after the process, another 24 hours; this program uses 2 hours";

/// Both figures in a few words, for a screen that must keep its main line in view.
pub(crate) const RESCUE_SOURCES_SHORT: &str =
    "Extension services say 2 hours or 24 (ask yours); this program uses 2.";

named_enum! {
    /// Why a verdict withholds every jar of a load.
    pub enum LoadHold as "a reason to withhold a load" {
        /// The record falls short of the tested process.
        ProcessNotMet = "process-not-met",
        /// Nothing was tested, and the food may be one that needs it.
        NoTestedProcess = "no-tested-process",
    }
}

impl LoadHold {
    /// The reason in one sentence.
    pub const fn reason(self) -> &'static str {
        match self {
            Self::ProcessNotMet => "the load did not meet its tested process",
            Self::NoTestedProcess => "there is no tested process on record for this load",
        }
    }
}

/// Whether a verdict puts every jar of the load on hold.
///
/// A load that deviates is withheld whatever its food. One without a tested
/// process is withheld unless its food is acid by nature and no tomato: an
/// acidity nobody recorded counts as low-acid. A hold put on so is never released
/// by hand, whatever the record says later: it ends when the load is judged to
/// meet its process, or the jar was rescued in time.
pub(crate) const fn consequence(
    verdict: Verdict,
    acidity: Option<Acidity>,
    is_tomato: bool,
) -> Option<LoadHold> {
    match verdict {
        Verdict::Deviates => Some(LoadHold::ProcessNotMet),
        Verdict::NoTestedProcess if is_tomato || !matches!(acidity, Some(Acidity::Acid)) => {
            Some(LoadHold::NoTestedProcess)
        }
        Verdict::NoTestedProcess | Verdict::NotRecorded | Verdict::Meets | Verdict::MeetsOwn => None,
    }
}

/// The last moment to rescue the jars of a withheld load that came out at `out_at`.
pub(crate) fn rescue_until(out_at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    out_at.checked_add_signed(TimeDelta::hours(RESCUE_HOURS)).unwrap_or(out_at)
}

/// What may be done at `now` with the jars of a withheld load that came out at `out_at`.
///
/// Within 2 hours, the end included, they may be reprocessed, chilled or frozen;
/// later, or where nobody wrote down when they came out, they are discarded.
pub fn remedies(out_at: Option<DateTime<FixedOffset>>, now: DateTime<FixedOffset>) -> &'static [Remedy] {
    match out_at {
        Some(out_at) if now <= rescue_until(out_at) => IN_TIME,
        _ => TOO_LATE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVERY_ACIDITY: [Option<Acidity>; 4] =
        [Some(Acidity::LowAcid), Some(Acidity::Acid), Some(Acidity::Acidified), None];

    #[test]
    fn a_load_that_deviates_is_withheld_whatever_its_food() {
        for acidity in EVERY_ACIDITY {
            for is_tomato in [true, false] {
                let hold = consequence(Verdict::Deviates, acidity, is_tomato);
                assert_eq!(hold, Some(LoadHold::ProcessNotMet));
            }
        }
    }

    #[test]
    fn only_food_acid_by_nature_goes_free_without_a_tested_process() {
        for (acidity, is_tomato, held) in [
            (Some(Acidity::LowAcid), false, true),
            (Some(Acidity::Acidified), false, true),
            (Some(Acidity::Acid), true, true),
            (None, false, true),
            (Some(Acidity::Acid), false, false),
        ] {
            let hold = consequence(Verdict::NoTestedProcess, acidity, is_tomato);
            assert_eq!(hold, held.then_some(LoadHold::NoTestedProcess), "{acidity:?} {is_tomato}");
        }
    }

    #[test]
    fn a_load_that_meets_or_lacks_a_fact_is_not_withheld() {
        for verdict in [Verdict::Meets, Verdict::NotRecorded] {
            for acidity in EVERY_ACIDITY {
                assert_eq!(consequence(verdict, acidity, true), None);
            }
        }
    }

    // Two extension services: within 2 h (Nebraska) or 24 h (Missouri) where the process was wrong; 2 h is acted on.
    #[test]
    fn a_failed_load_may_be_rescued_for_two_hours() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap();
        let out = Some(at("2026-08-14T16:40:00-05:00"));
        let rescue = [Remedy::Reprocess, Remedy::Chill, Remedy::Freeze];
        assert_eq!(remedies(out, at("2026-08-14T16:40:00-05:00")), rescue);
        assert_eq!(remedies(out, at("2026-08-14T18:40:00-05:00")), rescue);
        assert_eq!(remedies(out, at("2026-08-14T23:40:00+00:00")), rescue);
        assert_eq!(remedies(out, at("2026-08-14T18:40:01-05:00")), [Remedy::Discard]);
        assert_eq!(remedies(None, at("2026-08-14T16:40:00-05:00")), [Remedy::Discard]);
        for figure in ["one says 2 hours", "another 24 hours", "this program uses 2 hours"] {
            assert!(RESCUE_SOURCES.contains(figure), "{figure}");
        }
    }

    #[test]
    fn each_hold_says_why() {
        assert!(LoadHold::ProcessNotMet.reason().contains("did not meet"));
        assert!(LoadHold::NoTestedProcess.reason().contains("no tested process"));
    }
}
