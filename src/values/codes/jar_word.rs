//! Words that name jars: `26-041-03-3`, or `26-041` and then `3,5-7`.
//!
//! Which words belong together is settled against the ledger; here each is read alone.

use std::str::FromStr;

use crate::values::codes::jar_code::{BatchCode, CodeError, JarCode, in_link};
use crate::values::codes::jar_list::{JarList, JarListError};
use crate::values::codes::load_code::LoadCode;

/// One word of a command line that names jars.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JarWord {
    /// A whole jar code.
    Jar(JarCode),
    /// What has the shape of a jar code but not its check digit.
    WrongCheck(WrongCheck),
    /// A batch; numbers may follow.
    Batch(BatchCode),
    /// Numbers within the batch named before.
    Numbers(JarList),
    /// `10-100`: a batch, or the jars 10 to 100 of the batch named before.
    Either(BatchCode, JarList),
    /// `26-7`: the jars 26 to 7 of the batch named before, or where none is, a batch.
    Range(BatchCode, JarList),
    /// `26-041-3`: a jar without its check digit.
    Unchecked(JarCode),
    /// `26-041-3,5-7`: a batch and its jars in one word.
    Of(BatchCode, JarList),
    /// Everyday words for what is in the jar.
    Product(String),
}

/// A jar code as typed whose check digit does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrongCheck {
    /// The text.
    pub given: String,
    /// What it says apart from the check digit.
    pub code: JarCode,
    /// The check digit it has.
    pub check: u8,
}

/// Says why a word names no jar.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum JarWordError {
    /// Neither a code nor numbers.
    #[error(
        "\u{201c}{0}\u{201d} is not a jar code; write a jar like 26-041-03-3, or a batch and its jars like 26-041 3,5-7"
    )]
    Shape(String),
    /// A load, where a jar is wanted.
    #[error("\u{201c}{0}\u{201d} is a load; write a jar of its batch like 26-041-03-3 or 26-041-3")]
    Load(String),
    /// Numbers, but not a list of them.
    #[error(transparent)]
    List(#[from] JarListError),
}

impl FromStr for JarWord {
    type Err = JarWordError;

    fn from_str(given: &str) -> Result<Self, JarWordError> {
        let typed = with_hyphens(in_link(given.trim()));
        let text = typed.as_str();
        match text.parse::<JarCode>() {
            Ok(code) => return Ok(Self::Jar(code)),
            Err(CodeError::CheckDigit { .. }) => {
                let (rest, check) = text.rsplit_once('-').expect("a code with a check digit has hyphens");
                let check = check.parse().expect("a check digit is one digit");
                let code = (0..=9)
                    .find_map(|digit| format!("{rest}-{digit}").parse().ok())
                    .expect("one of the ten check digits fits");
                return Ok(Self::WrongCheck(WrongCheck { given: text.to_owned(), code, check }));
            }
            Err(CodeError::Shape { .. }) => {}
        }
        if let Some(word) = numbered_zero(text) {
            return Ok(word);
        }
        if let Some(code) = unchecked(text) {
            return Ok(Self::Unchecked(code));
        }
        if let Some((batch, list)) = batch_and_jars(text) {
            return Ok(Self::Of(batch, list));
        }
        let batch = text.parse::<BatchCode>();
        let list = text.parse::<JarList>();
        // A batch is always printed with three digits or more; `10-12` is the jars 10 to 12.
        let padded = text.split_once('-').is_some_and(|(_, number)| number.len() >= 3);
        let leading_zero = text.split_once('-').is_some_and(|(_, number)| number.starts_with('0'));
        match (batch, list) {
            (Ok(batch), Ok(list)) if padded && !leading_zero => Ok(Self::Either(batch, list)),
            (Ok(batch), _) if padded => Ok(Self::Batch(batch)),
            (Ok(batch), Ok(list)) => Ok(Self::Range(batch, list)),
            (Err(_), Ok(list)) => Ok(Self::Numbers(list)),
            (Ok(batch), Err(_)) => Ok(Self::Batch(batch)),
            (Err(_), Err(error)) if text.starts_with(|c: char| c.is_ascii_digit()) && text.contains(',') => {
                Err(error.into())
            }
            (Err(_), Err(_)) if text.starts_with(char::is_alphabetic) => Ok(Self::Product(text.to_owned())),
            (Err(_), Err(_)) if text.parse::<LoadCode>().is_ok() => Err(JarWordError::Load(given.to_owned())),
            (Err(_), Err(_)) => Err(JarWordError::Shape(given.to_owned())),
        }
    }
}

