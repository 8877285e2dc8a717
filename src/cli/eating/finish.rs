use chrono::NaiveDate;
use serde::Serialize;

use crate::cli::arguments::acting::{Acting, JarsAndWhen};
use crate::cli::arguments::moment::day_in_words;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::acts::Happened;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::opened::{chilled_unsealed, once_opened};
use crate::rules::spoilage::cautions::{Caution, EMERGENCY, SYMPTOMS};
use crate::values::codes::jar_code::JarCode;

/// Note that opened, chilled or frozen jars are eaten up
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsAndWhen,
}

#[derive(Serialize)]
struct More {
    kept_too_long: Vec<TooLong>,
    cautions: Vec<Caution>,
}

/// A jar that was eaten up after its last day in the refrigerator.
#[derive(Serialize)]
struct TooLong {
    jar: JarCode,
    days: u32,
    last_day: NaiveDate,
    #[serde(skip)]
    state: JarState,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let (done, ()) =
        args.jars.let_happen(Act::Finish, ctx, screen, |_, _| Ok((Acting::plain("finished"), ())))?;
    let kept_too_long: Vec<TooLong> = done.jars.iter().filter_map(too_long).collect();
    // Eaten before its hold was put on it, or after its last day: whoever ate of it should know what to watch for.
    let was_held =
        done.jars.iter().any(|happened| happened.from == JarState::Opened && !happened.jar.holds.is_empty());
    let cautions = if was_held || !kept_too_long.is_empty() { vec![SYMPTOMS, EMERGENCY] } else { Vec::new() };
    if screen.json() {
        return screen.answer(&done.answer(More { kept_too_long, cautions }));
    }
    done.say("Finished", screen);
    for TooLong { jar, days, last_day, state } in &kept_too_long {
        screen.say(format!(
            "{jar} was kept longer than {days} days once {state}: the last was {}. Throw away what is left of it.",
            day_in_words(*last_day)
        ));
    }
    for caution in &cautions {
        screen.say(caution.text);
    }
    done.say_undo(screen);
    Ok(())
}

/// Whether the jar was in the refrigerator past its last day there; a frozen one was not.
fn too_long(happened: &Happened) -> Option<TooLong> {
    let jar = &happened.jar;
    let keeps = match happened.from {
        JarState::Opened => once_opened(jar.food.as_ref(), &jar.jar.product),
        JarState::Chilled => chilled_unsealed(),
        _ => return None,
    };
    // As for `eat`: a jar that came opened, without a day, counts from the day it was put up.
    let from = happened.since.map_or(jar.jar.put_up, |since| since.date_naive());
    keeps.is_over(from, happened.at.date_naive()).then(|| TooLong {
        jar: jar.jar.code,
        days: keeps.days,
        last_day: keeps.last_day(from),
        state: happened.from,
    })
}
