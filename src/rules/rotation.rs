//! Which jars of a product to eat this month, and how many in the months after.

use chrono::NaiveDate;

use super::jar_code::JarCode;
use super::level_plan::LevelPlan;
use super::month::Month;

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

/// One product's jars in the order to take them, and the plan for eating them.
#[derive(Debug)]
pub struct Rotation<'a, J> {
    /// Jars whose best by is before today: old, not condemned; to be looked at and eaten or let go.
    pub past_best: &'a [J],
    /// Jars to eat before the current month ends.
    pub this_month: &'a [J],
    /// The rest, in order.
    pub later: &'a [J],
    /// Jars for the current month and each one after.
    pub plan: LevelPlan,
}

/// Puts one product's jars in order and plans their eating.
///
/// Give it only jars that may be eaten: sealed, checked, not on hold. The
/// places they stand in make no difference. A jar with its best by today is
/// still ahead, and is owed by the end of the current month like any other
/// whose best by falls in it. The sort is the only step that is not linear,
/// and it is linear too where the jars come in order already, as from an
/// `ORDER BY product, best_by, put_up, code` cut up by product:
///
/// ```
/// # use chrono::NaiveDate;
/// # use jarledger::rules::jar_code::JarCode;
/// # use jarledger::rules::month::Month;
/// # use jarledger::rules::rotation::{Turn, rotate};
/// # struct Jar { product: i64, turn: Turn }
/// # let day = |m| NaiveDate::from_ymd_opt(2031, m, 9).expect("a day");
/// # let jar = |product, m, code: &str| Jar {
/// #     product,
/// #     turn: Turn { best_by: day(m), put_up: day(1), code: code.parse::<JarCode>().expect("a code") },
/// # };
/// # let mut jars = vec![jar(1, 3, "26-041-03-3"), jar(2, 3, "26-041-03-3"), jar(2, 4, "26-041-03-3")];
/// # let today = day(3);
/// for jars in jars.chunk_by_mut(|a, b| a.product == b.product) {
///     let rotation = rotate(jars, today, |jar| jar.turn);
///     for (month, count) in rotation.plan.by_month(Month::of(today)).take(12) { /* ... */ }
/// }
/// ```
pub fn rotate<J>(jars: &mut [J], today: NaiveDate, turn: impl Fn(&J) -> Turn) -> Rotation<'_, J> {
    jars.sort_by_key(&turn);
    let jars = &*jars;
    let (past_best, ahead) = jars.split_at(jars.partition_point(|jar| turn(jar).best_by < today));
    let current = Month::of(today);
    let plan = LevelPlan::new(ahead.iter().map(|jar| Month::of(turn(jar).best_by).since(current)));
    let owed = plan.months().next().unwrap_or(0);
    // The plan never holds more than the jars it was drawn from.
    let (this_month, later) = ahead.split_at(usize::try_from(owed).unwrap_or(ahead.len()).min(ahead.len()));
    Rotation { past_best, this_month, later, plan }
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
        let rotation = rotate(&mut jars, day("2031-03-15"), |jar| *jar);
        let numbers = |jars: &[Turn]| jars.iter().map(|jar| jar.code.number).collect::<Vec<_>>();
        assert_eq!(numbers(rotation.past_best), [1]);
        assert_eq!(numbers(rotation.this_month), [3, 2]);
        assert_eq!(numbers(rotation.later), [5, 4]);
        let months: Vec<String> = rotation
            .plan
            .by_month(Month::of(day("2031-03-15")))
            .map(|(month, jars)| format!("{month} {jars}"))
            .collect();
        assert_eq!(months, ["2031-03 2", "2031-04 1", "2031-05 1", "2031-06 0"]);
    }

    #[test]
    fn a_shelf_with_nothing_ahead_owes_nothing() {
        let mut jars = [turn("2031-03-14", "2030-03-14", 1)];
        let rotation = rotate(&mut jars, day("2031-03-15"), |jar| *jar);
        assert_eq!((rotation.past_best.len(), rotation.this_month.len(), rotation.plan.pace()), (1, 0, None));
    }
}
