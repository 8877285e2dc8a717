//! A plan for jars of one size, and how it is shown.

use std::num::NonZeroU32;

use crate::answers::planning::plan::{Plan, Wanted};
use crate::answers::planning::words;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::rules::canning_day::day as plan;
use crate::rules::canning_day::day::TimedStep;
use crate::tables::figures::Figure;
use crate::values::measures::in_words::{time, weight};
use crate::values::measures::units::Units;
use crate::values::names::counted::counted;

/// Says that a canner has no room on record for a size.
pub(super) fn no_room(message: String) -> Failure {
    Failure::new(
        Code::NotFound,
        message,
        "record the canner again under another name, with its room for that size",
    )
}

/// The plan for one size of jar.
pub(super) fn plan_of(wanted: Wanted, ledger: &Ledger, ctx: &Context) -> Result<Plan, Failure> {
    let (canner, size) = (&wanted.canner, wanted.size);
    let capacity = canner.holds.get(&size).copied().and_then(NonZeroU32::new).ok_or_else(|| {
        no_room(format!("how many {} {} takes is not on record", size.plural(), canner.name))
    })?;
    Ok(Plan::of(wanted, capacity, ledger, ctx.clock.today())?)
}

pub(super) fn show(plan: &Plan, pressure: bool, units: Units, screen: &mut Screen) -> Result<(), Failure> {
    if plan.options.is_empty() {
        screen.say(format!("No tested process. {}", plan.detail));
    }
    screen.say(format!(
        "{}: {} of {}, {} pack, {} at {}",
        plan.product,
        plan.jar.counted(plan.jars),
        plan.food,
        plan.pack,
        plan.canner,
        plan.place
    ));
    if plan.options.is_empty() {
        // Times and produce are no help where it must not be canned this way.
        for caution in plan.cautions {
            screen.say(caution.text);
        }
        return Ok(());
    }
    let loads: Vec<String> = plan.loads.iter().map(u32::to_string).collect();
    let count = counted(loads.len(), "load", "loads");
    let lids = counted(plan.lids, "new lid", "new lids");
    screen.say(format!("  {count}: {}; {lids}", loads.join(", ")));
    for produce in &plan.produce {
        let figure = &produce.figure;
        let style = figure.style.map(|style| format!("for {style} ")).unwrap_or_default();
        let amount =
            produce.pounds.map_or_else(|| "more than 9,999 lb".to_owned(), |pounds| weight(pounds, units));
        let extra = [figure.remark, figure.basis.warning()].into_iter().flatten();
        let extra: String = extra.map(|text| format!(" ({text})")).collect();
        screen.say(format!("  {style}{amount} of produce as bought, from {}{extra}", figure.source));
    }
    if plan.produce.is_empty() {
        screen.say("  the guide gives no weight of produce for this");
    }
    if plan.options.len() > 1 {
        screen.say(&plan.detail);
    }
    for day in &plan.options {
        screen.say("");
        screen.say(format!("Each load, {}:", words::figures(&day.process, units)));
        if let Some(advice) = &day.gauge {
            screen.say(format!("    {advice}"));
        }
        words::say_terms(&day.process, screen);
        for step in &day.steps {
            let minutes = step
                .minutes
                .map_or_else(|| step.source.clone(), |minutes| format!("{}; {}", time(minutes), step.source));
            let warning = step.basis.and_then(|basis| basis.warning());
            let extra: String =
                [step.remark, warning].into_iter().flatten().map(|text| format!(" ({text})")).collect();
            screen.say(format!("  {}: {minutes}{extra}", step_words(step, pressure)));
        }
        let least = if day.all_loads.at_least { "at least " } else { "" };
        screen.say(format!(
            "  together {least}{} a load, {least}{} for all, one after another",
            time(day.each_load.minutes),
            time(day.all_loads.minutes)
        ));
    }
    screen.say("");
    screen.say(format!(
        "Then let the jars stand {} to {} h before the seals are checked ({}).",
        plan.cool_hours[0],
        plan.cool_hours[1],
        Figure::CoolAtLeast.row().source
    ));
    for caution in plan.cautions {
        screen.say(caution.text);
    }
    Ok(())
}

const fn step_words(step: &TimedStep, pressure: bool) -> &'static str {
    match (step.step, pressure) {
        (plan::Step::Heat, _) => "heat until steam flows",
        (plan::Step::Vent, _) => "vent",
        (plan::Step::ComeUp, true) => "come up to pressure",
        (plan::Step::ComeUp, false) => "come to a full boil",
        (plan::Step::Process, _) => "process",
        (plan::Step::PressureFalls, _) => "let the pressure fall by itself",
        (plan::Step::Wait, true) => "wait, then take off the lid",
        (plan::Step::Wait, false) => "heat off, lid off, wait, then lift the jars",
    }
}
