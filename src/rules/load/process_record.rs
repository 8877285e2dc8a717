//! Whether a jar's process is on record, and the one way to mark a jar whose process no table confirms.

#[cfg(test)]
use crate::rules::load::verdict::Verdict;

/// What is said of a jar whose process is not on record, wherever it shows.
pub(crate) const NOT_ON_RECORD: &str = "process not on record";

/// Whether the process of a jar is on record, by the verdict on its load; none for a jar without
/// one, such as a jar kept elsewhere before. The ledger asks the same in SQL; the tests hold its answer to this one.
///
/// A load that deviates has a process on record, one it did not keep: its jars are on hold. Where
/// nothing was tested there is none to be on record.
#[cfg(test)]
pub(crate) const fn is_on_record(verdict: Option<Verdict>) -> bool {
    match verdict {
        Some(Verdict::Meets | Verdict::MeetsOwn | Verdict::Deviates) => true,
        Some(Verdict::NotRecorded | Verdict::NoTestedProcess) | None => false,
    }
}

/// What is said of a jar whose load met a process of the household's own, wherever it shows.
const OWN_PROCESS: &str = "own process, confirmed by no table";

/// The least of [`OWN_PROCESS`] that is said where room is short.
pub(crate) const OWN: &str = "own process";

/// What the household's word for a process begins with, wherever it shows.
const VOUCHED: &str = "your word";

/// What must be said of the process of a jar wherever it shows.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct ProcessMark {
    /// Whether it is not on record, and nobody vouched for it.
    pub unrecorded: bool,
    /// Whether it is the household's own.
    pub own_process: bool,
    /// The household's word for it, where it is not on record.
    pub vouched: Option<String>,
}

impl ProcessMark {
    /// The mark in words; none where a published process was met.
    pub(crate) fn in_words(&self) -> Option<String> {
        if let Some(word) = &self.vouched {
            return Some(format!("{VOUCHED}: {word}"));
        }
        let words = [(self.unrecorded, NOT_ON_RECORD), (self.own_process, OWN_PROCESS)];
        words.into_iter().find_map(|(is_so, words)| is_so.then(|| words.to_owned()))
    }

    /// The least that must be said of it where room is short; none where [`Self::in_words`] says it in few words.
    pub(crate) const fn in_short(&self) -> Option<&'static str> {
        if self.vouched.is_some() {
            Some(VOUCHED)
        } else if self.own_process {
            Some(OWN)
        } else {
            None
        }
    }

    /// What follows other words about a jar, such as its state: nothing, or a comma and the mark.
    pub(crate) fn after_comma(&self) -> String {
        self.in_words().map(|words| format!(", {words}")).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_process_is_on_record_where_a_load_was_held_against_one() {
        for (verdict, on_record) in [
            (Some(Verdict::Meets), true),
            (Some(Verdict::MeetsOwn), true),
            (Some(Verdict::Deviates), true),
            (Some(Verdict::NotRecorded), false),
            (Some(Verdict::NoTestedProcess), false),
            (None, false),
        ] {
            assert_eq!(is_on_record(verdict), on_record, "{verdict:?}");
        }
    }

    #[test]
    fn each_mark_has_its_words_and_a_published_process_none() {
        let mark = |unrecorded, own_process, vouched: Option<&str>| ProcessMark {
            unrecorded,
            own_process,
            vouched: vouched.map(str::to_owned),
        };
        assert_eq!(mark(false, false, None).after_comma(), "");
        assert_eq!(mark(true, false, None).after_comma(), ", process not on record");
        assert_eq!(mark(false, true, None).after_comma(), ", own process, confirmed by no table");
        assert_eq!(
            mark(false, false, Some("Aunt's notebook")).in_words().unwrap(),
            "your word: Aunt's notebook"
        );
    }
}
