//! `import`: a shelf that was kept elsewhere, or a whole export.
//!
//! May use: arguments, talk, exchange, ledger, tables, values.

use std::path::{Path, PathBuf};

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, Reply, interrupted};
use crate::cli::talk::offers::{Offers, files_here};
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::exchange::problem::Problems;
use crate::exchange::shelf::columns::ColumnChoice;
use crate::exchange::shelf::guess;
use crate::exchange::shelf::guess::Guess;
use crate::exchange::shelf::look::{Dates, look_at};
use crate::exchange::shelf::shelf_csv::{Reading, read_shelf};
use crate::exchange::whole::whole_in::is_whole;
use crate::ledger::batch::import::{Imported, Importer, ShelfRow};
use crate::ledger::entry::write::EntryId;
use crate::ledger::file::open::Ledger;
use crate::tables::foods;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::counted::{counted, jars};

pub(in crate::cli) mod args;
mod preview;
mod refused;
mod source;
mod whole_export;

use args::Args;
use refused::refused;
use source::Source;
use whole_export::take_whole;

#[derive(serde::Serialize)]
struct Answer<'a> {
    file: String,
    dry_run: bool,
    entry: Option<EntryId>,
    columns: &'a [guess::Taken],
    /// The first rows, as they were read.
    rows: Vec<&'a str>,
    #[serde(flatten)]
    imported: &'a Imported,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = which_file(args.file.clone(), &Asker::new(screen))?;
    let shown = file.display().to_string();
    if file != Path::new("-") && is_whole(&file) {
        return take_whole(&file, &args, ctx, screen);
    }
    let progress = Progress::begin(screen, "importing");
    let source = Source::of(&file)?;
    drop(progress);
    let asker = Asker::new(screen);
    let said = ColumnChoice { map: args.map.clone(), ignore: args.ignore.clone() };
    let (from, _) = source.read()?;
    let look = look_at(from, args.encoding, args.delimiter, &said, ctx.clock.today())
        .map_err(|problems| refused(&shown, &problems, None, screen))?;
    let takes_guesses =
        args.guess || (asker.can_ask() && !args.dry_run) || (args.dry_run && look.guess.is_guessed());
    let columns = if takes_guesses { &look.guess.choice } else { &said };
    let (dates, proof) = preview::order(args.date_format, &look.dates, &asker)?;
    let ledger = ctx.open_to_write()?;
    let household = household_foods(&ledger)?;
    let reading = Reading {
        columns,
        encoding: args.encoding,
        delimiter: args.delimiter,
        dates,
        today: ctx.clock.today(),
        acidity: &|food| {
            let published = foods::get(food).map(|food| Some(food.acidity));
            published.or_else(|| household.iter().find(|known| known.0 == *food).map(|known| known.1))
        },
        vouched: args.vouched.as_ref().map(ToString::to_string),
        raw: args.raw,
    };
    let unsure = (look.guess.is_guessed() && !takes_guesses).then_some(&look.guess);
    let take_in = |writes: bool, screen: &mut Screen| {
        let taken = take(&source, &reading, writes, &ledger, ctx, screen)?;
        taken.map_err(|problems| refused(&shown, &problems, unsure, screen))
    };
    let is_to_agree = look.guess.is_guessed() || !matches!(look.dates, Dates::Plain);
    if is_to_agree && asker.can_ask() && !args.guess && !args.dry_run {
        let taken = take_in(false, screen)?;
        agree(&look.guess, proof.as_deref(), &taken, &asker)?;
    }
    let taken = take_in(!args.dry_run, screen)?;
    let Taken { entry, imported, rows } = &taken;
    if screen.json() {
        let columns = &look.guess.taken;
        let rows: Vec<String> = preview::rows(rows, rows.len() as u64);
        let rows = rows.iter().map(|row| row.trim_start()).collect();
        return screen.answer(&Answer {
            file: shown,
            dry_run: args.dry_run,
            entry: *entry,
            columns,
            rows,
            imported,
        });
    }
    if look.guess.is_guessed() && (args.guess || args.dry_run) {
        screen.say("Headings are taken so:");
        preview::headings(&look.guess).iter().for_each(|line| screen.say(line));
    }
    if let Some(proof) = proof {
        screen.say(proof);
    }
    if args.dry_run {
        preview::rows(rows, imported.rows).iter().for_each(|line| screen.say(line));
    }
    let verb = if args.dry_run { "Would import" } else { "Imported" };
    screen.say(format!("{}.", in_words(imported, verb)));
    match (entry, imported.first) {
        (Some(entry), Some(first)) => {
            screen.say(if args.vouched.is_some() {
                "They are marked wherever they show with your word for their process."
            } else {
                "They are marked wherever they show: process not on record, or your word for it."
            });
            if args.vouched.is_none() {
                screen.say(format!(
                    "If you know how a batch was processed, give your word for it: `jarledger correct batch {first} \
                     --vouched \"by the book, my own notes\"`"
                ));
            }
            screen.next(format!("`jarledger undo {}` undoes the whole import", entry.0));
        }
        _ if args.dry_run && look.guess.is_guessed() => {
            screen.next("the same without --dry-run, with --guess to take the headings so");
        }
        _ => {}
    }
    Ok(())
}