/// A code as others write it with its hyphens: `#26-007-3`, `26.7.3`, `26_007_3`, and dashes that a page sets for them.
fn with_hyphens(text: &str) -> String {
    let code = text.trim_start_matches('#').trim_end_matches('.');
    if code.starts_with(|c: char| c.is_ascii_digit()) {
        code.replace(['\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}', '\u{2014}', '\u{2212}', '.', '_'], "-")
    } else {
        text.to_owned()
    }
}

/// A whole code whose batch or jar is 0, which no jar has: two digits swapped over a hyphen make one.
fn numbered_zero(text: &str) -> Option<JarWord> {
    let parts: [&str; 4] = text.split('-').collect::<Vec<_>>().try_into().ok()?;
    let is_shaped = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-')
        && matches!(parts.map(str::len), [2, (3..), (2..), 1]);
    let [year, batch, jar, check] = parts.map(|part| part.parse::<u32>().ok());
    let code = JarCode { batch: BatchCode { year: year?.try_into().ok()?, number: batch? }, number: jar? };
    if !is_shaped || (code.batch.number > 0 && code.number > 0) {
        return None;
    }
    let check = check?.try_into().ok()?;
    if code.check() == check {
        return Some(JarWord::Jar(code));
    }
    Some(JarWord::WrongCheck(WrongCheck { given: text.to_owned(), code, check }))
}

/// A batch and a jar in one word, without the check digit: `26-041-3`.
fn unchecked(text: &str) -> Option<JarCode> {
    let (batch, number) = text.rsplit_once('-')?;
    if batch.matches('-').count() != 1 || !number.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let number = number.parse().ok().filter(|&number| number > 0)?;
    Some(JarCode { batch: batch.parse().ok()?, number })
}

/// A batch and several of its jars in one word: `26-041-3,5-7`. Without a comma `26-041-3-5` is a jar's code.
fn batch_and_jars(text: &str) -> Option<(BatchCode, JarList)> {
    let (at, _) = text.match_indices('-').nth(1)?;
    let list = text[at + 1..].parse().ok().filter(|_| text.contains(','))?;
    Some((text[..at].parse().ok()?, list))
}

/// How a code may have come to be typed as it was, the likeliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Likeness {
    Swapped,
    Itself,
    Mistaken,
    Unlikely,
}

