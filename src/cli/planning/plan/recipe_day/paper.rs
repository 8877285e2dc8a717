//! A planned day on paper and in the calendar.

use chrono::{DateTime, NaiveDate, Utc};

use crate::answers::moments;
use crate::answers::planning::day::{Day, Entry};
use crate::answers::planning::day_canners::Process;
use crate::answers::planning::words;
use crate::cli::canning_day::label::fonts::machine_fonts;
use crate::cli::errors::Failure;
use crate::ledger::file::open::Ledger;
use crate::paper::day_calendar::{DayEntry, render_day};
use crate::paper::day_card::{CardProcess, CardStep, DayCard, print_day_card};
use crate::paper::label::sheet::page::Page;
use crate::rules::canning_day::day::Step;
use crate::rules::canning_day::planned_day::Doing;
use crate::values::measures::in_words::{inches, time};
use crate::values::measures::units::Units;
use crate::values::names::counted::counted;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// The page to hang up.
pub(super) fn card(day: &Day, page: Page, created: DateTime<Utc>, clock: Clock) -> Result<Vec<u8>, Failure> {
    let mut dates: Vec<NaiveDate> = day.timetable.iter().map(|entry| entry.at.date_naive()).collect();
    dates.dedup();
    let steps = |date: NaiveDate| {
        let of_date = day.timetable.iter().filter(|entry| entry.at.date_naive() == date);
        (on_screen::day_in_words(date), of_date.map(step).collect())
    };
    let mut at_hand = vec![format!("{} and empty jars", counted(day.lids, "new lid", "new lids"))];
    at_hand.extend(day.shopping.lines());
    let jars: Vec<String> = day.jars.iter().map(|jars| jars.size.counted(jars.jars)).collect();
    let seals = format!(
        "Check the seals from {} to {}.",
        moments::in_words(day.seal_check_from, clock),
        moments::in_words(day.seal_check_to, clock)
    );
    let card = DayCard {
        recipe: day.recipe.clone(),
        jars: jars.join(" and "),
        span: format!("{} to {}", moments::in_words(day.start, clock), moments::in_words(day.done, clock)),
        processes: day.processes.iter().map(|one| process(one, day.units)).collect(),
        days: dates.into_iter().map(steps).collect(),
        at_hand,
        cautions: std::iter::once(seals).chain(day.cautions.iter().cloned()).collect(),
    };
    Ok(print_day_card(&card, page, &machine_fonts(), Some(created))?.pdf)
}

fn process(process: &Process, units: Units) -> CardProcess {
    let tested = &process.process;
    let own = if process.is_own { "; your own process, which no table confirms" } else { "" };
    let mut terms = vec![format!("{} in {}{own}", process.size.plural(), process.canner)];
    if tested.vent_min > 0 {
        terms.push(format!(
            "vent {}; headspace {}",
            time(tested.vent_min),
            inches(tested.headspace_in, units)
        ));
    } else {
        terms.push(format!("headspace {}", inches(tested.headspace_in, units)));
    }
    terms.extend(words::acid(tested).map(|acid| format!("add to each jar {acid}")));
    terms.extend(process.gauge.clone());
    CardProcess { figures: process.figures(units), terms }
}

fn step(entry: &Entry) -> CardStep {
    CardStep {
        time: format!("{}-{}", entry.at.format("%H:%M"), entry.until.format("%H:%M")),
        what: entry.what.clone(),
        at: match (&entry.canner, entry.load) {
            (Some(canner), Some(load)) => format!("{canner}, load {load}"),
            _ => String::new(),
        },
        is_process: entry.doing == Doing::InCanner(Step::Process),
    }
}

/// What needs hands, and the processes, for a calendar program.
pub(super) fn calendar(day: &Day, ledger: &Ledger, clock: Clock) -> Vec<u8> {
    let is_kept = |entry: &&Entry| entry.hands_on || entry.doing == Doing::InCanner(Step::Process);
    let entries = day.timetable.iter().filter(is_kept).map(|entry| DayEntry {
        at: entry.at,
        until: entry.until,
        what: entry.what.clone(),
        canner: entry.canner.clone(),
    });
    render_day(ledger.uuid(), &day.recipe, clock.now.to_utc(), &entries.collect::<Vec<_>>())
}
