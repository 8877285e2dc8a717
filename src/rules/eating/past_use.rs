//! How fast a product was eaten, counted only over days when there was some to eat.

use chrono::NaiveDate;

/// Mean days in a month of the Gregorian calendar: 146,097 days in 4,800 months.
const DAYS_A_MONTH: f64 = 30.436_875;

/// Jars eaten over the time a product stood on the shelf. Days with an empty
/// shelf say nothing about appetite and are left out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PastUse {
    /// Jars opened for eating.
    pub eaten: u32,
    /// Days with at least one jar on the shelf.
    pub days: u32,
}

impl PastUse {
    /// Months with stock.
    pub fn months(self) -> f64 {
        f64::from(self.days) / DAYS_A_MONTH
    }

    /// Jars eaten a month, or none where there never was stock.
    pub fn per_month(self) -> Option<f64> {
        (self.days > 0).then(|| f64::from(self.eaten) / self.months())
    }
}

/// Days up to `until` on which at least one jar stood on the shelf.
///
/// A spell is one jar's first day on the shelf and its last, both counted; a
/// jar still there has no last day. Spells come in the order of their first
/// days, so one pass is enough.
pub fn days_with_stock(
    spells: impl IntoIterator<Item = (NaiveDate, Option<NaiveDate>)>,
    until: NaiveDate,
) -> u32 {
    let mut days = 0;
    let mut counted_to: Option<NaiveDate> = None;
    for (first, last) in spells {
        let last = last.map_or(until, |last| last.min(until));
        let from = match counted_to.and_then(|day| day.succ_opt()) {
            Some(next) => first.max(next),
            None => first,
        };
        if from <= last {
            days += (last - from).num_days() + 1;
            counted_to = Some(last);
        }
    }
    // The whole calendar is below 200 million days.
    u32::try_from(days).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(number: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + chrono::Days::new(u64::from(number))
    }

    #[test]
    fn an_empty_shelf_does_not_count_as_time() {
        // 1 to 10 January with two jars, none to the 19th, one from the 20th on: 10 + 12 days.
        let spells =
            [(day(0), Some(day(4))), (day(0), Some(day(9))), (day(3), Some(day(5))), (day(19), None)];
        assert_eq!(days_with_stock(spells, day(30)), 22);
        assert_eq!(days_with_stock([], day(30)), 0);
        assert_eq!(days_with_stock([(day(40), None)], day(30)), 0);
        assert_eq!(PastUse { eaten: 3, days: 0 }.per_month(), None);
    }

    #[test]
    fn the_rate_is_jars_by_mean_months() {
        // 146,097 days are 4,800 months of the Gregorian calendar (400 years, by hand).
        let past = PastUse { eaten: 1_200, days: 146_097 };
        assert!((past.months() - 4_800.0).abs() < 1e-9);
        assert!((past.per_month().unwrap() - 0.25).abs() < 1e-12);
        // One jar on the one day there was: a month of 146,097 / 4,800 days of it.
        let day = PastUse { eaten: 1, days: 1 };
        assert!((day.per_month().unwrap() - 30.436_875).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn days_are_those_found_by_looking_at_each_day(
            mut spells in proptest::collection::vec((0_u32..60, proptest::option::of(0_u32..30)), 0..8),
        ) {
            spells.sort_unstable();
            let stood = |at: u32| spells.iter().any(|&(from, lasts)| {
                from <= at && lasts.is_none_or(|lasts| at <= from + lasts)
            });
            let looked = (0..=50).filter(|&at| stood(at)).count();
            let counted = days_with_stock(
                spells.iter().map(|&(from, lasts)| (day(from), lasts.map(|lasts| day(from + lasts)))),
                day(50),
            );
            prop_assert_eq!(counted as usize, looked);
        }
    }
}
