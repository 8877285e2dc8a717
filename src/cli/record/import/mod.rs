//! `import`: a shelf that was kept elsewhere, or a whole export.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::record::backup::in_words as in_words_of;
use crate::cli::record::check::unreadable_sheets;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::offers::{Offers, files_here};
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::exchange::problem::{Problem, Problems};
use crate::exchange::shelf::columns::{COLUMNS, ColumnChoice};
use crate::exchange::shelf::day::DateOrder;
use crate::exchange::shelf::decode::Encoding;
use crate::exchange::shelf::shelf_csv::{Reading, read_shelf};
use crate::exchange::whole::whole_in::{is_whole, read_whole};
use crate::ledger::batch::import::{Imported, Importer};
use crate::ledger::copies::copy::Extent;
use crate::ledger::copies::restore::look_at;
use crate::ledger::copies::restore::restore;
use crate::ledger::entry::write::EntryId;
use crate::ledger::file::create::make_folder;
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved::in_place;
use crate::tables::foods;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::counted::{counted, jars};

/// Problems shown; the rest are counted.
const SHOWN: usize = 20;

/// Most bytes taken from a pipe, in MiB: it is read before the ledger is locked.
const MOST_FROM_A_PIPE: u64 = 32;

/// Take in jars of a shelf that was kept elsewhere, or a whole export
///
/// A CSV has a heading line and a row for each jar, or for a count of like jars. All rows come in or none, in
/// one entry; a row that is in already stays out. Rows of one product, day, food and pack become one batch,
/// wherever they stand; only rows with a count that are alike in everything become a batch each. Jars come in
/// sealed and with their process not on record, and are marked so wherever they show; where you vouch for it, your
/// word shows instead. A name that names another food than its food column is refused without a reason.
#[derive(Debug, clap::Args)]
#[command(after_long_help = columns_help())]
pub(in crate::cli) struct Args {
    /// A CSV file; `-` for standard input; or what `export --json` or `export --out FOLDER` wrote
    file: Option<PathBuf>,
    /// Take a column of theirs as one of ours
    #[arg(long, value_name = "THEIRS=OURS", value_parser = mapping)]
    map: Vec<(String, String)>,
    /// Pass over a column of theirs
    #[arg(long, value_name = "THEIRS")]
    ignore: Vec<String>,
    /// Your word, and whose, that the process of these jars was right; for rows without a word of their own
    #[arg(long, value_name = "TEXT")]
    vouched: Option<Reason>,
    /// Say what would come in, and write nothing
    #[arg(long)]
    dry_run: bool,
    /// Order of day, month and year: iso, dmy, mdy or ymd
    #[arg(long, value_name = "ORDER", default_value = "iso")]
    date_format: DateOrder,
    /// How letters are written: utf-8, utf-16le, utf-16be or latin-1 [default: by the file's mark, else utf-8]
    #[arg(long, value_name = "NAME")]
    encoding: Option<Encoding>,
    /// What stands between cells [default: what the heading line has most of, comma, semicolon or TAB]
    #[arg(long, value_name = "CHARACTER", value_parser = delimiter)]
    delimiter: Option<u8>,
    /// Take cells as they are: a quote before =, +, - or @ belongs to the text
    #[arg(long)]
    raw: bool,
}

fn columns_help() -> String {
    let mut text = "Columns:\n".to_owned();
    for (name, needed, meaning) in COLUMNS {
        let needed = if needed { " (needed)" } else { "" };
        text.push_str(&format!("  {name:8}  {meaning}{needed}\n"));
    }
    text
}

fn mapping(given: &str) -> Result<(String, String), String> {
    let (theirs, ours) = given.rsplit_once('=').ok_or("write THEIRS=OURS, such as Contents=product")?;
    if !COLUMNS.iter().any(|column| column.0 == ours) {
        let known: Vec<&str> = COLUMNS.iter().map(|column| column.0).collect();
        return Err(format!("\u{201c}{ours}\u{201d} is an unknown column: {}", known.join(", ")));
    }
    Ok((theirs.to_owned(), ours.to_owned()))
}

