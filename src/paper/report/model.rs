//! What the report tells, in plain values.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::paper::text::lines::{MonthLine, ShelfJar};
use crate::rules::eating::past_use::PastUse;
use crate::rules::seal::seal_statistics::SealStatistics;
use crate::values::codes::jar_code::JarCode;

/// Everything on the page. Lists are in the order they are shown.
#[derive(Debug, Clone, Default)]
pub struct Report {
    /// The day the figures stand for.
    pub as_of: NaiveDate,
    /// Jars unsealed, unchecked, opened and running out.
    pub decide_now: Vec<PulledJars>,
    /// Jars owed this month, oldest first.
    pub eat_first: Vec<ShelfJar>,
    /// Jars whose best by has gone.
    pub past_best: Vec<ShelfJar>,
    /// Jars on the shelf by product.
    pub stock: Vec<StockLine>,
    /// The plan, the current month first.
    pub months: Vec<MonthLine>,
    /// Whether each product is eaten in time, and which ran out.
    pub pace: Vec<PaceLine>,
    /// Jars that pass their best by uneaten at the household's own rate, the first first.
    pub surplus: Vec<ShelfJar>,
    /// Seal failures by lid lot, canner and product.
    pub seals: Vec<SealStatistics>,
    /// Jars on hold, with the reason.
    pub holds: Vec<PulledJars>,
    /// First day the next list looks back to.
    pub wasted_since: NaiveDate,
    /// Jars thrown away, the latest first.
    pub wasted: Vec<WastedJar>,
    /// What must be said beside all this.
    pub cautions: Vec<String>,
}

/// Jars of one batch that are not to be eaten as things stand.
#[derive(Debug, Clone)]
pub struct PulledJars {
    /// Which: one code, or a batch and numbers.
    pub jars: String,
    /// How many.
    pub count: usize,
    /// What is in them.
    pub product: String,
    /// Where they stand.
    pub place: Option<String>,
    /// What is open, or why they are on hold.
    pub why: String,
}

/// A jar thrown away.
#[derive(Debug, Clone)]
pub struct WastedJar {
    /// Its code.
    pub jar: JarCode,
    /// What was in it.
    pub product: String,
    /// When.
    pub day: NaiveDate,
    /// The reason given.
    pub why: Option<String>,
}

/// One product's jars by age.
#[derive(Debug, Clone)]
pub struct StockLine {
    /// The product.
    pub product: String,
    /// Jars put up over 12 months ago.
    pub old: u64,
    /// Jars put up 6 to 12 months ago.
    pub ripe: u64,
    /// Jars put up under 6 months ago.
    pub new: u64,
    /// What must be said of the process of some, and of how many.
    pub marks: BTreeMap<String, u64>,
}

impl StockLine {
    /// All of them.
    pub const fn jars(&self) -> u64 {
        self.old + self.ripe + self.new
    }
}

/// How one product is kept up with.
#[derive(Debug, Clone)]
pub struct PaceLine {
    /// The product.
    pub product: String,
    /// What was eaten, over what time.
    pub past: PastUse,
    /// What comes of it.
    pub outlook: Outlook,
}

/// What becomes of the jars of a product at the household's own rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlook {
    /// None is left.
    RanOut {
        /// The day the last one left the shelf.
        on: NaiveDate,
    },
    /// None of those left may be eaten and has its best by ahead.
    NothingAhead,
    /// Nothing was eaten yet.
    NoRate,
    /// All are eaten by their best by.
    Reached {
        /// The day the last one is eaten.
        runs_out: NaiveDate,
    },
    /// Some are not.
    Surplus {
        /// How many.
        jars: u64,
        /// The day the last of the others is eaten.
        runs_out: Option<NaiveDate>,
    },
}
