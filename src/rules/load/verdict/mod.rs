//! Whether a load met its tested process.
//!
//! May use: gauge, process, values.
//!
//! A load meets its process when one whole row is met: vent at least the row's (and 10 min),
//! true gauge pressure never under the row's, an unbroken time at least the row's
//! and, for an acidified row, the acid on record. Sources: USDA AIB 539, Guide 1,
//! Using pressure canners (vent 10 min; hold at or above the target; from memory,
//! a drop starts the full time again); weighted gauges regulate at 5, 10 and
//! 15 psi only (same, from memory).
//!
//! - Where a food has several pairs of minutes and pressure, each is a whole
//!   process: meeting one is enough, and minutes of one never go with the pressure
//!   of another. If none is met, the findings are against the nearest pair: the
//!   one with the fewest failing facts, then the fewest missing, then the smallest
//!   shortfall as a share of what is owed, then the first in the table.
//! - A fact not on record makes the load `not-recorded`; a fact on record that
//!   falls short makes it `deviates`, whatever else is missing.
//! - A load of several jar sizes is judged for each, and its verdict is the worst
//!   of them: `deviates`, then `no-tested-process`, then `not-recorded`, then `meets-own`,
//!   then `meets`.
//! - A process of the household's own counts only where no published row is met, and
//!   what meets it is `meets-own`: no table here confirms it.
//! - A dial gauge not tested within the year, one past correction, a row not seen
//!   in print or a note of trouble is a caution: it is shown and changes no verdict.

use crate::rules::load::finding::{Finding, FindingCode};
use crate::rules::load::verdict::record::{Owed, RunRecord};
use crate::rules::load::verdict::row::Against;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::names::named::named_enum;

#[cfg(test)]
mod gauge_year_tests;
pub mod record;
mod row;
#[cfg(test)]
mod tests;

named_enum! {
    /// What a load's record says of its process. The order is from best to worst.
    pub enum Verdict as "a verdict" {
        /// Meets a tested process.
        Meets = "meets",
        /// Meets the household's own process, which no table here confirms.
        MeetsOwn = "meets-own",
        /// Open: a fact is not on record.
        NotRecorded = "not-recorded",
        /// No tested process to meet.
        NoTestedProcess = "no-tested-process",
        /// Falls short of the tested process.
        Deviates = "deviates",
    }
}

/// The verdict on a load, and why.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Judgement {
    /// The verdict.
    pub verdict: Verdict,
    /// Failing facts, missing facts and cautions.
    pub findings: Vec<Finding>,
}

/// Judges a load that holds jars of the sizes in `owed`.
///
/// A load without a size has nothing it could meet: `no-tested-process`.
pub fn judge(record: &RunRecord, owed: &[Owed<'_>]) -> Judgement {
    let mut verdict = if owed.is_empty() { Verdict::NoTestedProcess } else { Verdict::Meets };
    let mut findings: Vec<Finding> = Vec::new();
    for jars in owed {
        let judged = judge_size(record, *jars);
        verdict = verdict.max(judged.verdict);
        for found in judged.findings {
            match findings.iter_mut().find(|known| known.code == found.code && known.message == found.message)
            {
                Some(known) => known.jars.extend(found.jars),
                None => findings.push(found),
            }
        }
    }
    for finding in findings.iter_mut().filter(|finding| finding.jars.len() < owed.len()) {
        let sizes: Vec<&str> = finding.jars.iter().map(|size| size.plural()).collect();
        finding.message = format!("{}: {}", sizes.join(" and "), finding.message);
    }
    findings.sort_by_key(|finding| finding.bearing);
    Judgement { verdict, findings }
}

fn judge_size(record: &RunRecord, owed: Owed<'_>) -> Judgement {
    let judged = owed.options.iter().map(|row| Against::new(record, owed, row));
    let Some(nearest) = judged.min_by_key(Against::distance) else {
        let mut findings =
            vec![Finding::new(FindingCode::NoTestedProcess, owed.size, owed.absence.to_owned())];
        cautions_of_run(record, owed.size, &mut findings);
        return Judgement { verdict: Verdict::NoTestedProcess, findings };
    };
    let verdict = match nearest.distance() {
        (0, 0, _) if nearest.is_own() => Verdict::MeetsOwn,
        (0, 0, _) => Verdict::Meets,
        (0, _, _) => Verdict::NotRecorded,
        _ => Verdict::Deviates,
    };
    let mut findings = nearest.findings;
    cautions_of_run(record, owed.size, &mut findings);
    Judgement { verdict, findings }
}

fn cautions_of_run(record: &RunRecord, size: JarSize, findings: &mut Vec<Finding>) {
    let mut caution = |code, message: String| findings.push(Finding::new(code, size, message));
    if record.method == Method::PressureDial {
        if record.gauge_untested {
            let message = "the dial gauge had no test in the year before this load; one is owed every year";
            caution(FindingCode::GaugeUntested, message.to_owned());
        }
        if let (true, Some(reading)) = (record.gauge_tested_elsewhere, record.pressure) {
            let message = format!(
                "the dial gauge was never tested at {reading}: the worst it was found to read elsewhere is taken"
            );
            caution(FindingCode::GaugeTestedElsewhere, message);
        }
        if let Some(error) = record.gauge_error.filter(|error| error.is_past_correction()) {
            let message = format!("the dial gauge {error}; more than 2 psi either way means a new gauge");
            caution(FindingCode::GaugeToReplace, message);
        }
    }
    if record.trouble_noted {
        let message = "a note of something gone wrong is on record; the verdict is on the figures alone";
        caution(FindingCode::TroubleNoted, message.to_owned());
    }
}
