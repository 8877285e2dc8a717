//! Dial gauges: what a test found, what to do about it, and what a reading is worth.
//!
//! Figures, from university extension services' dial-gauge guidance (a gauge is
//! tested every year and before first use; an error of up to 2 psi either way may
//! be corrected, more than 2 psi means a new gauge; a gauge that reads high hides
//! a pressure too low). The correction, dial target = required + (reading − true),
//! is common practice, no source.
//!
//! # The error at a reading
//! A gauge is tested at a few readings only. A reading tested itself takes its own
//! error, at its worse where it was tested twice; between two tested readings the
//! error is interpolated, a part of a hundredth of a psi counting against the
//! gauge; outside them all the worst holds, the largest over-reading of all. A
//! gauge that reads low earns the difference only up to 2 psi; past that it is due
//! for replacement and not to be corrected, so its reading counts for no more than
//! it says. What a gauge that reads more than 2 psi high showed counts for nothing
//! (`gauge_history`).

use std::fmt;

use chrono::NaiveDate;

use crate::values::kinds::method::Method;
use crate::values::measures::pressure::{Pressure, WEIGHTS_IN_WORDS};
use crate::values::names::counted::counted;
use crate::values::names::named::named_enum;

/// The largest error that may be corrected, either way, in hundredths of a psi.
const CORRECTABLE: i64 = 200;

/// How far from every reading tested a gauge is said to be tested elsewhere, in hundredths of a psi; our own choice.
const FAR: i64 = 200;

/// The stricter figure for replacement that one page gives, in hundredths of a psi.
const STRICTER: i64 = 100;

/// The highest reading a [`Pressure`] holds, in hundredths of a psi.
const TOP_OF_DIAL: i64 = 3_000;

/// Most readings one test may hold.
const MAX_POINTS: usize = 50;

/// How far a gauge reads above the true pressure; below it if negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GaugeError(i64);

impl GaugeError {
    /// A gauge that reads true.
    pub(crate) const NONE: Self = Self(0);

    /// An error of hundredths of a psi.
    #[cfg(test)]
    pub(crate) const fn from_centi_psi(hundredths: i64) -> Self {
        Self(hundredths)
    }

    /// Hundredths of a psi.
    pub(crate) const fn centi_psi(self) -> i64 {
        self.0
    }

    /// Whether the error is past correction.
    pub(crate) const fn is_past_correction(self) -> bool {
        self.0.abs() > CORRECTABLE
    }

    /// The true pressure behind a reading.
    pub(crate) const fn true_pressure(self, reading: Pressure) -> Pressure {
        let credited = if self.0 < -CORRECTABLE { 0 } else { self.0 };
        Pressure::from_centi_psi(reading.centi_psi() - credited)
    }
}

impl fmt::Display for GaugeError {
    /// Writes `reads 2 psi high`, `reads 0.5 psi low` or `reads true`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = Pressure::from_centi_psi(self.0.abs());
        match self.0.signum() {
            0 => f.write_str("reads true"),
            1 => write!(f, "reads {size} high"),
            _ => write!(f, "reads {size} low"),
        }
    }
}

/// One reading of a gauge beside the true pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GaugePoint {
    /// What the dial read.
    pub reads: Pressure,
    /// What the pressure was.
    pub truly: Pressure,
}

impl GaugePoint {
    /// Reading less true pressure.
    pub const fn error(self) -> GaugeError {
        GaugeError(self.reads.centi_psi() - self.truly.centi_psi())
    }
}

/// One test of a dial gauge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GaugeTest {
    date: NaiveDate,
    new_gauge: bool,
    points: Vec<GaugePoint>,
}

