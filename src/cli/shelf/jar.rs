use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::jar_story::JarStory;
use crate::ledger::jar::jar_words::BareBatch;

use crate::answers::jars::jar::{Answer, answer, show};

/// Show a jar: where it stands, and its whole story
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsArg,
}

#[derive(serde::Serialize)]
struct Several<'a> {
    jars: Vec<Answer<'a>>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let offers = || jar_offers::jars(Offered::InTheHouse, &ledger, ctx.clock);
    let jars = args.jars.find(&ledger, BareBatch::Refused, &Asker::new(screen), offers)?.jars;
    let stories: Vec<JarStory> = ledger.at_one_moment(|ledger| {
        jars.iter().map(|jar| ledger.jar_story(jar.code, ctx.clock.now)).collect::<Result<_, _>>()
    })?;
    if screen.json() {
        return match &stories[..] {
            [story] => screen.answer(&answer(story)),
            several => screen.answer(&Several { jars: several.iter().map(answer).collect() }),
        };
    }
    for (story, first) in stories.iter().zip(std::iter::once(true).chain(std::iter::repeat(false))) {
        if !first {
            screen.say("");
        }
        show(story, ctx.clock, screen);
    }
    Ok(())
}
