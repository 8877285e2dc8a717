//! Lines that more than one paper shows.

use chrono::NaiveDate;

use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::month::Month;

/// A jar of food on the shelf.
#[derive(Debug, Clone)]
pub struct ShelfJar {
    /// Its code.
    pub jar: JarCode,
    /// What is in it, and the size where that matters.
    pub product: String,
    /// Last day of best quality.
    pub best_by: NaiveDate,
    /// Where it stands.
    pub place: Option<String>,
    /// What must be said of its process.
    pub process: ProcessMark,
}

/// What to eat in one month.
#[derive(Debug, Clone)]
pub struct MonthLine {
    /// The month.
    pub month: Month,
    /// Products owed in it; those with none are left out.
    pub products: Vec<MonthProduct>,
}

/// Jars of one product owed in one month.
#[derive(Debug, Clone)]
pub struct MonthProduct {
    /// The product.
    pub product: String,
    /// How many, at least 1.
    pub jars: u64,
}

impl MonthLine {
    /// Jars of all products.
    pub fn jars(&self) -> u64 {
        self.products.iter().map(|item| item.jars).sum()
    }
}
