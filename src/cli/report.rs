//! `report`: everything about the shelf on one page.

use std::collections::HashMap;

use chrono::{Months, NaiveDate};

use super::context::Context;
use super::eat;
use super::errors::Failure;
use super::months_ahead::{month_lines, shelf_jar};
use super::out_file::OutArgs;
use super::screen::Screen;
use crate::ledger::{Appetite, Hold, Jar, Ledger, LiveJar, Which};
use crate::paper::lines::ShelfJar;
use crate::paper::report::{Outlook, PaceLine, PulledJars, Report, StockLine, WastedJar, render};
use crate::rules::cautions;
use crate::rules::civil_day::add_months;
use crate::rules::jar_code::{BatchCode, JarCode};
use crate::rules::jar_state::JarState;
use crate::rules::keep_up::{KeepUp, keep_up};
use crate::rules::month::Month;

/// Months of the plan after the current one: jars put up today are in the last of them.
const MONTHS_AHEAD: u32 = 12;

/// Write what to eat, the stock, the plan, seals, holds and waste as one HTML page
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    out: OutArgs,
}

#[derive(serde::Serialize)]
struct Answer {
    out: String,
    on_shelf: u64,
    eat_first: usize,
    past_best: usize,
    on_hold: usize,
    to_decide: usize,
    /// Jars that pass their best by uneaten at the household's own rate.
    not_reached: Vec<JarCode>,
}

pub(super) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let out = args.out.file(ctx, "shelf.html")?;
    let path = out.path().display().to_string();
    let report = gather(&ctx.open()?, ctx)?;
    out.write(render(&report).as_bytes())?;
    let answer = Answer {
        out: path,
        on_shelf: report.stock.iter().map(StockLine::jars).sum(),
        eat_first: report.eat_first.len(),
        past_best: report.past_best.len(),
        on_hold: report.holds.iter().map(|jars| jars.count).sum(),
        to_decide: report.decide_now.iter().map(|jars| jars.count).sum(),
        not_reached: report.surplus.iter().map(|jar| jar.jar).collect(),
    };
    if screen.json() {
        return screen.answer(&answer);
    }
    screen.say(format!(
        "Wrote {}: {} on the shelf, {} to eat this month, {} to decide on, {} on hold.",
        answer.out, answer.on_shelf, answer.eat_first, answer.to_decide, answer.on_hold
    ));
    screen.next("open the file in a browser, or print it");
    Ok(())
}

fn gather(ledger: &Ledger, ctx: &Context) -> Result<Report, Failure> {
    let today = ctx.clock.today();
    let wasted_since = today.checked_sub_months(Months::new(12)).unwrap_or(NaiveDate::MIN);
    let live = ledger.live_jars(&Which::default())?;
    let eat = eat::Answer::new(&live, ctx.clock, Month::of(today), MONTHS_AHEAD);
    let appetites = ledger.appetites(today)?;
    let stock = stock(&live);
    let (pace, surplus) = pace(&appetites, &stock, today);
    let months = if eat.months.is_empty() { Vec::new() } else { month_lines(&eat, MONTHS_AHEAD) };
    Ok(Report {
        as_of: today,
        decide_now: pulled(
            eat.decide_now.iter().map(|due| (due.jar, due.product, due.place, due.what.clone())),
        ),
        eat_first: eat.eat_first.iter().map(shelf_jar).collect(),
        past_best: eat.past_best.iter().map(shelf_jar).collect(),
        stock: stock.iter().map(|(product, jars)| by_age(product, jars, today)).collect(),
        months,
        pace,
        surplus,
        seals: ledger.seal_statistics()?,
        holds: pulled(
            eat.on_hold.iter().map(|held| (held.jar, held.product, held.place, reasons(held.reasons))),
        ),
        wasted_since,
        wasted: ledger
            .wasted(wasted_since)?
            .into_iter()
            .map(|gone| WastedJar { jar: gone.jar, product: gone.product, day: gone.day, why: gone.why })
            .collect(),
        cautions: CAUTIONS.iter().map(ToString::to_string).collect(),
    })
}

/// What is said beside everything else on the page.
const CAUTIONS: &[cautions::Caution] = &[
    cautions::ON_RECORD,
    cautions::BOTULISM,
    cautions::SYMPTOMS,
    cautions::EMERGENCY,
    cautions::BEST_BY,
    cautions::STORAGE,
    cautions::ASK,
];

