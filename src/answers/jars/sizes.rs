//! Jars counted by size, in words.

use crate::ledger::jar::find::Jar;
use crate::values::kinds::jar_size::JarSize;

/// Writes `14 pints and 7 quarts`.
pub(crate) fn in_words(jars: &[(JarSize, u32)]) -> String {
    let parts: Vec<String> = jars.iter().map(|&(size, count)| size.counted(count)).collect();
    parts.join(" and ")
}

/// How many jars there are of each size.
pub(crate) fn sizes(jars: &[Jar]) -> Vec<(JarSize, u32)> {
    let mut by_size = std::collections::BTreeMap::new();
    for jar in jars {
        *by_size.entry(jar.size).or_insert(0) += 1;
    }
    by_size.into_iter().collect()
}
