use crate::answers::jars::jar::act_in_words;
use crate::cli::arguments::whole_number::whole;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::history::{Fact, HistoryLine};
use crate::ledger::entry::write::EntryId;
use crate::paper::text::table::{Table, unbroken};
use crate::values::time::on_screen;

/// Show what was entered, newest first
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// Show one entry with its facts
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = whole(1..=i64::MAX))]
    entry: Option<i64>,
    /// How many entries to show
    #[arg(long, value_name = "N", default_value_t = 20, conflicts_with = "entry", allow_negative_numbers = true, value_parser = whole(0..=u32::MAX))]
    limit: u32,
}

#[derive(serde::Serialize)]
struct Answer {
    entries: Vec<HistoryLine>,
}

#[derive(serde::Serialize)]
struct OneAnswer {
    #[serde(flatten)]
    line: HistoryLine,
    facts: Vec<Fact>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    if let Some(entry) = args.entry {
        let (line, facts) = ledger.history_entry(EntryId(entry))?;
        return one(line, facts, screen);
    }
    let entries = ledger.history(args.limit)?;
    if screen.json() {
        return screen.answer(&Answer { entries });
    }
    let mut table = Table::new(["Entry", "When", "Command", "What", "Undone"]).number(0);
    for line in &entries {
        table.row([
            line.entry.0.to_string(),
            unbroken(&on_screen::moment(line.at)),
            line.command.clone(),
            on_screen::kept_text(&line.summary),
            undone(line),
        ]);
    }
    screen.table(&table);
    screen.next("`jarledger undo ENTRY` takes one back; `jarledger history --entry ENTRY` shows its facts");
    Ok(())
}

fn one(line: HistoryLine, facts: Vec<Fact>, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&OneAnswer { line, facts });
    }
    screen.say(format!(
        "Entry {}, {}, {}: {}.",
        line.entry.0,
        line.command,
        on_screen::moment(line.at),
        on_screen::kept_text(&line.summary)
    ));
    if line.undone {
        screen.say(format!("Undone {}.", undone(&line)));
    }
    if !facts.is_empty() {
        let mut table = Table::new(["Fact", "About", "What"]);
        for fact in facts {
            let kind = fact.kind.parse().map_or(fact.kind, |act| act_in_words(act).to_owned());
            table.row([kind, fact.about.unwrap_or_else(|| "-".to_owned()), on_screen::kept_text(&fact.what)]);
        }
        screen.table(&table);
    }
    Ok(())
}

fn undone(line: &HistoryLine) -> String {
    match line.undone_by {
        Some(by) => format!("by {}", by.0),
        None => String::new(),
    }
}
