use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::ledger::check::report::{CheckReport, Kind as CheckKind, Problem};
use crate::ledger::file::open::Ledger;
use crate::paper::label::sheet::definition::written_sheet;
use crate::values::names::counted::counted;

/// Derive everything in the ledger again and say what differs; repairs nothing
#[derive(Debug, clap::Args)]
#[command(after_long_help = findings_help())]
pub(in crate::cli) struct Args {}

fn findings_help() -> String {
    let mut text = "What may be found:\n".to_owned();
    for kind in CheckKind::ALL {
        text.push_str(&format!("  {kind:10}  {}\n", kind.meaning()));
    }
    text
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    ok: bool,
    #[serde(flatten)]
    checked: &'a CheckReport,
}

/// The label sheets that cannot be drawn, and why: they are read where labels are, so the ledger alone cannot say.
pub(in crate::cli) fn unreadable_sheets(ledger: &Ledger) -> Vec<String> {
    // What kept the sheets themselves from being read is among the findings of the ledger already.
    let sheets = ledger.label_sheets().unwrap_or_default();
    let unreadable = |(name, definition): (String, String)| {
        let error = written_sheet(&definition).err()?;
        Some(format!("the label sheet {name:?} cannot be read: {error}"))
    };
    sheets.into_iter().filter_map(unreadable).collect()
}

pub(in crate::cli) fn run(_: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let progress = Progress::begin(screen, "checking");
    let ledger = ctx.open()?;
    let mut checked = ledger.check()?;
    for what in unreadable_sheets(&ledger) {
        checked.find(CheckKind::Value, what);
    }
    drop(progress);
    let problems = checked.problems.len() + checked.more;
    let ok = problems == 0;
    if screen.json() {
        screen.answer(&Answer { ok, checked: &checked })?;
    } else {
        for problem in &checked.problems {
            screen.say(format!("{}: {}", problem.code, problem.what));
        }
        if checked.more > 0 {
            screen.say(format!("and {} more of these kinds", checked.more));
        }
        let CheckReport { entries, jars, events, loads, .. } = &checked;
        let looked_at = [
            counted(*entries, "entry", "entries"),
            counted(*jars, "jar", "jars"),
            counted(*events, "event", "events"),
            counted(*loads, "load", "loads"),
        ]
        .join(", ");
        screen.say(if ok {
            format!("No problems found: {looked_at}.")
        } else {
            format!("{} in {looked_at}.", counted(problems, "problem", "problems"))
        });
    }
    if ok {
        return Ok(());
    }
    // The findings are the answer; they are shown before the exit code is set.
    screen.finish()?;
    // A verdict of an older release is no damage: a backup would bring it back as it is.
    let is_old_verdict = |problem: &Problem| matches!(problem.code, CheckKind::Verdict | CheckKind::Withheld);
    let hint = if checked.problems.iter().all(is_old_verdict) {
        "`jarledger correct load LOAD --again --reason TEXT` checks a load again by the rules of this release"
    } else {
        "`jarledger doctor` names the newest backup, and `jarledger restore FILE` brings it back"
    };
    Err(Failure::new(Code::Problems, "the ledger has problems; nothing was changed", hint))
}
