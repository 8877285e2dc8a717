//! Pounds of produce as bought that fill the jars of a canner.

use std::sync::OnceLock;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::measures::pounds::Pounds;

/// One food, or one style of it; pounds are dry weight for dried beans and peas.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct YieldRow {
    /// The food.
    pub food: FoodId,
    /// Which style of it, where the guide gives several: "thin sauce".
    pub style: Option<String>,
    /// Pounds for a load of 7 quarts.
    pub pounds_7_quarts: Option<Pounds>,
    /// Pounds for a load of 9 pints.
    pub pounds_9_pints: Option<Pounds>,
    /// Average pounds for a quart.
    pub pounds_per_quart: Option<Pounds>,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the row is.
    pub basis: Basis,
    /// What must be said beside the row.
    pub remark: Option<String>,
}

/// Every row, in the order of the table.
pub fn all() -> &'static [YieldRow] {
    static ROWS: OnceLock<Vec<YieldRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/yields.tsv"), "yields.tsv"))
}

/// The rows of one food; none where the guide gives no quantity.
pub fn of(food: &FoodId) -> impl Iterator<Item = &'static YieldRow> {
    all().iter().filter(move |row| row.food == *food)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::foods;

    #[test]
    fn the_rows_are_of_known_foods_and_as_many_as_were_counted_by_hand() {
        assert_eq!(all().len(), 46);
        assert!(all().iter().all(|row| foods::get(&row.food).is_some()));
        assert_eq!(all().iter().filter(|row| row.basis == Basis::Memory).count(), 1);
    }

    #[test]
    fn the_load_and_the_average_of_each_row_agree_within_the_guide_s_rounding() {
        // The guide rounds its averages; crushed tomatoes (22 lb for 7 quarts, 2.75 a quart) are the widest.
        for row in all() {
            let pounds = |weight: Option<Pounds>| weight.map(Pounds::pounds);
            if let (Some(load), Some(each)) = (pounds(row.pounds_7_quarts), pounds(row.pounds_per_quart)) {
                assert!((load / 7.0 - each).abs() < 0.4, "{row:?}");
            }
            if let (Some(quarts), Some(pints)) = (pounds(row.pounds_7_quarts), pounds(row.pounds_9_pints)) {
                let ratio = (pints / 9.0) / (quarts / 7.0);
                // Citrus sections are printed as 15 lb for 7 quarts and 13 lb for 9 pints.
                let most = if row.food.as_str() == "grapefruit-orange-sections" { 0.7 } else { 0.56 };
                assert!((0.45..most).contains(&ratio), "{row:?}");
            }
        }
    }
}