/// The codes that may be meant by one whose check digit is not `check`, the likeliest first: those with two neighbors
/// swapped whose check digit then fits, `code` itself, those with one digit mistaken whose check digit fits, and the
/// others.
///
/// Digits beside a hyphen are neighbors too, and so is the check digit.
pub(crate) fn near_misses(code: JarCode, check: u8) -> Vec<JarCode> {
    let bytes = format!("{}-{:02}-{check}", code.batch, code.number).into_bytes();
    let digits: Vec<usize> = (0..bytes.len()).filter(|&at| bytes[at] != b'-').collect();
    let mut near = vec![(Likeness::Itself, code)];
    let mut keep = |bytes: &[u8], likeness: Likeness| {
        let text = std::str::from_utf8(bytes).expect("digits and hyphens are UTF-8");
        let (text, check) = text.split_at(text.len() - 1);
        let found = (0..=9).find_map(|digit| format!("{text}{digit}").parse::<JarCode>().ok());
        near.extend(found.map(|found| {
            let fits = check == found.check().to_string();
            (if fits { likeness } else { Likeness::Unlikely }, found)
        }));
    };
    for neighbors in digits.windows(2) {
        let mut bytes = bytes.clone();
        bytes.swap(neighbors[0], neighbors[1]);
        keep(&bytes, Likeness::Swapped);
    }
    for &at in &digits[..digits.len() - 1] {
        for digit in (b'0'..=b'9').filter(|&digit| digit != bytes[at]) {
            let mut bytes = bytes.clone();
            bytes[at] = digit;
            keep(&bytes, Likeness::Mistaken);
        }
    }
    // The sort is stable: of codes alike a swap stays before a mistaken digit.
    near.sort_by_key(|&(likeness, _)| likeness);
    let mut seen = std::collections::BTreeSet::new();
    near.into_iter().map(|(_, code)| code).filter(|code| seen.insert(*code)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn word(text: &str) -> JarWord {
        text.parse().unwrap()
    }

    fn batch(year: u8, number: u32) -> BatchCode {
        BatchCode { year, number }
    }

    #[test]
    fn codes_batches_and_numbers_are_distinguished() {
        // Check digit of 2604103 by ISO/IEC 7064 MOD 11,10 is 3 (python-stdnum 1.20, iso7064.mod_11_10).
        assert_eq!(word("26-041-03-3"), JarWord::Jar(JarCode { batch: batch(26, 41), number: 3 }));
        assert_eq!(word("26-041"), JarWord::Batch(batch(26, 41)));
        assert_eq!(word("26-1041"), JarWord::Either(batch(26, 1041), "26-1041".parse().unwrap()));
        for numbers in ["3", "3,5-7", "5-7", "007"] {
            assert_eq!(word(numbers), JarWord::Numbers(numbers.parse().unwrap()), "{numbers}");
        }
        assert_eq!(word("10-12"), JarWord::Range(batch(10, 12), "10-12".parse().unwrap()));
        let third = JarCode { batch: batch(26, 41), number: 3 };
        for unchecked in ["26-041-3", "26-41-3", "26-41-03"] {
            assert_eq!(word(unchecked), JarWord::Unchecked(third), "{unchecked}");
        }
        for (text, list) in [("26-041-3,5-7", "3,5-7"), ("26-41-1,2", "1,2"), ("26-041-3-4,9", "3-4,9")] {
            assert_eq!(word(text), JarWord::Of(batch(26, 41), list.parse().unwrap()), "{text}");
        }
        for unchecked in [
            "#26-041-3",
            "26.041.3",
            "26_41_3",
            "26\u{2013}041\u{2013}3",
            "26\u{2011}041\u{2011}03-3",
            "26-041-3.",
        ] {
            assert!(
                matches!(word(unchecked), JarWord::Unchecked(code) | JarWord::Jar(code) if code == third),
                "{unchecked}"
            );
        }
        assert_eq!("26-041/3".parse::<JarWord>(), Err(JarWordError::Load("26-041/3".to_owned())));
        for link in [
            "http://kitchen.local:8080/j/26-041-03-3",
            "HTTP://KITCHEN.LOCAL:8464/J/26-041-03-3",
            "https://shelf.example/j/26-041-03-3/",
            "http://[fd00::1]:8464/j/26-041-03-3?from=camera#top",
        ] {
            assert_eq!(word(link), JarWord::Jar(third), "{link}");
        }
        assert_eq!(word("peaches"), JarWord::Product("peaches".to_owned()));
        assert_eq!(word("10-100"), JarWord::Either(batch(10, 100), "10-100".parse().unwrap()));
        // Backwards as jars, so it can only be a batch.
        assert_eq!(word("26-3"), JarWord::Batch(batch(26, 3)));
    }

    #[test]
    fn a_wrong_check_digit_is_kept_with_what_it_said() {
        let JarWord::WrongCheck(wrong) = word("26-041-03-8") else { panic!() };
        assert_eq!((wrong.given.as_str(), wrong.check), ("26-041-03-8", 8));
        assert_eq!(wrong.code.to_string(), "26-041-03-3");
        // Check digit of 2600106 by the same library: 9.
        let JarWord::WrongCheck(wrong) = word("26-001-06-8") else { panic!() };
        assert_eq!(wrong.code.to_string(), "26-001-06-9");
    }

    #[test]
    fn what_names_no_jar_is_refused() {
        for wrong in ["", "26/041", "3-", "--json", "26-041-", "26-041-0"] {
            assert!(matches!(wrong.parse::<JarWord>(), Err(JarWordError::Shape(_))), "{wrong}");
        }
        assert!(matches!("3,x".parse::<JarWord>(), Err(JarWordError::List(_))));
    }

    #[test]
    fn swapped_neighbors_come_first() {
        // Check digits by python-stdnum 2.2, iso7064.mod_11_10: 3 for 2604103, 8 for 2602001 and 7 for 2601704.
        for (typed, meant) in [
            ("26-041-30-3", "26-041-03-3"),
            ("26-014-03-3", "26-041-03-3"),
            ("26-002-01-8", "26-020-01-8"),
            ("26-017-07-4", "26-017-04-7"),
        ] {
            let JarWord::WrongCheck(wrong) = word(typed) else { panic!("{typed}") };
            // Swaps that lead into another year are no jars of this household.
            let near = near_misses(wrong.code, wrong.check);
            let first = near.iter().find(|near| near.batch.year == 26).unwrap();
            assert_eq!(first.to_string(), meant, "{typed}");
        }
        // The check digit of 2600501 is 9, by the same: over a hyphen its batch becomes none that there is.
        let JarWord::WrongCheck(wrong) = word("26-000-51-9") else { panic!() };
        let near = near_misses(wrong.code, wrong.check);
        assert_eq!(near.iter().find(|near| near.batch.year == 26).unwrap().to_string(), "26-005-01-9");
        // A digit that is mistaken comes after a check digit that is.
        let JarWord::WrongCheck(wrong) = word("26-042-03-3") else { panic!() };
        let near = near_misses(wrong.code, wrong.check);
        let at = |code: &str| near.iter().position(|near| near.to_string() == code).unwrap();
        assert!(near.iter().position(|&near| near == wrong.code).unwrap() < at("26-041-03-3"));
    }

    #[test]
    fn the_code_meant_is_among_the_near_misses() {
        let meant: JarCode = "26-041-03-3".parse().unwrap();
        for typed in
            ["26-041-03-8", "26-042-03-3", "36-041-03-3", "26-041-08-3", "26-014-03-3", "26-041-30-3"]
        {
            let JarWord::WrongCheck(wrong) = word(typed) else { panic!("{typed}") };
            let near = near_misses(wrong.code, wrong.check);
            assert!(near.iter().position(|&code| code == meant).unwrap() < 12, "{typed}: {near:?}");
            // A hyphen is no digit: the lengths of the parts stay.
            assert!(near.iter().all(|code| code.to_string().len() == typed.len()), "{typed}: {near:?}");
        }
    }

    #[test]
    fn a_near_miss_may_end_in_any_digit() {
        // Check digits of 2600101 and 2600106 by python-stdnum 2.2, iso7064.mod_11_10: 0 and 9.
        for (typed, meant) in [("26-001-02-0", "26-001-01-0"), ("26-001-05-9", "26-001-06-9")] {
            let JarWord::WrongCheck(wrong) = word(typed) else { panic!("{typed}") };
            let meant: JarCode = meant.parse().unwrap();
            assert!(near_misses(wrong.code, wrong.check).contains(&meant), "{typed}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".{0,20}|[0-9,-]{0,14}") {
            if let Ok(JarWord::WrongCheck(wrong)) = text.parse::<JarWord>() {
                near_misses(wrong.code, wrong.check);
            }
        }
    }
}
