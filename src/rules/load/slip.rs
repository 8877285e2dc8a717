//! Figures that no canner shows, and figures that a slip of the finger explains better than a run does.

use crate::values::kinds::method::Method;
use crate::values::measures::pressure::{Pressure, WEIGHTS, WEIGHTS_IN_WORDS};

/// Why no canner of this kind can have held a pressure, if none can.
///
/// A dial shows at most what [`Pressure`] takes; a weight beyond the heaviest there is would hold nothing back.
pub(crate) fn impossible_pressure(method: Method, given: Pressure) -> Option<String> {
    (method == Method::PressureWeighted && given > above_any_weight())
        .then(|| format!("{given} cannot be: a weighted gauge holds {WEIGHTS_IN_WORDS}"))
}

/// The heaviest weight, and what a rounded figure in kPa may add to it.
fn above_any_weight() -> Pressure {
    Pressure::from_centi_psi(WEIGHTS[2].centi_psi() + 50)
}

/// Whether a figure is so far from everything required that it looks mistyped: under half of the least, or over twice
/// the most. Where nothing is required, no figure does. (Common practice, no source: a digit lost or doubled is a
/// factor of ten, a figure of another question mostly one of two.)
pub(crate) fn looks_mistyped(given: i64, required: &[i64]) -> bool {
    match (required.iter().min(), required.iter().max()) {
        (Some(&least), Some(&most)) => given < least - least / 2 || given > most * 2,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Weights are 5, 10 and 15 psi (USDA AIB 539, Guide 1, Using Pressure Canners); 105 kPa is one of 15, rounded.
    #[test]
    fn no_weight_holds_more_than_the_heaviest() {
        let cannot = |method, psi: &str| impossible_pressure(method, psi.parse().unwrap()).is_some();
        for psi in ["25", "16", "30"] {
            assert!(cannot(Method::PressureWeighted, psi), "{psi}");
        }
        for psi in ["5", "10", "11", "15", "105kPa"] {
            assert!(!cannot(Method::PressureWeighted, psi), "{psi}");
        }
        assert!(!cannot(Method::PressureDial, "25"));
    }

    // By hand, for 20 min and for the pairs 20 and 35 min.
    #[test]
    fn a_lost_or_doubled_digit_looks_mistyped() {
        for (given, required, mistyped) in [
            (2, &[20][..], true),
            (9, &[20], true),
            (10, &[20], false),
            (40, &[20], false),
            (41, &[20], true),
            (200, &[20], true),
            (10, &[20, 35], false),
            (70, &[20, 35], false),
            (71, &[20, 35], true),
            (13, &[25], false),
            (12, &[25], true),
            (0, &[], false),
        ] {
            assert_eq!(looks_mistyped(given, required), mistyped, "{given} {required:?}");
        }
    }
}
