//! A load told in lines: what it went through, the verdict, and what was found.

use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::sizes::in_words;
use crate::answers::jars::sizes::sizes;
use crate::answers::moments;
use crate::answers::say::Say;
use crate::ledger::batch::batch_story::{Batch, LoadStory};
use crate::ledger::batch::load::Load;
use crate::rules::load::finding::{Bearing, Finding, FindingCode};
use crate::rules::load::verdict::Verdict;
use crate::values::time::clock::Clock;

/// Says a load: its heading, its facts, the verdict, the findings and what was corrected.
pub(crate) fn say_load(story: &LoadStory, batch: &Batch, clock: Clock, screen: &mut impl Say) {
    let LoadStory { load, jars, lid_lots, corrections } = story;
    let canner = load.canner.as_ref().map_or_else(|| "canner not on record".to_owned(), Clone::clone);
    screen.say(format!("Load {}: {}, {canner}", load.code, in_words(&sizes(jars))));
    screen.say(format!("  {}", facts(load, lid_lots, clock)));
    if let Some(wrong) = &load.went_wrong {
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
    let wrong = load.went_wrong.as_ref().map(|wrong| format!("; went wrong: {wrong}")).unwrap_or_default();
    format!(
        "Load {}: {}, {canner}, {}{wrong}",
        load.code,
        in_words(&sizes(jars)),
        facts(load, lid_lots, clock)
    )
}

/// What is on record of the run, in one line.
fn facts(load: &Load, lid_lots: &[String], clock: Clock) -> String {
    let mut parts = Vec::new();
    if let Some(pressure) = load.pressure {
        let entered = load.pressure_entered.as_deref().filter(|entered| entered.contains("Pa"));
        parts.push(match entered {
            Some(entered) => format!("{entered} ({pressure})"),
            None => pressure.to_string(),
        });
    }
    parts.extend(load.minutes.map(|minutes| format!("{minutes} min")));
    parts.extend(load.vent_min.map(|minutes| format!("vented {minutes} min")));
    parts.extend(load.come_up_min.map(|minutes| format!("came up in {minutes} min")));
    parts.extend(load.acid.map(|acid| format!("acid: {acid}")));
    parts.extend(load.reached_at.map(|at| format!("reached {}", at.format("%H:%M"))));
    parts.extend(load.ended_at.map(|at| format!("ended {}", at.format("%H:%M"))));
    parts.extend(load.drops.iter().map(|drop| format!("drop {drop}")));
    if !lid_lots.is_empty() {
        parts.push(format!("lids {}", lid_lots.join(" and ")));
    }
    parts.extend(load.altitude.map(|altitude| format!("at {altitude}")));
    parts.push(format!("out {}", moments::in_words(load.out_at, clock)));
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
