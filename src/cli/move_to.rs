use serde::Serialize;

use super::acting::{Acting, JarsAndWhen};
use super::ask::{Asker, Question};
use super::context::Context;
use super::errors::Failure;
use super::screen::Screen;
use crate::ledger::Particulars;
use crate::rules::jar_state::Act;
use crate::rules::name::{Name, NameError};

/// Move jars to another place
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Where to
    #[arg(long, value_name = "PLACE")]
    to: Option<Name>,
}

#[derive(Serialize)]
struct More {
    new_place: bool,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let question = Question { ask: "Where to?", flag: "--to PLACE", help: "", default: None };
    let to = Asker::new(screen)
        .need(args.to, question, |answer| answer.parse().map_err(|error: NameError| error.to_string()))?;
    let new_place = !ctx.open()?.knows_place(&to)?;
    let acting = Acting {
        act: Act::Move,
        past: "moved",
        then: format!(" to {to}"),
        particulars: Particulars { place: Some(to.clone()), ..Particulars::default() },
    };
    let done = args.jars.let_happen(&acting, ctx, screen)?;
    if screen.json() {
        return screen.answer(&done.answer(More { new_place }));
    }
    done.say("Moved", screen);
    if new_place {
        screen.say(format!("{to} is a new place."));
    }
    done.say_undo(screen);
    Ok(())
}
