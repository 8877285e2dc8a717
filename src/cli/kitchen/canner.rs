use std::collections::BTreeMap;

use crate::answers::jars::sizes::in_words;
use crate::cli::arguments::jar_counts::count_up_to;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::canner::{Canner, NewCanner};
use crate::paper::text::table::Table;
use crate::rules::canning_day::loading::Load;
use crate::rules::gauge::dial_gauge::needs_testing;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::names::name::Name;
use crate::values::names::quoted::quoted;

/// How a canner is recorded.
pub(super) const TO_ADD: &str = "`jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9` records a canner; `jarledger canner \
                                 add` asks for it all";

/// Record a canner, or list those on record
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Record a canner
    Add(AddArgs),
    /// List the canners on record
    List,
}

#[derive(Debug, Default, clap::Args)]
struct AddArgs {
    /// What you call it
    name: Option<Name>,
    /// Its kind: pressure-dial, pressure-weighted, boiling-water or steam
    #[arg(long)]
    method: Option<Method>,
    /// Jars of each size in one load, such as quart:7,pint:9
    #[arg(long, value_delimiter = ',', value_name = "SIZE:JARS", value_parser = capacity)]
    holds: Vec<(JarSize, u32)>,
    /// Jars of several sizes that one load takes together, such as quart:4,pint:5; once for each way to fill it
    #[arg(long, value_name = "SIZES", value_parser = together)]
    together: Vec<BTreeMap<JarSize, u32>>,
}

/// Reads how many jars of a size one load takes.
fn capacity(given: &str) -> Result<(JarSize, u32), String> {
    count_up_to(999, given)
}

/// Reads how many jars of several sizes one load takes together.
fn together(given: &str) -> Result<BTreeMap<JarSize, u32>, String> {
    let counts = given.split(',').map(|part| capacity(part.trim())).collect::<Result<Vec<_>, _>>()?;
    let way = BTreeMap::from_iter(counts.iter().copied());
    if way.len() < 2 || way.len() < counts.len() {
        return Err(format!(
            "\u{201c}{given}\u{201d}: write several sizes, each once, such as quart:4,pint:5"
        ));
    }
    Ok(way)
}

#[derive(serde::Serialize)]
struct Answer {
    canners: Vec<Canner>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    match args.what {
        Some(What::Add(args)) => add(args, ctx, screen),
        Some(What::List) | None => list(ctx, screen),
    }
}

fn add(args: AddArgs, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let new = Asker::new(screen).talk(|asker| gather(&args, asker))?;
    let written = ledger.write("canner add", ctx.clock, |write| {
        let canner = write.add_canner(&new)?;
        let summary = format!("canner {}, {}", canner.name, canner.method);
        Ok((canner, summary))
    })?;
    if screen.json() {
        return screen.answer(&Answer { canners: vec![written.outcome] });
    }
    let canner = written.outcome;
    screen.say(format!("Recorded canner {} ({}): {}.", canner.name, canner.method, holds_in_words(&canner)));
    if needs_testing(canner.method).is_ok() {
        let name = quoted(&canner.name);
        screen.next(format!("`jarledger gauge {name}` records the yearly test of its dial"));
    }
    screen.next("`jarledger process` finds a tested process; `jarledger putup` logs a batch");
    Ok(())
}

fn gather(args: &AddArgs, asker: &Asker) -> Result<NewCanner, Failure> {
    let question = |ask, flag, help| Question { ask, flag, help, default: None };
    let name = asker.need(
        args.name.clone(),
        question("What do you call the canner?", "NAME", "Such as Big dial"),
        parsed::<Name>,
    )?;
    let kind = question("Which kind is it?", "--method KIND", "");
    let method = asker.need_one_of(args.method, kind, Method::ALL.to_vec(), 0)?;
    let holds = asker.need(
        Some(args.holds.clone()).filter(|holds| !holds.is_empty()),
        question(
            "How many jars of each size does one load take?",
            "--holds SIZE:JARS",
            "Such as quart:7,pint:9",
        ),
        |text| text.split(',').map(|part| capacity(part.trim())).collect(),
    )?;
    let mut by_size = BTreeMap::new();
    for (size, jars) in holds {
        if by_size.insert(size, jars).is_some_and(|before| before != jars) {
            return Err(Failure::usage(
                format!("--holds gives two counts of {}; nothing was saved", size.plural()),
                format!("write --holds {size}:{jars} once"),
            ));
        }
    }
    for (&size, &count) in args.together.iter().flatten() {
        let alone = by_size.get(&size).copied().unwrap_or(0);
        if count > alone {
            return Err(Failure::usage(
                format!(
                    "--together gives {}, and --holds {}; nothing was saved",
                    size.counted(count),
                    if alone == 0 { "none of that size".to_owned() } else { format!("at most {alone}") }
                ),
                format!(
                    "say with --holds how many {} it takes where they are all of that size",
                    size.plural()
                ),
            ));
        }
    }
    Ok(NewCanner { name, method, holds: by_size, holds_together: args.together.clone() })
}

fn list(ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let canners = ctx.open()?.canners()?;
    if screen.json() {
        return screen.answer(&Answer { canners });
    }
    if canners.is_empty() {
        screen.say("No canner on record yet.");
        screen.next(TO_ADD);
        return Ok(());
    }
    let mut table = Table::new(["Canner", "Kind", "One load holds"]);
    for canner in &canners {
        table.row([canner.name.clone(), canner.method.to_string(), holds_in_words(canner)]);
    }
    screen.table(&table);
    screen.next("`jarledger canner add` records another");
    Ok(())
}

fn holds_in_words(canner: &Canner) -> String {
    let alone = canner.holds.iter().map(|(size, &jars)| size.counted(jars));
    let together = canner.holds_together.iter().map(|way| in_words(&Load::from_iter(way.clone())));
    alone.chain(together).collect::<Vec<_>>().join(" or ")
}
