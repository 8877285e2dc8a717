use serde::Serialize;

use super::acting::{Acting, JarsAndWhen};
use super::context::Context;
use super::errors::Failure;
use super::moment::day_in_words;
use super::screen::Screen;
use crate::ledger::Particulars;
use crate::rules::jar_state::Act;
use crate::rules::name::Name;
use crate::rules::opened::{KeepingTime, chilled_unsealed};

/// Put jars that did not seal, or whose load failed, into the refrigerator while there is time
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// Which refrigerator
    #[arg(long, value_name = "PLACE")]
    to: Option<Name>,
}

#[derive(Serialize)]
struct More {
    keeps: KeepingTime,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, ()) = args.jars.let_happen(Act::Chill, ctx, screen, |_, _| {
        let particulars = Particulars { place: args.to.clone(), ..Particulars::default() };
        Ok((Acting { particulars, ..Acting::plain("chilled") }, ()))
    })?;
    let keeps = chilled_unsealed();
    if screen.json() {
        return screen.answer(&done.answer(More { keeps }));
    }
    done.say("Chilled", screen);
    if let Some(first) = done.jars.iter().map(|happened| happened.at.date_naive()).min() {
        screen.say(format!(
            "Use within {} days: the last is {}. {}",
            keeps.days,
            day_in_words(keeps.last_day(first)),
            keeps.remark
        ));
    }
    screen.next("`jarledger finish JAR` when it is eaten up");
    Ok(())
}
