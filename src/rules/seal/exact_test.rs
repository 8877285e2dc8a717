//! The tests behind the seal statistics: Wilson's interval, Fisher's exact test, Holm's correction.

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
    // At the ends the interval closes exactly; rounding would leave a hair open.
    let low = if count == 0.0 { 0.0 } else { (middle - spread) / whole };
    let high = if count == of { 1.0 } else { (middle + spread) / whole };
    (low, high)
}

/// Fisher's exact test, two-sided: the chance of a table as unlikely as this one or more, if
/// the group and the rest fail alike. `failed` of `checked` in the group, and in the rest.
///
/// Each table's chance is had from its neighbour's by a ratio of whole numbers, which keeps
/// fourteen digits where differences of log-gammas lose them; the passes are as many as
/// there are failed jars.
pub(crate) fn fisher(group: (u32, u32), rest: (u32, u32)) -> f64 {
    let [failed, checked, rest_failed, rest_checked] = [group.0, group.1, rest.0, rest.1].map(u64::from);
    let all_failed = failed + rest_failed;
    let lowest = all_failed.saturating_sub(rest_checked);
    let highest = all_failed.min(checked);
    // From k failures in the group to k + 1.
    let ratio = |k: u64| {
        let up = (all_failed - k) as f64 * (checked - k) as f64;
        up / ((k + 1) as f64 * (rest_checked + k + 1 - all_failed) as f64)
    };
    // Chances relative to that of the table at hand, so that "as unlikely" is a comparison with 1.
    let as_unlikely = 1.0 + 1e-12;
    let (mut all, mut unlikely) = (1.0, 1.0);
    let mut add = |chance: f64| {
        all += chance;
        if chance <= as_unlikely {
            unlikely += chance;
        }
    };
    let mut chance = 1.0;
    for k in failed..highest {
        chance *= ratio(k);
        add(chance);
    }
    chance = 1.0;
    for k in (lowest..failed).rev() {
        chance /= ratio(k);
        add(chance);
    }
    if all.is_finite() { unlikely / all } else { 0.0 }
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
    struct Row {
        failed: u32,
        checked: u32,
        rest_failed: u32,
        rest_checked: u32,
        p: f64,
        low: f64,
        high: f64,
    }

    #[test]
    fn tests_and_intervals_are_those_of_scipy() {
        // fixtures/make_seal_tests.py
        let grid = include_str!("../../../fixtures/seal_tests.csv");
        let mut rows = 0;
        for row in csv::Reader::from_reader(grid.as_bytes()).deserialize() {
            let row: Row = row.unwrap();
            let p = fisher((row.failed, row.checked), (row.rest_failed, row.rest_checked));
            let at = format!("{}/{} {}/{}", row.failed, row.checked, row.rest_failed, row.rest_checked);
            assert!((p - row.p).abs() < 1e-9, "{at}: {p}, {}", row.p);
            let (low, high) = wilson(row.failed, row.checked);
            assert!((low - row.low).abs() < 1e-9 && (high - row.high).abs() < 1e-9, "{at}: {low} {high}");
            rows += 1;
        }
        assert!(rows > 800, "{rows}");
    }

    #[test]
    fn small_chances_keep_their_digits_too() {
        let grid = include_str!("../../../fixtures/seal_tests.csv");
        for row in csv::Reader::from_reader(grid.as_bytes()).deserialize() {
            let row: Row = row.unwrap();
            let p = fisher((row.failed, row.checked), (row.rest_failed, row.rest_checked));
            assert!((p - row.p).abs() <= 1e-9 * row.p.max(1e-290), "{p}, {}", row.p);
        }
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
