//! Whether one product will last until a day, its jars of all sizes taken together.

use chrono::NaiveDate;

use crate::answers::eating::season::asked::Asked;
use crate::answers::eating::season::evidence::Evidence;
use crate::answers::eating::season::expected::Expected;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::jar::live::LiveJar;
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
    pub(crate) on_hold: usize,
    pub(crate) unchecked: usize,
    pub(crate) put_up: Option<u32>,
}

impl Lasting {
    /// `best_by` are the days of the jars on the shelf, earliest first; `others` the live jars that may not be eaten
    /// as they stand.
    pub(super) fn of(
        appetite: &Appetite,
        use_to_come: Option<Predictive>,
        best_by: &[NaiveDate],
        others: &[LiveJar],
        asked: &Asked<'_>,
    ) -> Self {
        let horizon = asked.horizon();
        let expected = use_to_come.map(|use_to_come| ExpectedUse::of(use_to_come, asked.sure));
        let good = expected.map(|expected| still_good(best_by, asked.today, expected.enough, horizon));
        Self {
            product: appetite.product.clone(),
            evidence: Evidence::of(&appetite.of_any_size, asked.today, horizon),
            lasts: use_to_come.zip(good).map(|(use_to_come, jars)| use_to_come.chance_enough(jars)),
            in_stock: best_by.len(),
            on_hold: others.iter().filter(|other| other.jar.on_hold).count(),
            unchecked: others
                .iter()
                .filter(|other| other.jar.state == JarState::Cooling && !other.jar.on_hold)
                .count(),
            put_up: expected.zip(good).map(|(expected, good)| expected.enough.saturating_sub(good)),
            expected: expected.map(Expected::of),
            still_good: good,
        }
    }
}
