//! `calendar`: the dates to keep, as a file for a calendar program.

use std::collections::HashSet;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveDate, NaiveTime};

use crate::answers::eating::eat;
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::shelf::months_ahead::{month_lines, shelf_jar};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::counts::dates::{CooledLoad, DialGauge, InRefrigerator};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::wall_clock::on_the_wall;
use crate::paper::calendar::{Calendar, Date, Task, identifiers, render};
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::{chilled_unsealed, once_opened};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::time::civil_day::add_months;
use crate::values::time::month::Month;

/// Days for which settled matters are still written, so that they leave the calendar they were read into.
const SETTLED_DAYS: u64 = 40;

/// Months of eat-first entries after the current one.
const MONTHS_AHEAD: u32 = 12;

/// Write seal checks, eat-first months, jars in the refrigerator and gauge tests as a calendar file (iCalendar)
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    out: OutArgs,
    /// The calendar file read in before: what it has and is done by now is written as cancelled
    #[arg(long, value_name = "FILE")]
    after: Option<PathBuf>,
}

#[derive(serde::Serialize)]
struct Answer {
    out: String,
    dates: usize,
    settled: usize,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let out = args.out.file(ctx, "jars.ics", &Asker::new(screen))?;
    let path = out.path().display().to_string();
    let earlier = earlier(args.after.as_deref(), out.path())?;
    let ledger = ctx.open()?;
    let mut dates = dates(&ledger, ctx)?;
    // What a calendar program never saw cannot leave it.
    dates.retain(|date| !date.is_settled || earlier.contains(&date.task.uid(ledger.uuid())));
    // Midnight of today or the last entry, whichever is later: two exports of one state on one day are alike.
    let midnight = ctx.clock.today().and_time(NaiveTime::MIN).and_utc();
    let calendar = Calendar { ledger: ledger.uuid(), stamp: ledger.last_written()?.max(midnight), dates };
    out.write(&render(&calendar))?;
    let settled = calendar.dates.iter().filter(|date| date.is_settled).count();
    let answer = Answer { out: path, dates: calendar.dates.len() - settled, settled };
    if screen.json() {
        return screen.answer(&answer);
    }
    let done = if settled == 0 { String::new() } else { format!(", and {settled} done and cancelled") };
    let dates = if answer.dates == 1 { "date" } else { "dates" };
    screen.say(format!("Wrote {}: {} {dates} to keep{done}.", answer.out, answer.dates));
    screen.next("read the file into your calendar program; later, write it again with --force");
    Ok(())
}

/// The entries of the file written before: the one named, or the one to be replaced.
fn earlier(named: Option<&Path>, replaced: &Path) -> Result<HashSet<String>, Failure> {
    let (path, may_be_missing) = named.map_or((replaced, true), |named| (named, false));
    match std::fs::read(path) {
        Ok(file) => Ok(identifiers(&file)),
        Err(error) if may_be_missing && error.kind() == ErrorKind::NotFound => Ok(HashSet::new()),
        Err(error) => Err(Failure::new(
            if error.kind() == ErrorKind::NotFound { Code::NotFound } else { Code::Io },
            format!("{} could not be read: {error}; nothing was written", path.display()),
            "name the calendar file of last time, or leave --after out",
        )),
    }
}

fn dates(ledger: &Ledger, ctx: &Context) -> Result<Vec<Date>, Failure> {
    let today = ctx.clock.today();
    let since = today.checked_sub_days(Days::new(SETTLED_DAYS)).unwrap_or(NaiveDate::MIN);
    let mut dates: Vec<Date> = Vec::new();
    let since_moment = ctx.clock.now - chrono::TimeDelta::days(SETTLED_DAYS as i64);
    dates.extend(ledger.cooled_loads(since_moment)?.into_iter().map(seal_check));
    let eat = eat::Answer::read(ledger, ctx.clock, Month::of(today), MONTHS_AHEAD)?;
    let is_withheld = |jar: &InRefrigerator| {
        let on_hold = |matter| matches!(matter, Matter::OpenedOnHold | Matter::ChilledOnHold);
        eat.decide_now.iter().any(|due| due.jar == jar.jar && on_hold(due.matter))
    };
    let in_refrigerator = ledger.in_refrigerator(since)?;
    dates.extend(in_refrigerator.into_iter().map(|jar| use_up(is_withheld(&jar), jar, today)));
    let mut owed_now: Vec<_> = eat.eat_first.iter().map(shelf_jar).collect();
    dates.extend(month_lines(&eat, MONTHS_AHEAD).into_iter().map(|month| Date {
        is_settled: month.jars() == 0,
        task: Task::EatFirst { month, jars: std::mem::take(&mut owed_now) },
    }));
    dates.extend(ledger.dial_gauges()?.into_iter().map(|gauge| gauge_test(gauge, today)));
    Ok(dates)
}

fn seal_check(load: CooledLoad) -> Date {
    let window = SealWindow::after(load.out_at);
    Date {
        is_settled: load.unchecked == 0,
        task: Task::SealCheck {
            batch: load.batch,
            load: load.load,
            product: load.product,
            jars: load.unchecked.into(),
            opens: on_the_wall(window.opens()),
            due: on_the_wall(window.due()),
        },
    }
}

/// The last day in the refrigerator; today where the jar is withheld, since it is to go.
fn use_up(is_withheld: bool, jar: InRefrigerator, today: NaiveDate) -> Date {
    let keeps = match jar.state {
        JarState::Chilled => chilled_unsealed(),
        _ => once_opened(jar.food.as_ref(), &jar.product),
    };
    Date {
        is_settled: !jar.stands,
        task: Task::UseUp {
            jar: jar.jar,
            product: jar.product,
            state: jar.state,
            place: jar.place,
            day: if is_withheld { today } else { keeps.last_day(jar.on) },
            is_withheld,
            process: jar.process,
        },
    }
}

/// A year after the last test; today where there was none.
fn gauge_test(gauge: DialGauge, today: NaiveDate) -> Date {
    let day = gauge.tested.map_or(today, |tested| add_months(tested, 12));
    Date {
        is_settled: false,
        task: Task::GaugeTest { canner: gauge.canner, name: gauge.name, last: gauge.tested, day },
    }
}
