//! `report`: everything about the shelf on one page.
//!
//! May use: arguments, eating, planning, talk, answers, ledger, paper, rules, values.

mod lines;
mod products;
mod season;
mod stands;

use chrono::NaiveDate;

use crate::answers::eating::eat;
use crate::answers::eating::eat::MONTHS_AHEAD;
use crate::answers::jars::stands::kept_at;
use crate::answers::shelf::report as gathered;
use crate::answers::shelf::report::stands::{Way, at};
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::shelf::months_ahead::month_lines;
use crate::cli::shelf::report::lines::{by_batch, until};
use crate::cli::shelf::report::products::{lasting, surplus};
use crate::cli::shelf::report::stands::{aside, figures, places};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::ledger::jar::hold::Hold;
use crate::paper::report::model::{JarsLine, ProductLine, Report};
use crate::paper::report::render;
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::JarCode;
use crate::values::measures::units::Units;
use crate::values::names::counted::jars as counted;
use crate::values::time::on_screen;

/// Write what stands where, what to eat, what runs out, what to put up and the past year as one HTML page
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    out: OutArgs,
    /// Show the folded details too, as for a print of everything
    #[arg(long)]
    unfold: bool,
}

#[derive(serde::Serialize)]
struct Answer {
    out: String,
    /// Jars in the household's hands, in any state.
    in_all: u64,
    on_shelf: u64,
    eat_first: u64,
    past_best: u64,
    on_hold: u64,
    to_decide: u64,
    /// Jars that pass their best by uneaten at the household's own rate.
    not_reached: Vec<JarCode>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let out = args.out.file(ctx, "shelf.html", &Asker::new(screen))?;
    let path = out.path().display().to_string();
    let progress = Progress::begin(screen, "gathering the report");
    let ledger = ctx.open()?;
    let gathered = gathered::Answer::read(&ledger, ctx.clock)?;
    let (report, answer) = fill(gathered, ctx.clock.today(), ledger.units()?, args.unfold, path);
    out.write(render(&report).as_bytes())?;
    drop(progress);
    if screen.json() {
        return screen.answer(&answer);
    }
    screen.say(format!(
        "Wrote {}: {} in all, {} on the shelf, {} to eat this month, {} to decide on, {} on hold.",
        answer.out,
        counted(answer.in_all),
        report.figures.first().map_or(0, |on_the_shelf| on_the_shelf.jars),
        answer.eat_first,
        answer.to_decide,
        answer.on_hold
    ));
    screen.next("open the file in a browser, or print it");
    Ok(())
}

/// The page and the answer in JSON.
fn fill(
    gathered: gathered::Answer,
    as_of: NaiveDate,
    units: Units,
    unfolded: bool,
    out: String,
) -> (Report, Answer) {
    let gathered::Answer { eat, stands, products, not_reached, season, year_since, wasted, seals } = gathered;
    let products: Vec<ProductLine> = products.into_iter().map(products::line).collect();
    let eaten_by = |jar: &eat::ToEat| {
        let text = until(jar.place.as_deref(), jar.best_by, &jar.process);
        (jar.jar, format!("{}, {}", jar.product, jar.size), text)
    };
    let report = Report {
        as_of,
        unfolded,
        figures: figures(&stands),
        decide_now: by_batch(eat.decide_now.iter().map(|due| {
            let place = kept_at(due.state, due.place.as_deref());
            (due.jar, due.product.to_string(), format!("{}: {}", at(place.as_deref()), due.what))
        })),
        eat_first: by_batch(eat.eat_first.iter().map(eaten_by)),
        past_best: by_batch(eat.past_best.iter().map(eaten_by)),
        places: places(&stands),
        aside: aside(&stands, &on_hold(&eat)),
        lasting: lasting(&products),
        surplus: surplus(&not_reached, &stands),
        months: if eat.months.is_empty() { Vec::new() } else { month_lines(&eat, MONTHS_AHEAD) },
        season: season::season(&season, units),
        year_since,
        wasted: by_batch(wasted.into_iter().map(|gone| {
            let why = gone.why.as_deref().unwrap_or("no reason recorded");
            (gone.jar, gone.product, format!("{}: {why}", on_screen::day_on_paper(gone.day)))
        })),
        seals,
        cautions: CAUTIONS.iter().map(ToString::to_string).collect(),
        products,
    };
    let sum = |lines: &[JarsLine]| lines.iter().map(|line| line.count).sum();
    let answer = Answer {
        out,
        in_all: report.figures.iter().map(|figure| figure.jars).sum(),
        on_shelf: stands.jars(Way::Shelf) + stands.jars(Way::Unrecorded),
        eat_first: sum(&report.eat_first),
        past_best: sum(&report.past_best),
        on_hold: stands.jars(Way::OnHold),
        to_decide: sum(&report.decide_now),
        not_reached: not_reached.iter().map(|jar| jar.jar).collect(),
    };
    (report, answer)
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

fn on_hold(eat: &eat::Answer) -> Vec<JarsLine> {
    by_batch(eat.on_hold.iter().map(|held| {
        let place = kept_at(held.state, held.place.as_deref());
        let text = format!("{}: {}", at(place.as_deref()), reasons(&held.reasons));
        (held.jar, held.product.to_string(), text)
    }))
}

fn reasons(holds: &[Hold]) -> String {
    let text: Vec<String> = holds
        .iter()
        .map(|hold| format!("{} (since {})", hold.reason, on_screen::day_on_paper(hold.since)))
        .collect();
    text.join("; ")
}
