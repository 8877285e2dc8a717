//! The run at the stove: what the terminal says of it, and its steps for any phone.

use crate::answers::run::{step_back, take, under_way};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::page::ask::{Ask, Before};
use crate::page::html::RunPage;
use crate::page::reply::{Answered, Reply, Trouble};
use crate::values::kinds::run_step::RunStep;

/// Shows the runs under way.
pub(super) fn page(ask: &Ask) -> Answered {
    Ok(Reply::page(shown(ask, &ask.ledger()?, None, None)?))
}

fn shown(ask: &Ask, ledger: &Ledger, notice: Option<&str>, refused: Option<&str>) -> Result<String, Trouble> {
    let runs = under_way(ledger, &ask.now)?;
    Ok(RunPage { runs: &runs, notice, refused }.html())
}

/// Takes a step, or the last one back.
pub(super) fn act(ask: &Ask, word: &str) -> Answered {
    let step = match word {
        "step" => Some(which_step(ask)?),
        "back" => None,
        _ => return Err(Trouble::not_ours()),
    };
    let ledger = match ask.once()? {
        Before::Done(ledger, kept) => {
            let notice = format!("This was done already: {}.", kept.summary);
            return Ok(Reply::page(shown(ask, &ledger, Some(&notice), None)?));
        }
        Before::Nothing(ledger) => ledger,
    };
    let run = which_run(ask, &ledger)?;
    let seen = ask.form.get("seen");
    let when = ask.happened()?;
    let written = match step {
        Some(step) => take(&ledger, run, step, &when, seen, ask.clock)
            .map(|_| format!("{step} at {}, run {run}.", when.at.format("%H:%M"))),
        None => step_back(&ledger, run, seen, ask.clock).map(|_| format!("Taken back, run {run}.")),
    };
    match written {
        Ok(notice) => Ok(Reply::page(shown(ask, &ledger, Some(&notice), None)?)),
        // What does fit stands below the refusal.
        Err(error @ (LedgerError::Refused { .. } | LedgerError::NotFound(_))) => {
            let trouble = Trouble::from(error);
            Ok(Reply {
                status: trouble.status,
                ..Reply::page(shown(ask, &ledger, None, Some(&trouble.what))?)
            })
        }
        Err(error) => Err(error.into()),
    }
}

fn which_step(ask: &Ask) -> Result<RunStep, Trouble> {
    let given = ask.form.get("step").unwrap_or_default();
    match given.parse() {
        Ok(RunStep::Abandon) => Err(Trouble::bad(
            "A run is given up at the terminal: `jarledger run abandon`. Nothing was changed.",
        )),
        Ok(step) => Ok(step),
        Err(error) => Err(Trouble::bad(format!("{error}; nothing was changed"))),
    }
}

/// The run meant: the one named, or the only one under way.
fn which_run(ask: &Ask, ledger: &Ledger) -> Result<i64, Trouble> {
    if let Some(given) = ask.form.get("run") {
        return given
            .parse()
            .map_err(|_| Trouble::bad("That is not the number of a run; nothing was changed."));
    }
    match &ledger.runs_under_way()?[..] {
        [only] => Ok(only.id),
        [] => Err(LedgerError::NotFound("no run is under way; nothing was changed".to_owned()).into()),
        _ => Err(Trouble::bad("Several runs are under way: say which. Nothing was changed.")),
    }
}
