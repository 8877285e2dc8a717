//! The plan for a season as one value, shown as text or JSON.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::cli::planning::season::on_hand::OnHand;
use crate::rules::eating::past_use::PastUse;
use crate::rules::eating::season::ExpectedUse;
use crate::rules::eating::season_work::Work;
use crate::rules::eating::what_if::WhatIf;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::pounds::Pounds;

#[derive(Debug, serde::Serialize)]
pub(super) struct Answer {
    pub(super) until: NaiveDate,
    pub(super) sure: f64,
    pub(super) lines: Vec<Line>,
    pub(super) totals: Totals,
}

/// One product in one size of jar.
#[derive(Debug, serde::Serialize)]
pub(super) struct Line {
    pub(super) product: String,
    pub(super) size: JarSize,
    /// Jars eaten, and the months in which there were some to eat.
    pub(super) eaten: u32,
    pub(super) months_with_stock: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) what_if: Option<String>,
    /// None where there is too little history.
    pub(super) expected: Option<Expected>,
    pub(super) too_little_history: bool,
    /// Jars on the shelf whose best by is ahead, and how many of them will be eaten by it.
    pub(super) in_stock: usize,
    pub(super) still_good: Option<u32>,
    pub(super) put_up: Option<u32>,
    pub(super) canner: Option<String>,
    pub(super) work: Option<Work>,
}

/// Use until the next season: the interval, its middle, and the number that is enough.
#[derive(Debug, serde::Serialize)]
pub(super) struct Expected {
    pub(super) low: u32,
    pub(super) middle: u32,
    pub(super) enough: u32,
}

impl Line {
    #[expect(clippy::too_many_arguments, reason = "a row is put together once")]
    pub(super) fn new(
        (product, size): (String, JarSize),
        past: PastUse,
        what_if: Option<WhatIf>,
        expected: Option<ExpectedUse>,
        (in_stock, still_good): (usize, Option<u32>),
        put_up: Option<u32>,
        canner: Option<String>,
        work: Option<Work>,
    ) -> Self {
        Self {
            product,
            size,
            eaten: past.eaten,
            months_with_stock: (past.months() * 10.0).round() / 10.0,
            what_if: what_if.map(|change| change.to_string()),
            too_little_history: expected.is_none(),
            expected: expected.map(|ExpectedUse { low, middle, enough }| Expected { low, middle, enough }),
            in_stock,
            still_good,
            put_up,
            canner,
            work,
        }
    }
}

/// The list for shopping and for work.
#[derive(Debug, serde::Serialize)]
pub(super) struct Totals {
    /// Jars by size.
    pub(super) jars: BTreeMap<JarSize, u32>,
    /// Jars to get beyond those counted, by size.
    pub(super) jars_to_get: BTreeMap<JarSize, u32>,
    pub(super) lids: u32,
    pub(super) lids_to_get: u32,
    /// Loads, where every line has them; else at least so many.
    pub(super) loads: u32,
    pub(super) minutes: u32,
    /// Produce, where the guide gives a figure.
    pub(super) pounds: Pounds,
    /// Whether some line has no figure for loads, minutes or produce.
    pub(super) loads_at_least: bool,
    pub(super) minutes_at_least: bool,
    pub(super) pounds_at_least: bool,
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