/// Puts jars of one batch together that stand in one place for one reason, in the order they come.
fn pulled<'a>(jars: impl Iterator<Item = (JarCode, &'a str, Option<&'a str>, String)>) -> Vec<PulledJars> {
    let mut groups: Vec<(Vec<JarCode>, PulledJars)> = Vec::new();
    let mut found: HashMap<(BatchCode, Option<&str>, String), usize> = HashMap::new();
    for (jar, product, place, why) in jars {
        let group = *found.entry((jar.batch, place, why.clone())).or_insert_with(|| {
            let product = product.to_owned();
            let place = place.map(str::to_owned);
            groups.push((Vec::new(), PulledJars { jars: String::new(), count: 0, product, place, why }));
            groups.len() - 1
        });
        groups[group].0.push(jar);
    }
    groups
        .into_iter()
        .map(|(codes, pulled)| PulledJars { count: codes.len(), jars: eat::named(codes), ..pulled })
        .collect()
}

fn reasons(holds: &[Hold]) -> String {
    let told: Vec<String> =
        holds.iter().map(|hold| format!("{} (since {})", hold.reason, hold.since)).collect();
    told.join("; ")
}

/// The jars that may be eaten, by product, each product's in their turn.
fn stock(live: &[LiveJar]) -> Vec<(&str, Vec<&Jar>)> {
    let mut stock: Vec<(&str, Vec<&Jar>)> = Vec::new();
    for jar in live.iter().map(|live| &live.jar) {
        if jar.state != JarState::Sealed || jar.on_hold {
            continue;
        }
        match stock.last_mut() {
            Some((product, jars)) if *product == jar.product => jars.push(jar),
            _ => stock.push((&jar.product, vec![jar])),
        }
    }
    stock
}

fn by_age(product: &str, jars: &[&Jar], today: NaiveDate) -> StockLine {
    let mut line = StockLine { product: product.to_owned(), old: 0, ripe: 0, new: 0 };
    for jar in jars {
        if add_months(jar.put_up, 12) < today {
            line.old += 1;
        } else if add_months(jar.put_up, 6) <= today {
            line.ripe += 1;
        } else {
            line.new += 1;
        }
    }
    line
}

/// How each product is kept up with, and the jars that are not reached.
fn pace(
    appetites: &[Appetite],
    stock: &[(&str, Vec<&Jar>)],
    today: NaiveDate,
) -> (Vec<PaceLine>, Vec<ShelfJar>) {
    let stock: HashMap<&str, &[&Jar]> =
        stock.iter().map(|(product, jars)| (*product, jars.as_slice())).collect();
    let mut surplus: Vec<ShelfJar> = Vec::new();
    let lines = appetites
        .iter()
        .map(|appetite| {
            let jars = stock.get(&appetite.product[..]).copied().unwrap_or_default();
            let ahead = &jars[jars.partition_point(|jar| jar.best_by < today)..];
            let kept = keep_up(ahead, today, appetite.past, |jar| jar.best_by);
            let outlook = outlook(appetite, ahead, kept.as_ref());
            surplus.extend(kept.into_iter().flat_map(|kept| kept.surplus).map(|jar| surplus_jar(jar)));
            PaceLine { product: appetite.product.clone(), past: appetite.past, outlook }
        })
        .collect();
    surplus.sort_by_key(|jar| (jar.best_by, jar.put_up, jar.jar));
    (lines, surplus)
}

fn surplus_jar(jar: &Jar) -> ShelfJar {
    ShelfJar {
        jar: jar.code,
        product: format!("{}, {}", jar.product, jar.size),
        put_up: jar.put_up,
        best_by: jar.best_by,
        place: jar.place.clone(),
    }
}

fn outlook(appetite: &Appetite, ahead: &[&Jar], kept: Option<&KeepUp<'_, &Jar>>) -> Outlook {
    if let Some(on) = appetite.last_left.filter(|_| !appetite.in_stock) {
        return Outlook::RanOut { on };
    }
    if ahead.is_empty() {
        return Outlook::NothingAhead;
    }
    match kept.map(|kept| (kept.surplus.len(), kept.runs_out)) {
        None => Outlook::NoRate,
        Some((0, Some(runs_out))) => Outlook::Reached { runs_out },
        Some((surplus, runs_out)) => Outlook::Surplus { jars: surplus as u64, runs_out },
    }
}
