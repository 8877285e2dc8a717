//! Jars that are not to be trusted.

use crate::rules::jar::jar_state::JarState;
use crate::rules::spoilage::signs::Closure;
use crate::tables::spoilage::{Sign, Stage};

/// Signs under which a jar on the shelf holds its seal no more: it leaks, is cracked, or its lid is loose.
const UNSEALED_BY: [&str; 3] = ["S02", "S03", "S04"];

/// Whether a jar thrown away still holds its seal, by its state and the sign seen.
///
/// A lid not checked yet counts as sealed, unless the sign says otherwise: the jar
/// is not opened to find out.
pub fn closure(state: JarState, sign: Option<&Sign>) -> Closure {
    let seen_open = sign
        .is_some_and(|sign| sign.stage != Stage::BeforeOpening || UNSEALED_BY.contains(&sign.id.as_str()));
    match state {
        _ if seen_open => Closure::Open,
        JarState::Unsealed | JarState::Opened | JarState::Chilled | JarState::Frozen => Closure::Open,
        JarState::Cooling
        | JarState::Sealed
        | JarState::Reprocessed
        | JarState::Finished
        | JarState::Given
        | JarState::Discarded
        | JarState::Missing
        | JarState::Used
        | JarState::Void => Closure::Sealed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::spoilage::all;

    fn sign(id: &str) -> &'static Sign {
        all().iter().find(|sign| sign.id == id).unwrap()
    }

    // AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food: sealed jars, even swollen, stay
    // closed; unsealed, open or leaking ones are boiled first.
    #[test]
    fn only_a_jar_that_is_open_or_leaks_counts_as_open() {
        assert_eq!(closure(JarState::Sealed, None), Closure::Sealed);
        assert_eq!(closure(JarState::Sealed, Some(sign("S01"))), Closure::Sealed, "swollen");
        assert_eq!(closure(JarState::Cooling, Some(sign("S06"))), Closure::Sealed, "bubbles");
        assert_eq!(closure(JarState::Sealed, Some(sign("S02"))), Closure::Open, "leaks");
        assert_eq!(closure(JarState::Sealed, Some(sign("S14"))), Closure::Open, "spurts on opening");
        for state in [JarState::Unsealed, JarState::Opened, JarState::Chilled, JarState::Frozen] {
            assert_eq!(closure(state, None), Closure::Open, "{state}");
        }
    }

    #[test]
    fn the_signs_of_a_lost_seal_are_those_of_the_table() {
        let look_of = |id| sign(id).sign.to_lowercase();
        assert!(look_of("S02").contains("leaks") && look_of("S03").contains("cracked"));
        assert!(look_of("S04").contains("seal is lost"));
    }
}