/// Says why a gauge test cannot be recorded.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum GaugeTestError {
    /// The canner has no gauge to test.
    #[error("{0}")]
    NoDial(String),
    /// No reading.
    #[error("a gauge test needs at least one reading with its true pressure")]
    NoPoint,
    /// More readings than a dial has use for.
    #[error("a gauge test holds at most {MAX_POINTS} readings, not {0}")]
    TooManyPoints(usize),
    /// The two lists do not pair up.
    #[error(
        "{} and {} do not pair up",
        counted(*.reads, "reading", "readings"),
        counted(*.truly, "true pressure", "true pressures")
    )]
    Unpaired {
        /// Readings given.
        reads: usize,
        /// True pressures given.
        truly: usize,
    },
}

named_enum! {
    /// What to do with a gauge after its test.
    pub enum GaugeAdvice as "advice about a gauge" {
        /// Reads true at every tested point.
        Keep = "keep",
        /// Off by no more than 2 psi: aim at the corrected reading.
        Correct = "correct",
        /// Off by more than 2 psi: a new gauge.
        Replace = "replace",
    }
}

/// Checks that a canner has a gauge that can be tested.
///
/// # Errors
/// [`GaugeTestError::NoDial`] for a weighted or a boiling-water canner, with the reason.
pub(crate) fn needs_testing(method: Method) -> Result<(), GaugeTestError> {
    match method {
        Method::PressureDial => Ok(()),
        Method::PressureWeighted => Err(GaugeTestError::NoDial(format!(
            "a weighted gauge needs no test: the weight itself regulates, at {WEIGHTS_IN_WORDS}"
        ))),
        Method::Steam => Err(GaugeTestError::NoDial("a steam canner has no pressure gauge".to_owned())),
        Method::BoilingWater => Err(GaugeTestError::NoDial("a boiling-water canner has no gauge".to_owned())),
    }
}

impl GaugeTest {
    /// A test made on `date`; `new_gauge` where it is the first of a newly fitted gauge.
    ///
    /// # Errors
    /// [`GaugeTestError`] where the readings and true pressures do not make 1 to 50 pairs.
    pub fn new(
        date: NaiveDate,
        new_gauge: bool,
        reads: &[Pressure],
        truly: &[Pressure],
    ) -> Result<Self, GaugeTestError> {
        if reads.len() != truly.len() {
            return Err(GaugeTestError::Unpaired { reads: reads.len(), truly: truly.len() });
        }
        if reads.is_empty() {
            return Err(GaugeTestError::NoPoint);
        }
        if reads.len() > MAX_POINTS {
            return Err(GaugeTestError::TooManyPoints(reads.len()));
        }
        let points = reads.iter().zip(truly).map(|(&reads, &truly)| GaugePoint { reads, truly }).collect();
        Ok(Self { date, new_gauge, points })
    }

    /// The day of the test.
    pub const fn date(&self) -> NaiveDate {
        self.date
    }

    /// Whether the gauge was newly fitted.
    pub(crate) const fn is_of_new_gauge(&self) -> bool {
        self.new_gauge
    }

    /// The readings with their true pressures, as entered.
    pub fn points(&self) -> &[GaugePoint] {
        &self.points
    }

    /// The error that a reading of this gauge is judged by (see the module).
    pub(crate) fn error_at(&self, reading: Pressure) -> GaugeError {
        let below = self.points.iter().map(|point| point.reads).filter(|&reads| reads <= reading).max();
        let above = self.points.iter().map(|point| point.reads).filter(|&reads| reads >= reading).min();
        let worst_at = |reads: Option<Pressure>| {
            let at = |point: &&GaugePoint| reads.is_none_or(|reads| point.reads == reads);
            self.points.iter().filter(at).map(|point| point.error()).max().expect("a test holds a point")
        };
        match (below, above) {
            (Some(below), Some(above)) if below < above => {
                let (low, high) = (worst_at(Some(below)).0, worst_at(Some(above)).0);
                let (along, across) =
                    (reading.centi_psi() - below.centi_psi(), above.centi_psi() - below.centi_psi());
                // Rounded up: what is left over counts against the gauge.
                GaugeError(low - ((low - high) * along).div_euclid(across))
            }
            (Some(itself), Some(_)) => worst_at(Some(itself)),
            _ => worst_at(None),
        }
    }

