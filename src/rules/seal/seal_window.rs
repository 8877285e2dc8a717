//! When a load's lids are checked, and what a failed one still allows.
//!
//! Jars cool for 12 to 24 hours before their seals are checked (USDA AIB 539,
//! Guide 1, Testing jar seals), and a jar that did not seal may be reprocessed
//! only within 24 hours (same, Reprocessing unsealed jars). Both are counted in
//! elapsed hours from the instant the load came out, so a change of the clocks
//! in the night moves nothing.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::rules::load::remedy::{IN_TIME, Remedy, TOO_LATE};
use crate::values::names::named::named_enum;

/// Hours of cooling before a seal may be checked.
const EARLIEST_HOURS: i64 = 12;

/// Hours within which a seal must be checked, and within which a failed one may still be mended.
const DUE_HOURS: i64 = 24;

named_enum! {
    /// Where a moment lies beside a load's seal window.
    pub enum SealStage as "a stage of the seal window" {
        /// Before 12 hours: still cooling, not to be touched.
        TooEarly = "too-early",
        /// From 12 to 24 hours, both ends included.
        Open = "open",
        /// Past 24 hours: an unchecked jar is flagged and not eaten from.
        Overdue = "overdue",
    }
}

/// The hours in which one load's seals are checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SealWindow {
    out_at: DateTime<FixedOffset>,
}

impl SealWindow {
    /// The window of a load that came out of the canner at `out_at`.
    pub const fn after(out_at: DateTime<FixedOffset>) -> Self {
        Self { out_at }
    }

    /// The earliest moment to check, in the offset the load was recorded in.
    pub fn opens(self) -> DateTime<FixedOffset> {
        self.plus_hours(EARLIEST_HOURS)
    }

    /// The last moment to check and to mend a failed seal.
    pub fn due(self) -> DateTime<FixedOffset> {
        self.plus_hours(DUE_HOURS)
    }

    /// Where `now` lies; a moment before the load came out is too early.
    pub(crate) fn stage(self, now: DateTime<FixedOffset>) -> SealStage {
        let elapsed = now.signed_duration_since(self.out_at);
        if elapsed < TimeDelta::hours(EARLIEST_HOURS) {
            SealStage::TooEarly
        } else if elapsed <= TimeDelta::hours(DUE_HOURS) {
            SealStage::Open
        } else {
            SealStage::Overdue
        }
    }

    /// What may be done at `now` with a jar of a load that met its process but whose seal failed.
    pub fn remedies(self, now: DateTime<FixedOffset>) -> &'static [Remedy] {
        match self.stage(now) {
            SealStage::TooEarly | SealStage::Open => IN_TIME,
            SealStage::Overdue => TOO_LATE,
        }
    }

    /// Saturates at the end of the calendar (year 262142), where no canner stands.
    fn plus_hours(self, hours: i64) -> DateTime<FixedOffset> {
        self.out_at.checked_add_signed(TimeDelta::hours(hours)).unwrap_or(self.out_at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn instant(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(text).unwrap()
    }

    fn window() -> SealWindow {
        SealWindow::after(instant("2026-08-14T16:40:00-05:00"))
    }

    // USDA AIB 539, Guide 1, Testing jar seals and Reprocessing unsealed jars: cool 12 to 24 h; reprocess within 24 h.
    #[test]
    fn checking_opens_at_twelve_hours_and_ends_after_twenty_four() {
        assert_eq!(window().opens(), instant("2026-08-15T04:40:00-05:00"));
        assert_eq!(window().due(), instant("2026-08-15T16:40:00-05:00"));
        for (moment, stage) in [
            ("2026-08-14T16:39:59-05:00", SealStage::TooEarly),
            ("2026-08-15T04:39:59-05:00", SealStage::TooEarly),
            ("2026-08-15T04:40:00-05:00", SealStage::Open),
            ("2026-08-15T16:40:00-05:00", SealStage::Open),
            ("2026-08-15T16:40:01-05:00", SealStage::Overdue),
        ] {
            assert_eq!(window().stage(instant(moment)), stage, "{moment}");
        }
    }

    #[test]
    fn a_failed_seal_may_be_mended_at_23_h_59_and_not_past_24_h() {
        let mend = [Remedy::Reprocess, Remedy::Chill, Remedy::Freeze];
        assert_eq!(window().remedies(instant("2026-08-15T16:39:00-05:00")), mend);
        assert_eq!(window().remedies(instant("2026-08-15T16:40:00-05:00")), mend);
        assert_eq!(window().remedies(instant("2026-08-15T16:41:00-05:00")), [Remedy::Discard]);
        // A lid seen to fail before the window opens can be mended as well.
        assert_eq!(window().remedies(instant("2026-08-14T18:00:00-05:00")), mend);
    }

    #[test]
    fn a_night_in_which_the_clocks_change_is_counted_in_true_hours() {
        // Clocks went back on 1 November 2026 in North America: 22:00-05:00 plus 12 h is 09:00-06:00, by hand.
        let window = SealWindow::after(instant("2026-10-31T22:00:00-05:00"));
        assert_eq!(window.stage(instant("2026-11-01T08:59:59-06:00")), SealStage::TooEarly);
        assert_eq!(window.stage(instant("2026-11-01T09:00:00-06:00")), SealStage::Open);
        assert_eq!(window.stage(instant("2026-11-01T21:00:01-06:00")), SealStage::Overdue);
    }

    #[test]
    fn the_end_of_the_calendar_is_survived() {
        let last = DateTime::<chrono::Utc>::MAX_UTC.fixed_offset();
        assert_eq!(SealWindow::after(last).due(), last);
        let first = DateTime::<chrono::Utc>::MIN_UTC.fixed_offset();
        assert_eq!(SealWindow::after(first).stage(last), SealStage::Overdue);
        assert_eq!(SealWindow::after(last).stage(first), SealStage::TooEarly);
    }
}
