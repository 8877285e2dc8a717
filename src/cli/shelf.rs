use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::context::Context;
use super::errors::{Failure, did_you_mean};
use super::screen::{Screen, Streamed};
use crate::ledger::{Jar, Ledger, LiveJar, Named, Stock, Which};
use crate::paper::table::Table;
use crate::rules::counted::jars as counted;
use crate::rules::jar_code::BatchCode;
use crate::rules::jar_state::JarState;
use crate::rules::name::Name;
use crate::rules::near::near_names;

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
    total: u64,
    stock: &'a [Stock],
    #[serde(skip_serializing_if = "Option::is_none")]
    jars: Option<Streamed<'a, Listed>>,
}

#[derive(serde::Serialize)]
struct Listed {
    #[serde(flatten)]
    jar: Jar,
    past_best: bool,
    unrecorded: bool,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let today = ctx.clock.today();
    let which = Which { product: args.product, place: args.place, batch: args.batch, ..Which::default() };
    let ledger = ctx.open()?;
    ledger.at_one_moment(|ledger| tell(ledger, &which, args.jars, today, screen))
}

fn tell(
    ledger: &Ledger,
    which: &Which,
    each_jar: bool,
    today: NaiveDate,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let stock = ledger.shelf(which, today)?;
    if screen.json() {
        let jars = each_jar
            .then(|| Streamed::new(|take| ledger.each_live_jar(which, |live| take(listed(live, today)))));
        let total = stock.iter().map(|alike| u64::from(alike.jars)).sum();
        return screen.answer(&Answer { total, stock: &stock, jars });
    }
    if stock.is_empty() {
        screen.say(if *which == Which::default() {
            "No jar in the house."
        } else {
            "No such jar in the house."
        });
        for (given, known) in [
            (&which.product, ledger.names_in_use(Named::Product)?),
            (&which.place, ledger.names_in_use(Named::Place)?),
        ] {
            let near = given.as_ref().map(|name| near_names(name.as_str(), known.iter().map(String::as_str)));
            if let Some(meant) = near.as_deref().and_then(did_you_mean) {
                screen.note(format!("hint: {meant}"));
            }
        }
        screen.next("`jarledger putup` logs a batch");
        return Ok(());
    }
    if each_jar {
        list(ledger, which, today, screen)?;
    } else {
        counts(&stock, screen);
    }
    screen.say(in_all(&stock));
    screen.next("`jarledger eat` says what to take first");
    Ok(())
}

fn listed(live: LiveJar, today: NaiveDate) -> Listed {
    Listed { past_best: live.jar.best_by < today, unrecorded: live.unrecorded, jar: live.jar }
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

fn list(ledger: &Ledger, which: &Which, today: NaiveDate, screen: &mut Screen) -> Result<(), Failure> {
    let table = Table::new(["Jar", "Product", "Size", "State", "Place", "Best by", ""]);
    screen.table_of(table, |take| {
        ledger.each_live_jar(which, |LiveJar { jar, unrecorded, .. }| {
            take([
                jar.code.to_string(),
                jar.product,
                jar.size.to_string(),
                state_in_words(jar.state, jar.on_hold, unrecorded),
                place(jar.place.as_deref()),
                jar.best_by.to_string(),
                if jar.best_by < today { "past".to_owned() } else { String::new() },
            ])
        })
    })
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

fn in_all(stock: &[Stock]) -> String {
    let mut by_state: BTreeMap<JarState, u64> = BTreeMap::new();
    for alike in stock {
        *by_state.entry(alike.state).or_default() += u64::from(alike.jars);
    }
    let states: Vec<String> = by_state.iter().map(|(state, jars)| format!("{jars} {state}")).collect();
    let held: u64 = stock.iter().filter(|alike| alike.on_hold).map(|alike| u64::from(alike.jars)).sum();
    let mut line = format!("{}: {}", counted(by_state.values().sum::<u64>()), states.join(", "));
    if held > 0 {
        line.push_str(&format!("; {held} on hold"));
    }
    line.push('.');
    line
}
