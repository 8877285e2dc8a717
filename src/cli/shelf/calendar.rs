//! `calendar`: the dates to keep, as a file for a calendar program.

use chrono::{Days, NaiveDate, NaiveTime};

use crate::answers::eating::eat;
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::shelf::months_ahead::{month_lines, shelf_jar};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::counts::dates::{CooledLoad, DialGauge, InRefrigerator};
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::wall_clock::on_the_wall;
use crate::paper::calendar::{Calendar, Date, Task, render};
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::{chilled_unsealed, once_opened};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::time::civil_day::add_months;
use crate::values::time::month::Month;

/// Days for which settled matters are still exported, as cancelled, so that they leave the calendar.
const SETTLED_DAYS: u64 = 40;

/// Months of eat-first entries after the current one.
const MONTHS_AHEAD: u32 = 12;

/// Write seal checks, eat-first months, jars in the refrigerator and gauge tests as a calendar file (iCalendar)
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    out: OutArgs,
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
    let ledger = ctx.open()?;
    let dates = dates(&ledger, ctx)?;
    // Midnight of today or the last entry, whichever is later: two exports of one state on one day are alike.
    let midnight = ctx.clock.today().and_time(NaiveTime::MIN).and_utc();
    let calendar = Calendar { ledger: ledger.uuid(), stamp: ledger.last_written()?.max(midnight), dates };
    out.write(&render(&calendar))?;
    let settled = calendar.dates.iter().filter(|date| date.is_settled).count();
    let answer = Answer { out: path, dates: calendar.dates.len() - settled, settled };
    if screen.json() {
        return screen.answer(&answer);
    }
    let lately = if settled == 0 { String::new() } else { format!(", and {settled} lately settled") };
    screen.say(format!("Wrote {}: {} dates to keep{lately}.", answer.out, answer.dates));
    screen.next("read the file into your calendar program; reading a later one in replaces these dates");
    Ok(())
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
        task: Task::EatFirst { month, jars: std::mem::take(&mut owed_now) },
        is_settled: false,
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
