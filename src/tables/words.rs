//! Everyday words for the foods of the tables; all of them common usage, without a source.

use std::sync::OnceLock;

use crate::values::kinds::food::FoodId;

/// One everyday word or phrase and one food it may mean.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct WordRow {
    /// The word or phrase, in lower case.
    pub words: String,
    /// A food it may mean; a phrase may have several rows.
    pub food: FoodId,
}

/// Every row, in the order of the table.
pub fn all() -> &'static [WordRow] {
    static ROWS: OnceLock<Vec<WordRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/words.tsv"), "words.tsv"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::foods;

    #[test]
    fn every_word_leads_to_a_known_food_and_is_written_in_lower_case() {
        for row in all() {
            assert!(foods::get(&row.food).is_some(), "{row:?}");
            assert_eq!(row.words, row.words.to_lowercase());
        }
    }
}
