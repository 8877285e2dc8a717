//! Which jars of a product to eat this month, and how many in the months after.

use std::collections::BTreeMap;
use std::ops::Range;

use chrono::{Datelike, NaiveDate};

use crate::rules::eating::level_plan::LevelPlan;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::civil_day::add_months;
use crate::values::time::month::Month;

/// A jar's turn: the one with the earliest best by goes first, then the one
/// put up first, then the lower code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Turn {
    /// Last day of best quality.
    pub best_by: NaiveDate,
    /// Day it was put up.
    pub put_up: NaiveDate,
    /// Its code.
    pub code: JarCode,
}

/// The stock of one product that may be eaten, by the day of best quality, as a month's plan sees it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Stock {
    /// Jars on the shelf now.
    pub here: BTreeMap<NaiveDate, u64>,
    /// Jars that were opened, used, given or thrown away since the first of the month.
    pub done: BTreeMap<NaiveDate, u64>,
}

/// The plan for eating one product's jars, in their turns.
#[derive(Debug)]
pub struct Rotation {
    /// Jars whose best by is before today: old, not condemned; to be looked at and eaten or let go.
    /// Theirs are the first turns.
    pub past_best: u64,
    /// Jars for the current month and each one after, of all that the month began with.
    plan: LevelPlan,
    /// Jars of the plan that are eaten, or too late for it.
    done: u64,
    /// How many jars have their best by on each day from today on.
    ahead: Vec<(NaiveDate, u64)>,
}

/// Plans the eating of one product's jars, given how many have their best by on each day.
///
/// Count only jars that may be eaten: sealed, checked, not on hold. The
/// places they stand in make no difference. The plan is drawn from the stock that the
/// month began with and what came in since: what was eaten of it counts as done, so that asking
/// again asks for nothing more.
///
/// Whoever looks once a month, on any day of it, and does what it says before the next look
/// has nothing pass its best by: a jar whose best by comes before the same day of next month
/// belongs to the current one, and so on. Which jars they are follows from their turns:
///
/// ```
/// # use std::collections::BTreeMap;
/// # use chrono::NaiveDate;
/// # use jarledger::rules::eating::rotation::{Stock, rotate};
/// # let day = |text: &str| text.parse::<NaiveDate>().expect("a day");
/// let here = BTreeMap::from([(day("2031-02-09"), 1), (day("2031-04-09"), 1), (day("2031-04-12"), 1)]);
/// let rotation = rotate(&Stock { here, ..Stock::default() }, day("2031-03-10"));
/// assert_eq!(rotation.past_best, 1);
/// // Of the two still ahead the first falls due before 10 April: the second turn of all.
/// assert_eq!(rotation.turns_in(0), 1..2);
/// assert_eq!(rotation.turns_in(1), 2..3);
/// ```
pub fn rotate(stock: &Stock, today: NaiveDate) -> Rotation {
    let current = Month::of(today);
    let first = today.with_day(1).expect("every month has a first day");
    let look_of = |day: NaiveDate| {
        let months = Month::of(day.max(today)).since(current);
        // The look of that month comes too late for a jar whose day is before it.
        if months > 0 && day < add_months(today, months) { months - 1 } else { months }
    };
    let mut due: BTreeMap<u32, u64> = BTreeMap::new();
    for (&day, &jars) in stock.here.range(first..).chain(stock.done.range(first..)) {
        *due.entry(look_of(day)).or_default() += jars;
    }
    let plan = LevelPlan::new(due);
    let late_now: u64 = stock.here.range(first..today).map(|(_, jars)| jars).sum();
    let done = stock.done.range(first..).map(|(_, jars)| jars).sum::<u64>() + late_now;
    let past_best = stock.here.range(..today).map(|(_, jars)| jars).sum();
    let ahead = stock.here.range(today..).map(|(&day, &jars)| (day, jars)).collect();
    Rotation { past_best, plan, done, ahead }
}

impl Rotation {
    /// Jars still to be eaten in the current month and in each one after.
    pub fn months(&self) -> impl Iterator<Item = u64> {
        let mut done = self.done;
        self.plan.months().map(move |planned| {
            let paid = done.min(planned);
            done -= paid;
            planned - paid
        })
    }

    /// The same with their names, `current` being the first.
    pub(crate) fn by_month(&self, current: Month) -> impl Iterator<Item = (Month, u64)> {
        (0..).zip(self.months()).map(move |(ahead, jars)| (current.plus(ahead), jars))
    }

    /// The turns owed in the month so many after the current one; the first turn is 0.
    pub fn turns_in(&self, months: u32) -> Range<u64> {
        let mut left = self.months();
        let first = self.past_best + left.by_ref().take(months as usize).sum::<u64>();
        first..first + left.next().unwrap_or(0)
    }

