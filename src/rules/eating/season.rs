//! How many jars of a product to put up so that they last until the next season.
//!
//! The past, `x` jars in time `t` with stock, is read as a Poisson process. With
//! a Gamma(shape 1, rate 0) prior for its rate, use over the coming time `h` is
//! negative binomial with size `x + 1` and probability `t / (t + h)`, and the
//! answer is that distribution's quantile.
//!
//! Why shape 1 and not the customary ½: with shape 1 the quantile is exactly
//! the upper prediction limit of the conditional test of two Poisson counts
//! (given `x + y`, `x` is binomial with probability `t / (t + h)`), so a plan of
//! sureness 0.9 lasts in at least 0.9 of seasons whatever the true rate is. With
//! shape ½ it falls short at some rates. A jar too many is eaten later; one too
//! few is gone. The tests compute the coverage exactly.

use chrono::NaiveDate;
use statrs::function::beta::checked_beta_reg;

use crate::rules::eating::keep_up::keep_up;
use crate::rules::eating::past_use::PastUse;
use crate::rules::eating::sureness::Sureness;
use crate::rules::eating::what_if::WhatIf;

/// Days with stock below which nothing is foretold: a quarter of a year, our choice, no source.
pub const LEAST_HISTORY_DAYS: u32 = 91;

/// Most jars a plan can come to; far above any household's.
const MOST_JARS: u32 = 1_000_000;

/// What will be eaten until the next season, as the past foretells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExpectedUse {
    /// The smallest number that is enough with the sureness asked for.
    pub enough: u32,
    /// Half of seasons need no more than this.
    pub middle: u32,
    /// A season needs no more than this only as seldom as `enough` falls short:
    /// from here to `enough` is the interval.
    pub low: u32,
}

/// Foretells use over `horizon` days. None where there is too little history
/// ([`LEAST_HISTORY_DAYS`]) to say anything.
pub fn expected_use(past: PastUse, horizon: u32, what_if: WhatIf, sure: Sureness) -> Option<ExpectedUse> {
    if past.days < LEAST_HISTORY_DAYS {
        return None;
    }
    let horizon = f64::from(horizon) * what_if.factor();
    let at = |share| quantile(past, horizon, share);
    Some(ExpectedUse { enough: at(sure.share()), middle: at(0.5), low: at(1.0 - sure.share()) })
}

/// The chance that no more than `jars` are eaten over `horizon` days.
fn chance_enough(past: PastUse, horizon: f64, jars: u32) -> f64 {
    let (size, days) = (f64::from(past.eaten) + 1.0, f64::from(past.days));
    // Both shapes are positive and the point lies in (0, 1].
    checked_beta_reg(size, f64::from(jars) + 1.0, days / (days + horizon)).unwrap_or(1.0)
}

/// The smallest number of jars that is enough with this chance.
fn quantile(past: PastUse, horizon: f64, share: f64) -> u32 {
    // The hair's breadth keeps rounding from asking a jar more where the chance is met exactly.
    let is_enough = |jars| chance_enough(past, horizon, jars) >= share - 1e-12;
    let (mut short, mut enough) = (None, 1);
    while !is_enough(enough) && enough < MOST_JARS {
        short = Some(enough);
        enough *= 2;
    }
    loop {
        let low = short.map_or(0, |short| short + 1);
        if low == enough {
            return enough.min(MOST_JARS);
        }
        let middle = low + (enough - low) / 2;
        if is_enough(middle) {
            enough = middle;
        } else {
            short = Some(middle);
        }
    }
}

