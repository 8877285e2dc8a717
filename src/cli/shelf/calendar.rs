//! `calendar`: the dates to keep, as a file for a calendar program.

use std::collections::HashSet;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use chrono::NaiveTime;

use crate::answers::eating::eat::MONTHS_AHEAD;
use crate::answers::jars::stands::kept_at;
use crate::answers::shelf::calendar::{Dates, SealCheck, UseUp};
use crate::cli::arguments::out_file::OutArgs;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::shelf::months_ahead::{month_lines, shelf_jar};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::screen::Screen;
use crate::ledger::error::regular::open_regular;
use crate::ledger::file::open::Ledger;
use crate::paper::calendar::{Calendar, Date, Task, identifiers, render};
use crate::values::time::clock::Clock;

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
    let mut dates = dates(&ledger, ctx.clock)?;
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
    let mut file = Vec::new();
    match open_regular(path).and_then(|mut from| from.read_to_end(&mut file)) {
        Ok(_) => Ok(identifiers(&file)),
        Err(error) if may_be_missing && error.kind() == ErrorKind::NotFound => Ok(HashSet::new()),
        Err(error) => Err(Failure::unreadable(
            path.display(),
            &error,
            "nothing was written",
            "name the calendar file of last time, or leave --after out",
        )),
    }
}

fn dates(ledger: &Ledger, clock: Clock) -> Result<Vec<Date>, Failure> {
    let Dates { seal_checks, use_up, eat, gauge_tests } = Dates::read(ledger, clock)?;
    let mut dates: Vec<Date> = Vec::new();
    dates.extend(seal_checks.into_iter().map(|SealCheck { load, opens, due }| Date {
        is_settled: load.unchecked == 0,
        task: Task::SealCheck {
            batch: load.batch,
            load: load.load,
            product: load.product,
            jars: load.unchecked.into(),
            opens,
            due,
        },
    }));
    dates.extend(use_up.into_iter().map(|UseUp { jar, day, is_withheld }| Date {
        is_settled: !jar.stands,
        task: Task::UseUp {
            jar: jar.jar,
            product: jar.product,
            state: jar.state,
            place: kept_at(jar.state, jar.place.as_deref()),
            day,
            is_withheld,
            process: jar.process,
        },
    }));
    let mut owed_now: Vec<_> = eat.eat_first.iter().map(shelf_jar).collect();
    dates.extend(month_lines(&eat, MONTHS_AHEAD).into_iter().map(|month| Date {
        is_settled: month.jars() == 0,
        task: Task::EatFirst { month, jars: std::mem::take(&mut owed_now) },
    }));
    dates.extend(gauge_tests.into_iter().map(|(gauge, day)| Date {
        is_settled: false,
        task: Task::GaugeTest { canner: gauge.canner, name: gauge.name, last: gauge.tested, day },
    }));
    Ok(dates)
}
