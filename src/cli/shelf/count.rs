use std::io::{self, BufRead, Read};
use std::path::{Path, PathBuf};

use crate::answers::jars::count::{Seen, Unknown, lines, see, see_line, settle};
use crate::answers::near::did_you_mean;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::shelf::place_meant::place_meant;
use crate::cli::talk::ask::{Asker, Question, Reply, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::ledger::counts::count::Counted;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::regular::open_list;
use crate::ledger::file::open::Ledger;
use crate::values::names::counted::{counted as in_words, jars as jars_in_words};
use crate::values::names::everyday::meant;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

/// Most bytes of a stocktake.
const MOST: u64 = 16 << 20;

/// Take stock of a place: compare the jars seen there with the ledger
///
/// A line is a jar code, typed or scanned, a batch and its jars such as 26-041 3,5-7, or a tally such as
/// 5 qt peach halves. Tallies are only compared; codes update jars. While a line cannot be read, nothing is
/// written down.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The place, or words of its name
    place: Option<Name>,
    /// The file of what was seen, a line each; without it, or with -, stdin
    file: Option<PathBuf>,
    /// Write down what differs without asking
    #[arg(long)]
    yes: bool,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    entry: Option<EntryId>,
    place: &'a Name,
    #[serde(flatten)]
    counted: &'a Counted,
    unknown: &'a [Unknown],
}

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let asker = Asker::new(screen);
    let question = Question { ask: "Which place?", flag: "PLACE", help: "", default: None };
    let places = || Ok(Offers::new(ledger.names_in_use(Named::Place)?));
    // `count cellar north`: two words of one place.
    if let (Some(place), Some(file)) = (&args.place, &args.file)
        && !file.exists()
        && let Ok(both) = parsed::<Name>(&format!("{place} {}", file.display()))
        && !meant(both.as_str(), ledger.names_in_use(Named::Place)?.iter().map(String::as_str)).is_empty()
    {
        (args.place, args.file) = (Some(both), None);
    }
    let place = match args.place {
        Some(place) => known_place(&place, &ledger, &asker)?,
        None => asker.need_offering(None, question, places, |answer| {
            known_place(&parsed(answer)?, &ledger, &asker).map_err(Failure::in_one_line)
        })?,
    };
    let from_keyboard = args.file.as_deref().is_none_or(|file| file == Path::new("-"));
    let seen = if from_keyboard && asker.can_ask() {
        typed(&ledger)?
    } else {
        see(&text(args.file.as_deref())?, &ledger)?
    };
    if seen.is_empty() {
        // An empty list would make everything missing.
        return Err(Failure::new(
            Code::BadInput,
            "nothing was counted; nothing was changed",
            "give the code of each jar seen, one a line",
        ));
    }
    let counted = ledger.compare_count(&place, &seen.jars, &seen.tallies)?;
    let unread = seen.unknown.len();
    if args.yes && unread > 0 && counted.to_settle() > 0 {
        // A jar behind a line nobody could read would be taken for missing.
        if screen.json() {
            let (place, unknown) = (&place, seen.unknown.as_slice());
            screen.answer(&Answer { entry: None, place, counted: &counted, unknown })?;
            screen.finish()?;
        } else {
            lines(&counted, &seen.unknown, &place).iter().for_each(|line| complain(line));
        }
        return Err(Failure::new(
            Code::BadInput,
            format!("{} could not be read; nothing was changed", in_words(unread, "line", "lines")),
            "correct what was counted, and count again",
        ));
    }
    let settles = counted.to_settle() > 0
        && unread == 0
        && (args.yes || (asker.can_ask() && agreed(&counted, &seen.unknown, &place, &asker)?));
    let entry =
        if settles { Some(settle(&ctx.open_to_write()?, &place, &counted, ctx.clock)?) } else { None };
    if screen.json() {
        let (place, unknown) = (&place, seen.unknown.as_slice());
        return screen.answer(&Answer { entry, place, counted: &counted, unknown });
    }
    for line in lines(&counted, &seen.unknown, &place) {
        screen.say(line);
    }
    match entry {
        Some(entry) => {
            screen.say(format!("Wrote down {}.", jars_in_words(counted.to_settle())));
            screen.next(format!("`jarledger undo {}` undoes this", entry.0));
        }
        None if counted.to_settle() > 0 => {
            screen.say("Nothing was changed.");
            screen.next(match unread {
                0 => "--yes writes it down".to_owned(),
                _ => "correct the lines that could not be read, and count again".to_owned(),
            });
        }
        None => {}
    }
    Ok(())
}

fn known_place(place: &Name, ledger: &Ledger, asker: &Asker) -> Result<Name, Failure> {
    if let Some(known) = place_meant(place, ledger, asker, ("PLACE", ""))? {
        return Ok(known);
    }
    let places = ledger.names_in_use(Named::Place)?;
    let near = near_names(place.as_str(), places.iter().map(String::as_str));
    Err(Failure::new(
        Code::NotFound,
        format!("there is no place {place} in this ledger; nothing was changed"),
        did_you_mean(&near).unwrap_or_else(|| "`jarledger shelf` lists the places".to_owned()),
    ))
}

/// Reads what is typed, line by line; a line that cannot be read is reported at once and typed again.
fn typed(ledger: &Ledger) -> Result<Seen, Failure> {
    complain("A jar code or a tally such as 5 qt peach halves on each line; Ctrl-D ends the count.");
    let mut seen = Seen::default();
    for line in io::stdin().lock().lines() {
        let line = line.map_err(|error| unreadable("the keyboard", &error))?;
        see_line(&line, 1, &mut seen, ledger)?;
        for wrong in seen.unknown.drain(..) {
            complain(&format!("Not counted: {}. Type it again.", wrong.message()));
        }
    }
    Ok(seen)
}

/// Reads what was seen, as text.
fn text(file: Option<&Path>) -> Result<String, Failure> {
    let mut text = String::new();
    let (from, name): (Box<dyn Read>, String) = match file.filter(|file| file.as_os_str() != "-") {
        Some(file) => {
            let (opened, _) = open_list(file).map_err(|error| unreadable(file.display(), &error))?;
            (Box::new(opened), file.display().to_string())
        }
        None => (Box::new(io::stdin()), "stdin".to_owned()),
    };
    match from.take(MOST + 1).read_to_string(&mut text) {
        Ok(length) if length as u64 <= MOST => Ok(text),
        Ok(_) => Err(bad(&name, "is longer than 16 MiB")),
        Err(error) if error.kind() == io::ErrorKind::InvalidData => Err(bad(&name, "is not UTF-8")),
        Err(error) => Err(unreadable(&name, &error)),
    }
}

fn unreadable(name: impl std::fmt::Display, error: &io::Error) -> Failure {
    Failure::unreadable(name, error, "nothing was changed", "name the file of what was seen")
}

fn bad(name: &str, what: &str) -> Failure {
    Failure::new(Code::BadInput, format!("{name} {what}; nothing was changed"), "give one jar code a line")
}

/// Shows what differs and asks.
fn agreed(counted: &Counted, unknown: &[Unknown], place: &Name, asker: &Asker) -> Result<bool, Failure> {
    lines(counted, unknown, place).iter().for_each(|line| complain(line));
    let question = Question {
        ask: "Write this down?",
        flag: "--yes",
        help: "missing jars are marked missing, the others are moved here",
        default: None,
    };
    Ok(asker.confirm(question, false)? == Reply::Given(true))
}
