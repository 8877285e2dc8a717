//! Whether a household eats fast enough: which jars its own past rate will not reach.

use chrono::{Days, NaiveDate};

use crate::rules::eating::past_use::PastUse;

/// What becomes of one product's jars at a given rate.
#[derive(Debug)]
pub(crate) struct KeepUp<'a, J> {
    /// Jars eaten by their best by.
    pub reached: u32,
    /// Jars that pass their best by uneaten, in order: to give away, or to cook for company.
    pub surplus: Vec<&'a J>,
    /// The day the last jar that is reached is eaten. None where none is reached,
    /// or where that day lies past the calendar's end.
    pub runs_out: Option<NaiveDate>,
}

/// What becomes of the jars of a product at the household's own rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlook {
    /// None is left, in any state.
    RanOut {
        /// The day the last one left the shelf.
        on: NaiveDate,
    },
    /// Jars are left, but none that may be eaten and has its best by ahead.
    NothingAhead,
    /// Nothing was eaten yet.
    NoRate,
    /// All are eaten by their best by.
    Reached {
        /// The day the last one is eaten.
        runs_out: NaiveDate,
    },
    /// Some are not.
    Surplus {
        /// How many.
        jars: u64,
        /// The day the last of the others is eaten.
        runs_out: Option<NaiveDate>,
    },
}

/// Replays the shelf from today at a steady rate, always taking the jar that is due first.
///
/// `jars` are those whose best by is still ahead, earliest first. The `n`th one
/// eaten is gone `n × days ÷ eaten` days from the start of today. A jar whose
/// best by has gone by when its turn comes is surplus and costs no turn. With
/// jars that each take one turn, no other order reaches more of them: a jar
/// reached late in some order can change places with any due before it.
///
/// None where nothing was ever eaten: there is no rate to replay.
pub(crate) fn keep_up<'a, J>(
    jars: &'a [J],
    today: NaiveDate,
    rate: PastUse,
    best_by: impl Fn(&J) -> NaiveDate,
) -> Option<KeepUp<'a, J>> {
    if rate.eaten == 0 || rate.days == 0 {
        return None;
    }
    let eaten_on = |turn: u32| {
        let days = u64::from(turn) * u64::from(rate.days) / u64::from(rate.eaten);
        today.checked_add_days(Days::new(days))
    };
    let mut kept = KeepUp { reached: 0, surplus: Vec::new(), runs_out: None };
    for jar in jars {
        let turn = kept.reached.saturating_add(1);
        match eaten_on(turn) {
            Some(day) if day <= best_by(jar) => {
                kept.reached = turn;
                kept.runs_out = Some(day);
            }
            _ => kept.surplus.push(jar),
        }
    }
    Some(kept)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(number: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + Days::new(u64::from(number))
    }

    #[test]
    fn a_hand_worked_shelf_loses_the_jars_that_come_due_together() {
        // One jar each 10 days; due on days 5, 25, 26, 27 and 90. The first comes due before day 10;
        // days 10 and 20 take the second and third; day 30 is too late for the fourth; the fifth goes on day 30.
        let due = [5, 25, 26, 27, 90];
        let kept = keep_up(&due, day(0), PastUse { eaten: 6, days: 60 }, |&due| day(due)).unwrap();
        assert_eq!(kept.surplus, [&5, &27]);
        assert_eq!((kept.reached, kept.runs_out), (3, Some(day(30))));
    }

    #[test]
    fn without_a_rate_there_is_no_forecast() {
        for (eaten, days) in [(0, 0), (0, 400), (3, 0)] {
            assert!(keep_up(&[9], day(0), PastUse { eaten, days }, |&due| day(due)).is_none());
        }
        let slow = PastUse { eaten: 1, days: u32::MAX };
        assert_eq!(keep_up(&[9], day(0), slow, |&due| day(due)).unwrap().surplus, [&9]);
    }

    proptest! {
        #[test]
        fn no_choice_of_jars_reaches_more_of_them(
            mut due in proptest::collection::vec(0_u32..80, 0..9),
            eaten in 1_u32..9,
            days in 1_u32..90,
        ) {
            due.sort_unstable();
            let kept = keep_up(&due, day(0), PastUse { eaten, days }, |&due| day(due)).unwrap();
            // Every subset, eaten in order of its due days, the nth on day n × days ÷ eaten.
            let most = (0_u32..1 << due.len())
                .filter(|chosen| {
                    let picked = due.iter().enumerate().filter(|(at, _)| chosen >> at & 1 == 1);
                    (1..).zip(picked).all(|(turn, (_, &due))| turn * days / eaten <= due)
                })
                .map(u32::count_ones)
                .max();
            prop_assert_eq!(Some(kept.reached), most);
            prop_assert_eq!(kept.reached as usize + kept.surplus.len(), due.len());
        }
    }
}