    /// How many jars on the shelf have their best by ahead, and the first of those days.
    pub fn ahead(&self) -> (u64, Option<NaiveDate>) {
        (self.ahead.iter().map(|(_, jars)| jars).sum(), self.ahead.first().map(|&(day, _)| day))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn here(here: BTreeMap<NaiveDate, u64>) -> Stock {
        Stock { here, ..Stock::default() }
    }

    /// A shelf eaten by what it says: asked on each of `asks`, the jars asked for are eaten the day before the next ask,
    /// or at once. Returns the day each jar was eaten and its best by.
    fn obeyed(mut here: Vec<NaiveDate>, asks: &[NaiveDate], at_once: bool) -> Vec<(NaiveDate, NaiveDate)> {
        here.sort_unstable();
        let mut eaten: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        for ask in asks.windows(2) {
            let count = |days: &mut dyn Iterator<Item = NaiveDate>| {
                let mut count = BTreeMap::new();
                days.for_each(|day| *count.entry(day).or_insert(0) += 1);
                count
            };
            let this_month = eaten.iter().filter(|(on, _)| Month::of(*on) == Month::of(ask[0]));
            let done = count(&mut this_month.map(|&(_, best_by)| best_by));
            let stock = Stock { here: count(&mut here.iter().copied()), done };
            let rotation = rotate(&stock, ask[0]);
            let owed = rotation.turns_in(0);
            let taken: Vec<NaiveDate> = here.drain(owed.start as usize..owed.end as usize).collect();
            for best_by in taken {
                // Whoever waits eats a jar on its last day at the latest.
                let on = if at_once { ask[0] } else { ask[1].pred_opt().unwrap().min(best_by) };
                eaten.push((on, best_by));
            }
        }
        eaten
    }

    fn days_from(first: &str, each: usize, count: usize) -> Vec<NaiveDate> {
        day(first).iter_days().step_by(each).take(count).collect()
    }

    #[test]
    fn jars_asked_for_daily_or_weekly_last_to_within_a_month_of_their_date() {
        // Two jars due in the middle of every month of a year.
        let jars: Vec<NaiveDate> =
            (0..12).flat_map(|month| [add_months(day("2031-01-15"), month); 2]).collect();
        for (each, count) in [(1, 380), (7, 60)] {
            let eaten = obeyed(jars.clone(), &days_from("2031-01-01", each, count), true);
            assert_eq!(eaten.len(), 24);
            for (on, best_by) in eaten {
                assert!(on <= best_by && best_by <= add_months(on, 2), "{on} {best_by}");
            }
        }
        let eaten = obeyed(jars, &days_from("2031-01-01", 7, 60), true);
        let last = eaten.iter().map(|(on, _)| *on).max().unwrap();
        assert!(last >= day("2031-11-01"), "{last}");
    }

    #[test]
    fn asking_again_asks_for_nothing_more() {
        let jars: BTreeMap<NaiveDate, u64> =
            (0..12).map(|month| (add_months(day("2031-01-31"), month), 2)).collect();
        let before = rotate(&here(jars.clone()), day("2031-01-01"));
        assert_eq!(before.turns_in(0), 0..2);
        let mut left = jars;
        let done = BTreeMap::from_iter(left.pop_first());
        let after = rotate(&Stock { here: left.clone(), done: done.clone() }, day("2031-01-01"));
        assert_eq!(after.turns_in(0), 0..0);
        assert_eq!(after.months().collect::<Vec<_>>()[..3], [0, 2, 2]);
        // Eaten ahead of the plan, the next month asks for less.
        let mut more = done;
        more.extend(left.pop_first());
        let ahead = rotate(&Stock { here: left, done: more }, day("2031-01-01"));
        assert_eq!(ahead.months().collect::<Vec<_>>()[..3], [0, 0, 2]);
    }

    proptest::proptest! {
        #[test]
        fn one_look_a_month_on_any_day_leaves_nothing_past_its_best(
            best_by in proptest::collection::vec(0_u64..500, 1..40), on in 1_u32..29,
        ) {
            let first = day("2031-01-01").with_day(on).unwrap();
            let jars = best_by.iter().map(|&ahead| first + chrono::Days::new(ahead)).collect();
            let looks: Vec<NaiveDate> = (0..20).map(|month| add_months(first, month)).collect();
            for at_once in [true, false] {
                let eaten = obeyed(Vec::clone(&jars), &looks, at_once);
                proptest::prop_assert_eq!(eaten.len(), jars.len());
                for (on, best_by) in eaten {
                    proptest::prop_assert!(on <= best_by, "{} {}", on, best_by);
                }
            }
        }
    }

    fn turn(best_by: &str, put_up: &str, number: u32) -> Turn {
        let batch = "30-007".parse().unwrap();
        Turn { best_by: day(best_by), put_up: day(put_up), code: JarCode { batch, number } }
    }

    #[test]
    fn the_oldest_go_first_and_past_best_stand_apart() {
        let mut jars = [
            turn("2031-06-30", "2030-06-30", 4),
            turn("2031-03-14", "2030-03-14", 1),
            turn("2031-03-15", "2030-03-15", 2),
            turn("2031-03-15", "2030-03-01", 3),
            turn("2031-04-01", "2030-04-01", 5),
        ];
        jars.sort_unstable();
        assert_eq!(jars.map(|jar| jar.code.number), [1, 3, 2, 5, 4]);
        let mut due = BTreeMap::new();
        for jar in jars {
            *due.entry(jar.best_by).or_insert(0) += 1;
        }
        let rotation = rotate(&here(due), day("2031-03-15"));
        // Due before 15 April: two of March and one of April; the fourth, of 30 June, by the look of 15 June.
        assert_eq!((rotation.past_best, rotation.turns_in(0), rotation.turns_in(1)), (1, 1..4, 4..5));
        assert_eq!(rotation.ahead(), (4, Some(day("2031-03-15"))));
        let months: Vec<String> = rotation
            .by_month(Month::of(day("2031-03-15")))
            .map(|(month, jars)| format!("{month} {jars}"))
            .collect();
        assert_eq!(months, ["2031-03 3", "2031-04 1", "2031-05 0", "2031-06 0"]);
    }

    #[test]
    fn a_shelf_with_nothing_ahead_owes_nothing() {
        let rotation = rotate(&here(BTreeMap::from([(day("2031-02-14"), 1)])), day("2031-03-15"));
        assert_eq!((rotation.past_best, rotation.turns_in(0), rotation.ahead()), (1, 1..1, (0, None)));
    }
}
