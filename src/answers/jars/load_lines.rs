//! A load in lines: what it went through, the verdict, and what was found.

use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::sizes::in_words;
use crate::answers::jars::sizes::sizes;
use crate::answers::moments;
use crate::answers::say::Say;
use crate::ledger::batch::batch_story::{Batch, LoadStory};
use crate::ledger::batch::load_facts::LoadFacts;
use crate::rules::load::finding::{Bearing, Finding, FindingCode};
use crate::rules::load::verdict::Verdict;
use crate::values::time::clock::Clock;

/// Says a load: its heading, its facts, the verdict, the findings and what was corrected.
pub(crate) fn say_load(story: &LoadStory, batch: &Batch, clock: Clock, screen: &mut impl Say) {
    let LoadStory { load, jars, lid_lots, corrections } = story;
    let canner = load.canner.as_ref().map_or_else(|| "canner not on record".to_owned(), Clone::clone);
    screen.say(format!("Load {}: {}, {canner}", load.code, in_words(&sizes(jars))));
    screen.say(format!("  {}", facts_in_words(&load.facts, lid_lots, clock)));
    if let Some(wrong) = &load.facts.went_wrong {
        screen.say(format!("  went wrong: {wrong}"));
    }
    if let Some(verdict) = load.verdict {
        screen.say(format!(
            "  {}",
            story.compared_with(batch, &story.sizes()).verdict(verdict, &load.findings)
        ));
    }
    for finding in load.findings.iter().filter(|finding| !is_said_by(load.verdict, finding)) {
        screen.say(format!("  - {}", finding_in_words(finding)));
    }
    say_corrections("load", corrections, clock, screen);
}

/// A load with what is on record of its run, in one line.
pub(crate) fn load_in_a_line(story: &LoadStory, clock: Clock) -> String {
    let LoadStory { load, jars, lid_lots, .. } = story;
    let canner = load.canner.as_deref().unwrap_or("canner not on record");
    let wrong =
        load.facts.went_wrong.as_ref().map(|wrong| format!("; went wrong: {wrong}")).unwrap_or_default();
    format!(
        "Load {}: {}, {canner}, {}{wrong}",
        load.code,
        in_words(&sizes(jars)),
        facts_in_words(&load.facts, lid_lots, clock)
    )
}

/// What is on record of the run, in one line.
pub(crate) fn facts_in_words(facts: &LoadFacts, lid_lots: &[String], clock: Clock) -> String {
    let mut parts = Vec::new();
    if let Some(pressure) = facts.pressure {
        let entered = facts.pressure_entered.as_deref().filter(|entered| entered.contains("Pa"));
        parts.push(match entered {
            Some(entered) => format!("{entered} ({pressure})"),
            None => pressure.to_string(),
        });
    }
    parts.extend(facts.minutes.map(|minutes| format!("{minutes} min")));
    parts.extend(facts.vent_min.map(|minutes| format!("vented {minutes} min")));
    parts.extend(facts.come_up_min.map(|minutes| format!("came up in {minutes} min")));
    parts.extend(facts.acid.map(|acid| format!("acid: {acid}")));
    parts.extend(facts.reached_at.map(|at| format!("reached {}", at.format("%H:%M"))));
    parts.extend(facts.ended_at.map(|at| format!("ended {}", at.format("%H:%M"))));
    parts.extend(facts.drops.iter().map(|drop| format!("drop {drop}")));
    if !lid_lots.is_empty() {
        parts.push(format!("lids {}", lid_lots.join(" and ")));
    }
    parts.extend(facts.altitude.map(|altitude| format!("at {altitude}")));
    parts.push(format!("out {}", moments::in_words(facts.out_at, clock)));
    parts.join(", ")
}

/// Whether the sentence of the verdict says a finding already.
pub(crate) fn is_said_by(verdict: Option<Verdict>, finding: &Finding) -> bool {
    verdict == Some(Verdict::MeetsOwn) && finding.code == FindingCode::OwnProcess
}

/// A finding with what it weighs in front.
pub(crate) fn finding_in_words(finding: &Finding) -> String {
    let weight = match finding.bearing {
        Bearing::Fails => "",
        Bearing::Missing => "missing: ",
        Bearing::Caution => "caution: ",
    };
    format!("{weight}{}", finding.shown())
}
