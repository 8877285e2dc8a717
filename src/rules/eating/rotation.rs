//! Which jars of a product to eat this month, and how many in the months after.

use std::collections::BTreeMap;
use std::ops::Range;

use chrono::NaiveDate;

use crate::rules::eating::level_plan::LevelPlan;
use crate::values::codes::jar_code::JarCode;
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

/// The plan for eating one product's jars, told in their turns.
#[derive(Debug)]
pub struct Rotation {
    /// Jars whose best by is before today: old, not condemned; to be looked at and eaten or let go.
    /// Theirs are the first turns.
    pub past_best: u64,
    /// Jars for the current month and each one after.
    pub plan: LevelPlan,
    /// How many jars have their best by on each day from today on.
    ahead: Vec<(NaiveDate, u64)>,
}

/// Plans the eating of one product's jars, given how many have their best by on each day.
///
/// Count only jars that may be eaten: sealed, checked, not on hold. The
/// places they stand in make no difference. A jar with its best by today is
/// still ahead, and is owed by the end of the current month like any other
/// whose best by falls in it. Which jars they are follows from their turns:
///
/// ```
/// # use std::collections::BTreeMap;
/// # use chrono::NaiveDate;
/// # use jarledger::rules::eating::rotation::rotate;
/// # let day = |text: &str| text.parse::<NaiveDate>().expect("a day");
/// let due = BTreeMap::from([(day("2031-03-09"), 1), (day("2031-04-02"), 2)]);
/// let rotation = rotate(&due, day("2031-03-10"));
/// assert_eq!(rotation.past_best, 1);
/// // Of the two still ahead the first is owed in March: the second turn of all.
/// assert_eq!(rotation.turns_in(0), 1..2);
/// assert_eq!(rotation.turns_in(1), 2..3);
/// ```
pub fn rotate(due: &BTreeMap<NaiveDate, u64>, today: NaiveDate) -> Rotation {
    let current = Month::of(today);
    let past_best = due.range(..today).map(|(_, jars)| jars).sum();
    let ahead: Vec<(NaiveDate, u64)> = due.range(today..).map(|(&day, &jars)| (day, jars)).collect();
    let plan = LevelPlan::new(ahead.iter().map(|&(day, jars)| (Month::of(day).since(current), jars)));
    Rotation { past_best, plan, ahead }
}

impl Rotation {
    /// The turns owed in the month so many after the current one; the first turn is 0.
    pub fn turns_in(&self, months: u32) -> Range<u64> {
        let mut plan = self.plan.months();
        let first = self.past_best + plan.by_ref().take(months as usize).sum::<u64>();
        first..first + plan.next().unwrap_or(0)
    }

    /// The best by of the jar whose turn is the last before `turn`, where it is still ahead.
    pub fn last_day_before(&self, turn: u64) -> Option<NaiveDate> {
        let mut left = turn.checked_sub(self.past_best).filter(|&left| left > 0)?;
        self.ahead
            .iter()
            .find(|&&(_, jars)| {
                let is_on_it = left <= jars;
                left = left.saturating_sub(jars);
                is_on_it
            })
            .map(|&(day, _)| day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
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
        let rotation = rotate(&due, day("2031-03-15"));
        assert_eq!((rotation.past_best, rotation.turns_in(0), rotation.turns_in(1)), (1, 1..3, 3..4));
        let months: Vec<String> = rotation
            .plan
            .by_month(Month::of(day("2031-03-15")))
            .map(|(month, jars)| format!("{month} {jars}"))
            .collect();
        assert_eq!(months, ["2031-03 2", "2031-04 1", "2031-05 1", "2031-06 0"]);
        // The last jars of March, April and May by hand; no turn before the first is still ahead.
        let last: Vec<_> = [1, 2, 3, 4, 5].map(|turn| rotation.last_day_before(turn)).to_vec();
        let march = Some(day("2031-03-15"));
        assert_eq!(last, [None, march, march, Some(day("2031-04-01")), Some(day("2031-06-30"))]);
    }

    #[test]
    fn a_shelf_with_nothing_ahead_owes_nothing() {
        let rotation = rotate(&BTreeMap::from([(day("2031-03-14"), 1)]), day("2031-03-15"));
        assert_eq!((rotation.past_best, rotation.turns_in(0), rotation.plan.pace()), (1, 1..1, None));
    }
}
