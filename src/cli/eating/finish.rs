use crate::answers::acts::Acting;
use crate::answers::eating::finish::Finished;
use crate::cli::arguments::acting::{JarsAndWhen, say_undo};
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::rules::jar::jar_state::Act;

/// Note that jars are eaten up; sealed ones count as opened too
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, ()) =
        args.jars.let_happen(Act::Finish, ctx, screen, |_, _| Ok((Acting::plain("finished"), ())))?;
    let more = Finished::of(&done);
    if screen.json() {
        return screen.answer(&done.answer(more));
    }
    done.say("Finished", screen);
    more.say(screen);
    say_undo(&done, screen);
    Ok(())
}
