//! Which test of a canner's gauge a load is judged by.
//!
//! A load is judged by what is known of its gauge on both sides of it:
//!
//! 1. Only tests of the gauge that was fitted on the load's day count. A test
//!    marked as the first of a new gauge begins a gauge, on its own day; tests
//!    before it belong to the one before. On that day itself nobody knows which of
//!    the two the load was read on, so the tests of both count.
//! 2. Of those, the last test before the load's day, the tests of that very day,
//!    since nobody knows which came first, and the next test after it.
//! 3. The larger over-reading of these is in force, each taken at the load's
//!    reading. With no test at all the gauge is taken at its word, and the load
//!    carries a caution. That a gauge reads low is credited only where a test made
//!    before the load found it so.
//! 4. A gauge found to read more than 2 psi high is past correction: what it showed
//!    since its last test before that one counts for nothing, nor does anything it
//!    shows afterwards, until a new gauge is fitted.
//!
//! So a test re-judges every load since the test before it, that test's own day
//! included (or since the gauge was fitted), and no other: a gauge that read true in spring and 2 psi high the
//! next spring may have gone wrong on any day between. A later test that finds a
//! gauge true again does not mend what an earlier one found, except by a new
//! gauge.

use chrono::NaiveDate;

use crate::rules::gauge::dial_gauge::{GaugeError, GaugeTest};
use crate::values::measures::pressure::Pressure;
use crate::values::time::civil_day::add_months;

/// Months a test of a dial gauge stands for (extension dial-gauge guidance: every year and before first use).
const TEST_MONTHS: u32 = 12;

/// The error by which a reading taken on `load_day` is judged; none where the gauge was never tested.
///
/// `tests` are those of one canner, in any order.
pub(crate) fn error_in_force(
    tests: &[GaugeTest],
    load_day: NaiveDate,
    reading: Pressure,
) -> Option<GaugeError> {
    let in_force = tests_in_force(tests, load_day);
    let error = in_force.iter().map(|test| test.error_at(reading)).max()?;
    let was_known = in_force.iter().any(|test| test.date() < load_day);
    // Found out afterwards, it may have gone wrong after the load.
    Some(if was_known { error } else { error.max(GaugeError::NONE) })
}

/// The test by which what the gauge showed on `load_day` counts for nothing, if there is one.
pub(crate) fn uncredited_by(tests: &[GaugeTest], load_day: NaiveDate) -> Option<NaiveDate> {
    let in_force = tests_in_force(tests, load_day);
    let earlier = fitted(tests, load_day).into_iter().filter(|test| test.date() <= load_day);
    earlier.chain(in_force).filter(|test| test.reads_too_high()).map(GaugeTest::date).min()
}

/// Whether no test in force came anywhere near a reading; not so where there is no test.
pub(crate) fn is_outside_all(tests: &[GaugeTest], load_day: NaiveDate, reading: Pressure) -> bool {
    let in_force = tests_in_force(tests, load_day);
    !in_force.is_empty() && in_force.iter().all(|test| test.is_far_outside(reading))
}

/// The tests that speak for a load of `load_day`: the nearest before it, those of the day, and the nearest after it.
pub(crate) fn tests_in_force(tests: &[GaugeTest], load_day: NaiveDate) -> Vec<&GaugeTest> {
    let mut fitted = fitted(tests, load_day);
    let until = fitted.iter().map(|test| test.date()).filter(|&day| day > load_day).min();
    let since = fitted.iter().map(|test| test.date()).filter(|&day| day < load_day).max();
    fitted.retain(|test| {
        let day = Some(test.date());
        day == until || day == Some(load_day) || day == since
    });
    fitted
}

/// The last test on or before `load_day` of the gauge then fitted.
pub(crate) fn last_test(tests: &[GaugeTest], load_day: NaiveDate) -> Option<NaiveDate> {
    fitted(tests, load_day).iter().map(|test| test.date()).filter(|&day| day <= load_day).max()
}

/// Whether the gauge had no test within the year before `load_day`.
pub(crate) fn is_untested(tests: &[GaugeTest], load_day: NaiveDate) -> bool {
    last_test(tests, load_day).is_none_or(|day| add_months(day, TEST_MONTHS) < load_day)
}

