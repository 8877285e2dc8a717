//! Measures in words, those of the household's system first and the others beside them.

use crate::values::measures::altitude::Altitude;
use crate::values::measures::pounds::Pounds;
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;

/// Centimetres in an inch, exactly.
const CM_PER_INCH: f64 = 2.54;

/// A pressure that is owed: `11 psi (75.9 kPa)`, the kilopascals never rounded below it.
pub(crate) fn owed(pressure: Pressure, units: Units) -> String {
    in_order(pressure.to_string(), format!("{} kPa", kilopascals(pressure)), units)
}

fn in_order(us: String, metric: String, units: Units) -> String {
    match units {
        Units::Us => format!("{us} ({metric})"),
        Units::Metric => format!("{metric} ({us})"),
    }
}

/// The kilopascals of a pressure that is owed, rounded up to a tenth.
pub(crate) fn kilopascals(pressure: Pressure) -> String {
    format!("{:.1}", (pressure.kilopascals() * 10.0).ceil() / 10.0)
}

/// A length: `1 in (2.5 cm)`.
pub(crate) fn inches(inches: f64, units: Units) -> String {
    in_order(format!("{inches} in"), format!("{:.1} cm", inches * CM_PER_INCH), units)
}

/// A height, as entered and in the other unit: `500 ft (152 m)`.
pub(crate) fn height(altitude: Altitude) -> String {
    let entered = altitude.to_string();
    match entered.strip_suffix("ft") {
        Some(feet) => format!("{feet} ft ({:.0} m)", altitude.feet() * 0.3048),
        None => format!("{} m ({:.0} ft)", entered.trim_end_matches('m'), altitude.feet()),
    }
}

/// A weight of produce to bring home, as a kitchen weighs: `24 lb (10.9 kg)`, `3 lb 12 oz (1.7 kg)`.
///
/// Rounded up, to 4 oz below 10 lb and to whole pounds from there.
pub(crate) fn weight(weight: Pounds, units: Units) -> String {
    let quarters = weight.hundredths().div_ceil(25);
    let us = match (quarters / 4, quarters % 4) {
        (pounds @ 10.., over) => format!("{} lb", pounds + u32::from(over > 0)),
        (pounds, 0) => format!("{pounds} lb"),
        (0, over) => format!("{} oz", 4 * over),
        (pounds, over) => format!("{pounds} lb {} oz", 4 * over),
    };
    in_order(us, format!("{:.1} kg", weight.kilograms()), units)
}

/// A length of time: `45 minutes`, `2 h 5 min`.
pub(crate) fn time(minutes: u32) -> String {
    match minutes {
        1 => "1 minute".to_owned(),
        ..60 => format!("{minutes} minutes"),
        _ => short_time(minutes),
    }
}

/// The same where there is little room: `45 min`, `2 h 5 min`.
pub(crate) fn short_time(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_other_measures_stand_beside_those_of_the_household() {
        // NIST SP 811, Appendix B: 11 psi = 75.842 kPa, 10 psi = 68.948 kPa; owed, so rounded up.
        assert_eq!(owed(Pressure::from_psi(11), Units::Us), "11 psi (75.9 kPa)");
        assert_eq!(owed(Pressure::from_psi(10), Units::Us), "10 psi (69.0 kPa)");
        // 1.25 in x 2.54 = 3.175 cm; 24 lb x 0.45359237 = 10.886 kg.
        assert_eq!(inches(1.25, Units::Us), "1.25 in (3.2 cm)");
        assert_eq!(weight("24".parse().unwrap(), Units::Us), "24 lb (10.9 kg)");
        assert_eq!(weight("24".parse().unwrap(), Units::Metric), "10.9 kg (24 lb)");
        // 37.72 lb x 0.45359237 = 17.11 kg, 3.67 lb = 1.66 kg, 0.3 lb = 0.14 kg.
        for (given, words) in [
            ("37.72", "38 lb (17.1 kg)"),
            ("3.67", "3 lb 12 oz (1.7 kg)"),
            ("9.8", "10 lb (4.4 kg)"),
            ("0.3", "8 oz (0.1 kg)"),
            ("0", "0 lb (0.0 kg)"),
        ] {
            assert_eq!(weight(given.parse().unwrap(), Units::Us), words);
        }
        assert_eq!(owed(Pressure::from_psi(11), Units::Metric), "75.9 kPa (11 psi)");
        // 1 ft = 0.3048 m: 500 ft = 152.4 m; 260 m = 853.02 ft.
        let words = |text: &str| height(text.parse().unwrap());
        assert_eq!(words("500ft"), "500 ft (152 m)");
        assert_eq!(words("260m"), "260 m (853 ft)");
        assert_eq!((time(1), time(59), time(60), time(125)), {
            ("1 minute".into(), "59 minutes".into(), "1 h".into(), "2 h 5 min".into())
        });
    }
}
