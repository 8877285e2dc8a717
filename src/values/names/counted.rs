//! Counts with the noun in the number that fits.

use std::fmt::Display;

/// Writes a count and its noun: `1 row`, `2 rows`.
pub fn counted<N: Display + PartialEq + From<u8>>(count: N, one: &str, many: &str) -> String {
    let noun = if count == N::from(1) { one } else { many };
    format!("{count} {noun}")
}

/// Writes `1 jar`, `2 jars`.
pub fn jars<N: Display + PartialEq + From<u8>>(count: N) -> String {
    counted(count, "jar", "jars")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_one_is_singular() {
        assert_eq!(counted(0_u64, "entry", "entries"), "0 entries");
        assert_eq!(counted(1_i64, "entry", "entries"), "1 entry");
        assert_eq!(jars(2_usize), "2 jars");
    }
}
