//! Labels to test with: an invented household's jars.

use chrono::NaiveDate;
use jarledger::paper::label::sheet::definition::Sheet;
use jarledger::paper::label::words::run::{Label, LabelOrder, LabelRun};
use jarledger::rules::jar::keeps::Keeps;
use jarledger::values::codes::jar_code::{BatchCode, JarCode};
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::time::day_words::DayOrder;

const NAMES: [&str; 6] = [
    "Green beans",
    "Peaches in light syrup",
    "Tomato sauce with basil, thick",
    "Dill pickles",
    "Sauerkraut",
    "Chicken broth, no salt, for the winter soups",
];

pub fn label(batch: u32, number: u32) -> Label {
    let name = NAMES[batch as usize % NAMES.len()];
    Label {
        code: JarCode { batch: BatchCode { year: 26, number: batch }, number },
        contents: name.to_owned(),
        put_up: NaiveDate::from_ymd_opt(2026, 3, 1 + batch % 28).unwrap(),
        keeps: Keeps::BestBy(NaiveDate::from_ymd_opt(2027, 3, 1 + batch % 28).unwrap()),
        size: if batch.is_multiple_of(2) { JarSize::Pint } else { JarSize::Quart },
        household: batch.is_multiple_of(3).then(|| "boil 15 min before tasting".to_owned()),
        warning: None,
        because: None,
        process: Default::default(),
        kind: Default::default(),
    }
}

/// Jars in batches of seven.
pub fn labels(count: u32) -> Vec<Label> {
    (0..count).map(|at| label(41 + at / 7, 1 + at % 7)).collect()
}

pub fn run(sheet: Sheet, labels: Vec<Label>) -> LabelRun {
    LabelRun {
        labels,
        sheet,
        start: 1,
        copies: 1,
        order: LabelOrder::Asked,
        days: DayOrder::DayMonthYear,
        outline: false,
        fonts: Default::default(),
    }
}