    /// Whether a reading lies more than 2 psi outside those tested, so that its error is assumed, not known.
    pub(crate) fn is_far_outside(&self, reading: Pressure) -> bool {
        let off = || self.points.iter().map(|point| reading.centi_psi() - point.reads.centi_psi());
        off().all(|off| off > FAR) || off().all(|off| off < -FAR)
    }

    /// Whether the gauge was found to read high by more than may be corrected.
    pub(crate) fn reads_too_high(&self) -> bool {
        self.points.iter().any(|point| point.error().0 > CORRECTABLE)
    }

    /// The error furthest from the truth, either way.
    pub fn worst(&self) -> GaugeError {
        let errors = self.points.iter().map(|point| point.error());
        errors.max_by_key(|error| (error.0.abs(), error.0)).expect("a test holds at least one point")
    }

    /// Keep, correct or replace.
    pub fn advice(&self) -> GaugeAdvice {
        match self.worst() {
            GaugeError::NONE => GaugeAdvice::Keep,
            worst if worst.is_past_correction() => GaugeAdvice::Replace,
            _ => GaugeAdvice::Correct,
        }
    }

    /// A stricter figure that speaks for replacing a gauge this test would keep or correct.
    pub(crate) fn stricter_advice(&self) -> Option<&'static str> {
        let size = self.worst().0.abs();
        (STRICTER..=CORRECTABLE).contains(&size).then_some(
            "one page gives a stricter figure, to replace a gauge that is off by 1 psi or more; \
             that is not confirmed",
        )
    }

    /// The lowest reading from which every higher one gives at least `required`, if the gauge may be corrected.
    pub fn target(&self, required: Pressure) -> Option<Pressure> {
        if self.advice() == GaugeAdvice::Replace {
            return None;
        }
        let falls_short = |&reading: &i64| {
            let reading = Pressure::from_centi_psi(reading);
            self.error_at(reading).true_pressure(reading) < required
        };
        let last_short = (0..=TOP_OF_DIAL).rev().find(falls_short).unwrap_or(-1);
        (last_short < TOP_OF_DIAL).then(|| Pressure::from_centi_psi(last_short + 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn psi(text: &str) -> Pressure {
        text.parse().unwrap()
    }

    fn test_of(points: &[(&str, &str)]) -> GaugeTest {
        let reads: Vec<_> = points.iter().map(|(reads, _)| psi(reads)).collect();
        let truly: Vec<_> = points.iter().map(|(_, truly)| psi(truly)).collect();
        GaugeTest::new(NaiveDate::from_ymd_opt(2026, 6, 1).unwrap(), false, &reads, &truly).unwrap()
    }

    // Extension dial-gauge guidance: up to 2 psi either way may be corrected, more means a new gauge.
    #[test]
    fn two_psi_is_kept_and_two_point_one_replaced() {
        for (reads, truly, advice) in [
            ("10", "10", GaugeAdvice::Keep),
            ("10", "9.99", GaugeAdvice::Correct),
            ("12", "10", GaugeAdvice::Correct),
            ("12.01", "10", GaugeAdvice::Replace),
            ("12.1", "10", GaugeAdvice::Replace),
            ("8", "10", GaugeAdvice::Correct),
            ("7.99", "10", GaugeAdvice::Replace),
        ] {
            assert_eq!(test_of(&[(reads, truly)]).advice(), advice, "{reads} for {truly}");
        }
        // One bad point is enough.
        assert_eq!(test_of(&[("5", "5"), ("10", "10"), ("15", "12.5")]).advice(), GaugeAdvice::Replace);
    }

    #[test]
    fn the_stricter_figure_is_named_between_one_and_two_psi() {
        for (reads, is_named) in
            [("10", false), ("10.99", false), ("11", true), ("9", true), ("12", true), ("12.01", false)]
        {
            let advice = test_of(&[(reads, "10")]).stricter_advice();
            assert_eq!(advice.is_some_and(|text| text.contains("off by 1 psi or more")), is_named, "{reads}");
        }
    }

    // Dial target = required + (reading - true): common practice, no source. Needs 11, reads 1 high: 12.
    #[test]
    fn the_target_is_the_requirement_and_the_error() {
        assert_eq!(test_of(&[("11", "10")]).target(psi("11")), Some(psi("12")));
        assert_eq!(test_of(&[("10", "10")]).target(psi("11")), Some(psi("11")));
        assert_eq!(test_of(&[("10", "11.5")]).target(psi("11")), Some(psi("9.5")));
        assert_eq!(test_of(&[("13", "10")]).target(psi("11")), None);
        // True at 10 and 2 high at 15, so 0.4 high for each psi between; below 10 the worst holds, 2 high. For a true 11,
        // by hand: r - 0.4 (r - 10) = 11, r = 11.67; for a true 10 a dial of 10 will do, and less will not.
        assert_eq!(test_of(&[("10", "10"), ("15", "13")]).target(psi("11")), Some(psi("11.67")));
        assert_eq!(test_of(&[("10", "10"), ("15", "13")]).target(psi("10")), Some(psi("10")));
        assert_eq!(test_of(&[("30", "29")]).target(psi("30")), None);
        assert_eq!(test_of(&[("30", "29")]).target(psi("29")), Some(psi("30")));
        assert_eq!(test_of(&[("30", "29.99")]).target(psi("30")), None);
        assert_eq!(test_of(&[("2", "2")]).target(psi("0")), Some(psi("0")));
        assert_eq!(test_of(&[("2", "2")]).target(psi("0.01")), Some(psi("0.01")));
    }

    #[test]
    fn between_two_tested_readings_the_error_is_interpolated_and_outside_them_the_worst_holds() {
        // By hand: 5 reads 1 high, 10 reads 0.5 low, 15 reads 1.5 high; so -0.3 for each psi from 5 to 10, and +0.4 from
        // 10 to 15. 7 psi: 1 - 0.6 = 0.4; 11 psi: -0.5 + 0.4 = -0.1; 10.01 psi: -0.496, counted as -0.49.
        let gauge = test_of(&[("15", "13.5"), ("5", "4"), ("10", "10.5")]);
        for (reading, error) in [
            ("5", 100),
            ("10", -50),
            ("15", 150),
            ("7", 40),
            ("10.01", -49),
            ("11", -10),
            ("3", 150),
            ("16", 150),
        ] {
            assert_eq!(gauge.error_at(psi(reading)), GaugeError(error), "{reading}");
        }
        assert!(gauge.is_far_outside(psi("2.99")) && gauge.is_far_outside(psi("17.01")));
        assert!(!gauge.is_far_outside(psi("3")) && !gauge.is_far_outside(psi("11")));
        assert!(test_of(&[("5", "5")]).is_far_outside(psi("11")));
        // The same reading tested twice counts at its worse.
        assert_eq!(test_of(&[("10", "10"), ("10", "9")]).error_at(psi("10")), GaugeError(100));
        // One point speaks for the whole dial.
        assert_eq!(test_of(&[("10", "9")]).error_at(psi("14")), GaugeError(100));
    }

    #[test]
    fn a_gauge_past_correction_earns_nothing_for_reading_low() {
        assert_eq!(GaugeError(-200).true_pressure(psi("9")), psi("11"));
        assert_eq!(GaugeError(-201).true_pressure(psi("9")), psi("9"));
        assert_eq!(GaugeError(300).true_pressure(psi("13")), psi("10"));
        assert_eq!(GaugeError::from_centi_psi(50).true_pressure(psi("11")).centi_psi(), 1_050);
        assert_eq!(GaugeError(50).centi_psi(), 50);
    }

    #[test]
    fn an_error_is_put_in_words() {
        for (error, words) in [(200, "reads 2 psi high"), (-50, "reads 0.5 psi low"), (0, "reads true")] {
            assert_eq!(GaugeError(error).to_string(), words);
        }
    }

    #[test]
    fn a_test_needs_pairs_and_a_dial() {
        let make =
            |reads: &[Pressure], truly: &[Pressure]| GaugeTest::new(NaiveDate::MIN, true, reads, truly);
        let ten = psi("10");
        assert_eq!(make(&[], &[]), Err(GaugeTestError::NoPoint));
        assert_eq!(make(&[ten, ten], &[ten]), Err(GaugeTestError::Unpaired { reads: 2, truly: 1 }));
        assert_eq!(make(&[ten; 51], &[ten; 51]), Err(GaugeTestError::TooManyPoints(51)));
        let kept = make(&[ten; 50], &[ten; 50]).unwrap();
        assert_eq!((kept.points().len(), kept.date(), kept.is_of_new_gauge()), (50, NaiveDate::MIN, true));
        assert!(!test_of(&[("10", "10")]).is_of_new_gauge());
        assert_eq!(needs_testing(Method::PressureDial), Ok(()));
        let message = needs_testing(Method::PressureWeighted).unwrap_err().to_string();
        assert!(message.contains("needs no test") && message.contains("5, 10 or 15"), "{message}");
        assert!(needs_testing(Method::BoilingWater).unwrap_err().to_string().contains("no gauge"));
    }

    #[test]
    fn the_worst_error_is_the_furthest_either_way() {
        assert_eq!(test_of(&[("5", "6.5"), ("10", "9"), ("15", "15")]).worst(), GaugeError(-150));
        assert_eq!(test_of(&[("5", "6"), ("10", "9")]).worst(), GaugeError(100));
        assert_eq!(test_of(&[("10", "9"), ("5", "6")]).worst(), GaugeError(100));
    }

    proptest! {
        #[test]
        fn the_error_in_use_lies_between_those_tested_around_it(
            points in proptest::collection::vec((0_i64..3_000, 0_i64..3_000), 1..6),
            reading in 0_i64..3_000,
        ) {
            let reads: Vec<_> = points.iter().map(|p| Pressure::from_centi_psi(p.0)).collect();
            let truly: Vec<_> = points.iter().map(|p| Pressure::from_centi_psi(p.1)).collect();
            let test = GaugeTest::new(NaiveDate::MIN, false, &reads, &truly).unwrap();
            let used = test.error_at(Pressure::from_centi_psi(reading)).centi_psi();
            let errors = || points.iter().map(|p| p.0 - p.1);
            prop_assert!(used <= errors().max().unwrap());
            let is_outside = points.iter().all(|p| p.0 < reading) || points.iter().all(|p| p.0 > reading);
            if is_outside {
                prop_assert_eq!(used, errors().max().unwrap());
            } else {
                let below = points.iter().filter(|p| p.0 <= reading).map(|p| p.0).max().unwrap();
                let above = points.iter().filter(|p| p.0 >= reading).map(|p| p.0).min().unwrap();
                let around = points.iter().filter(|p| p.0 == below || p.0 == above).map(|p| p.0 - p.1);
                prop_assert!(used >= around.min().unwrap());
            }
        }

        #[test]
        fn a_target_reached_gives_the_pressure_required(
            errors in proptest::collection::vec((0_i64..2_500, -200_i64..=200), 1..5),
            required in 500_i64..1_500,
        ) {
            let reads: Vec<_> = errors.iter().map(|e| Pressure::from_centi_psi(e.0)).collect();
            let truly: Vec<_> = errors.iter().map(|e| Pressure::from_centi_psi(e.0 - e.1)).collect();
            let test = GaugeTest::new(NaiveDate::MIN, false, &reads, &truly).unwrap();
            let required = Pressure::from_centi_psi(required);
            let target = test.target(required).unwrap();
            for above in [0, 1, 50, 300, 1_000] {
                let reading = Pressure::from_centi_psi((target.centi_psi() + above).min(3_000));
                prop_assert!(test.error_at(reading).true_pressure(reading) >= required);
            }
        }
    }
}
