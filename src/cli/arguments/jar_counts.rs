//! Counts of jars by size on the command line: `pint:14`.

use crate::values::kinds::jar_size::JarSize;
use crate::values::names::number_words::in_digits;

/// Most jars of one size in one go.
const MOST: u32 = 9_999;

/// Reads `pint:14`, `pints:14` or `14 pints`.
pub(in crate::cli) fn jar_count(given: &str) -> Result<(JarSize, u32), String> {
    count_up_to(MOST, given)
}

/// Reads `pint:14` with a count of 1 to `most`.
pub(in crate::cli) fn count_up_to(most: u32, given: &str) -> Result<(JarSize, u32), String> {
    let digits = in_digits(given);
    let (size, jars) = size_and_count(given).or_else(|| size_and_count(&digits)).ok_or_else(|| {
        format!("\u{201c}{given}\u{201d}: write a size and a count, such as quart:7 or 7 quarts")
    })?;
    let size = JarSize::read(size).map_err(|error| {
        if size.chars().any(|letter| letter.is_ascii_digit()) {
            format!("\u{201c}{given}\u{201d}: write each size with its count, such as 7 quarts,2 pints")
        } else {
            error.to_string()
        }
    })?;
    let jars = jars
        .trim()
        .parse()
        .ok()
        .filter(|jars| (1..=most).contains(jars))
        .ok_or_else(|| format!("\u{201c}{given}\u{201d}: a count is 1 to {most}"))?;
    Ok((size, jars))
}

/// Splits `quart:7`, `7 quarts`, `7qt`, `7 x quart`.
fn size_and_count(given: &str) -> Option<(&str, &str)> {
    if let Some(split) = given.split_once(':') {
        return Some(split);
    }
    let given = given.trim();
    let (count, size) = given.split_at(given.find(|c: char| !c.is_ascii_digit())?);
    let size = size.trim();
    let size = size.strip_prefix("x ").unwrap_or(size);
    (!count.is_empty() && !size.is_empty()).then_some((size, count))
}

/// Reads `pint:14,quart:7` or `14 pints and 7 quarts`.
pub(in crate::cli) fn jar_counts(given: &str) -> Result<Vec<(JarSize, u32)>, String> {
    // `7 quarts and 2 pints`, but `7 pints and a half`.
    let and = given.replace(" and ", " & ").replace("& a half", "and a half");
    and.split([',', '&', '+']).map(|part| jar_count(part.trim())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::jars::sizes::in_words;

    #[test]
    fn sizes_and_counts_are_read_and_written() {
        let read = jar_counts("pint:14, quarts:1").unwrap();
        assert_eq!(read, [(JarSize::Pint, 14), (JarSize::Quart, 1)]);
        assert_eq!(in_words(&read), "14 pints and 1 quart");
        assert_eq!(jar_counts("8 quarts, 2 pt, 1 half pint").unwrap().len(), 3);
        assert_eq!(jar_counts("7qt").unwrap(), [(JarSize::Quart, 7)]);
        assert_eq!(jar_counts("7 qts and 2 pints").unwrap(), [(JarSize::Quart, 7), (JarSize::Pint, 2)]);
        assert_eq!(jar_counts("3 pints and a half").unwrap(), [(JarSize::PintAndHalf, 3)]);
        assert_eq!(jar_counts("a dozen half pints").unwrap(), [(JarSize::HalfPint, 12)]);
        let said = jar_count("7 qts and 2 pints").unwrap_err();
        assert!(said.contains("such as 7 quarts,2 pints"), "{said}");
        for wrong in ["", "14", "pint", "pint:0", "pint:10000", "pint:-1", "barrel:2", "pint:4294967297"] {
            assert!(jar_counts(wrong).is_err(), "{wrong}");
        }
    }
}
