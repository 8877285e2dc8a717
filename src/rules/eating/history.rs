//! When a product stood on the shelf, and when jars of it were used.

use chrono::{Datelike, Days, NaiveDate};

use crate::rules::eating::past_use::PastUse;

/// A year after the first jar came, every calendar month is on record.
const A_YEAR: i64 = 365;

/// Days with stock, and the jars used; days with an empty shelf say nothing about appetite and are left out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct History {
    /// Spells with at least one jar on the shelf, first and last day both counted, earliest first and apart.
    stock: Vec<(NaiveDate, NaiveDate)>,
    /// The day each jar was used, earliest first.
    uses: Vec<NaiveDate>,
}

/// Part of a calendar month with stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// The calendar month, January as 0.
    pub month: usize,
    /// Whole months from there to the day of asking.
    pub months_ago: i32,
    /// Days with stock.
    pub days: u32,
}

impl History {
    /// Puts together what the ledger knows up to a day.
    ///
    /// A spell is one jar's first day on the shelf and its last, both counted; a jar still there has no last day.
    /// Spells come in the order of their first days, so one pass is enough.
    pub fn new(
        spells: impl IntoIterator<Item = (NaiveDate, Option<NaiveDate>)>,
        uses: impl IntoIterator<Item = NaiveDate>,
        until: NaiveDate,
    ) -> Self {
        let mut stock: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        for (first, last) in spells {
            let last = last.map_or(until, |last| last.min(until));
            if first > last {
                continue;
            }
            match stock.last_mut() {
                Some((_, standing)) if standing.succ_opt().is_none_or(|next| first <= next) => {
                    *standing = last.max(*standing);
                }
                _ => stock.push((first, last)),
            }
        }
        let mut uses: Vec<NaiveDate> = uses.into_iter().filter(|&day| day <= until).collect();
        uses.sort_unstable();
        Self { stock, uses }
    }

    /// Jars used, and the days with stock.
    pub fn past(&self) -> PastUse {
        let days: i64 = self.stock.iter().map(|(first, last)| (*last - *first).num_days() + 1).sum();
        PastUse {
            // The whole calendar is below 200 million days.
            eaten: u32::try_from(self.uses.len()).unwrap_or(u32::MAX),
            days: u32::try_from(days).unwrap_or(u32::MAX),
        }
    }

    /// Days from the first jar on the shelf to a day, both counted; 0 where none ever stood there.
    pub(crate) fn days_since_first(&self, today: NaiveDate) -> u32 {
        let days = self.stock.first().map_or(0, |(first, _)| (today - *first).num_days() + 1);
        u32::try_from(days).unwrap_or(0)
    }

    /// Whether each calendar month lies on record, with stock or without.
    pub(crate) fn has_a_year(&self, today: NaiveDate) -> bool {
        i64::from(self.days_since_first(today)) >= A_YEAR
    }

    /// The most jars used within any so many days.
    pub(crate) fn most_used_in(&self, days: u32) -> u32 {
        let (mut from, mut most) = (0, 0);
        for (at, day) in self.uses.iter().enumerate() {
            while (*day - self.uses[from]).num_days() >= i64::from(days.max(1)) {
                from += 1;
            }
            most = most.max(at - from + 1);
        }
        u32::try_from(most).unwrap_or(u32::MAX)
    }

    /// The days with stock, cut at the ends of calendar months.
    pub(crate) fn stretches(&self, today: NaiveDate) -> Vec<Stretch> {
        let mut stretches = Vec::new();
        for &(first, last) in &self.stock {
            calendar_months(first, last, |from, days| {
                stretches.push(Stretch {
                    month: from.month0() as usize,
                    months_ago: months_ago(from, today),
                    days,
                });
            });
        }
        stretches
    }

    /// Each use as its calendar month, January as 0, and the whole months from there to the day of asking.
    pub(crate) fn uses_by_month(&self, today: NaiveDate) -> impl Iterator<Item = (usize, i32)> {
        self.uses.iter().map(move |&day| (day.month0() as usize, months_ago(day, today)))
    }

