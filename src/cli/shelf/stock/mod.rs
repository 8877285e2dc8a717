//! The stock by product, size, state and place, narrowed down by words.
//!
//! May use: talk, answers, ledger, paper, rules, values.

mod words;

use std::collections::BTreeMap;

use crate::answers::near::did_you_mean;
use crate::answers::shelf::stock::{Alike, Answer, Listed};
use crate::answers::streamed::Streamed;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::shelf::stock::words::narrowed;
use crate::cli::talk::place::place;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::Which;
use crate::paper::text::mark::Mark;
use crate::paper::text::table::{Table, unbroken};
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::counted::jars as counted;
use crate::values::names::everyday::names_meant;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Show the stock by product, size, state and place
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// Only what these words name: a product, a place, a size, how the jars stand
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// Only this product, or those with these words in their name
    #[arg(long, value_name = "NAME")]
    product: Option<Name>,
    /// Only this place, or those with these words in their name
    #[arg(long, value_name = "PLACE")]
    place: Option<Name>,
    /// Only this batch
    #[arg(long, value_name = "BATCH")]
    batch: Option<BatchCode>,
    /// List every jar with its code and best by
    #[arg(long)]
    jars: bool,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    ledger.at_one_moment(|ledger| {
        let which = which(&args, ledger)?;
        show(ledger, &which, args.jars, ctx.clock, screen)
    })
}

/// The jars meant, by everyday words for products and places.
fn which(args: &Args, ledger: &Ledger) -> Result<Which, Failure> {
    let (products, places) = (ledger.names_in_use(Named::Product)?, ledger.names_in_use(Named::Place)?);
    let all = |what: &str, words: Option<&Name>, known: &[String]| match words {
        None => Ok(Vec::new()),
        Some(words) => match names_meant(words.as_str(), known) {
            found if found.is_empty() => Err(no_such(what, words.as_str(), known)),
            found => Ok(found),
        },
    };
    let mut which = Which {
        products: all("product", args.product.as_ref(), &products)?,
        places: all("place", args.place.as_ref(), &places)?,
        batch: args.batch,
        ..Which::default()
    };
    if !args.words.is_empty() {
        let words = args.words.join(" ");
        if let Ok(batch) = words.parse() {
            which.batch = Some(batch);
            return Ok(which);
        }
        if !narrowed(&mut which, &words, &products, &places) {
            let known: Vec<String> = products.into_iter().chain(places).collect();
            return Err(no_such("product or place", &words, &known));
        }
    }
    Ok(which)
}

fn no_such(what: &str, words: &str, known: &[String]) -> Failure {
    let near = near_names(words, known.iter().map(String::as_str));
    Failure::new(
        Code::NotFound,
        format!("no {what} is called \u{201c}{words}\u{201d}"),
        did_you_mean(&near).unwrap_or_else(|| "`jarledger shelf` lists what is there".to_owned()),
    )
}

fn show(
    ledger: &Ledger,
    which: &Which,
    each_jar: bool,
    clock: Clock,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let answer = Answer::read(ledger, which, each_jar, clock)?;
    if screen.json() {
        return screen.answer(&answer);
    }
    let stock = &answer.stock;
    if stock.is_empty() {
        screen.say(if *which == Which::default() {
            "There is no jar in the house."
        } else {
            "There is no such jar in the house."
        });
        if let Some(asked) = asked(which) {
            screen.say(asked);
        }
        screen.next("`jarledger putup` logs a batch");
        return Ok(());
    }
    match &answer.jars {
        Some(jars) => list(jars, screen)?,
        None => counts(stock, screen),
    }
    screen.say(in_all(stock, *which != Which::default()));
    screen.next("`jarledger eat` says what to take first");
    Ok(())
}

/// What was looked for, so that words taken for something else are seen.
fn asked(which: &Which) -> Option<String> {
    let names = |names: &[Name]| names.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ");
    let states: Vec<&str> = which.states.iter().map(|state| state.as_str()).collect();
    let parts = [
        names(&which.products),
        which.size.map(|size| size.plural().to_owned()).unwrap_or_default(),
        states.join(" or "),
        if which.held { "on hold".to_owned() } else { String::new() },
        names(&which.places),
    ];
    let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    (!parts.is_empty()).then(|| format!("Looked for: {}.", parts.join(", ")))
}

fn counts(stock: &[Alike], screen: &mut Screen) {
    let mut table = Table::new(["Jars", "Product", "Size", "State", "Place", "Best by", "Past\nbest by"])
        .number(0)
        .number(6);
    for Alike { stock, keeps, past, .. } in stock {
        let mark = match (stock.on_hold, past) {
            (true, _) => Some(Mark::Held),
            (false, 1..) => Some(Mark::Overdue),
            (false, 0) => None,
        };
        let cells = [
            stock.jars.to_string(),
            stock.product.clone(),
            stock.size.to_string(),
            state_in_words(stock.state, stock.on_hold, &stock.process),
            place(stock.state.cold_place().or(stock.place.as_deref())),
            keeps.in_column(|day| unbroken(&on_screen::day(day))),
            if *past == 0 { String::new() } else { past.to_string() },
        ];
        table.marked(mark, cells);
    }
    screen.table(&table);
}

fn list(jars: &Streamed<'_, Listed>, screen: &mut Screen) -> Result<(), Failure> {
    let table = Table::new(["Jar", "Product", "Size", "State", "Place", "Best by", ""]);
    screen.table_of(table, |take| {
        jars.each(&mut |Listed { jar, keeps, past_best, .. }| {
            let is_past = past_best && matches!(keeps, Keeps::BestBy(_));
            take([
                jar.code.to_string(),
                jar.product,
                jar.size.to_string(),
                state_in_words(jar.state, jar.on_hold, &jar.process),
                place(jar.state.cold_place().or(jar.place.as_deref())),
                keeps.in_column(|day| unbroken(&on_screen::day(day))),
                if is_past { "past".to_owned() } else { String::new() },
            ])
        })
    })
}

fn state_in_words(state: JarState, on_hold: bool, process: &ProcessMark) -> String {
    let mut words = state.to_string();
    if on_hold {
        words.push_str(", on hold");
    }
    words + &process.after_comma()
}

/// The total by state, and by size where some were asked for that come in several.
fn in_all(stock: &[Alike], some: bool) -> String {
    let stock = || stock.iter().map(|alike| &alike.stock);
    let mut by_state: BTreeMap<JarState, u64> = BTreeMap::new();
    for alike in stock() {
        *by_state.entry(alike.state).or_default() += u64::from(alike.jars);
    }
    let states: Vec<String> = by_state.iter().map(|(state, jars)| format!("{jars} {state}")).collect();
    let held: u64 = stock().filter(|alike| alike.on_hold).map(|alike| u64::from(alike.jars)).sum();
    let mut by_size: BTreeMap<JarSize, u64> = BTreeMap::new();
    for alike in stock() {
        *by_size.entry(alike.size).or_default() += u64::from(alike.jars);
    }
    let sizes: Vec<String> = by_size.iter().map(|(size, &jars)| size.counted(jars)).collect();
    let sizes = if some && sizes.len() > 1 { format!(" ({})", sizes.join(", ")) } else { String::new() };
    let mut line = format!("{}{sizes}: {}", counted(by_state.values().sum::<u64>()), states.join(", "));
    if held > 0 {
        line.push_str(&format!("; {held} on hold"));
    }
    line.push('.');
    line
}
