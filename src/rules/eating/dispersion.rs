//! How unevenly jars are used: the variance of a count by its mean.
//!
//! Two things make use uneven: several jars go at once, and the times between are of unequal length. With jars at once
//! of mean `b` and variance `s`, and times between of squared coefficient of variation `c`, a count over a long time
//! has variance by mean `s / b + b c`, whatever the laws of either (Smith 1955 and 1958, cumulative renewal processes).
//!
//! `c` is not taken from all times between at once, since seasons and new habits stretch them too, but from each pair
//! of neighbors: their local variation (Shinomoto, Shima and Tanji 2003, Neural Computation 15) is 0 for a jar
//! every so many days, 1 for a Poisson process, and 3 / (2 k + 1) where times between are gamma variables of shape k,
//! of which 1 / k is the squared coefficient of variation.
//!
//! One product has too few uses to go by. Each is read as if some of the household's others had come with it.

use std::ops::AddAssign;

use crate::rules::eating::history::History;

/// Pairs of times between that a product borrows from its household; calibrated by simulation.
const BORROWED_PAIRS: f64 = 5.0;

/// Days of use that a product borrows from its household; calibrated by simulation.
const BORROWED_OCCASIONS: f64 = 6.0;

/// Pairs and days of use of a Poisson process, one jar at a time, that stand for a household with no record.
const PRIOR: f64 = 4.0;

/// Above this, local variation says that uses come in clusters and no longer how large they are.
const MOST_VARIATION: f64 = 2.2;

/// With this many pairs of times between uses, and no more local variation than this, use is regular and no variation is
/// borrowed. A pair of a Poisson process adds 3 u², u uniform, so four pairs vary as little by chance in 5 records of
/// 100,000 (the volume of a ball in four dimensions, by hand).
const CLOCKWORK_PAIRS: f64 = 4.0;
const CLOCKWORK: f64 = 0.01;

/// The least that is believed: nobody goes on using jars at perfectly even times.
const LEAST: f64 = 0.02;

/// What a record says of unevenness; records of a household add up.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unevenness {
    pairs: f64,
    variation: f64,
    occasions: f64,
    jars: f64,
    squares: f64,
}

impl Unevenness {
    /// Reads it from a record.
    pub fn of(history: &History) -> Self {
        let mut sum = Self::default();
        let mut before = None;
        for (jars, gap) in history.occasions() {
            let jars = f64::from(jars);
            sum.occasions += 1.0;
            sum.jars += jars;
            sum.squares += jars * jars;
            let gap = gap.map(f64::from);
            if let (Some(before), Some(gap)) = (before, gap)
                && before + gap > 0.0
            {
                let share: f64 = (before - gap) / (before + gap);
                sum.pairs += 1.0;
                sum.variation += 3.0 * share * share;
            }
            before = gap;
        }
        sum
    }

    /// Whether the times between are so much alike that they are a habit, whatever the household does with its others.
    fn is_clockwork(&self) -> bool {
        self.pairs >= CLOCKWORK_PAIRS && self.variation <= CLOCKWORK * self.pairs
    }

    /// The variance of a count by its mean, leaning on the household's products taken together.
    pub fn dispersion(&self, household: &Self) -> f64 {
        let variation = (household.variation + PRIOR) / (household.pairs + PRIOR);
        let borrowed_pairs = if self.is_clockwork() { 0.0 } else { BORROWED_PAIRS };
        let variation = (self.variation + borrowed_pairs * variation) / (self.pairs + borrowed_pairs);
        let variation = variation.min(MOST_VARIATION);
        let times_between = 2.0 * variation / (3.0 - variation);

        let at_once = (household.jars + PRIOR) / (household.occasions + PRIOR);
        // The mean square by the mean.
        let square = (household.squares + PRIOR) / (household.jars + PRIOR);
        let borrowed = BORROWED_OCCASIONS * at_once;
        let at_once = (self.jars + borrowed) / (self.occasions + BORROWED_OCCASIONS);
        let square = (self.squares + borrowed * square) / (self.jars + borrowed);
        ((square - at_once).max(0.0) + at_once * times_between).max(LEAST)
    }
}

impl AddAssign for Unevenness {
    fn add_assign(&mut self, other: Self) {
        self.pairs += other.pairs;
        self.variation += other.variation;
        self.occasions += other.occasions;
        self.jars += other.jars;
        self.squares += other.squares;
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;

    fn used(days: impl IntoIterator<Item = u64>) -> Unevenness {
        let day = |day| NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + chrono::Days::new(day);
        let days: Vec<NaiveDate> = days.into_iter().map(day).collect();
        Unevenness::of(&History::new([(day(0), None)], days, day(100_000)))
    }

    #[test]
    fn a_jar_every_ten_days_is_even_and_three_at_once_are_not() {
        // By hand: gaps all alike have no variation; with many of them what is borrowed weighs next to nothing.
        let even = used((0..3_000).map(|n| n * 10));
        assert!(even.dispersion(&even) <= LEAST + 0.01);
        // The same in threes: three at once every time, still no variation.
        let threes = used((0..3_000).map(|n| n / 3 * 30));
        assert!(threes.dispersion(&threes) <= LEAST + 0.05, "{}", threes.dispersion(&threes));
        // Singles and fives in turn, mean 3 and variance 4, every 30 days: 4 / 3, by hand.
        let mixed =
            used((0..1_000).flat_map(|n| std::iter::repeat_n(n * 30, if n % 2 == 0 { 1 } else { 5 })));
        assert!((mixed.dispersion(&mixed) - 4.0 / 3.0).abs() < 0.05, "{}", mixed.dispersion(&mixed));
        // Gaps of 10 and 30 days in turn: share 1/2, local variation 3/4, so 2 * 0.75 / 2.25 = 2/3, by hand.
        let turns = used((0..2_000).map(|n| n / 2 * 40 + n % 2 * 10));
        assert!((turns.dispersion(&turns) - 2.0 / 3.0).abs() < 0.02, "{}", turns.dispersion(&turns));
    }

    #[test]
    fn a_product_with_no_record_is_as_uneven_as_its_household() {
        let household =
            used((0..1_000).flat_map(|n| std::iter::repeat_n(n * 30, if n % 2 == 0 { 1 } else { 5 })));
        assert!((used([]).dispersion(&household) - 4.0 / 3.0).abs() < 0.05);
        // With no household either, a Poisson process.
        assert!((used([]).dispersion(&used([])) - 1.0).abs() < 1e-12);
    }
}
