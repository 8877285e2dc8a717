//! What a trace starts from, and what the jars it finds share.

use chrono::NaiveDate;

use crate::ledger::trace::reprocessed::SameFood;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;
use crate::values::names::name::Name;

/// What to trace from. Of one kind any will do; of several kinds each must hold.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TraceQuery {
    /// Jars, whose whole batches are traced, with the batches of the same food.
    pub jars: Vec<JarCode>,
    /// Batches; one kind with jars and loads.
    pub batches: Vec<BatchCode>,
    /// Loads; one kind with jars and batches.
    pub loads: Vec<LoadCode>,
    /// Lid lots.
    pub lid_lots: Vec<Name>,
    /// Canners.
    pub canners: Vec<Name>,
    /// Days of gauge tests: the loads those tests speak for.
    pub gauge_tests: Vec<NaiveDate>,
    /// Lots of ingredients.
    pub ingredient_lots: Vec<Name>,
    /// Put up on this day or later.
    pub from: Option<NaiveDate>,
    /// Put up on this day or earlier.
    pub to: Option<NaiveDate>,
}

/// Conditions on `j` and `b`, with their parameters.
#[derive(Default)]
pub(in crate::ledger) struct Conditions {
    pub(in crate::ledger) sql: Vec<String>,
    pub(in crate::ledger) parameters: Vec<String>,
}

impl Conditions {
    /// Adds a condition in which `?` stands for `parameter`.
    pub(in crate::ledger) fn add(&mut self, sql: &str, parameter: String) {
        self.parameters.push(parameter);
        self.sql.push(sql.replace('?', &format!("?{}", self.parameters.len())));
    }
}

/// Rows for an `IN (SELECT value FROM json_each(?))`.
pub(in crate::ledger) fn listed(ids: &[i64]) -> String {
    let ids: Vec<String> = ids.iter().map(i64::to_string).collect();
    format!("[{}]", ids.join(","))
}

impl TraceQuery {
    /// What every jar found shares, in words.
    pub(in crate::ledger) fn shared(&self) -> Vec<String> {
        let mut shared = Vec::new();
        let mut kind = |what: &str, names: Vec<String>| {
            if !names.is_empty() {
                shared.push(format!("{what} {}", names.join(" or ")));
            }
        };
        let words = |names: &[Name]| names.iter().map(ToString::to_string).collect::<Vec<_>>();
        kind("lid lot", words(&self.lid_lots));
        kind("canner", words(&self.canners));
        kind("gauge test of", self.gauge_tests.iter().map(ToString::to_string).collect());
        kind("ingredient lot", words(&self.ingredient_lots));
        match (self.from, self.to) {
            (Some(from), Some(to)) if from == to => shared.push(format!("put up on {from}")),
            (Some(from), Some(to)) => shared.push(format!("put up {from} to {to}")),
            (Some(from), None) => shared.push(format!("put up on or after {from}")),
            (None, Some(to)) => shared.push(format!("put up on or before {to}")),
            (None, None) => {}
        }
        shared
    }

    /// What one jar shares, its load or batch before the rest.
    pub(in crate::ledger) fn reason(
        &self,
        jar: JarCode,
        load: Option<LoadCode>,
        batches: &[SameFood],
        shared: &[String],
    ) -> String {
        let code = jar;
        let by_batch = || {
            let reached = batches.iter().find(|reached| reached.batch == code.batch)?;
            Some(if reached.from != code.batch {
                format!("same food as batch {}, by reprocessing or use", reached.from)
            } else if self.batches.contains(&code.batch) {
                format!("batch {}", code.batch)
            } else {
                format!("same batch as {}", self.jars.iter().find(|jar| jar.batch == code.batch)?)
            })
        };
        let by_code = if self.jars.contains(&code) {
            Some("the jar itself".to_owned())
        } else {
            load.filter(|load| self.loads.contains(load)).map(|load| format!("load {load}")).or_else(by_batch)
        };
        by_code.into_iter().chain(shared.iter().cloned()).collect::<Vec<_>>().join("; ")
    }
}
