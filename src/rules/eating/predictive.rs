//! How many jars may be used, as a distribution of whole numbers with a mean and a variance.
//!
//! Counts that scatter more than a Poisson variable are negative binomial, those that scatter less binomial: the
//! three are one family, the (a, b, 0) class of Panjer (1981), and each is fixed by its mean and variance.

use statrs::function::beta::checked_beta_reg;
use statrs::function::gamma::checked_gamma_ur;

/// Most jars a plan can come to; far above any household's.
const MOST_JARS: u32 = 1_000_000;

/// A forecast of a count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Predictive {
    mean: f64,
    variance: f64,
}

impl Predictive {
    /// By mean and variance, both in jars.
    pub const fn new(mean: f64, variance: f64) -> Self {
        Self { mean, variance }
    }

    /// The mean, in jars.
    #[cfg(test)]
    pub(crate) const fn mean(self) -> f64 {
        self.mean
    }

    /// The variance, in jars squared.
    #[cfg(test)]
    pub(crate) const fn variance(self) -> f64 {
        self.variance
    }

    /// The chance that no more than `jars` are used.
    pub(crate) fn chance_enough(self, jars: u32) -> f64 {
        let Self { mean, variance } = self;
        let jars = f64::from(jars);
        if mean <= 0.0 {
            return 1.0;
        }
        let spread = variance / mean;
        let chance = if (spread - 1.0).abs() < 1e-4 {
            checked_gamma_ur(jars + 1.0, mean).ok()
        } else if spread > 1.0 {
            checked_beta_reg(mean / (spread - 1.0), jars + 1.0, 1.0 / spread).ok()
        } else {
            // Whole trials, and enough of them for the mean.
            let trials = (mean / (1.0 - spread)).ceil();
            if jars >= trials {
                return 1.0;
            }
            checked_beta_reg(trials - jars, jars + 1.0, 1.0 - mean / trials).ok()
        };
        // The shapes are positive and the points lie between 0 and 1.
        chance.unwrap_or(1.0)
    }

    /// The smallest number of jars that is enough with this chance.
    pub fn quantile(self, share: f64) -> u32 {
        // The tiny margin keeps rounding from asking for one jar more where the chance is met exactly.
        let is_enough = |jars| self.chance_enough(jars) >= share - 1e-12;
        let (mut short, mut enough) = (None, 1);
        while enough < MOST_JARS && !is_enough(enough) {
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
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Deserialize)]
    struct Row {
        mean: f64,
        variance: f64,
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
            let Row { mean, variance, sure, jars, covered, short } = row.unwrap();
            let use_to_come = Predictive::new(mean, variance);
            assert_eq!(use_to_come.quantile(sure), jars, "{use_to_come:?} {sure}");
            assert!((use_to_come.chance_enough(jars) - covered).abs() < 1e-9, "{use_to_come:?} {jars}");
            if let Some(short) = short {
                assert!((use_to_come.chance_enough(jars - 1) - short).abs() < 1e-9, "{use_to_come:?} {jars}");
            }
            rows += 1;
        }
        assert_eq!(rows, 480); // 12 x 8 x 5, by hand
    }

    #[test]
    fn a_few_by_hand() {
        // Mean 1, variance 2: a geometric with p = 1/2, so n jars are enough with chance 1 - 2^-(n+1).
        let geometric = Predictive::new(1.0, 2.0);
        assert!((geometric.chance_enough(2) - 0.875).abs() < 1e-12);
        assert_eq!((geometric.quantile(0.5), geometric.quantile(0.9)), (0, 3));
        // Mean 2, variance 1: two of four tosses of a coin; at most 1 with chance 5/16, at most 2 with 11/16.
        let tosses = Predictive::new(2.0, 1.0);
        assert!((tosses.chance_enough(1) - 5.0 / 16.0).abs() < 1e-12);
        assert_eq!((tosses.quantile(0.5), tosses.quantile(0.9)), (2, 3));
        assert_eq!(tosses.chance_enough(4), 1.0);
        assert_eq!(Predictive::new(0.0, 0.0).quantile(0.999), 0);
        assert_eq!(Predictive::new(1e9, 1e12).quantile(0.9), 1_000_000);
    }
}
