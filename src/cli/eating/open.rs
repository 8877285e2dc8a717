use serde::Serialize;

use crate::answers::acts::Acting;
use crate::answers::eating::open::{Advice, opened, say_advice};
use crate::cli::arguments::acting::JarsAndWhen;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::rules::jar::jar_state::Act;

/// Open jars for eating: what to look for, whether to boil first, how long they keep
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
    /// All the signs of spoilage in full, instead of a word each
    #[arg(long)]
    signs: bool,
}

#[derive(Serialize)]
struct More {
    advice: Vec<Advice>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, altitude) = args.jars.let_happen(Act::Open, ctx, screen, |ledger, _| {
        Ok((Acting::plain("opened"), ledger.household()?.altitude))
    })?;
    let advice = opened(&done, altitude);
    if screen.json() {
        return screen.answer(&done.answer(More { advice }));
    }
    done.say("Opened", screen);
    say_advice(&advice, args.signs, screen);
    let jar = done.jar_or_word();
    screen.next(format!(
        "`jarledger finish {jar}` when it is eaten up, `jarledger discard {jar} --why TEXT` if it is not"
    ));
    Ok(())
}
