//! The plan for a season as one value.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::answers::eating::season::evidence::Evidence;
use crate::answers::eating::season::expected::Expected;
use crate::answers::eating::season::lasting::Lasting;
use crate::answers::eating::season::on_hand::OnHand;
use crate::rules::eating::season::ExpectedUse;
use crate::rules::eating::season_work::Work;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::pounds::Pounds;

#[derive(Debug, serde::Serialize)]
pub(crate) struct Answer {
    pub(crate) until: NaiveDate,
    pub(crate) sure: f64,
    /// The answer about one product, where one was asked about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) product: Option<Lasting>,
    pub(crate) lines: Vec<Line>,
    pub(crate) totals: Totals,
}

/// One product in one size of jar.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Line {
    pub(crate) product: String,
    pub(crate) size: JarSize,
    #[serde(flatten)]
    pub(crate) evidence: Evidence,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) what_if: Option<String>,
    /// None where there is too little history.
    pub(crate) expected: Option<Expected>,
    pub(crate) too_little_history: bool,
    /// Jars on the shelf whose best by is ahead, and how many of them will be eaten by it.
    pub(crate) in_stock: usize,
    pub(crate) still_good: Option<u32>,
    pub(crate) put_up: Option<u32>,
    pub(crate) canner: Option<String>,
    pub(crate) work: Option<Work>,
}

impl Line {
    /// What is expected of the past, before stock and work are known.
    pub(super) fn of(
        (product, size): (String, JarSize),
        evidence: Evidence,
        expected: Option<ExpectedUse>,
    ) -> Self {
        Self {
            product,
            size,
            evidence,
            what_if: None,
            too_little_history: expected.is_none(),
            expected: expected.map(Expected::of),
            in_stock: 0,
            still_good: None,
            put_up: None,
            canner: None,
            work: None,
        }
    }
}

/// The list for shopping and for work.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Totals {
    pub(crate) jars: BTreeMap<JarSize, u32>,
    /// Jars to get beyond those counted, by size.
    pub(crate) jars_to_get: BTreeMap<JarSize, u32>,
    pub(crate) lids: u32,
    pub(crate) lids_to_get: u32,
    /// Loads, where every line has them; else at least so many.
    pub(crate) loads: u32,
    pub(crate) minutes: u32,
    /// Produce, where the guide gives a figure.
    pub(crate) pounds: Pounds,
    /// Whether some line has no figure for loads, minutes or produce.
    pub(crate) loads_at_least: bool,
    pub(crate) minutes_at_least: bool,
    pub(crate) pounds_at_least: bool,
}

impl Totals {
    pub(super) fn of(lines: &[Line], on_hand: &OnHand) -> Self {
        let mut jars: BTreeMap<JarSize, u32> = BTreeMap::new();
        for line in lines {
            if let Some(put_up @ 1..) = line.put_up {
                let sum = jars.entry(line.size).or_default();
                *sum = sum.saturating_add(put_up);
            }
        }
        let lids = jars.values().fold(0, |sum: u32, &jars| sum.saturating_add(jars));
        let work = || lines.iter().filter_map(|line| line.work.as_ref());
        let known = |figure: fn(&Work) -> Option<u32>| {
            let sum = work().filter_map(figure).fold(0, u32::saturating_add);
            (sum, work().any(|work| figure(work).is_none()))
        };
        let (loads, loads_at_least) = known(|work| work.loads);
        let (minutes, some_unknown) = known(|work| Some(work.time?.minutes));
        let (hundredths, pounds_at_least) = known(|work| Some(work.produce.as_ref()?.pounds.hundredths()));
        Self {
            jars_to_get: jars
                .iter()
                .map(|(&size, &jars)| {
                    (size, jars.saturating_sub(on_hand.jars.get(&size).copied().unwrap_or(0)))
                })
                .collect(),
            lids_to_get: lids.saturating_sub(on_hand.lids.unwrap_or(0)),
            jars,
            lids,
            loads,
            minutes,
            pounds: Pounds::from_hundredths(hundredths),
            loads_at_least,
            minutes_at_least: some_unknown || work().any(|work| work.time.is_some_and(|time| time.at_least)),
            pounds_at_least,
        }
    }
}
