//! `report`: everything about the shelf on one page.

use std::collections::{BTreeMap, HashMap};

use chrono::{Months, NaiveDate};

use crate::answers::eating::eat;
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::eating::eat::named;
use crate::cli::errors::Failure;
use crate::cli::shelf::months_ahead::{month_lines, shelf_jar};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::hold::Hold;
use crate::ledger::jar::live::Which;
use crate::paper::report::{Outlook, PaceLine, PulledJars, Report, StockLine, WastedJar, render};
use crate::paper::text::lines::ShelfJar;
use crate::rules::eating::keep_up::{KeepUp, keep_up};
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::names::name::Name;
use crate::values::time::civil_day::add_months;
use crate::values::time::month::Month;

/// Months of the plan after the current one: jars put up today are in the last of them.
const MONTHS_AHEAD: u32 = 12;

/// Write what to eat, the stock, the plan, seals, holds and waste as one HTML page
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
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

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let out = args.out.file(ctx, "shelf.html", &Asker::new(screen))?;
    let path = out.path().display().to_string();
    let progress = Progress::begin(screen, "gathering the report");
    let report = gather(&ctx.open()?, ctx)?;
    out.write(render(&report).as_bytes())?;
    drop(progress);
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
    let eat = eat::Answer::read(ledger, ctx.clock, Month::of(today), MONTHS_AHEAD)?;
    let appetites = ledger.appetites(today)?;
    let stock = stock(ledger, today)?;
    let (pace, surplus) = pace(&appetites, &stock, today);
    let months = if eat.months.is_empty() { Vec::new() } else { month_lines(&eat, MONTHS_AHEAD) };
    Ok(Report {
        as_of: today,
        decide_now: pulled(
            eat.decide_now
                .iter()
                .map(|due| (due.jar, &*due.product, due.place.as_deref(), due.what.to_string())),
        ),
        eat_first: eat.eat_first.iter().map(shelf_jar).collect(),
        past_best: eat.past_best.iter().map(shelf_jar).collect(),
        surplus: surplus_jars(ledger, &surplus)?,
        stock: stock.into_values().map(|of_product| of_product.by_age).collect(),
        months,
        pace,
        seals: ledger.seal_statistics()?,
        holds: pulled(
            eat.on_hold
                .iter()
                .map(|held| (held.jar, &*held.product, held.place.as_deref(), reasons(&held.reasons))),
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
    cautions::NO_RECORD,
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
        .map(|(codes, pulled)| PulledJars { count: codes.len(), jars: named(codes), ..pulled })
        .collect()
}

fn reasons(holds: &[Hold]) -> String {
    let told: Vec<String> =
        holds.iter().map(|hold| format!("{} (since {})", hold.reason, hold.since)).collect();
    told.join("; ")
}

/// The jars of one product that may be eaten.
struct OfProduct {
    by_age: StockLine,
    /// How many have their best by on each day.
    due: BTreeMap<NaiveDate, u64>,
}

/// The jars that may be eaten, by product.
fn stock(ledger: &Ledger, today: NaiveDate) -> Result<BTreeMap<String, OfProduct>, Failure> {
    let mut stock: BTreeMap<String, OfProduct> = BTreeMap::new();
    ledger.good_jars(|good| {
        // Name by name as they are found by.
        let key = good.product.parse::<Name>().map_or_else(|_| good.product.clone(), |name| name.key());
        let of_product = stock.entry(key).or_insert_with(|| OfProduct {
            by_age: StockLine {
                product: good.product.clone(),
                old: 0,
                ripe: 0,
                new: 0,
                marks: BTreeMap::new(),
            },
            due: BTreeMap::new(),
        });
        let line = &mut of_product.by_age;
        if add_months(good.put_up, 12) < today {
            line.old += good.jars;
        } else if add_months(good.put_up, 6) <= today {
            line.ripe += good.jars;
        } else {
            line.new += good.jars;
        }
        if let Some(mark) = good.process.in_words() {
            *line.marks.entry(mark).or_default() += good.jars;
        }
        *of_product.due.entry(good.best_by).or_default() += good.jars;
    })?;
    Ok(stock)
}

/// A jar by its turn among those of its product, and its best by.
type Turned = (u64, NaiveDate);

/// How each product is kept up with, and the turns of the jars that are not reached, by product.
fn pace(
    appetites: &[Appetite],
    stock: &BTreeMap<String, OfProduct>,
    today: NaiveDate,
) -> (Vec<PaceLine>, HashMap<String, Vec<Turned>>) {
    let stock: HashMap<&str, &OfProduct> =
        stock.values().map(|of_product| (of_product.by_age.product.as_str(), of_product)).collect();
    let mut surplus = HashMap::new();
    let lines = appetites
        .iter()
        .map(|appetite| {
            let due = stock.get(&appetite.product[..]).map(|of_product| &of_product.due);
            let days = due.into_iter().flatten();
            let jars = days.flat_map(|(&day, &jars)| std::iter::repeat_n(day, jars as usize));
            let ahead: Vec<Turned> = (0..).zip(jars).filter(|&(_, day)| day >= today).collect();
            let kept = keep_up(&ahead, today, appetite.past, |&(_, day)| day);
            let outlook = outlook(appetite, &ahead, kept.as_ref());
            let missed: Vec<Turned> = kept.into_iter().flat_map(|kept| kept.surplus).copied().collect();
            if !missed.is_empty() {
                surplus.insert(appetite.product.clone(), missed);
            }
            PaceLine { product: appetite.product.clone(), past: appetite.past, outlook }
        })
        .collect();
    (lines, surplus)
}

/// The jars that are not reached, by their turns.
fn surplus_jars(ledger: &Ledger, surplus: &HashMap<String, Vec<Turned>>) -> Result<Vec<ShelfJar>, Failure> {
    let Some(last_day) = surplus.values().flatten().map(|&(_, day)| day).max() else {
        return Ok(Vec::new());
    };
    let mut left: HashMap<&str, (u64, &[Turned])> =
        surplus.iter().map(|(product, turns)| (product.as_str(), (0, turns.as_slice()))).collect();
    let mut jars = Vec::new();
    ledger.each_live_row(&Which { good_until: Some(last_day), ..Which::default() }, |row| {
        if row.is_good()?
            && let Some((turn, turns)) = left.get_mut(row.product()?)
        {
            if let [(next, _), rest @ ..] = turns
                && next == turn
            {
                *turns = rest;
                jars.push(surplus_jar(&row.read()?.jar));
            }
            *turn += 1;
        }
        Ok::<(), Failure>(())
    })?;
    jars.sort_by_key(|jar| (jar.best_by, jar.put_up, jar.jar));
    Ok(jars)
}

fn surplus_jar(jar: &Jar) -> ShelfJar {
    ShelfJar {
        jar: jar.code,
        product: format!("{}, {}", jar.product, jar.size),
        put_up: jar.put_up,
        best_by: jar.best_by,
        place: jar.place.clone(),
        process: jar.process.clone(),
    }
}

fn outlook(appetite: &Appetite, ahead: &[Turned], kept: Option<&KeepUp<'_, Turned>>) -> Outlook {
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
