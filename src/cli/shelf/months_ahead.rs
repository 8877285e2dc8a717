//! What `eat` answers, as the report and the calendar show it.

use crate::answers::eating::eat::{Answer, ToEat};
use crate::paper::text::lines::{MonthLine, MonthProduct, ShelfJar};

/// The plan of all products together: the current month and `ahead` after it, empty ones included.
pub(in crate::cli) fn month_lines(answer: &Answer, ahead: u32) -> Vec<MonthLine> {
    (0..=ahead)
        .map(|months| answer.month.plus(months))
        .map(|month| MonthLine {
            month,
            products: (answer.months.iter().filter(|owed| owed.month == month))
                .map(|owed| MonthProduct { product: owed.product.to_string(), jars: owed.jars })
                .collect(),
        })
        .collect()
}

/// A jar to be eaten, as the papers show it.
pub(in crate::cli) fn shelf_jar(jar: &ToEat) -> ShelfJar {
    ShelfJar {
        jar: jar.jar,
        product: format!("{}, {}", jar.product, jar.size),
        best_by: jar.best_by,
        place: jar.place.as_deref().map(str::to_owned),
        process: jar.process.clone(),
    }
}
