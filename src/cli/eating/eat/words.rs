//! How `eat` shows its answer on a screen.

use std::collections::HashMap;

use crate::answers::eating::decide::ToDecide;
use crate::answers::eating::eat::{Answer, InFreezer, Spread, ToEat, Withheld};
use crate::answers::jars::stands::at;
use crate::cli::errors::Failure;
use crate::cli::talk::place::place;
use crate::cli::talk::screen::Screen;
use crate::paper::text::mark::Mark;
use crate::paper::text::table::{Table, unbroken};
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::JarState;
use crate::rules::spoilage::cautions::BEST_BY;
use crate::rules::spoilage::signs_in_short::in_short;
use crate::tables::spoilage::{Severity, Sign, Stage};
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::jar_list::JarList;
use crate::values::names::counted::jars as counted;
use crate::values::time::on_screen;

pub(super) fn say(
    answer: &Answer,
    with_months: bool,
    signs_in_full: bool,
    screen: &mut Screen,
) -> Result<(), Failure> {
    say_decisions(&answer.decide_now, screen);
    eat_first(answer, screen)?;
    if !answer.past_best.is_empty() {
        screen.say("");
        screen.say(format!("Past best by, to be used soon. {}", BEST_BY.text));
        say_jars(&answer.past_best, screen)?;
    }
    if with_months {
        months(answer, screen);
    }
    if !answer.frozen.is_empty() {
        screen.say("");
        screen.say("In the freezer:");
        let alike = |a: &InFreezer, b: &InFreezer| (a.jar.batch, &a.process) == (b.jar.batch, &b.process);
        for jars in answer.frozen.chunk_by(alike) {
            screen.say(format!(
                "  {} {}{}",
                named(jars.iter().map(|j| j.jar)),
                jars[0].product,
                jars[0].process.after_comma()
            ));
        }
    }
    on_hold(&answer.on_hold, screen);
    unrecorded(&answer.unrecorded, screen);
    screen.say("");
    if signs_in_full {
        signs(answer, screen);
    } else {
        signs_in_words(answer, screen);
    }
    for caution in answer.cautions.iter().filter(|caution| *caution != BEST_BY.text) {
        screen.say(caution);
    }
    if !answer.eat_first.is_empty() {
        screen.next("`jarledger open JAR` when you take one");
    }
    Ok(())
}

/// Says the decisions, one line for jars of a batch that are alike.
pub(in crate::cli) fn say_decisions(due: &[ToDecide], screen: &mut Screen) {
    if due.is_empty() {
        return;
    }
    screen.say("Decide now:");
    let mut groups: Vec<(&ToDecide, Vec<JarCode>)> = Vec::new();
    let mut found = HashMap::new();
    for one in due {
        let group = *found.entry((one.jar.batch, &one.what, &one.place)).or_insert_with(|| {
            groups.push((one, Vec::new()));
            groups.len() - 1
        });
        groups[group].1.push(one.jar);
    }
    for (first, codes) in groups {
        let mark = match first.matter {
            Matter::Rescue | Matter::Mend | Matter::CheckLid | Matter::Finish => Mark::Due,
            _ => Mark::Overdue,
        };
        let line = format!(
            "  {} {}{}: {}.",
            named(codes),
            first.product,
            at(first.state, first.place.as_deref()),
            first.what
        );
        screen.say_marked(mark, line);
    }
    screen.say("");
}

fn eat_first(answer: &Answer, screen: &mut Screen) -> Result<(), Failure> {
    let month = answer.month.in_words();
    if answer.eat_first.is_empty() {
        screen.say(format!("No jar is due in {month}."));
        return Ok(());
    }
    let (unrecorded, known): (Vec<&ToEat>, Vec<&ToEat>) =
        answer.eat_first.iter().partition(|jar| jar.process.unrecorded);
    if !known.is_empty() {
        screen.say(format!("Eat first in {month}: {}.", counted(known.len())));
        say_jars(known.iter().copied(), screen)?;
    }
    if !unrecorded.is_empty() {
        let too = if known.is_empty() {
            ""
        } else {
            screen.say("");
            " too"
        };
        screen.say(format!(
            "Due in {month}{too}, but the process is not on record: {}. Eat these only if you know it yourself.",
            counted(unrecorded.len())
        ));
        // The heading says of all of them what a mark would say.
        say_table(unrecorded, |jar| unbroken(&on_screen::day(jar.best_by)), screen)?;
    }
    say_spread(&answer.spread, screen);
    Ok(())
}

/// Says which of a product's jars these are, so that it is plain why they come before their time.
fn say_spread(spread: &[Spread], screen: &mut Screen) {
    if spread.is_empty() {
        return;
    }
    screen.say("");
    screen.say("So that none passes its best by:");
    for Spread { product, jars, left, first_best_by } in spread {
        screen.say(format!(
            "  {product}: {jars} of {left}, the first best by {}.",
            on_screen::day(*first_best_by)
        ));
    }
}

/// Says the jars to eat, with their best by.
pub(in crate::cli) fn say_jars<'a>(
    jars: impl IntoIterator<Item = &'a ToEat>,
    screen: &mut Screen,
) -> Result<(), Failure> {
    say_table(
        jars,
        |jar| format!("{}{}", unbroken(&on_screen::day(jar.best_by)), jar.process.after_comma()),
        screen,
    )
}

