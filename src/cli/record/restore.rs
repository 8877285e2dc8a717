use std::path::PathBuf;

use crate::answers::recall::pulled::{all, to_tell};
use crate::answers::streamed::Streamed;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::recall::pull_sheet;
use crate::cli::record::backup::in_words;
use crate::cli::record::undo::say_holds;
use crate::cli::talk::ask::{Asker, Question, Reply};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::ledger::copies::backup::backups;
use crate::ledger::copies::copy::Extent;
use crate::ledger::copies::restore::Otherwise;
use crate::ledger::copies::restore::look_at;
use crate::ledger::copies::restore::restore;
use crate::ledger::error::LedgerError;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::traced::TracedJar;
use crate::values::codes::jar_code::JarCode;
use crate::values::names::counted::counted;

/// Bring back a backup in the place of the ledger; the ledger it replaces is kept beside it
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The backup
    file: Option<PathBuf>,
    /// Do it without asking
    #[arg(long)]
    yes: bool,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    ledger_file: String,
    restored_from: String,
    #[serde(flatten)]
    extent: &'a Extent,
    replaced: Option<String>,
    before: Option<&'a Extent>,
    /// Jars on hold since, and no longer; none where nothing was there that can be compared.
    put_on_hold: Option<Vec<JarCode>>,
    let_go: Option<Vec<JarCode>>,
    /// Every jar of the loads withheld since, also those eaten, used or given away.
    pull: Streamed<'a, TracedJar>,
    to_tell: Vec<String>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = which_backup(args.file, ctx, &Asker::new(screen))?;
    let backup = look_at(&file).map_err(|error| match error {
        LedgerError::NoLedger(path) => Failure::new(
            Code::NotFound,
            format!("there is no backup at {}; nothing was changed", path.display()),
            "`jarledger doctor` names the newest backup",
        ),
        error => error.into(),
    })?;
    let now = look_at(&ctx.path);
    let sides = [
        format!("{} has {}.", file.display(), in_words(&backup)),
        match &now {
            Ok(now) => {
                format!("The ledger {} has {}{}.", ctx.path.display(), in_words(now), compared(now, &backup))
            }
            Err(LedgerError::NoLedger(path)) => format!("There is no ledger at {} now.", path.display()),
            Err(error) => format!("The ledger as it is now cannot be read: {error}."),
        },
    ];
    if !args.yes && !agreed(&sides, screen)? {
        screen.say("Nothing was changed.");
        return Ok(());
    }
    let restored = restore(&file, &ctx.path, ctx.clock)?;
    // What was replaced may be past reading: then there is nothing to compare with.
    let ledger = ctx.open()?;
    let otherwise = restored.replaced.as_deref().and_then(|file| Otherwise::of(file, &ledger).ok().flatten());
    let withheld = otherwise.as_ref().map(|other| other.withheld.clone()).filter(|loads| !loads.is_empty());
    let traced =
        withheld.map(|loads| ledger.trace(&TraceQuery { loads, ..TraceQuery::default() })).transpose()?;
    let to_tell = to_tell(&ledger, traced.as_ref())?;
    let replaced = restored.replaced.map(|file| file.display().to_string());
    if screen.json() {
        return screen.answer(&Answer {
            ledger_file: ctx.path.display().to_string(),
            restored_from: file.display().to_string(),
            extent: &restored.extent,
            replaced,
            before: now.as_ref().ok(),
            put_on_hold: otherwise.as_ref().map(|other| other.put_on_hold.clone()),
            let_go: otherwise.as_ref().map(|other| other.let_go.clone()),
            pull: all(&ledger, traced.as_ref()),
            to_tell,
        });
    }
    if args.yes {
        sides.iter().for_each(|side| screen.say(side));
    }
    screen.say(format!("The ledger now has {}.", in_words(&restored.extent)));
    if let Some(other) = &otherwise {
        say_holds(&other.put_on_hold, &other.let_go, screen);
    }
    if let Some(traced) = &traced {
        pull_sheet::show(&ledger, traced, screen)?;
        pull_sheet::warn(traced, &to_tell, screen);
    }
    if let Some(replaced) = replaced {
        screen.say(format!("What was there before is kept in {replaced}."));
        screen.next(format!("`jarledger restore {replaced}` undoes this"));
    }
    Ok(())
}

/// The backup named, else the one asked for; those beside the ledger are offered.
fn which_backup(given: Option<PathBuf>, ctx: &Context, asker: &Asker) -> Result<PathBuf, Failure> {
    let beside: Vec<String> =
        backups(&ctx.path).iter().map(|backup| backup.file.display().to_string()).collect();
    let question = Question {
        ask: "Which backup?",
        flag: "FILE",
        help: "A file that `jarledger backup` made",
        default: beside.first().map(String::as_str),
    };
    asker.need_offering(
        given,
        question,
        || Ok(Offers::new(beside.iter().cloned())),
        |answer| {
            let file = PathBuf::from(answer);
            look_at(&file).map_err(|error| error.to_string())?;
            Ok(file)
        },
    )
}

/// Shows both sides and asks.
fn agreed(sides: &[String], screen: &Screen) -> Result<bool, Failure> {
    let asker = Asker::new(screen);
    if asker.can_ask() {
        sides.iter().for_each(|side| complain(side));
    }
    let question = Question {
        ask: "Put the backup in the place of the ledger?",
        flag: "--yes",
        help: "the ledger is kept beside it",
        default: None,
    };
    Ok(asker.confirm(question, false)? == Reply::Given(true))
}

fn compared(now: &Extent, backup: &Extent) -> String {
    if now.uuid != backup.uuid {
        return "; it is another ledger, not an earlier state of this one".to_owned();
    }
    match now.entries - backup.entries {
        lost if lost > 0 => format!("; {} not in the backup", counted(lost, "entry is", "entries are")),
        _ => String::new(),
    }
}
