use serde::Serialize;

use crate::answers::acts::giving;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Question, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::names_in_use::Named;
use crate::rules::jar::jar_state::Act;
use crate::rules::spoilage::cautions::{Caution, LOCAL_LAW};
use crate::values::names::name::Name;

/// Give jars away, and keep to whom, so that they can be called back
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// To whom
    #[arg(long, value_name = "WHO")]
    to: Option<Name>,
}

#[derive(Serialize)]
struct More {
    to: Name,
    cautions: [Caution; 1],
}

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let given_to = args.to.take().or_else(|| args.jars.taken_to());
    let question = Question {
        ask: "To whom?",
        flag: "--to WHO",
        help: "Kept so that the jars can be called back",
        default: None,
    };
    let (done, to) = args.jars.let_happen(Act::Give, ctx, screen, |ledger, asker| {
        let people = || Ok(Offers::new(ledger.names_in_use(Named::Person)?));
        let to = asker.need_offering(given_to.clone(), question, people, parsed::<Name>)?;
        Ok((giving(&to), to))
    })?;
    if screen.json() {
        return screen.answer(&done.answer(More { to, cautions: [LOCAL_LAW] }));
    }
    done.say(&format!("Gave {to}"), screen);
    done.say_gift(screen);
    say_undo(&done, screen);
    Ok(())
}