/// What was read, and what came of it.
struct Taken {
    entry: Option<EntryId>,
    imported: Imported,
    /// The first rows.
    rows: Vec<ShelfRow>,
}

/// Reads the list to its end; what it brings is kept only where it `writes`.
fn take(
    source: &Source,
    reading: &Reading<'_>,
    writes: bool,
    ledger: &Ledger,
    ctx: &Context,
    screen: &Screen,
) -> Result<Result<Taken, Problems>, Failure> {
    let progress = Progress::begin(screen, "importing");
    let (from, length) = source.read()?;
    let from = progress.reading(from, length);
    let mut rows = Vec::new();
    let (entry, read) = ledger.write_or_not("import", ctx.clock, |write| {
        let mut importer = Importer::new(write)?;
        let outcome = read_shelf(from, reading, |row| {
            if rows.len() < preview::MOST {
                rows.push(row.clone());
            }
            importer.add(row)
        })?;
        if let Err(problems) = outcome {
            return Ok((Err(problems), None));
        }
        let imported = importer.finish()?;
        let summary = in_words(&imported, "imported");
        let something = imported.jars > 0 && writes;
        Ok((Ok(imported), something.then_some(summary)))
    })?;
    Ok(read.map(|imported| Taken { entry, imported, rows }))
}

/// Shows what the list is taken for and its first rows, and asks.
fn agree(guess: &Guess, proof: Option<&str>, taken: &Taken, asker: &Asker) -> Result<(), Failure> {
    complain("Headings are taken so:");
    preview::headings(guess).iter().for_each(|line| complain(line));
    if let Some(proof) = proof {
        complain(proof);
    }
    complain("The first rows as they are read:");
    let first = &taken.rows[..taken.rows.len().min(preview::FIRST)];
    preview::rows(first, taken.imported.rows).iter().for_each(|line| complain(line));
    complain(&format!("{}.", in_words(&taken.imported, "Would import")));
    let question = Question { ask: "Import it so?", flag: "--guess", help: "", default: None };
    match asker.confirm(question, false)? {
        Reply::Given(true) => Ok(()),
        Reply::Given(false) | Reply::Back => Err(interrupted()),
    }
}

/// The file named, else the one asked for; the lists that lie here are offered.
fn which_file(given: Option<PathBuf>, asker: &Asker) -> Result<PathBuf, Failure> {
    let question = Question {
        ask: "Which file?",
        flag: "FILE",
        help: "A CSV with product, put_up and jar, or a whole export",
        default: None,
    };
    asker.need_offering(
        given,
        question,
        || Ok(Offers::new(files_here(&["csv", "json"]))),
        |answer| {
            let file = PathBuf::from(answer);
            match file.metadata() {
                Ok(_) if !answer.is_empty() => Ok(file),
                _ => Err(format!("There is no file \u{201c}{answer}\u{201d} here.")),
            }
        },
    )
}

fn household_foods(ledger: &Ledger) -> Result<Vec<(FoodId, Option<Acidity>)>, Failure> {
    let processes = ledger.household_processes()?;
    Ok(processes.into_iter().map(|process| (process.food, Some(process.acidity))).collect())
}

fn in_words(imported: &Imported, verb: &str) -> String {
    let rows = counted(imported.rows, "row", "rows");
    let mut text = match (imported.first, imported.last) {
        (Some(first), Some(last)) => {
            let codes = if first == last { first.to_string() } else { format!("{first} to {last}") };
            let batches = counted(imported.batches, "batch", "batches");
            format!("{verb} {} in {batches} ({codes}) from {rows}", jars(imported.jars))
        }
        _ => format!("{verb} nothing from {rows}"),
    };
    if imported.already > 0 {
        text.push_str(&format!("; {} in already", counted(imported.already, "row was", "rows were")));
    }
    text
}
