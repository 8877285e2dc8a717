//! Jar numbers given in one go: `3,5-7` after a batch code.

use crate::values::codes::jar_code::plain_number;

/// Most jars one list may name; far above any batch, far below a machine's memory.
const MAX_JARS: usize = 10_000;

/// Jar numbers of one batch, each once, ascending, never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JarList(Vec<u32>);

/// Says why a text is not a list of jar numbers.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum JarListError {
    /// A part is neither a number nor a range.
    #[error("\u{201c}{part}\u{201d} is not a jar number or a range of them; write jars like 3,5-7")]
    Part {
        /// The part that was not understood.
        part: String,
    },
    /// A range runs backwards.
    #[error("the range \u{201c}{part}\u{201d} runs backwards; write {smaller}-{larger}")]
    Backwards {
        /// The range as given.
        part: String,
        /// The number it ends with.
        smaller: u32,
        /// The number it begins with.
        larger: u32,
    },
    /// More jars than one list may name.
    #[error("\u{201c}{given}\u{201d} names more than {MAX_JARS} jars")]
    TooMany {
        /// The text given.
        given: String,
    },
}

impl JarList {
    /// The numbers, ascending.
    pub fn numbers(&self) -> &[u32] {
        &self.0
    }
}

impl std::str::FromStr for JarList {
    type Err = JarListError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        let mut numbers = Vec::new();
        for part in given.split(',').map(str::trim) {
            let refuse = || JarListError::Part { part: part.to_owned() };
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let first = plain_number(first.trim()).ok_or_else(refuse)?;
            let last = plain_number(last.trim()).ok_or_else(refuse)?;
            if first > last {
                return Err(JarListError::Backwards { part: part.to_owned(), smaller: last, larger: first });
            }
            let room = MAX_JARS - numbers.len();
            if (last - first) as usize >= room {
                return Err(JarListError::TooMany { given: given.to_owned() });
            }
            numbers.extend(first..=last);
        }
        numbers.sort_unstable();
        numbers.dedup();
        Ok(Self(numbers))
    }
}

impl std::fmt::Display for JarList {
    /// Writes the shortest form: runs of three or more as a range.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut parts = Vec::new();
        for run in self.0.chunk_by(|a, b| a + 1 == *b) {
            match run {
                [first, .., last] if run.len() > 2 => parts.push(format!("{first}-{last}")),
                few => parts.extend(few.iter().map(u32::to_string)),
            }
        }
        f.pad(&parts.join(","))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn list(text: &str) -> Result<Vec<u32>, JarListError> {
        text.parse::<JarList>().map(|list| list.numbers().to_vec())
    }

    #[test]
    fn numbers_and_ranges_come_back_ascending_and_once() {
        assert_eq!(list("3,5-7"), Ok(vec![3, 5, 6, 7]));
        assert_eq!(list(" 7 , 1 - 3, 2"), Ok(vec![1, 2, 3, 7]));
        assert_eq!(list("4-4"), Ok(vec![4]));
        assert_eq!(list("007"), Ok(vec![7]));
        assert_eq!(list("9999999"), Ok(vec![9_999_999]));
    }

    #[test]
    fn whatever_is_not_a_jar_number_is_refused_by_name() {
        for wrong in
            ["", ",", "3,", "0", "0-3", "-3", "3-", "3--5", "x", "3;5", "\u{663}", "10000000", "1-2-3"]
        {
            assert!(matches!(list(wrong), Err(JarListError::Part { .. })), "{wrong}");
        }
        assert_eq!(
            list("7-5").unwrap_err().to_string(),
            "the range \u{201c}7-5\u{201d} runs backwards; write 5-7"
        );
    }

    #[test]
    fn a_list_never_grows_past_its_bound() {
        assert_eq!(list("1-10000").map(|jars| jars.len()), Ok(10_000));
        assert!(matches!(list("1-10001"), Err(JarListError::TooMany { .. })));
        assert!(matches!(list("1-9999999"), Err(JarListError::TooMany { .. })));
        assert!(matches!(list("1-10000,1"), Err(JarListError::TooMany { .. })));
        assert_eq!(list("1-9999,1").map(|jars| jars.len()), Ok(9_999));
    }

    #[test]
    fn a_list_is_written_as_a_person_would() {
        for (given, written) in [("1,2,3,5", "1-3,5"), ("5,6", "5,6"), ("9,7,8,1", "1,7-9"), ("4", "4")] {
            assert_eq!(given.parse::<JarList>().unwrap().to_string(), written);
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
            let _ = text.parse::<JarList>();
        }

        #[test]
        fn what_is_written_reads_back_the_same(numbers in proptest::collection::btree_set(1_u32..60, 1..30)) {
            let written = JarList(numbers.into_iter().collect());
            prop_assert_eq!(written.to_string().parse::<JarList>(), Ok(written));
        }
    }
}
