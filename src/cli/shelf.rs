use std::collections::BTreeMap;

use super::context::Context;
use super::errors::Failure;
use super::screen::Screen;
use crate::ledger::{Jar, LiveJar, Shelf, Stock, Which};
use crate::paper::table::Table;
use crate::rules::counted::jars as counted;
use crate::rules::jar_code::BatchCode;
use crate::rules::jar_state::JarState;
use crate::rules::name::Name;

/// Show the stock by product, size, state and place
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Only this product
    #[arg(long, value_name = "NAME")]
    product: Option<Name>,
    /// Only this place
    #[arg(long, value_name = "PLACE")]
    place: Option<Name>,
    /// Only this batch
    #[arg(long, value_name = "BATCH")]
    batch: Option<BatchCode>,
    /// List every jar with its code and best by
    #[arg(long)]
    jars: bool,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    total: usize,
    stock: &'a [Stock],
    #[serde(skip_serializing_if = "Option::is_none")]
    jars: Option<Vec<Listed<'a>>>,
}

#[derive(serde::Serialize)]
struct Listed<'a> {
    #[serde(flatten)]
    jar: &'a Jar,
    past_best: bool,
    unrecorded: bool,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let today = ctx.clock.today();
    let which = Which { product: args.product, place: args.place, batch: args.batch };
    let shelf = ctx.open()?.shelf(&which, today)?;
    if screen.json() {
        let listed = |live| listed(live, today);
        return screen.answer(&Answer {
            total: shelf.jars.len(),
            stock: &shelf.stock,
            jars: args.jars.then(|| shelf.jars.iter().map(listed).collect()),
        });
    }
    if shelf.jars.is_empty() {
        screen.say(if which == Which::default() {
            "No jar in the house."
        } else {
            "No such jar in the house."
        });
        screen.next("`jarledger putup` logs a batch");
        return Ok(());
    }
    if args.jars {
        list(&shelf.jars, today, screen);
    } else {
        counts(&shelf.stock, screen);
    }
    screen.say(in_all(&shelf));
    screen.next("`jarledger eat` says what to take first");
    Ok(())
}

fn listed(live: &LiveJar, today: chrono::NaiveDate) -> Listed<'_> {
    Listed { jar: &live.jar, past_best: live.jar.best_by < today, unrecorded: live.unrecorded }
}

fn counts(stock: &[Stock], screen: &mut Screen) {
    let mut table =
        Table::new(["Jars", "Product", "Size", "State", "Place", "Best by", "Past"]).number(0).number(6);
    for alike in stock {
        table.row([
            alike.jars.to_string(),
            alike.product.clone(),
            alike.size.to_string(),
            state_in_words(alike.state, alike.on_hold, alike.unrecorded),
            place(alike.place.as_deref()),
            alike.best_by.to_string(),
            if alike.past_best == 0 { String::new() } else { alike.past_best.to_string() },
        ]);
    }
    screen.table(&table);
}

fn list(jars: &[LiveJar], today: chrono::NaiveDate, screen: &mut Screen) {
    let mut table = Table::new(["Jar", "Product", "Size", "State", "Place", "Best by", ""]);
    for live in jars {
        let jar = &live.jar;
        table.row([
            jar.code.to_string(),
            jar.product.clone(),
            jar.size.to_string(),
            state_in_words(jar.state, jar.on_hold, live.unrecorded),
            place(jar.place.as_deref()),
            jar.best_by.to_string(),
            if jar.best_by < today { "past".to_owned() } else { String::new() },
        ]);
    }
    screen.table(&table);
}

/// A place's name, or a dash where none is on record.
pub(super) fn place(name: Option<&str>) -> String {
    name.unwrap_or("-").to_owned()
}

fn state_in_words(state: JarState, on_hold: bool, unrecorded: bool) -> String {
    let mut words = state.to_string();
    if on_hold {
        words.push_str(", on hold");
    }
    if unrecorded {
        words.push_str(", no process record");
    }
    words
}

fn in_all(shelf: &Shelf) -> String {
    let mut by_state: BTreeMap<JarState, usize> = BTreeMap::new();
    for live in &shelf.jars {
        *by_state.entry(live.jar.state).or_default() += 1;
    }
    let states: Vec<String> = by_state.iter().map(|(state, jars)| format!("{jars} {state}")).collect();
    let held = shelf.jars.iter().filter(|live| live.jar.on_hold).count();
    let mut line = format!("{}: {}", counted(shelf.jars.len()), states.join(", "));
    if held > 0 {
        line.push_str(&format!("; {held} on hold"));
    }
    line.push('.');
    line
}
