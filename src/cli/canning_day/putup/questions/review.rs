//! The last look at a batch before it is saved.

use crate::answers::jars::load_lines::facts_in_words;
use crate::answers::jars::sizes::in_words;
use crate::answers::jars::verdict_lines::{VerdictShown, say_verdicts};
use crate::cli::canning_day::putup::questions::asked::LoadFact;
use crate::cli::canning_day::putup::settle::Settled;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, Reply, interrupted};
use crate::cli::talk::stderr::complain;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::file::open::Ledger;
use crate::rules::load::finding::{Bearing, Finding, FindingCode};
use crate::rules::load::verdict::{Judgement, Verdict};
use crate::rules::load::verdict_words::Compared;
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// What the person says to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli::canning_day::putup) enum Decision {
    Save,
    /// Change an answer, beginning with the load and the fact that fall short.
    Change(Option<(usize, LoadFact)>),
    Back,
}

/// Shows what would be saved, and asks.
pub(in crate::cli::canning_day::putup) fn decide(
    settled: &Settled,
    ledger: &Ledger,
    clock: Clock,
    asker: &Asker,
) -> Result<Decision, Failure> {
    let judged = ledger.judge_before_saving(&settled.batch)?;
    let mut lines = lines(&settled.batch, ledger, clock)?;
    say_verdicts(&verdicts(&settled.batch, &judged, ledger)?, &mut lines);
    for line in lines {
        complain(&line);
    }
    for remark in &settled.remarks {
        complain(&format!("Note: {remark}"));
    }
    const SAVE: &str = "Save it";
    const CHANGE: &str = "Change an answer";
    const LEAVE: &str = "Leave it, and save nothing";
    let question = Question { ask: "Save this batch?", flag: "--product NAME", help: "", default: None };
    // What falls short is looked at once more before Enter saves it.
    let falls_short = judged.iter().any(|judged| judged.verdict > Verdict::NotRecorded);
    match asker.choose(question, vec![SAVE, CHANGE, LEAVE], usize::from(falls_short))? {
        Reply::Given(SAVE) => Ok(Decision::Save),
        Reply::Given(LEAVE) => Err(interrupted()),
        Reply::Given(_) => Ok(Decision::Change(judged.iter().enumerate().find_map(first_short))),
        Reply::Back => Ok(Decision::Back),
    }
}

/// The fact of a load that falls short first.
fn first_short((load, judged): (usize, &Judgement)) -> Option<(usize, LoadFact)> {
    let fact = |finding: &Finding| match finding.code {
        FindingCode::VentShort => Some(LoadFact::Vent),
        FindingCode::PressureLow | FindingCode::WeightFigure => Some(LoadFact::Pressure),
        FindingCode::TimeShort => Some(LoadFact::Minutes),
        FindingCode::AcidNotAdded | FindingCode::AcidShort | FindingCode::AcidWrong => Some(LoadFact::Acid),
        _ => None,
    };
    judged.findings.iter().find_map(fact).map(|fact| (load, fact))
}

/// The verdicts the loads would get, with what decides about them.
fn verdicts(batch: &NewBatch, judged: &[Judgement], ledger: &Ledger) -> Result<Vec<VerdictShown>, Failure> {
    let mut shown = Vec::new();
    for ((load, judged), number) in batch.loads.iter().zip(judged).zip(1..) {
        let canner = load.canner.as_ref().map(|name| ledger.canner(name)).transpose()?;
        let sizes: Vec<JarSize> = load.jars.iter().map(|&(size, _)| size).collect();
        let method = canner.map(|canner| canner.method);
        let compared = Compared { food: batch.food.as_ref(), pack: batch.pack, sizes: &sizes, method };
        shown.push(VerdictShown::new(
            format!("load {number}"),
            &compared,
            judged.verdict,
            &judged.findings,
            |bearing| bearing != Bearing::Caution,
        ));
    }
    Ok(shown)
}

/// The batch as it would be saved; none of it is on record yet.
fn lines(batch: &NewBatch, ledger: &Ledger, clock: Clock) -> Result<Vec<String>, Failure> {
    let food = batch.food.as_ref().map_or("no food of the tables", |food| food.as_str());
    let pack = batch.pack.map(|pack| format!(", {pack} pack")).unwrap_or_default();
    let place = batch.place.as_ref().map(|place| format!(", to {place}")).unwrap_or_default();
    let mut lines = vec![
        String::new(),
        format!("{}, put up {}{place}", batch.product, on_screen::day_in_words(batch.put_up)),
        format!("{food}{pack}"),
    ];
    for load in &batch.loads {
        let canner = load.canner.as_ref().map(|name| ledger.canner(name)).transpose()?;
        let has_pressure = canner.is_some_and(|canner| canner.method.is_pressure());
        lines.push(load_line(load, has_pressure, clock));
    }
    Ok(lines)
}

fn load_line(load: &NewLoad, has_pressure: bool, clock: Clock) -> String {
    let mut parts = vec![in_words(&load.jars)];
    parts.extend(load.canner.as_ref().map(ToString::to_string));
    let is_missing = [
        ("pressure", has_pressure && load.facts.pressure.is_none()),
        ("minutes", load.facts.minutes.is_none()),
    ];
    parts.extend(
        is_missing
            .into_iter()
            .filter(|(_, missing)| *missing)
            .map(|(what, _)| format!("{what} not recorded")),
    );
    let lids: Vec<String> = load.lid_lot.iter().map(ToString::to_string).collect();
    parts.push(facts_in_words(&load.facts, &lids, clock));
    parts.extend(load.facts.went_wrong.as_ref().map(|what| format!("went wrong: {what}")));
    format!("- {}", parts.join(", "))
}
