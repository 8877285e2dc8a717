//! How long an opened or chilled jar keeps in the refrigerator.

use chrono::{Days, NaiveDate};

use crate::rules::food::care::Care;
use crate::rules::load::remedy::CHILLED_DAYS;
use crate::tables::figures::Figure;
use crate::tables::foods;
use crate::tables::foods::FoodKind;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;

/// A number of days in the refrigerator, with what is known of it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct KeepingTime {
    /// Days from the day it was opened or chilled; on the last of them it may still be eaten.
    pub days: u32,
    /// Publication and section.
    pub source: String,
    /// How sure the figure is.
    pub basis: Basis,
    /// What must be said beside it: its scope, and where sources differ.
    pub remark: &'static str,
}

impl KeepingTime {
    fn new(figure: Figure, remark: &'static str) -> Self {
        let row = figure.row();
        Self { days: row.value, source: row.source.to_string(), basis: row.basis, remark }
    }

    /// The last day on which it may be eaten.
    pub fn last_day(&self, from: NaiveDate) -> NaiveDate {
        from.checked_add_days(Days::new(u64::from(self.days))).unwrap_or(NaiveDate::MAX)
    }

    /// Whether its days are over: the jar is to be discarded.
    pub(crate) fn is_over(&self, from: NaiveDate, today: NaiveDate) -> bool {
        today > self.last_day(from)
    }
}

/// How long a jar keeps once opened.
///
/// Tomato keeps with low-acid food, the shorter figure, as wherever care is taken.
pub(crate) fn once_opened(food: Option<&FoodId>, product: &str) -> KeepingTime {
    let kind = food.and_then(foods::get).map(|food| food.kind);
    match (Care::of(food, product), kind) {
        (_, Some(FoodKind::Spread)) => KeepingTime::new(
            Figure::OpenedSpread,
            "About a month, for full-sugar jam and jelly; with less sugar it keeps for a shorter time.",
        ),
        (_, Some(FoodKind::Pickle)) => KeepingTime::new(
            Figure::OpenedPickle,
            "Sources differ: 5 to 7 days as acid food, or 1 to 3 months in consumer charts. The short one is held.",
        ),
        (Care::LowAcid, Some(FoodKind::Tomato)) => KeepingTime::new(
            Figure::OpenedLowAcid,
            "Sources differ: 5 to 7 days where tomato is counted as acid food. It is kept with low-acid food here.",
        ),
        (Care::LowAcid, _) => {
            KeepingTime::new(Figure::OpenedLowAcid, "Published as 3 to 4 days, for commercial cans.")
        }
        (Care::Acid, _) => {
            KeepingTime::new(Figure::OpenedAcid, "Published as 5 to 7 days, for commercial cans.")
        }
    }
}

/// How long a jar keeps that was chilled because it did not seal.
pub(crate) fn chilled_unsealed() -> KeepingTime {
    KeepingTime {
        days: CHILLED_DAYS,
        source: "University of Missouri Extension, Food safety questions and answers".to_owned(),
        basis: Basis::Reprint,
        remark: "Sources differ: 2 days, several days, or one week. The shortest is held.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened(food: &str) -> u32 {
        once_opened(Some(&food.parse().unwrap()), "Jars").days
    }

    #[test]
    fn each_kind_of_food_has_its_own_number_of_days() {
        // USDA FSIS, at second hand: opened low-acid food 3 to 4 days, acid food 5 to 7.
        assert_eq!(opened("green-beans"), 4);
        assert_eq!(opened("peaches"), 7);
        assert_eq!(opened("grape-juice"), 7);
        // Tomato is treated with low-acid food.
        assert_eq!(opened("tomatoes-crushed"), 4);
        assert_eq!(opened("choice-salsa"), 4);
        // National Center for Home Food Preservation, from memory: about a month.
        assert_eq!(opened("jam-jelly"), 30);
        assert_eq!(opened("pickled-beets"), 7);
        assert!(once_opened(Some(&"sauerkraut".parse().unwrap()), "Jars").remark.contains("Sources differ"));
        // Not known: the shortest.
        assert_eq!(once_opened(None, "Jars").days, 4);
        // University of Missouri Extension: a jar that did not seal, 2 days.
        assert_eq!(chilled_unsealed().days, 2);
    }

    #[test]
    fn the_last_day_counts_and_the_next_is_over() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let low_acid = once_opened(Some(&"beets".parse().unwrap()), "Jars");
        // Opened on the 1st: day 4 is the 5th, day 5 the 6th.
        assert_eq!(low_acid.last_day(day("2031-03-01")), day("2031-03-05"));
        assert!(!low_acid.is_over(day("2031-03-01"), day("2031-03-05")));
        assert!(low_acid.is_over(day("2031-03-01"), day("2031-03-06")));
        let acid = once_opened(Some(&"pears".parse().unwrap()), "Jars");
        assert!(!acid.is_over(day("2031-03-01"), day("2031-03-08")));
        assert!(acid.is_over(day("2031-03-01"), day("2031-03-09")));
        assert_eq!(acid.last_day(NaiveDate::MAX), NaiveDate::MAX);
    }
}
