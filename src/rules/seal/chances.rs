//! The chances behind the seal statistics: whole loads permuted, Holm's correction, Wilson's interval.
//!
//! Failures clump by load, since jars of one load share the cook, the canner and the heat. So jars are not taken for
//! independent: it is whole loads that another group might as well have had.

use std::collections::BTreeMap;

use rand::SeedableRng;
use rand::rngs::Xoshiro256PlusPlus;
use rand::seq::SliceRandom;

/// The 0.975 quantile of the standard normal distribution, for a 95 % interval.
const Z: f64 = 1.959_963_984_540_054;

/// The 95 % Wilson score interval of a share, 0 to 1. `of` is at least 1.
///
/// Source: E. B. Wilson, "Probable inference, the law of succession, and
/// statistical inference", J. Am. Stat. Assoc. 22 (1927), from memory.
pub(crate) fn wilson(count: u32, of: u32) -> (f64, f64) {
    let (count, of) = (f64::from(count), f64::from(of));
    let spread = Z * (count * (of - count) / of + Z * Z / 4.0).sqrt();
    let middle = count + Z * Z / 2.0;
    let whole = of + Z * Z;
    // At the ends the interval closes exactly; rounding would leave a tiny gap.
    let low = if count == 0.0 { 0.0 } else { (middle - spread) / whole };
    let high = if count == of { 1.0 } else { (middle + spread) / whole };
    (low, high)
}

/// First seal checks of one group's jars in one load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct LoadSeals {
    /// Jars that failed.
    pub failed: u32,
    /// Jars checked, the failed ones included.
    pub checked: u32,
}

/// Failed and checked jars of several loads.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Sum {
    pub(crate) failed: u64,
    pub(crate) checked: u64,
}

impl Sum {
    pub(crate) fn of<'l>(loads: impl IntoIterator<Item = &'l LoadSeals>) -> Self {
        loads.into_iter().fold(Self::default(), Self::and)
    }

    fn and(self, load: &LoadSeals) -> Self {
        Self { failed: self.failed + u64::from(load.failed), checked: self.checked + u64::from(load.checked) }
    }

    /// Failures beyond those that the share of `all` gives so many jars, times the jars of `all`.
    fn beyond(self, all: Self) -> i128 {
        i128::from(self.failed) * i128::from(all.checked) - i128::from(self.checked) * i128::from(all.failed)
    }
}

/// Steps of the exact way above which loads are drawn: some milliseconds.
const MOST_STEPS: usize = 20_000;

/// Draws as bad as the group at which its chance is known well enough: to a twentieth.
const ENOUGH_AS_BAD: u32 = 400;

/// Draws at most; a chance of one in a thousand is known to a seventh by then.
const MOST_DRAWS: u32 = 50_000;

/// Loads drawn at most, over all draws, for ledgers of many thousand loads.
const MOST_LOADS_DRAWN: usize = 50_000_000;

/// The chance that loads drawn blindly from `all`, as many as `group` has, fail at least as much as `group` does, counted
/// in failures above what their jars would have at the common share. Leaves `all` in another order.
///
/// Exactly where the ways to take them are few enough to count, otherwise by draws with a fixed seed, so that a
/// ledger answers the same every time.
pub(crate) fn as_bad_by_chance(group: &[LoadSeals], all: &mut [LoadSeals]) -> f64 {
    let common = Sum::of(&*all);
    let found = Sum::of(group).beyond(common);
    let as_bad = |sum: Sum| sum.beyond(common) >= found;
    exactly(all, group.len(), as_bad).unwrap_or_else(|| by_draws(all, group.len(), as_bad))
}

/// Takes the loads one after the other and keeps the chance of every sum; none where that takes too many steps.
fn exactly(loads: &[LoadSeals], taken: usize, as_bad: impl Fn(Sum) -> bool) -> Option<f64> {
    if loads.len() * taken > MOST_STEPS {
        return None;
    }
    let mut sums = BTreeMap::from([((taken, Sum::default()), 1.0)]);
    let mut steps = 0;
    for (seen, load) in loads.iter().enumerate() {
        let unseen = (loads.len() - seen) as f64;
        let mut next = BTreeMap::new();
        for ((to_take, sum), chance) in sums {
            let take = to_take as f64 / unseen;
            if to_take > 0 {
                *next.entry((to_take - 1, sum.and(load))).or_default() += chance * take;
            }
            if take < 1.0 {
                *next.entry((to_take, sum)).or_default() += chance * (1.0 - take);
            }
        }
        sums = next;
        steps += sums.len();
        if steps > MOST_STEPS {
            return None;
        }
    }
    let chance: f64 = sums.into_iter().filter(|&((_, sum), _)| as_bad(sum)).map(|(_, chance)| chance).sum();
    Some(chance.min(1.0))
}