/// The tests of the gauge that was on the canner on a day, of both where it was changed that day.
fn fitted(tests: &[GaugeTest], load_day: NaiveDate) -> Vec<&GaugeTest> {
    let changes = || tests.iter().filter(|test| test.is_of_new_gauge()).map(GaugeTest::date);
    let from = changes().filter(|&day| day < load_day).max();
    let before = changes().filter(|&day| day > load_day).min();
    // At either end, the mark says which test of that day is the new gauge's first, and so which is the old one's last.
    let of_this_gauge = |test: &&GaugeTest| {
        let (day, new) = (test.date(), test.is_of_new_gauge());
        from.is_none_or(|fitted| day > fitted || (day == fitted && new))
            && before.is_none_or(|change| day < change || (day == change && !new))
    };
    tests.iter().filter(of_this_gauge).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        NaiveDate::parse_from_str(text, "%Y-%m-%d").unwrap()
    }

    /// A test at 11 psi true, reading `hundredths` above it.
    fn test(on: &str, hundredths: i64, new_gauge: bool) -> GaugeTest {
        let reads = Pressure::from_centi_psi(1_100 + hundredths);
        GaugeTest::new(day(on), new_gauge, &[reads], &[Pressure::from_psi(11)]).unwrap()
    }

    fn in_force(tests: &[GaugeTest], on: &str) -> Option<i64> {
        error_in_force(tests, day(on), Pressure::from_psi(11)).map(GaugeError::centi_psi)
    }

    // Worked by hand on the rules at the head of this file.
    #[test]
    fn a_gauge_far_too_high_is_credited_with_nothing_since_its_last_good_test() {
        let tests =
            [test("2025-06-01", 0, false), test("2026-06-01", 201, false), test("2027-06-01", 0, false)];
        let by = |tests: &[GaugeTest], on: &str| uncredited_by(tests, day(on)).map(|day| day.to_string());
        let bad = Some("2026-06-01".to_owned());
        for (load, uncredited) in [
            ("2025-05-31", None),
            ("2025-06-01", bad.clone()),
            ("2025-06-02", bad.clone()),
            ("2026-06-01", bad.clone()),
            ("2026-06-02", bad.clone()),
            // A later test of the same gauge that finds it true mends nothing.
            ("2028-01-01", bad.clone()),
        ] {
            assert_eq!(by(&tests, load), uncredited, "{load}");
        }
        // 2 psi high may be corrected; a new gauge begins anew.
        assert_eq!(by(&[test("2026-06-01", 200, false)], "2026-07-01"), None);
        let renewed = [tests[1].clone(), test("2026-06-10", 0, true)];
        assert_eq!(by(&renewed, "2026-06-11"), None);
        assert_eq!(by(&renewed, "2026-06-09"), bad);
    }

    #[test]
    fn a_low_reading_is_credited_from_an_earlier_test_only() {
        let low = [test("2026-06-01", -100, false)];
        assert_eq!(in_force(&low, "2026-05-31"), Some(0));
        assert_eq!(in_force(&low, "2026-06-01"), Some(0));
        assert_eq!(in_force(&low, "2026-06-02"), Some(-100));
        let twice = [low[0].clone(), test("2027-06-01", -50, false)];
        assert_eq!(in_force(&twice, "2026-07-01"), Some(-50));
    }

    // Worked by hand on the rules at the head of this file.
    #[test]
    fn a_load_is_judged_by_the_tests_on_both_sides_of_it() {
        let tests =
            [test("2025-06-01", 0, false), test("2026-06-01", 200, false), test("2027-06-01", 50, false)];
        for (load, error) in [
            ("2025-05-31", 0),   // before the first test: that test
            ("2025-06-01", 200), // 0 on the day, +2 after
            ("2025-06-02", 200), // 0 before, +2 after
            ("2026-05-31", 200),
            ("2026-06-01", 200), // 0 before, +2 the same day, +0.5 after
            ("2026-06-02", 200), // +2 before, +0.5 after: the larger
            ("2027-06-01", 200), // +2 before, +0.5 the same day
            ("2027-06-02", 50),  // only the last test is left
            ("2030-01-01", 50),
        ] {
            assert_eq!(in_force(&tests, load), Some(error), "{load}");
        }
        let mut shuffled = tests.to_vec();
        shuffled.reverse();
        assert_eq!(in_force(&shuffled, "2026-01-01"), Some(200));
        assert_eq!(in_force(&[], "2026-01-01"), None);
    }

    #[test]
    fn a_test_on_the_day_of_a_load_does_not_shut_out_the_one_after_it() {
        let tests =
            [test("2025-06-01", 0, false), test("2026-06-01", 50, false), test("2027-06-01", 150, false)];
        // The gauge may have gone wrong between that day's test and that day's load.
        assert_eq!(in_force(&tests, "2026-06-01"), Some(150));
        // Two tests on one day: the worse.
        let twice = [test("2026-06-01", 50, false), test("2026-06-01", 100, false)];
        assert_eq!(in_force(&twice, "2026-06-01"), Some(100));
        assert_eq!(in_force(&twice, "2026-05-01"), Some(100));
        assert_eq!(in_force(&twice, "2026-07-01"), Some(100));
    }

    #[test]
    fn a_new_gauge_neither_takes_nor_gives_blame() {
        let tests = [
            test("2025-06-01", 0, false),
            test("2026-06-01", 300, false), // the old gauge's last test
            test("2026-06-01", -50, true),  // the new one's first, the same day
            test("2027-06-01", 100, false),
            test("2028-06-01", 0, true),
        ];
        for (load, error) in [
            ("2026-05-31", 300),
            ("2026-06-01", 300), // read on either gauge: +3 of the old one, -0.5 and +1 of the new one
            ("2026-06-02", 100), // -0.5 before, +1 after, and nothing of the old gauge
            ("2026-07-01", 100),
            ("2027-06-02", 100), // the gauge of 2028 says nothing of this one
            ("2028-06-01", 100), // +1 of the gauge taken off, 0 of the one put on
            ("2028-06-02", 0),
        ] {
            assert_eq!(in_force(&tests, load), Some(error), "{load}");
        }
        // A load before a first test that begins a gauge has no test at all.
        assert_eq!(in_force(&[test("2026-06-01", 0, true)], "2026-05-31"), None);
        assert_eq!(
            in_force(&[test("2026-06-01", 0, true), test("2027-06-01", 300, false)], "2026-05-31"),
            None
        );
        // Nor does the first test of a gauge before the last change speak for the one after it.
        let twice_changed = [test("2026-06-01", 100, true), test("2028-06-01", 0, true)];
        assert_eq!(in_force(&twice_changed, "2028-06-02"), Some(0));
        // On the day of a change either may have been read.
        assert_eq!(in_force(&twice_changed, "2028-06-01"), Some(100));
        assert_eq!(in_force(&twice_changed, "2026-06-01"), Some(100));
        assert_eq!(
            in_force(&[test("2026-06-01", 0, true), test("2026-06-01", 300, false)], "2026-05-31"),
            Some(300)
        );
    }

    #[test]
    fn the_error_is_taken_at_the_load_s_own_reading() {
        let reads = [Pressure::from_psi(6), Pressure::from_psi(12)];
        let truly = [Pressure::from_psi(6), Pressure::from_psi(11)];
        let tests = [GaugeTest::new(day("2026-06-01"), false, &reads, &truly).unwrap()];
        assert_eq!(error_in_force(&tests, day("2026-07-01"), Pressure::from_psi(6)), Some(GaugeError::NONE));
        // By hand: a third of the way from 0 to 1 psi high, 0.333, counted as 0.34.
        assert_eq!(
            error_in_force(&tests, day("2026-07-01"), Pressure::from_psi(8)),
            Some(GaugeError::from_centi_psi(34))
        );
    }

    // Extension dial-gauge guidance: tested every year and before the first use of a new one.
    #[test]
    fn a_test_stands_for_a_year() {
        let tests = [test("2024-02-29", 0, false)];
        assert!(is_untested(&tests, day("2024-02-28")));
        assert!(!is_untested(&tests, day("2024-02-29")));
        assert!(!is_untested(&tests, day("2025-02-28")));
        assert!(is_untested(&tests, day("2025-03-01")));
        assert!(is_untested(&[], day("2025-03-01")));
        // The old gauge's test does not speak for the new one.
        let changed = [test("2026-06-01", 0, false), test("2026-08-01", 0, true)];
        assert!(!is_untested(&changed, day("2026-07-31")));
        assert_eq!(last_test(&changed, day("2026-08-01")), Some(day("2026-08-01")));
        assert_eq!(last_test(&changed, day("2026-07-31")), Some(day("2026-06-01")));
        assert_eq!(last_test(&changed, day("2026-05-31")), None);
    }
}
