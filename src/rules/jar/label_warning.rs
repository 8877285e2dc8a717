//! What a label must say of a jar that is not simply sealed.

use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::keeps::Keeps;

/// The words a label carries for a jar that is not sealed and free of holds; none for one that is.
///
/// A jar with such words gets a label only when asked for by name, so that nobody
/// takes the label for a clean bill.
pub fn label_warning<'h>(
    state: JarState,
    keeps: Keeps,
    holds: impl IntoIterator<Item = &'h str>,
) -> Option<String> {
    let is_over = keeps == Keeps::Discard;
    let state = match state {
        JarState::Sealed => None,
        JarState::Cooling => Some("SEAL NOT CHECKED"),
        JarState::Unsealed | JarState::Chilled if is_over => Some("NOT SEALED: discard"),
        JarState::Opened if is_over => Some("OPENED: discard"),
        JarState::Unsealed => Some("NOT SEALED"),
        JarState::Chilled => Some("NOT SEALED: keep in the refrigerator"),
        JarState::Frozen => Some("NOT SEALED: keep frozen"),
        JarState::Opened => Some("OPENED: keep in the refrigerator"),
        JarState::Missing => Some("MISSING at the last count"),
        JarState::Reprocessed => Some("CONTENTS PUT INTO A NEW LOAD"),
        JarState::Finished => Some("EATEN"),
        JarState::Given => Some("GIVEN AWAY"),
        JarState::Discarded => Some("THROWN AWAY"),
        JarState::Used => Some("USED IN ANOTHER BATCH"),
        JarState::Void => Some("VOID"),
    };
    let mut holds = holds.into_iter().peekable();
    let held = holds.peek().is_some().then(|| {
        let reasons: Vec<&str> = holds.collect();
        format!("ON HOLD, do not eat: {}", reasons.join("; "))
    });
    match (held, state) {
        (Some(held), Some(state)) => Some(format!("{held}; {state}")),
        (Some(held), None) => Some(held),
        (None, state) => state.map(str::to_owned),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_sealed_jar_without_a_hold_goes_without_words() {
        for &state in JarState::ALL {
            let keeps = Keeps::BestBy(chrono::NaiveDate::MAX);
            assert_eq!(label_warning(state, keeps, []).is_none(), state == JarState::Sealed, "{state}");
            let held = label_warning(state, keeps, ["gauge read high", "lid lot"]).unwrap();
            assert!(held.starts_with("ON HOLD, do not eat: gauge read high; lid lot"), "{held}");
        }
        assert_eq!(
            label_warning(JarState::Cooling, Keeps::Undecided, ["weak vent"]).unwrap(),
            "ON HOLD, do not eat: weak vent; SEAL NOT CHECKED"
        );
    }

    #[test]
    fn nobody_is_told_to_keep_what_is_to_be_thrown_away() {
        for state in [JarState::Unsealed, JarState::Chilled, JarState::Opened] {
            let told = label_warning(state, Keeps::Discard, []).unwrap();
            assert!(told.ends_with(": discard") && !told.contains("keep"), "{told}");
        }
    }
}
