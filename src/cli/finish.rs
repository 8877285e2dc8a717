use serde::Serialize;

use super::acting::{Acting, JarsAndWhen};
use super::context::Context;
use super::errors::Failure;
use super::screen::Screen;
use crate::rules::cautions::{Caution, EMERGENCY, SYMPTOMS};
use crate::rules::jar_state::{Act, JarState};

/// Note that opened, chilled or frozen jars are eaten up
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
}

#[derive(Serialize)]
struct More {
    cautions: Vec<Caution>,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, ()) =
        args.jars.let_happen(Act::Finish, ctx, screen, |_, _| Ok((Acting::plain("finished"), ())))?;
    // Eaten before its hold was put on it: whoever ate of it should know what to watch for.
    let was_held =
        done.jars.iter().any(|happened| happened.from == JarState::Opened && !happened.jar.holds.is_empty());
    let cautions = if was_held { vec![SYMPTOMS, EMERGENCY] } else { Vec::new() };
    if screen.json() {
        return screen.answer(&done.answer(More { cautions }));
    }
    done.say("Finished", screen);
    for caution in &cautions {
        screen.say(caution.text);
    }
    done.say_undo(screen);
    Ok(())
}
