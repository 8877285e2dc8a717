use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::place::place;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::write::EntryId;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::jar::jar_words::BareBatch;
use crate::paper::text::table::Table;
use crate::values::names::counted::jars;

/// Put jars on hold, so that nobody eats them, until they are released or thrown away
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
    entry: Option<EntryId>,
    reason: &'a str,
    newly_held: usize,
    jars: Vec<Jar>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let (named, reason) = Asker::new(screen).talk(|asker| {
        let offers = || jar_offers::jars(Offered::NotOnHold, &ledger, ctx.clock);
        let named = args.jars.find(&ledger, BareBatch::WholeBatch, asker, offers)?.jars;
        let question =
            Question { ask: "Why should it not be eaten?", flag: "--reason REASON", help: "", default: None };
        Ok((named, asker.need(args.reason.clone(), question, str::parse)?))
    })?;
    let standing: Vec<bool> = named
        .iter()
        .map(|jar| ledger.is_held_for(jar, HoldCause::ByHand, reason.as_str()))
        .collect::<Result<_, _>>()?;
    let (mut entry, mut newly_held) = (None, 0);
    if standing.contains(&false) {
        let written = ledger.write("hold", ctx.clock, |write| {
            let mut newly = 0;
            for jar in &named {
                newly += usize::from(write.hold(jar, HoldCause::ByHand, reason.as_str())?);
            }
            Ok((newly, format!("{} on hold: {reason}", jars(newly))))
        })?;
        (entry, newly_held) = (Some(written.entry), written.outcome);
    }
    let held = named.iter().map(|jar| ledger.jar(jar.code)).collect::<Result<Vec<_>, _>>()?;
    if screen.json() {
        return screen.answer(&Answer { entry, reason: reason.as_str(), newly_held, jars: held });
    }
    if newly_held > 0 {
        screen.say(format!("Put {} on hold: {reason}.", jars(newly_held)));
    }
    if newly_held < held.len() {
        screen.say(format!("{} on hold for this reason already.", were(held.len() - newly_held)));
    }
    screen.table(&by_place(held));
    screen
        .next("`jarledger release JAR --reason ...` releases a jar; `jarledger trace JAR` finds its sisters");
    Ok(())
}

fn were(count: usize) -> String {
    format!("{} {}", jars(count), if count == 1 { "was" } else { "were" })
}

/// Where each jar stands, by place.
pub(in crate::cli) fn by_place(mut listed: Vec<Jar>) -> Table {
    listed.sort_by_cached_key(|jar| {
        (jar.place.is_none(), jar.place.as_deref().unwrap_or_default().to_lowercase(), jar.code)
    });
    let mut table = Table::new(["Place", "Jar", "Product", "State"]);
    for jar in listed {
        table.row([
            place(jar.place.as_deref()),
            jar.code.to_string(),
            jar.product,
            if jar.on_hold { format!("{}, on hold", jar.state) } else { jar.state.to_string() },
        ]);
    }
    table
}
