//! Lines of a stocktake: codes of jars, or a tally such as `7 pints pears`.

use crate::values::codes::jar_word::JarWord;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;
use crate::values::names::number_words::number_word;

/// What one line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CountLine {
    /// Jars by their codes.
    Jars(Vec<JarWord>),
    /// Jars of a size and a product.
    Tally(u32, JarSize, Name),
}

/// Most jars of one tally.
const MOST: u32 = 100_000;

/// Reads a line; none for an empty one and for a remark after `#`.
///
/// # Errors
/// What is wrong with it.
pub fn read_line(line: &str) -> Result<Option<CountLine>, String> {
    let line = line.trim_start_matches('\u{feff}').trim();
    if line.is_empty() || line.starts_with('#') {
        return Ok(None);
    }
    if let Some(tally) = tally(line) {
        return tally.map(Some);
    }
    let words: Result<Vec<JarWord>, _> = line.split_whitespace().map(str::parse).collect();
    let words = words.map_err(|error| error.to_string())?;
    // Words alone give no count.
    if let Some(JarWord::Product(word)) = words.iter().find(|word| matches!(word, JarWord::Product(_))) {
        return Err(format!(
            "\u{201c}{word}\u{201d} is no jar; write 26-041-03-3, 26-041 3,5-7, or a tally like 5 qt peach halves"
        ));
    }
    Ok(Some(CountLine::Jars(words)))
}

/// A count, a size in the singular or plural, and a product; none where the line is no tally.
fn tally(line: &str) -> Option<Result<CountLine, String>> {
    let (count, rest) = line.split_once(char::is_whitespace)?;
    let count = number_word(count).map_or_else(|| count.to_owned(), |number| number.to_string());
    if !count.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let rest = rest.trim_start();
    // The longest size it begins with: "pints and a half", "half pint", "8 oz".
    let ends: Vec<usize> = rest.match_indices(char::is_whitespace).map(|(at, _)| at).collect();
    let (size, product) = ends
        .iter()
        .rev()
        .find_map(|&end| Some((JarSize::meant_by(&rest[..end])?, rest[end..].trim_start())))?;
    let product = ["jars ", "jar "].iter().find_map(|jars| product.strip_prefix(jars)).unwrap_or(product);
    let product = product.strip_prefix("of ").unwrap_or(product);
    let count = count.parse().ok().filter(|count| *count <= MOST);
    Some(match (count, product.parse()) {
        (Some(count), Ok(product)) => Ok(CountLine::Tally(count, size, product)),
        (None, _) => Err(format!("a tally goes up to {MOST}")),
        (_, Err(error)) => Err(error.to_string()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tallied(line: &str) -> (u32, JarSize, String) {
        match read_line(line) {
            Ok(Some(CountLine::Tally(count, size, product))) => (count, size, product.to_string()),
            other => panic!("{line}: {other:?}"),
        }
    }

    #[test]
    fn a_tally_is_a_count_a_size_and_a_product() {
        assert_eq!(tallied("7 pints pears"), (7, JarSize::Pint, "pears".to_owned()));
        assert_eq!(tallied("1 Quart of green beans"), (1, JarSize::Quart, "green beans".to_owned()));
        assert_eq!(tallied("6 half pints of plum jam"), (6, JarSize::HalfPint, "plum jam".to_owned()));
        assert_eq!(tallied("5 qts. peach halves"), (5, JarSize::Quart, "peach halves".to_owned()));
        assert_eq!(tallied("12 8 oz jars of jam"), (12, JarSize::HalfPint, "jam".to_owned()));
        assert_eq!(tallied("0 pints and a half plums"), (0, JarSize::PintAndHalf, "plums".to_owned()));
    }

    #[test]
    fn everything_else_is_codes_or_is_refused() {
        assert!(matches!(read_line(" 26-041-03-3 "), Ok(Some(CountLine::Jars(words))) if words.len() == 1));
        assert!(matches!(read_line("26-041 3,5-7"), Ok(Some(CountLine::Jars(words))) if words.len() == 2));
        assert_eq!(read_line("# top shelf"), Ok(None));
        assert_eq!(read_line("  "), Ok(None));
        assert_eq!(tallied("5 qt peach halves"), (5, JarSize::Quart, "peach halves".to_owned()));
        assert!(read_line("some pints pears").is_err());
        assert_eq!(tallied("seven pints pears"), (7, JarSize::Pint, "pears".to_owned()));
        assert!(read_line("100001 pints pears").is_err());
    }
}
