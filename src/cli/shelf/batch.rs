use crate::answers::jars::batch::{All, Answer};
use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::load_lines::say_load;
use crate::answers::jars::seal_lines::unchecked;
use crate::answers::jars::sizes::{in_words, sizes};
use crate::answers::jars::what_it_is::what_it_is;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::place::place;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::batch_story::{BatchLine, Origin};
use crate::ledger::file::open::Ledger;
use crate::paper::text::table::{Table, unbroken};
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::NOT_ON_RECORD;
use crate::rules::load::verdict::Verdict;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::codes::jar_code::BatchCode;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Show a batch with its loads and jars, or list all of them
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The batch, such as 26-041; left out: all of them
    batch: Option<BatchCode>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    match args.batch {
        Some(code) => show(&Answer::read(&ledger, code, ctx.clock)?, ctx.clock, screen),
        None => list(&ledger, ctx.clock, screen),
    }
}

fn list(ledger: &Ledger, clock: Clock, screen: &mut Screen) -> Result<(), Failure> {
    let all = All::of(ledger);
    if screen.json() {
        return screen.answer(&all);
    }
    let mut listed = 0_usize;
    let table = Table::new(["Batch", "Put up", "Product", "Jars", "Where they stand", "Process"]).number(3);
    screen.table_of(table, |take| {
        all.batches.each(&mut |line| {
            listed += 1;
            take(cells(&line, clock))
        })
    })?;
    if listed == 0 {
        screen.say("No batch on record yet.");
        screen.next("`jarledger putup` logs a batch");
    }
    Ok(())
}

fn cells(line: &BatchLine, clock: Clock) -> [String; 6] {
    let mut states: Vec<String> = line.states.iter().map(|(state, jars)| format!("{jars} {state}")).collect();
    if line.on_hold > 0 {
        states.push(format!("{} on hold", line.on_hold));
    }
    let overdue = |out_at| SealWindow::after(out_at).stage(clock.now) == SealStage::Overdue;
    if line.unchecked_since.is_some_and(overdue) {
        states.push("seals unchecked past 24 h".to_owned());
    }
    [
        line.batch.code.to_string(),
        unbroken(&on_screen::day(line.batch.put_up)),
        line.batch.product.clone(),
        line.jars.to_string(),
        states.join(", "),
        match line.batch.origin {
            Origin::Import => NOT_ON_RECORD.to_owned(),
            Origin::Own => verdict_in_a_word(line.verdict).to_owned(),
        },
    ]
}

const fn verdict_in_a_word(verdict: Option<Verdict>) -> &'static str {
    match verdict {
        Some(Verdict::NotRecorded) | None => NOT_ON_RECORD,
        Some(verdict) => verdict.as_str(),
    }
}

fn show(answer: &Answer, clock: Clock, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(answer);
    }
    let story = &answer.story;
    let batch = &story.batch;
    screen.say(format!(
        "{}  {}: {}, put up {}.",
        batch.code,
        batch.product,
        in_words(&sizes(&story.jars)),
        on_screen::day_in_words(batch.put_up)
    ));
    screen.say(what_it_is(batch));
    for lot in &story.ingredients {
        screen.say(format!("{}: lot {}", lot.ingredient, lot.lot));
    }
    for jar in &story.made_with {
        screen.say(format!("Made with {} {}{}", jar.code, jar.product, jar.process.after_comma()));
    }
    if let Some(recipe) = &batch.recipe {
        screen.say(format!("Made by recipe {recipe}."));
    }
    if let Some(note) = &batch.note {
        screen.say(format!("Note: {note}"));
    }
    if batch.origin == Origin::Import {
        screen.say("Process not on record: it was kept elsewhere before.");
    }
    say_corrections("batch", &story.corrections, clock, screen);
    for load in &story.loads {
        screen.say("");
        say_load(load, batch, clock, screen);
        if load.jars.iter().any(|jar| jar.state == JarState::Cooling) {
            screen.say(format!("  {}", unchecked(load.load.seal_window(), clock)));
        }
    }
    screen.say("");
    let mut table = Table::new(["Jar", "Size", "State", "Place", "Best by"]);
    for jar in &story.jars {
        table.row([
            jar.code.to_string(),
            jar.size.to_string(),
            format!(
                "{}{}{}",
                jar.state,
                if jar.on_hold { ", on hold" } else { "" },
                if jar.state.is_live() { jar.process.after_comma() } else { String::new() }
            ),
            place(jar.state.cold_place().or(jar.place.as_deref())),
            answer.keeps(jar).in_column(|day| unbroken(&on_screen::day(day))),
        ]);
    }
    screen.table(&table);
    Ok(())
}