/// Draws loads until enough draws are as bad, or there were enough.
///
/// Source: J. Besag, P. Clifford, "Sequential Monte Carlo p-values", Biometrika 78 (1991), from memory.
fn by_draws(loads: &mut [LoadSeals], taken: usize, as_bad: impl Fn(Sum) -> bool) -> f64 {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(26_041);
    let most = MOST_DRAWS.min(u32::try_from(MOST_LOADS_DRAWN / taken.max(1)).unwrap_or(MOST_DRAWS));
    let mut found = 0;
    for drawn in 1..=most {
        let (those, _) = loads.partial_shuffle(&mut random, taken);
        found += u32::from(as_bad(Sum::of(&*those)));
        if found == ENOUGH_AS_BAD {
            return f64::from(found) / f64::from(drawn);
        }
    }
    f64::from(found + 1) / f64::from(most + 1)
}

/// Holm's step-down correction of p-values for being several, in place of each its corrected value.
///
/// Source: S. Holm, "A simple sequentially rejective multiple test procedure",
/// Scand. J. Stat. 6 (1979), from memory.
pub(crate) fn holm(values: &mut [f64]) {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut highest: f64 = 0.0;
    for (rank, at) in order.into_iter().enumerate() {
        highest = highest.max(values[at] * (values.len() - rank) as f64).min(1.0);
        values[at] = highest;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(serde::Deserialize)]
    struct Share {
        failed: u32,
        checked: u32,
        low: f64,
        high: f64,
    }

    #[derive(serde::Deserialize)]
    struct Permuted {
        group: String,
        rest: String,
        p: f64,
        drawn: u8,
    }

    impl Permuted {
        /// The rows of fixtures/make_seal_tests.py, by scipy.stats.permutation_test.
        fn rows() -> Vec<Self> {
            let rows = include_str!("../../../fixtures/seal_permutations.csv");
            csv::Reader::from_reader(rows.as_bytes()).into_deserialize().map(Result::unwrap).collect()
        }

        fn loads(text: &str) -> Vec<LoadSeals> {
            let load = |load: &str| {
                let (failed, checked) = load.split_once('/').unwrap();
                LoadSeals { failed: failed.parse().unwrap(), checked: checked.parse().unwrap() }
            };
            text.split(' ').map(load).collect()
        }
    }

    #[test]
    fn intervals_are_those_of_scipy() {
        // fixtures/make_seal_tests.py
        let grid = include_str!("../../../fixtures/seal_shares.csv");
        let mut rows = 0;
        for row in csv::Reader::from_reader(grid.as_bytes()).deserialize() {
            let row: Share = row.unwrap();
            let (low, high) = wilson(row.failed, row.checked);
            let at = format!("{}/{}", row.failed, row.checked);
            assert!((low - row.low).abs() < 1e-9 && (high - row.high).abs() < 1e-9, "{at}: {low} {high}");
            rows += 1;
        }
        assert!(rows > 30, "{rows}");
    }

    #[test]
    fn exact_chances_are_those_of_scipy() {
        for row in Permuted::rows().iter().filter(|row| row.drawn == 0) {
            let group = Permuted::loads(&row.group);
            let mut all = [&group[..], &Permuted::loads(&row.rest)].concat();
            assert!(exactly(&all, group.len(), |_| true).is_some(), "{}", row.group);
            let p = as_bad_by_chance(&group, &mut all);
            assert!((p - row.p).abs() < 1e-9, "{} beside {}: {p}, {}", row.group, row.rest, row.p);
        }
    }

    #[test]
    fn drawn_chances_are_those_of_scipy_as_near_as_draws_come() {
        for row in Permuted::rows() {
            let (group, rest) = (Permuted::loads(&row.group), Permuted::loads(&row.rest));
            let mut loads = [&group[..], &rest].concat();
            let all = Sum::of(&loads);
            let found = Sum::of(&group).beyond(all);
            let p = by_draws(&mut loads, group.len(), |sum| sum.beyond(all) >= found);
            // Four standard deviations of the fewer of 400 hits and 50,000 draws, by hand.
            let near = 4.0 * (row.p / 20.0).max((row.p / 50_000.0).sqrt()) + 4.0 / 50_000.0;
            assert!((p - row.p).abs() < near, "{} beside {}: {p}, {}", row.group, row.rest, row.p);
        }
    }

    #[test]
    fn the_same_loads_always_get_the_same_chance_and_many_are_drawn() {
        let row = Permuted::rows().into_iter().rfind(|row| row.drawn == 1).unwrap();
        let (group, rest) = (Permuted::loads(&row.group), Permuted::loads(&row.rest));
        let all = [&group[..], &rest].concat();
        assert_eq!(exactly(&all, group.len(), |_| true), None);
        let chance = || as_bad_by_chance(&group, &mut all.clone());
        assert_eq!(chance(), chance());
    }

    #[test]
    fn the_correction_is_that_of_statsmodels() {
        // fixtures/make_seal_tests.py
        let numbers = |text: &str| -> Vec<f64> { text.split(' ').map(|n| n.parse().unwrap()).collect() };
        for line in include_str!("../../../fixtures/holm.csv").lines().skip(1) {
            let (values, adjusted) = line.split_once(',').unwrap();
            let mut values = numbers(values);
            holm(&mut values);
            for (ours, theirs) in values.into_iter().zip(numbers(adjusted)) {
                assert!((ours - theirs).abs() < 1e-12, "{ours}, {theirs}");
            }
        }
    }
}
