//! Remarks on loads that were in one canner at one time, which a slip or a batch logged twice looks like.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::ledger::batch::put_up::NewLoad;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::name::Name;

/// Remarks on the loads of a batch to be logged, beside each other and those on record.
pub(super) fn remark(
    loads: &[NewLoad],
    ledger: &Ledger,
    remarks: &mut Vec<String>,
) -> Result<(), LedgerError> {
    let pairs = || (0..loads.len()).flat_map(|at| loads[..at].iter().map(move |other| (other, &loads[at])));
    let shared = || pairs().filter(|(one, other)| same_canner(one, other));
    if shared().any(|(one, other)| one.facts.out_at == other.facts.out_at) {
        remarks.push(
            "Two loads from one canner came out at the same time; `--load out=…` gives each its own."
                .to_owned(),
        );
    }
    if shared().any(|(one, other)| {
        one.facts.out_at != other.facts.out_at
            && began(one) < other.facts.out_at
            && began(other) < one.facts.out_at
    }) {
        remarks.push("Two loads from one canner overlap: check their times.".to_owned());
    }
    for load in loads {
        let Some(canner) = &load.canner else { continue };
        if let Some(other) = ledger.load_in_canner(canner, began(load), load.facts.out_at)? {
            remarks.push(format!(
                "Load {other} was in {canner} at that time: if this is the same one, `jarledger undo` undoes it."
            ));
            break;
        }
    }
    Ok(())
}

fn same_canner(one: &NewLoad, other: &NewLoad) -> bool {
    let key = |load: &NewLoad| load.canner.as_ref().map(Name::key);
    key(one) == key(other)
}

/// When a load was at its target at the latest.
fn began(load: &NewLoad) -> DateTime<FixedOffset> {
    load.facts.reached_at.unwrap_or_else(|| {
        load.facts.out_at - TimeDelta::minutes(load.facts.minutes.unwrap_or_default().into())
    })
}
