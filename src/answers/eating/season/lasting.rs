//! Whether one product will last until a day, its jars of all sizes taken together.

use chrono::NaiveDate;

use crate::answers::eating::season::asked::Asked;
use crate::answers::eating::season::evidence::Evidence;
use crate::answers::eating::season::expected::Expected;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::jar::shelf::Stock;
use crate::rules::eating::predictive::Predictive;
use crate::rules::eating::season::{ExpectedUse, still_good};
use crate::rules::jar::jar_state::JarState;

/// One product's answer.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Lasting {
    pub(crate) product: String,
    #[serde(flatten)]
    pub(crate) evidence: Evidence,
    /// The share of seasons in which the jars that will keep are enough. None where there is too little history.
    pub(crate) lasts: Option<f64>,
    pub(crate) expected: Option<Expected>,
    /// Jars on the shelf whose best by is ahead, and how many of them will be used by it.
    pub(crate) in_stock: usize,
    pub(crate) still_good: Option<u32>,
    /// Jars that count for nothing as they stand: on hold, and not checked yet.
    pub(crate) on_hold: u32,
    pub(crate) unchecked: u32,
    pub(crate) put_up: Option<u32>,
}

impl Lasting {
    /// `best_by` are the days of the jars on the shelf, earliest first; `others` the jars that may not be eaten as they
    /// stand, counted.
    pub(super) fn of(
        appetite: &Appetite,
        use_to_come: Option<Predictive>,
        best_by: &[NaiveDate],
        others: &[Stock],
        asked: &Asked<'_>,
    ) -> Self {
        let horizon = asked.horizon();
        let counted = |which: &dyn Fn(&Stock) -> bool| -> u32 {
            others.iter().filter(|other| which(other)).map(|other| other.jars).sum()
        };
        let expected = use_to_come.map(|use_to_come| ExpectedUse::of(use_to_come, asked.sure));
        let good = expected.map(|expected| still_good(best_by, asked.today, expected.enough, horizon));
        Self {
            product: appetite.product.clone(),
            evidence: Evidence::of(&appetite.of_any_size, asked.today, horizon),
            lasts: use_to_come.zip(good).map(|(use_to_come, jars)| use_to_come.chance_enough(jars)),
            in_stock: best_by.len(),
            on_hold: counted(&|other| other.on_hold),
            unchecked: counted(&|other| other.state == JarState::Cooling && !other.on_hold),
            put_up: expected.zip(good).map(|(expected, good)| expected.to_put_up(good)),
            expected: expected.map(Expected::of),
            still_good: good,
        }
    }
}