    /// How many jars were used together, day by day, and after how many days with stock since the last such day;
    /// the first follows none.
    pub(crate) fn occasions(&self) -> Vec<(u32, Option<u32>)> {
        let mut occasions: Vec<(u32, Option<u32>)> = Vec::new();
        let mut before: Option<(NaiveDate, i64)> = None;
        let (mut spell, mut passed) = (0, 0);
        for &day in &self.uses {
            if let (Some((last, _)), Some(occasion)) = (before, occasions.last_mut())
                && last == day
            {
                occasion.0 += 1;
                continue;
            }
            while let Some((first, end)) = self.stock.get(spell)
                && *end < day
            {
                passed += (*end - *first).num_days() + 1;
                spell += 1;
            }
            let into = self.stock.get(spell).map_or(0, |(first, _)| (day - *first).num_days().max(0));
            let at = passed + into;
            let gap = before.map(|(_, before)| u32::try_from(at - before).unwrap_or(u32::MAX));
            occasions.push((1, gap));
            before = Some((day, at));
        }
        occasions
    }
}

/// Days of each calendar month, January first, from the day after `today` on.
pub(crate) fn days_to_come(today: NaiveDate, horizon: u32) -> [f64; 12] {
    let mut days = [0.0; 12];
    let first = today.checked_add_days(Days::new(1));
    let last = today.checked_add_days(Days::new(u64::from(horizon)));
    if let (Some(first), Some(last)) = (first, last) {
        calendar_months(first, last, |from, count| days[from.month0() as usize] += f64::from(count));
    }
    days
}

fn months_ago(day: NaiveDate, today: NaiveDate) -> i32 {
    let months = |day: NaiveDate| day.year() * 12 + day.month0() as i32;
    (months(today) - months(day)).max(0)
}

/// Calls `visit` with the first day and the number of days of each calendar month between two days, both included.
fn calendar_months(first: NaiveDate, last: NaiveDate, mut visit: impl FnMut(NaiveDate, u32)) {
    let mut from = first;
    while from <= last {
        let end = (from.with_day(1))
            .and_then(|day| day.checked_add_months(chrono::Months::new(1)))
            .and_then(|next| next.pred_opt())
            .unwrap_or(last)
            .min(last);
        visit(from, u32::try_from((end - from).num_days() + 1).unwrap_or(0));
        let Some(next) = end.succ_opt() else { return };
        from = next;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(number: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + Days::new(u64::from(number))
    }

    #[test]
    fn an_empty_shelf_does_not_count_as_time() {
        // 1 to 10 January with two jars, none to the 19th, one from the 20th on: 10 + 12 days.
        let spells =
            [(day(0), Some(day(4))), (day(0), Some(day(9))), (day(3), Some(day(5))), (day(19), None)];
        let history = History::new(spells, [day(5), day(4), day(9), day(40)], day(30));
        assert_eq!(history.past(), PastUse { eaten: 3, days: 22 });
        assert_eq!(history.days_since_first(day(30)), 31);
        assert_eq!(History::new([(day(40), None)], [], day(30)), History::default());
    }

    #[test]
    fn days_are_cut_at_the_ends_of_months() {
        // 20 January to 5 March 2030: 12, 28 and 5 days, by the calendar.
        let history = History::new([(day(19), Some(day(63)))], [day(19), day(63)], day(100));
        let stretches: Vec<_> =
            history.stretches(day(100)).iter().map(|of| (of.month, of.months_ago, of.days)).collect();
        assert_eq!(stretches, [(0, 3, 12), (1, 2, 28), (2, 1, 5)]);
        assert_eq!(history.uses_by_month(day(100)).collect::<Vec<_>>(), [(0, 3), (2, 1)]);
        // From 12 April, the day after the hundredth, 49 days: 19 to the end of April and 30 of May.
        let to_come = days_to_come(day(100), 49);
        assert_eq!((to_come[3], to_come[4], to_come.iter().sum::<f64>()), (19.0, 30.0, 49.0));
    }

    #[test]
    fn gaps_are_counted_in_days_with_stock() {
        // Three jars on day 2 and one on day 8; nothing stood from day 10 to 19; one on day 21: 7 + 2 days, by hand.
        let spells = [(day(0), Some(day(9))), (day(20), None)];
        let history = History::new(spells, [day(2), day(2), day(2), day(8), day(21)], day(30));
        assert_eq!(history.occasions(), [(3, None), (1, Some(6)), (1, Some(3))]);
        assert_eq!((history.most_used_in(6), history.most_used_in(7)), (3, 4));
        assert_eq!(history.most_used_in(20), 5);
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
            let spells = spells.iter().map(|&(from, lasts)| (day(from), lasts.map(|lasts| day(from + lasts))));
            let history = History::new(spells, [], day(50));
            prop_assert_eq!(history.past().days as usize, looked);
            let cut: u32 = history.stretches(day(50)).iter().map(|of| of.days).sum();
            prop_assert_eq!(cut as usize, looked);
        }
    }
}
