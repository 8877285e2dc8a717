//! `report`: everything about the shelf on one page.

use std::collections::HashMap;

use chrono::{Months, NaiveDate};

use super::context::Context;
use super::eat::decisions;
use super::errors::Failure;
use super::months_ahead::{eatable, month_lines, rotations, shelf_jar};
use super::out_file::OutArgs;
use super::screen::Screen;
use crate::ledger::{Appetite, Jar, Ledger, LiveJar, Which};
use crate::paper::report::{Outlook, PaceLine, PulledJar, Report, StockLine, WastedJar, render};
use crate::rules::cautions;
use crate::rules::civil_day::add_months;
use crate::rules::keep_up::keep_up;
use crate::rules::rotation::Rotation;

/// Months of the plan, the current one included: jars put up today are in the last of them.
const MONTHS: u32 = 13;

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
        on_hold: report.holds.len(),
        to_decide: report.decide_now.len(),
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
    let mut jars = eatable(&live);
    let rotations = rotations(&mut jars, today);
    let shelf = |part: for<'a> fn(&Rotation<'a, &'a Jar>) -> &'a [&'a Jar]| {
        rotations.iter().flat_map(|(_, rotation)| part(rotation)).map(|jar| shelf_jar(jar)).collect()
    };
    let mut report = Report {
        as_of: today,
        decide_now: decisions(&live, ctx.clock.now).map(|(live, what)| pulled(&live.jar, what)).collect(),
        eat_first: shelf(|rotation| rotation.this_month),
        past_best: shelf(|rotation| rotation.past_best),
        stock: rotations.iter().map(|(product, rotation)| stock(product, rotation, today)).collect(),
        months: month_lines(&rotations, today, MONTHS),
        pace: pace(&ledger.appetites(today)?, &rotations, today),
        seals: ledger.seal_statistics()?,
        holds: live.iter().filter(|live| live.jar.on_hold).map(on_hold).collect(),
        wasted_since,
        wasted: ledger
            .wasted(wasted_since)?
            .into_iter()
            .map(|gone| WastedJar { jar: gone.jar, product: gone.product, day: gone.day, why: gone.why })
            .collect(),
        cautions: CAUTIONS.iter().map(ToString::to_string).collect(),
    };
    report.eat_first.sort_by_key(|jar| (jar.best_by, jar.put_up, jar.jar));
    report.past_best.sort_by_key(|jar| (jar.best_by, jar.put_up, jar.jar));
    if report.stock.is_empty() {
        report.months.clear();
    }
    Ok(report)
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

fn on_hold(live: &LiveJar) -> PulledJar {
    let reasons: Vec<String> =
        live.holds.iter().map(|hold| format!("{} (since {})", hold.reason, hold.since)).collect();
    pulled(&live.jar, reasons.join("; "))
}

fn pulled(jar: &Jar, why: String) -> PulledJar {
    let jar = shelf_jar(jar);
    PulledJar { jar: jar.jar, product: jar.product, place: jar.place, why }
}

fn stock(product: &str, rotation: &Rotation<'_, &Jar>, today: NaiveDate) -> StockLine {
    let mut line = StockLine { product: product.to_owned(), old: 0, ripe: 0, new: 0 };
    for jar in rotation.past_best.iter().chain(rotation.ahead) {
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

fn pace(appetites: &[Appetite], rotations: &[(&str, Rotation<'_, &Jar>)], today: NaiveDate) -> Vec<PaceLine> {
    let ahead: HashMap<&str, &[&Jar]> =
        rotations.iter().map(|(product, rotation)| (*product, rotation.ahead)).collect();
    appetites
        .iter()
        .map(|appetite| {
            let jars = ahead.get(&appetite.product[..]).copied().unwrap_or_default();
            PaceLine {
                product: appetite.product.clone(),
                past: appetite.past,
                outlook: outlook(appetite, jars, today),
            }
        })
        .collect()
}

fn outlook(appetite: &Appetite, ahead: &[&Jar], today: NaiveDate) -> Outlook {
    if let Some(on) = appetite.last_left.filter(|_| !appetite.in_stock) {
        return Outlook::RanOut { on };
    }
    if ahead.is_empty() {
        return Outlook::NothingAhead;
    }
    match keep_up(ahead, today, appetite.past, |jar| jar.best_by) {
        None => Outlook::NoRate,
        Some(kept) => match (kept.surplus.len(), kept.runs_out) {
            (0, Some(runs_out)) => Outlook::Reached { runs_out },
            (surplus, runs_out) => Outlook::Surplus { jars: surplus as u64, runs_out },
        },
    }
}
