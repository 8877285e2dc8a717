//! What the dial of a canner must show for a pressure to be there.

use chrono::NaiveDate;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::gauge::gauge_history::{is_untested, last_test, tests_in_force};
use crate::values::kinds::method::Method;
use crate::values::measures::in_words::owed;
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;
use crate::values::time::on_screen;

/// What is known of the gauge of one canner on one day.
pub(crate) struct Gauge {
    tests: Vec<GaugeTest>,
    today: NaiveDate,
    dial: bool,
    units: Units,
}

impl Gauge {
    /// Reads the tests of a canner's gauge.
    pub(crate) fn of(ledger: &Ledger, canner: &Canner, today: NaiveDate) -> Result<Self, LedgerError> {
        let tests = ledger.gauge_tests(canner)?.into_iter().map(|recorded| recorded.test).collect();
        Ok(Self { tests, today, dial: canner.method == Method::PressureDial, units: ledger.units()? })
    }

    /// The reading to aim at, in psi; none without a dial or a test, and where the gauge is to be replaced.
    pub(crate) fn target(&self, required: Pressure) -> Option<Pressure> {
        if !self.dial {
            return None;
        }
        let targets: Option<Vec<Pressure>> =
            tests_in_force(&self.tests, self.today).into_iter().map(|test| test.target(required)).collect();
        targets?.into_iter().max()
    }

    fn is_changed_today(&self) -> bool {
        self.tests.iter().any(|test| test.is_of_new_gauge() && test.date() == self.today)
    }

    /// What to say of the gauge beside a process that owes `required`; none without a dial.
    pub(crate) fn advice(&self, required: Pressure) -> Option<String> {
        if !self.dial {
            return None;
        }
        let tested = match last_test(&self.tests, self.today) {
            None => {
                return Some("its gauge was never tested: have it tested before you rely on it".to_owned());
            }
            Some(day) if is_untested(&self.tests, self.today) => {
                format!(
                    "its gauge was last tested on {}, more than a year ago: have it tested",
                    on_screen::day(day)
                )
            }
            Some(day) => format!("its gauge was tested on {}", on_screen::day(day)),
        };
        Some(match self.target(required) {
            Some(target) => {
                let why = if target > required {
                    format!(" for a true {}", owed(required, self.units))
                } else {
                    String::new()
                };
                format!("aim at a reading of {} or more{why}; {tested}", owed(target, self.units))
            }
            None if self.is_changed_today() => {
                "its gauge was changed today: a load of this day counts as read on either, and the one before was \
                 too far off to be corrected; begin tomorrow"
                    .to_owned()
            }
            None => format!("its gauge is too far off to be corrected: replace it; {tested}"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gauge(tests: &[(&str, &str, &str)], today: &str, dial: bool) -> Gauge {
        let tests = tests
            .iter()
            .map(|(day, reads, truly)| {
                let point = |text: &str| [text.parse().unwrap()];
                GaugeTest::new(day.parse().unwrap(), false, &point(reads), &point(truly)).unwrap()
            })
            .collect();
        Gauge { tests, today: today.parse().unwrap(), dial, units: Units::Us }
    }

    #[test]
    fn a_gauge_that_reads_high_is_aimed_higher_and_one_past_correction_is_replaced() {
        let owed = Pressure::from_psi(11);
        // Dial target = required + (reading - true), common practice, no source: needs 11, reads 1 high: 12.
        let high = gauge(&[("2031-06-01", "10", "9")], "2031-08-01", true);
        assert_eq!(high.target(owed), Some(Pressure::from_psi(12)));
        assert_eq!(
            high.advice(owed).unwrap(),
            "aim at a reading of 12 psi (82.8 kPa) or more for a true 11 psi (75.9 kPa); its gauge was tested on \
             2031-06-01"
        );
        // Extension dial-gauge guidance: more than 2 psi off means a new gauge; a test stands for a year.
        let broken = gauge(&[("2031-06-01", "10", "7.9")], "2031-08-01", true);
        assert_eq!(broken.target(owed), None);
        assert!(broken.advice(owed).unwrap().contains("replace it"));
        let stale = gauge(&[("2030-06-01", "10", "10")], "2031-08-01", true);
        assert!(stale.advice(owed).unwrap().contains("more than a year ago"));
        let never = gauge(&[], "2031-08-01", true);
        assert_eq!(never.target(owed), None);
        assert!(never.advice(owed).unwrap().contains("never tested"));
    }

    #[test]
    fn on_the_day_a_bad_gauge_was_changed_nothing_is_to_be_aimed_at() {
        let mut changed = gauge(&[("2031-06-01", "10", "7"), ("2031-08-01", "11", "11")], "2031-08-01", true);
        let fitted = [Pressure::from_psi(11)];
        changed.tests[1] = GaugeTest::new("2031-08-01".parse().unwrap(), true, &fitted, &fitted).unwrap();
        assert_eq!(changed.target(Pressure::from_psi(11)), None);
        assert!(changed.advice(Pressure::from_psi(11)).unwrap().contains("begin tomorrow"));
        changed.today = "2031-08-02".parse().unwrap();
        assert_eq!(changed.target(Pressure::from_psi(11)), Some(Pressure::from_psi(11)));
    }

    #[test]
    fn a_canner_without_a_dial_has_no_target() {
        let weight = gauge(&[], "2031-08-01", false);
        assert_eq!(
            (weight.target(Pressure::from_psi(10)), weight.advice(Pressure::from_psi(10))),
            (None, None)
        );
    }
}