fn delimiter(given: &str) -> Result<u8, String> {
    match given {
        "tab" | "TAB" | "\\t" => Ok(b'\t'),
        _ => match given.as_bytes() {
            [byte] if byte.is_ascii() && !matches!(byte, b'"' | b'\n' | b'\r' | 0) => Ok(*byte),
            _ => Err("one ASCII character, or tab".to_owned()),
        },
    }
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    file: String,
    dry_run: bool,
    entry: Option<EntryId>,
    #[serde(flatten)]
    imported: &'a Imported,
}

/// What a trial would be called, were it ever given its name.
const DRY_RUN: &str = "jarledger-dry-run";

#[derive(serde::Serialize)]
struct WholeAnswer<'a> {
    file: String,
    dry_run: bool,
    #[serde(flatten)]
    extent: &'a Extent,
    replaced: Option<String>,
}

#[derive(serde::Serialize)]
struct Refused<'a> {
    file: String,
    count: usize,
    problems: &'a [Problem],
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = which_file(args.file.clone(), &Asker::new(screen))?;
    let shown = file.display().to_string();
    if file != Path::new("-") && is_whole(&file) {
        return take_whole(&file, &args, ctx, screen);
    }
    let progress = Progress::begin(screen, "importing");
    let from = progress.reading(open(&file)?, file.metadata().ok().map(|about| about.len()));
    let ledger = ctx.open_to_write()?;
    let household = household_foods(&ledger)?;
    let reading = Reading {
        columns: &ColumnChoice { map: args.map, ignore: args.ignore },
        encoding: args.encoding,
        delimiter: args.delimiter,
        dates: args.date_format,
        today: ctx.clock.today(),
        acidity: &|food| {
            let published = foods::get(food).map(|food| Some(food.acidity));
            published.or_else(|| household.iter().find(|known| known.0 == *food).map(|known| known.1))
        },
        vouched: args.vouched.as_ref().map(ToString::to_string),
        raw: args.raw,
    };
    let (entry, read) = ledger.write_or_not("import", ctx.clock, |write| {
        let mut importer = Importer::new(write)?;
        if let Err(problems) = read_shelf(from, &reading, |row| importer.add(row))? {
            return Ok((Err(problems), None));
        }
        let imported = importer.finish()?;
        let summary = in_words(&imported, "imported");
        let something = imported.jars > 0 && !args.dry_run;
        Ok((Ok(imported), something.then_some(summary)))
    })?;
    drop(progress);
    let imported = read.map_err(|problems| refused(&shown, &problems, screen))?;
    if screen.json() {
        return screen.answer(&Answer { file: shown, dry_run: args.dry_run, entry, imported: &imported });
    }
    let verb = if args.dry_run { "Would import" } else { "Imported" };
    screen.say(format!("{}.", in_words(&imported, verb)));
    if let Some(entry) = entry {
        screen.say(if args.vouched.is_some() {
            "They are marked wherever they show with your word for their process."
        } else {
            "They are marked wherever they show: process not on record, or your word for it."
        });
        screen.next(format!("`jarledger undo {}` takes the whole import back", entry.0));
    }
    Ok(())
}

