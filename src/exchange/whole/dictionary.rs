//! What every column of an export means.

use std::sync::LazyLock;

/// The meaning of one column.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Meaning {
    /// The table.
    pub table: String,
    /// The column.
    pub column: String,
    /// What is in it: a unit, a form, the names it may have, or the column it refers to.
    pub holds: String,
    /// What an empty cell says; empty: there is none.
    pub empty: String,
    /// What it means.
    pub meaning: String,
}

/// The meaning of every column, in the order of the export.
pub fn dictionary() -> &'static [Meaning] {
    static DICTIONARY: LazyLock<Vec<Meaning>> = LazyLock::new(|| {
        csv::Reader::from_reader(include_str!("dictionary.csv").as_bytes())
            .deserialize()
            .collect::<Result<_, _>>()
            .expect("the dictionary is tested whole")
    });
    &DICTIONARY
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_has_a_meaning_and_no_meaning_is_left_over() {
        let folder = tempfile::TempDir::new().unwrap();
        let clock = crate::values::time::clock::Clock { now: "2026-09-01T12:00:00Z".parse().unwrap() };
        let path = folder.path().join("l.jarledger");
        let ledger =
            crate::ledger::file::open::Ledger::create(&path, uuid::Uuid::from_u128(1), clock).unwrap();
        let mut there = Vec::new();
        for table in ledger.tables().unwrap() {
            there.extend(table.columns.iter().map(|column| (table.name.clone(), column.name.clone())));
            if matches!(table.name.as_str(), "batch" | "jar") {
                there.push((table.name.clone(), "code".to_owned()));
            }
        }
        let listed: Vec<_> = dictionary().iter().map(|row| (row.table.clone(), row.column.clone())).collect();
        assert_eq!(listed, there);
    }
}
