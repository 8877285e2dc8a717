//! `putup`: a batch and its loads, by flags, by a note of the session, or by questions.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

use std::path::PathBuf;

use chrono::TimeDelta;

use crate::cli::canning_day::seal;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::values::codes::jar_word::JarWord;
use crate::values::kinds::method::Pack;
use crate::values::names::name::Name;

mod again;
mod canner_use;
mod given;
mod note_file;
mod questions;
mod settle;
mod settle_load;
mod show;
mod taken_over;
mod times;
mod unsettled;
mod verdicts;

use crate::values::names::counted::jars;
use given::Given;
use settle::Settled;
use show::Next;
use unsettled::Unsettled;

/// Log a batch: its loads, its jars, and whether they met their process
#[derive(Debug, clap::Args)]
#[command(after_long_help = note_file::FORMAT)]
pub(in crate::cli) struct Args {
    /// Read what no flag gives from a note of the session, written as --help shows
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// Begin with what was chosen the last time this was put up; without a name, with the last batch of all
    #[arg(long, value_name = "PRODUCT", num_args = 0..=1, conflicts_with_all = ["from", "product"])]
    again: Option<Option<Name>>,
    /// Jars emptied into this batch because their seal or their load failed, such as 26-041 3,7
    #[arg(long, value_name = "JAR", num_args = 1..)]
    reprocess: Vec<JarWord>,
    /// Sealed jars emptied into this batch as something that goes into it, such as 26-011 1,2
    #[arg(long, value_name = "JAR", num_args = 1..)]
    used: Vec<JarWord>,
    #[command(flatten)]
    given: Given,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let given = match &args.from {
        Some(path) => args.given.or(note_file::read(path)?),
        None => args.given,
    };
    let ledger = ctx.open_to_write()?;
    let given = taken_over::by_run(given, &ledger)?;
    let (given, recipe) = taken_over::by_recipe(given, &ledger)?;
    let said = given.clone();
    let (given, suggested) = match &args.again {
        Some(product) => again::begin_with(given, product.as_ref(), &ledger)?,
        None => {
            let jars = taken_over::jars_of_recipe(&given, recipe.as_ref(), &ledger)?;
            (given, jars.into_iter().collect())
        }
    };
    let asker = Asker::new(screen);
    let Settled { batch: new, mut remarks } = match settle::settle(&given, &ledger, ctx.clock) {
        Err(Unsettled::Missing(_)) if asker.can_ask() => {
            questions::ask(&said, given, suggested, &ledger, ctx, &asker)?
        }
        settled => settled?,
    };
    let emptied = ledger.jars_named(&args.reprocess, BareBatch::Refused)?;
    let used = ledger.jars_named(&args.used, BareBatch::Refused)?;
    check_reprocessing(&new, &emptied)?;
    remarks.extend(recipe.and_then(|recipe| taken_over::own_jars_missing(&recipe, used.len())));
    let written = ledger.write("putup", ctx.clock, |write| {
        let logged = write.put_up(&new)?;
        for load in &logged.loads {
            write.judge_load(*load)?;
        }
        if let Some(first) = new.loads.first() {
            let ran = TimeDelta::minutes(first.facts.minutes.unwrap_or(0).into());
            let begun = first.facts.reached_at.unwrap_or(first.facts.out_at - ran);
            write.reprocess(&emptied, logged.batch, begun)?;
            write.use_jars(&used, logged.batch, begun)?;
        }
        let summary = format!("{} {}, {}", logged.batch, new.product, jars(logged.jars.len()));
        Ok((logged.batch, summary))
    })?;
    let batch = written.outcome;
    if show::show(&ledger, batch, &emptied, &remarks, ctx.clock, &asker, screen)? == Next::Seals {
        drop(ledger);
        // What was saved is on the screen before the next question.
        screen.finish()?;
        return seal::ask_at_once(batch, ctx, &asker, screen);
    }
    Ok(())
}

/// What has been heated once is a hot pack.
fn check_reprocessing(new: &NewBatch, emptied: &[Jar]) -> Result<(), Failure> {
    if !emptied.is_empty() && new.pack == Some(Pack::Raw) {
        return Err(Failure::new(
            Code::Refused,
            "jars are reprocessed as a hot pack, the food heated again; nothing was changed",
            "give --pack hot, and the full time of its hot-pack process; or chill or freeze the jars instead",
        ));
    }
    Ok(())
}