/// Makes the ledger anew from an export. Where there is one, it must not hold anything but the
/// kitchen's settings, and it is kept beside the new one.
fn take_whole(file: &Path, args: &Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let shown = file.display().to_string();
    let there = match ctx.open() {
        Ok(ledger) if ledger.is_bare()? => true,
        Ok(_) => {
            return Err(Failure::new(
                Code::Refused,
                format!("{} has jars or canners already; nothing was imported", ctx.path.display()),
                "a whole export makes a ledger of its own: name a new file with --ledger FILE",
            ));
        }
        Err(failure) if failure.code == Code::NotFound => false,
        Err(failure) => return Err(failure),
    };
    let progress = Progress::begin(screen, "importing");
    let new = if args.dry_run && !folder_of(&ctx.path).exists() {
        // A trial makes no folders: it is read beside other passing things.
        NewFile::begin(&std::env::temp_dir().join(DRY_RUN))?
    } else {
        make_folder(folder_of(&ctx.path))?;
        NewFile::begin(&ctx.path)?
    };
    let mut read = read_whole(file, args.raw, &new)?;
    if read.is_ok() {
        let mut problems = Problems::default();
        for what in unreadable_sheets(&Ledger::open(new.temp())?) {
            problems.add(Problem::of_file(what));
        }
        read = if problems.is_empty() { Ok(()) } else { Err(problems) };
    }
    drop(progress);
    read.map_err(|problems| refused(&shown, &problems, screen))?;
    let extent = look_at(new.temp())?;
    let mut replaced = None;
    if !args.dry_run {
        if there {
            replaced = restore(new.temp(), &ctx.path, ctx.clock)?.replaced;
        } else {
            new.take_new_name()?;
            in_place(&ctx.path);
        }
    }
    let replaced = replaced.map(|file| file.display().to_string());
    if screen.json() {
        return screen.answer(&WholeAnswer { file: shown, dry_run: args.dry_run, extent: &extent, replaced });
    }
    let verb = if args.dry_run { "Would make" } else { "Made" };
    screen.say(format!("{verb} the ledger {} from {shown}: {}.", ctx.path.display(), in_words_of(&extent)));
    if let Some(replaced) = replaced {
        screen.say(format!("What was there before is kept in {replaced}."));
    }
    Ok(())
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

/// Tells the problems, and fails.
fn refused(file: &str, problems: &Problems, screen: &mut Screen) -> Failure {
    if screen.json() {
        let told = Refused { file: file.to_owned(), count: problems.count, problems: &problems.kept };
        if let Err(failure) = screen.answer(&told).and_then(|()| screen.finish()) {
            return failure;
        }
    } else {
        for problem in problems.kept.iter().take(SHOWN) {
            complain(&format!("{file}: {problem}"));
        }
        if problems.count > SHOWN {
            complain(&format!("{file}: and {} more", problems.count - SHOWN));
        }
    }
    let count = counted(problems.count, "problem", "problems");
    Failure::new(
        Code::BadInput,
        format!("{file} has {count}; nothing was imported"),
        "correct the file and run the command again; `jarledger import --help` names the columns",
    )
}

/// Opens the file; what comes through a pipe is read to its end first, so that no slow neighbour
/// keeps the ledger locked.
fn open(file: &Path) -> Result<Box<dyn Read>, Failure> {
    if file != Path::new("-") {
        let opened = File::open(file).and_then(|opened| {
            let about = opened.metadata()?;
            if about.is_dir() {
                Err(std::io::ErrorKind::IsADirectory.into())
            } else {
                Ok((opened, about.is_file()))
            }
        });
        let (opened, plain) = opened.map_err(|error| unreadable(file, &error))?;
        return if plain { Ok(Box::new(opened)) } else { whole(opened, file) };
    }
    whole(std::io::stdin().lock(), file)
}

fn whole(from: impl Read, file: &Path) -> Result<Box<dyn Read>, Failure> {
    let mut bytes = Vec::new();
    let most = MOST_FROM_A_PIPE << 20;
    from.take(most + 1).read_to_end(&mut bytes).map_err(|error| unreadable(file, &error))?;
    if bytes.len() as u64 > most {
        return Err(Failure::new(
            Code::BadInput,
            format!("more than {MOST_FROM_A_PIPE} MiB came through the pipe; nothing was imported"),
            "save it in a file and import that",
        ));
    }
    Ok(Box::new(std::io::Cursor::new(bytes)))
}

fn unreadable(file: &Path, error: &std::io::Error) -> Failure {
    Failure::unreadable(file.display(), error, "nothing was imported", "name the file to import")
}