fn say_table<'a>(
    jars: impl IntoIterator<Item = &'a ToEat>,
    best_by: impl Fn(&ToEat) -> String,
    screen: &mut Screen,
) -> Result<(), Failure> {
    screen.table_of(Table::new(["Jar", "Product", "Place", "Put up", "Best by"]), |take| {
        jars.into_iter().try_for_each(|jar| {
            take([
                jar.jar.to_string(),
                jar.product.to_string(),
                place(jar.place.as_deref()),
                unbroken(&on_screen::day(jar.put_up)),
                best_by(jar),
            ])
        })
    })
}

fn months(answer: &Answer, screen: &mut Screen) {
    screen.say("");
    screen.say("To eat every jar by its best by:");
    let mut table = Table::new(["Month", "Product", "Jars"]).number(2);
    for owed in &answer.months {
        table.row([owed.month.to_string(), owed.product.to_string(), owed.jars.to_string()]);
    }
    screen.table(&table);
}

fn on_hold(held: &[Withheld], screen: &mut Screen) {
    if held.is_empty() {
        return;
    }
    screen.say("");
    screen.say("On hold, not to be eaten:");
    let reasons = |held: &Withheld| {
        let words =
            held.reasons.iter().map(|hold| format!("{} (since {})", hold.reason, on_screen::day(hold.since)));
        words.collect::<Vec<_>>().join("; ")
    };
    let alike = |a: &Withheld, b: &Withheld| {
        (a.jar.batch, &a.place) == (b.jar.batch, &b.place) && reasons(a) == reasons(b)
    };
    let mut held: Vec<&Withheld> = held.iter().collect();
    held.sort_by_key(|held| held.jar);
    for group in held.chunk_by(|a, b| alike(a, b)) {
        let first = group[0];
        let codes = named(group.iter().map(|held| held.jar));
        let place = at(first.state, first.place.as_deref());
        screen.say_marked(Mark::Held, format!("  {codes} {}{place}: {}.", first.product, reasons(first)));
    }
}

/// Says the low-acid and tomato jars that nobody knows the process of, one line for jars of a batch that are alike.
fn unrecorded(jars: &[ToEat], screen: &mut Screen) {
    let Some(first) = jars.first() else { return };
    screen.say("");
    screen.say(format!(
        "Process not on record, low-acid or tomato: {}. Discard them unless you know their process:",
        counted(jars.len())
    ));
    let mut sorted: Vec<&ToEat> = jars.iter().collect();
    sorted.sort_by_key(|jar| jar.jar);
    for alike in sorted.chunk_by(|a, b| (a.jar.batch, &a.place) == (b.jar.batch, &b.place)) {
        let codes = named(alike.iter().map(|jar| jar.jar));
        let one = alike[0];
        screen.say(format!(
            "  {codes} {}, put up {}{}",
            one.product,
            on_screen::day(one.put_up),
            at(JarState::Sealed, one.place.as_deref())
        ));
    }
    screen.next(format!(
        "`jarledger correct batch {} --vouched TEXT --reason TEXT` where you know the process, and whose word it is",
        first.jar.batch
    ));
}

fn signs(answer: &Answer, screen: &mut Screen) {
    for (stage, severity, says) in [
        (Stage::BeforeOpening, Severity::Discard, "Before opening, discard the jar if:"),
        (Stage::BeforeOpening, Severity::Suspect, "Treat it as spoiled if:"),
        (Stage::AfterOpening, Severity::Discard, "Discard an opened jar if:"),
    ] {
        let words: Vec<&str> = signs_at(answer, stage)
            .filter(|sign| sign.severity == severity)
            .map(|sign| &*sign.sign)
            .collect();
        if !words.is_empty() {
            screen.say(format!("{says} {}", words.join(" ")));
            screen.say("");
        }
    }
}

/// Says a word or two of each sign.
fn signs_in_words(answer: &Answer, screen: &mut Screen) {
    for (stage, says) in [
        (Stage::BeforeOpening, "Before opening, look for:"),
        (Stage::AfterOpening, "Discard an opened jar at any of these:"),
    ] {
        let words: Vec<&str> = signs_at(answer, stage)
            .filter(|sign| sign.severity != Severity::QualityOnly)
            .map(in_short)
            .collect();
        if !words.is_empty() {
            screen.say(format!("{says} {}.", words.join(", ")));
        }
    }
    if !answer.signs.is_empty() {
        screen.say("Discard a suspect jar untasted. `jarledger eat --signs` says more of each sign.");
    }
}

fn signs_at(answer: &Answer, stage: Stage) -> impl Iterator<Item = &Sign> {
    answer.signs.iter().copied().filter(move |sign| sign.stage == stage)
}

/// Names jars of one batch: the code of one, or the batch and the numbers of several.
pub(in crate::cli) fn named(codes: impl IntoIterator<Item = JarCode>) -> String {
    let codes: Vec<JarCode> = codes.into_iter().collect();
    let numbers: Vec<String> = codes.iter().map(|code| code.number.to_string()).collect();
    match (codes.as_slice(), numbers.join(",").parse::<JarList>()) {
        ([only], _) => only.to_string(),
        ([first, ..], Ok(list)) => format!("{} {list}", first.batch),
        _ => codes.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    }
}
