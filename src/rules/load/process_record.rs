//! Whether a jar's process is on record, and the one way to say that it is not.

use crate::rules::load::verdict::Verdict;

/// What is said of a jar whose process is not on record, wherever it shows.
pub const NOT_ON_RECORD: &str = "process not on record";

/// Whether the process of a jar is on record, by the verdict on its load; none for a jar without
/// one, such as a jar kept elsewhere before. Ledgers are asked the same in SQL, which the tests hold to this.
///
/// A load that deviates has a process on record, one it did not keep: its jars are on hold. Where
/// nothing was tested there is none to be on record.
pub const fn is_on_record(verdict: Option<Verdict>) -> bool {
    match verdict {
        Some(Verdict::Meets | Verdict::MeetsOwn | Verdict::Deviates) => true,
        Some(Verdict::NotRecorded | Verdict::NoTestedProcess) | None => false,
    }
}

/// What follows other words about a jar, such as its state: nothing, or a comma and that its process is not on record.
pub fn after_comma(unrecorded: bool) -> String {
    if unrecorded { format!(", {NOT_ON_RECORD}") } else { String::new() }
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
            assert_eq!(after_comma(!on_record).is_empty(), on_record);
        }
    }
}
