//! Where a jar stands, in words.

use crate::rules::jar::jar_state::JarState;

/// Words in the name of a place that is cold already.
const COLD: [&str; 4] = ["freez", "frozen", "fridge", "refrigerator"];

/// Where a jar in this state stands; none where nobody knows.
///
/// One that was frozen, chilled or opened has left the shelf it is on record for, unless that is a cold one.
pub(crate) fn kept_at(state: JarState, shelved: Option<&str>) -> Option<String> {
    let is_cold = |place: &str| COLD.iter().any(|cold| place.to_lowercase().contains(cold));
    match (state.cold_place(), shelved) {
        (Some(cold), Some(place)) if !is_cold(place) => Some(format!("{cold} (was on {place})")),
        (Some(cold), None) => Some(cold.to_owned()),
        (_, place) => place.map(str::to_owned),
    }
}

/// The same after a comma, or nothing.
pub(crate) fn at(state: JarState, shelved: Option<&str>) -> String {
    kept_at(state, shelved).map(|place| format!(", {place}")).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frozen_jar_stands_in_the_freezer_and_no_longer_on_its_shelf() {
        let text = |state, place| kept_at(state, place).unwrap_or_default();
        assert_eq!(text(JarState::Frozen, Some("Pantry middle")), "freezer (was on Pantry middle)");
        assert_eq!(text(JarState::Chilled, None), "refrigerator");
        assert_eq!(text(JarState::Opened, Some("Garage fridge")), "Garage fridge");
        assert_eq!(text(JarState::Sealed, Some("Pantry middle")), "Pantry middle");
        assert_eq!(at(JarState::Sealed, None), "");
    }
}