/// Jars on the shelf that will be eaten by their best by if `enough` are eaten in `horizon` days.
///
/// `best_by` are the dates still ahead, earliest first.
pub fn still_good(best_by: &[NaiveDate], today: NaiveDate, enough: u32, horizon: u32) -> u32 {
    let rate = PastUse { eaten: enough, days: horizon };
    keep_up(best_by, today, rate, |&day| day).map_or(0, |kept| kept.reached.min(enough))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Deserialize)]
    struct Row {
        eaten: u32,
        days: u32,
        horizon: u32,
        sure: f64,
        jars: u32,
        covered: f64,
        short: Option<f64>,
    }

    #[test]
    fn quantiles_are_those_of_scipy() {
        // fixtures/make_season_quantiles.py
        let grid = include_str!("../../../fixtures/season_quantiles.csv");
        let mut rows = 0;
        for row in csv::Reader::from_reader(grid.as_bytes()).deserialize() {
            let Row { eaten, days, horizon, sure, jars, covered, short } = row.unwrap();
            let (past, horizon) = (PastUse { eaten, days }, f64::from(horizon));
            assert_eq!(quantile(past, horizon, sure), jars, "{past:?} {horizon} {sure}");
            assert!((chance_enough(past, horizon, jars) - covered).abs() < 1e-9, "{past:?} {horizon} {jars}");
            if let Some(short) = short {
                assert!((chance_enough(past, horizon, jars - 1) - short).abs() < 1e-9, "{past:?} {horizon}");
            }
            rows += 1;
        }
        assert_eq!(rows, 1_500); // 12 x 5 x 5 x 5, by hand
    }

    #[test]
    fn an_hour_by_hand() {
        // Nothing eaten in a year, a year to come: a geometric with p = 1/2, so n jars are enough with
        // chance 1 - 2^-(n+1): 0.5, 0.75, 0.875, 0.9375. Nine in ten takes 3, even chances 0.
        let past = PastUse { eaten: 0, days: 365 };
        let sure = Sureness::default();
        let year = expected_use(past, 365, WhatIf::default(), sure).unwrap();
        assert_eq!((year.low, year.middle, year.enough), (0, 0, 3));
        // Ten years to come: 1 - (10/11)^(n+1) first reaches 0.1 at n = 1, 0.5 at 7 and 0.9 at 24.
        let ten = expected_use(past, 3_650, WhatIf::default(), sure).unwrap();
        assert_eq!((ten.low, ten.middle, ten.enough), (1, 7, 24));
        assert_eq!(expected_use(past, 365, "-100%".parse().unwrap(), sure).unwrap().enough, 0);
        // Twice the appetite over half the time is the same.
        assert_eq!(
            expected_use(past, 364, WhatIf::default(), sure),
            expected_use(past, 182, "+100%".parse().unwrap(), sure)
        );
        let after = |days| expected_use(PastUse { eaten: 9, days }, 365, WhatIf::default(), sure);
        assert!(after(90).is_none() && after(91).is_some());
    }

    #[test]
    fn no_more_is_foretold_than_a_household_can_have() {
        let past = PastUse { eaten: 10_000_000, days: 365 };
        let year = expected_use(past, 365, WhatIf::default(), Sureness::default()).unwrap();
        assert_eq!((year.low, year.enough), (1_000_000, 1_000_000));
    }

    #[test]
    fn stock_that_would_pass_its_best_by_is_not_counted() {
        let day = |n| NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + chrono::Days::new(n);
        // Ten jars in 100 days, one each ten: the two due on day 12 cannot both be reached, nor can an eleventh jar be needed.
        let mut due = vec![day(12), day(12)];
        assert_eq!(still_good(&due, day(0), 10, 100), 1);
        due.extend([day(400); 20]);
        assert_eq!(still_good(&due, day(0), 10, 100), 10);
        assert_eq!(still_good(&due, day(0), 0, 100), 0);
    }

    /// Chances of 0, 1, 2 … events of a Poisson variable, until hardly any is left.
    fn poisson(mean: f64) -> Vec<f64> {
        let mut chances = vec![(-mean).exp()];
        while (chances.len() as f64) < mean + 12.0 * mean.sqrt() + 40.0 {
            chances.push(chances[chances.len() - 1] * mean / chances.len() as f64);
        }
        chances
    }

    /// The exact share of seasons in which `plan(eaten)` lasts, at a known rate a day.
    fn coverage(rate: f64, days: u32, horizon: u32, plan: impl Fn(u32) -> Option<u32>) -> f64 {
        let mut lasts = Vec::new();
        let mut sum = 0.0;
        for chance in poisson(rate * f64::from(horizon)) {
            sum += chance;
            lasts.push(sum);
        }
        (0..).zip(poisson(rate * f64::from(days))).fold(0.0, |sum, (eaten, chance)| {
            sum + chance * plan(eaten).map_or(0.0, |jars| *lasts.get(jars as usize).unwrap_or(&1.0))
        })
    }

    /// Households: jars a day, days of history, days to come.
    fn households() -> impl Iterator<Item = (f64, u32, u32)> {
        let rates = [0.002, 0.01, 0.03, 0.1, 0.3];
        rates.into_iter().flat_map(|rate| {
            [91, 200, 365, 1_095]
                .into_iter()
                .flat_map(move |days| [180, 365].map(|horizon| (rate, days, horizon)))
        })
    }

    #[test]
    fn a_plan_of_nine_in_ten_lasts_nine_seasons_in_ten_and_no_longer_than_it_must() {
        for (rate, days, horizon) in households() {
            let enough = |eaten| quantile(PastUse { eaten, days }, f64::from(horizon), 0.9);
            let exact = coverage(rate, days, horizon, |eaten| Some(enough(eaten)));
            assert!(exact >= 0.9, "{rate} {days} {horizon}: {exact}");
            // One jar less in the plan and one less in the history, and the promise is broken:
            // what lies above 0.9 is owed to whole jars and a short history, to nothing else.
            let pared = |eaten: u32| eaten.checked_sub(1).and_then(|eaten| enough(eaten).checked_sub(1));
            let exact = coverage(rate, days, horizon, pared);
            assert!(exact < 0.9, "{rate} {days} {horizon}: {exact}");
        }
        // With a long history only whole jars are left, and one jar is worth 0.024 at most:
        // 0.175 / sqrt(54.75), the normal density at its 0.9 quantile for a mean of 54.75.
        let enough = |eaten| Some(quantile(PastUse { eaten, days: 3_650 }, 365.0, 0.9));
        let long = coverage(0.15, 3_650, 365, enough);
        assert!((0.9..0.924).contains(&long), "{long}");
    }

    /// SplitMix64, for households that are the same in every run.
    struct Seeded(u64);

    impl Seeded {
        /// A number in (0, 1].
        fn unit(&mut self) -> f64 {
            self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut mixed = self.0;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            (((mixed ^ (mixed >> 31)) >> 11) + 1) as f64 / (1_u64 << 53) as f64
        }

        /// Events of a Poisson process in so many days: exponential gaps laid end to end.
        fn eaten(&mut self, rate: f64, days: u32) -> u32 {
            let (mut count, mut time) = (0, 0.0);
            loop {
                time -= self.unit().ln() / rate;
                if time > f64::from(days) {
                    return count;
                }
                count += 1;
            }
        }
    }

    #[test]
    fn simulated_households_run_out_as_seldom_as_the_exact_sum_says() {
        let seasons = 4_000;
        let mut random = Seeded(26_041);
        for (rate, days, horizon) in households() {
            let past = |eaten| PastUse { eaten, days };
            let enough = |eaten| {
                expected_use(past(eaten), horizon, WhatIf::default(), Sureness::default()).unwrap().enough
            };
            let lasted = (0..seasons)
                .filter(|_| {
                    let history = random.eaten(rate, days);
                    random.eaten(rate, horizon) <= enough(history)
                })
                .count();
            let simulated = lasted as f64 / f64::from(seasons);
            let exact = coverage(rate, days, horizon, |eaten| Some(enough(eaten)));
            let error = (exact * (1.0 - exact) / f64::from(seasons)).sqrt();
            assert!((simulated - exact).abs() < 4.0 * error, "{rate} {days} {horizon}: {simulated}, {exact}");
            assert!(simulated > 0.9 - 4.0 * error, "{rate} {days} {horizon}: {simulated}");
        }
    }
}
