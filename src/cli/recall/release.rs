use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::recall::hold::by_place;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::write::EntryId;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::Hold;
use crate::ledger::jar::jar_words::BareBatch;
use crate::rules::spoilage::cautions::ON_RECORD;
use crate::values::names::counted::jars;

/// Release jars from hold, unless the verdict on their load put them there
///
/// A hold that a verdict put on ends when the load is judged to meet its process, or where the jar is chilled or
/// frozen within 2 hours after it came out of the canner.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsArg,
    /// Why
    #[arg(long, value_name = "REASON")]
    reason: Option<Reason>,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    entry: EntryId,
    reason: &'a str,
    jars: Vec<Released>,
}

#[derive(serde::Serialize)]
struct Released {
    #[serde(flatten)]
    jar: Jar,
    ended: Vec<Hold>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let (named, reason) = Asker::new(screen).talk(|asker| {
        let offers = || jar_offers::jars(Offered::OnHold, &ledger, ctx.clock);
        let named = args.jars.find(&ledger, BareBatch::Refused, asker, offers)?.jars;
        let question = Question { ask: "Why may it go?", flag: "--reason REASON", help: "", default: None };
        Ok((named, asker.need(args.reason.clone(), question, str::parse)?))
    })?;
    let written = ledger.write("release", ctx.clock, |write| {
        let ended =
            named.iter().map(|jar| write.release(jar, reason.as_str())).collect::<Result<Vec<_>, _>>()?;
        Ok((ended, format!("{} released: {reason}", jars(named.len()))))
    })?;
    let free = named.iter().map(|jar| ledger.jar(jar.code)).collect::<Result<Vec<_>, _>>()?;
    if screen.json() {
        let released = free.into_iter().zip(written.outcome).map(|(jar, ended)| Released { jar, ended });
        return screen.answer(&Answer {
            entry: written.entry,
            reason: reason.as_str(),
            jars: released.collect(),
        });
    }
    screen.say(format!("Released {}: {reason}.", jars(free.len())));
    screen.table(&by_place(free));
    screen.say(ON_RECORD.text);
    Ok(())
}
