//! What a label must say of a jar that is not simply sealed.

use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::keeps::Keeps;

/// The words a label carries for a jar that is not sealed and free of holds.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct LabelWarning {
    /// What holds of the jar; never cut.
    pub says: String,
    /// Why it is on hold, as far as there is room.
    pub because: Option<String>,
}

impl std::fmt::Display for LabelWarning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.because {
            Some(because) => write!(f, "{}: {because}", self.says),
            None => f.write_str(&self.says),
        }
    }
}

/// What a label must say of a jar; none for one that is sealed and free of holds.
///
/// A jar with such words gets a label only when asked for by name, so that nobody
/// takes the label for a clean bill.
pub(crate) fn label_warning<'h>(
    state: JarState,
    keeps: Keeps,
    holds: impl IntoIterator<Item = &'h str>,
) -> Option<LabelWarning> {
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
    let reasons: Vec<&str> = holds.into_iter().collect();
    let because = (!reasons.is_empty()).then(|| reasons.join("; "));
    let says = match (because.is_some(), state) {
        (true, Some(state)) => format!("DO NOT EAT, on hold; {state}"),
        (true, None) => "DO NOT EAT, on hold".to_owned(),
        (false, state) => state?.to_owned(),
    };
    Some(LabelWarning { says, because })
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
            assert!(held.says.starts_with("DO NOT EAT, on hold"), "{held}");
            assert_eq!(held.because.as_deref(), Some("gauge read high; lid lot"));
        }
        assert_eq!(
            label_warning(JarState::Cooling, Keeps::Undecided, ["weak vent"]).unwrap().to_string(),
            "DO NOT EAT, on hold; SEAL NOT CHECKED: weak vent"
        );
    }

    #[test]
    fn a_label_never_says_keep_of_a_jar_to_be_thrown_away() {
        for state in [JarState::Unsealed, JarState::Chilled, JarState::Opened] {
            let warning = label_warning(state, Keeps::Discard, []).unwrap();
            let warning = warning.to_string();
            assert!(warning.ends_with(": discard") && !warning.contains("keep"), "{warning}");
        }
    }
}
