//! Jars wanted of a plan: a number, or sizes with theirs.

use std::str::FromStr;

use crate::cli::arguments::jar_counts::jar_counts;
use crate::values::kinds::jar_size::JarSize;

/// Most jars planned at once.
pub(super) const MOST_JARS: u32 = 10_000;

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum JarsWanted {
    /// So many, of a size given elsewhere.
    Count(u32),
    /// So many of each size, each size once.
    Sizes(Vec<(JarSize, u32)>),
}

impl FromStr for JarsWanted {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        let text = given.trim();
        if text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-') && !text.is_empty() {
            let count = text.parse().ok().filter(|count| (1..=MOST_JARS).contains(count));
            return count.map(Self::Count).ok_or_else(|| format!("{text} is not 1 to {MOST_JARS}"));
        }
        let mut sizes: Vec<(JarSize, u32)> = Vec::new();
        for (size, count) in jar_counts(text)? {
            match sizes.iter_mut().find(|(known, _)| *known == size) {
                Some((_, known)) => *known += count,
                None => sizes.push((size, count)),
            }
        }
        Ok(Self::Sizes(sizes))
    }
}

impl JarsWanted {
    /// The sizes given here.
    pub(super) fn sizes(&self) -> &[(JarSize, u32)] {
        match self {
            Self::Count(_) => &[],
            Self::Sizes(sizes) => sizes,
        }
    }

    /// How many in all.
    pub(super) fn count(&self) -> u32 {
        match self {
            Self::Count(count) => *count,
            Self::Sizes(sizes) => sizes.iter().map(|(_, count)| count).sum(),
        }
    }

    /// The jars of a recipe, a bare number being of the size it is written for.
    pub(super) fn of_recipe(&self, size: JarSize) -> Vec<(JarSize, u32)> {
        match self {
            Self::Count(count) => vec![(size, *count)],
            Self::Sizes(sizes) => sizes.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jars_are_a_number_or_sizes_with_theirs() {
        let read = |text: &str| text.parse::<JarsWanted>();
        assert_eq!(read("14"), Ok(JarsWanted::Count(14)));
        assert_eq!(
            read("pint:9,7 quarts, pint:9").unwrap().sizes(),
            [(JarSize::Pint, 18), (JarSize::Quart, 7)]
        );
        for wrong in ["0", "-3", "10001", "barrel:2", "", "pint"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
