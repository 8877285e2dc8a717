//! The verdicts on a batch just logged, what to do where one looks mistyped, and the rescue of the jars withheld.

use crate::answers::jars::rescue_lines::rescues_in_short;
use crate::answers::jars::verdict_lines::{VerdictShown, say_verdicts};
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::batch_story::{BatchStory, LoadStory};
use crate::ledger::jar::rescue::Rescue;
use crate::paper::text::mark::Mark;
use crate::rules::food::care::Care;
use crate::rules::load::verdict::Verdict;
use crate::rules::spoilage::cautions;
use crate::values::codes::load_code::LoadCode;
use crate::values::names::counted::jars;
use crate::values::time::clock::Clock;

/// Says them last, so that they stay on the screen; each load comes with the rescue of its jars, if they are withheld.
pub(super) fn say(
    story: &BatchStory,
    loads: &[(&LoadStory, Option<Rescue>)],
    clock: Clock,
    screen: &mut Screen,
) {
    let given: Vec<VerdictShown> = loads
        .iter()
        .filter_map(|(of, _)| {
            let verdict = of.load.verdict?;
            let sizes = of.sizes();
            let compared = of.compared_with(&story.batch, &sizes);
            Some(VerdictShown::new(named(of), &compared, verdict, &of.load.findings, |_| true))
        })
        .collect();
    say_verdicts(&given, screen);
    let held: Vec<&(&LoadStory, Option<Rescue>)> =
        loads.iter().filter(|(_, rescue)| rescue.is_some()).collect();
    let count: usize = held.iter().map(|(load, _)| load.jars.len()).sum();
    let doubtful = |verdict| !matches!(verdict, None | Some(Verdict::Meets | Verdict::MeetsOwn));
    let wrong: Vec<LoadCode> = loads
        .iter()
        .map(|(of, _)| &of.load)
        .filter(|load| doubtful(load.verdict))
        .map(|load| load.code)
        .collect();
    let mistyped = match wrong[..] {
        [] => None,
        [load] => Some(format!("Mistyped? `jarledger correct load {load}`")),
        _ => Some("Mistyped? `jarledger correct load` asks which".to_owned()),
    };
    if count > 0 {
        let all = if held.len() == loads.len() { "all " } else { "" };
        let mistyped = mistyped.unwrap_or_default();
        screen.say_marked(Mark::Held, format!("On hold: {all}{}. {mistyped}", jars(count)));
    } else if let Some(mistyped) = mistyped {
        screen.say(mistyped);
    }
    let rescues: Vec<(String, &Rescue)> =
        held.iter().filter_map(|(load, rescue)| Some((named(load), rescue.as_ref()?))).collect();
    for line in rescues_in_short(&rescues, clock) {
        screen.say(line);
    }
    if count > 0 {
        let is_low_acid = Care::of(story.batch.food.as_ref(), &story.batch.product) == Care::LowAcid;
        screen.say(if is_low_acid { cautions::FAILED_LOAD.text } else { cautions::ASK.text });
    }
}

/// A load by its number in the batch.
fn named(of: &LoadStory) -> String {
    format!("load {}", of.load.code.number)
}
