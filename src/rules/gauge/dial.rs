//! What a dial must show for a pressure to be there, for whoever stands before it.

use chrono::NaiveDate;

use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::gauge::gauge_history::{tests_in_force, uncredited_by};
use crate::values::measures::pressure::Pressure;

/// What is known of the dial that a pressure is read on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dial {
    /// The reading is used as it stands: there is no dial, or it reads right, or it reads low, which only a verdict credits.
    AtItsWord,
    /// It reads high: only this reading is the pressure.
    High(Pressure),
    /// Too far off: no reading of it counts.
    Useless,
}

/// What the dial must show on a day for a true pressure, by the tests of one canner.
pub fn dial(tests: &[GaugeTest], day: NaiveDate, required: Pressure) -> Dial {
    if uncredited_by(tests, day).is_some() {
        return Dial::Useless;
    }
    let in_force = tests_in_force(tests, day);
    let reading = in_force.into_iter().filter_map(|test| test.target(required)).max();
    match reading {
        Some(reading) if reading > required => Dial::High(reading),
        _ => Dial::AtItsWord,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tested(on: &str, reads: &str, truly: &str) -> GaugeTest {
        let point = |text: &str| [text.parse().unwrap()];
        GaugeTest::new(on.parse().unwrap(), false, &point(reads), &point(truly)).unwrap()
    }

    #[test]
    fn only_a_dial_that_reads_high_must_show_more() {
        let day = "2026-08-14".parse().unwrap();
        let of = |tests: &[GaugeTest]| dial(tests, day, Pressure::from_psi(11));
        assert_eq!(of(&[]), Dial::AtItsWord);
        // Dial target = required + (reading - true), common practice, no source: 1 high, 11 asks for 12.
        assert_eq!(of(&[tested("2026-06-01", "10", "9")]), Dial::High(Pressure::from_psi(12)));
        assert_eq!(of(&[tested("2026-06-01", "10", "10.5")]), Dial::AtItsWord);
        // Extension dial-gauge guidance: more than 2 psi off means a new gauge; the judge credits no high one (gauge_history).
        assert_eq!(of(&[tested("2026-06-01", "10", "7.9")]), Dial::Useless);
        assert_eq!(of(&[tested("2026-06-01", "10", "13")]), Dial::AtItsWord);
    }
}
