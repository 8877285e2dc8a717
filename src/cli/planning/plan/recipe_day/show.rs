//! Shows a planned day on the terminal.

use chrono::NaiveDate;

use crate::answers::moments;
use crate::answers::planning::day::{Day, Entry};
use crate::answers::planning::words;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::values::measures::in_words::time;
use crate::values::names::counted::counted;
use crate::values::names::quoted::quoted;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

pub(super) fn show(day: &Day, clock: Clock, screen: &mut Screen) -> Result<(), Failure> {
    let jars: Vec<String> = day.jars.iter().map(|jars| jars.size.counted(jars.jars)).collect();
    screen.say(format!("{}, version {}: {}", day.recipe, day.version, jars.join(" and ")));
    screen.say(format!(
        "Begin {}, done {} ({}).",
        moments::in_words(day.start, clock),
        moments::in_words(day.done, clock),
        time(day.minutes)
    ));
    let mut dates: Vec<NaiveDate> = day.timetable.iter().map(|entry| entry.at.date_naive()).collect();
    dates.dedup();
    for date in dates {
        screen.say("");
        screen.say(on_screen::day_in_words(date));
        screen.table(&table(day.timetable.iter().filter(|entry| entry.at.date_naive() == date)));
    }
    screen.say("");
    for process in &day.processes {
        let own = if process.is_own { ", your own process, which no table here confirms" } else { "" };
        screen.say(format!(
            "{} in {}: {}{own}",
            process.size.plural(),
            process.canner,
            process.figures(day.units)
        ));
        if let Some(gauge) = &process.gauge {
            screen.say(format!("    {gauge}"));
        }
        words::say_terms(&process.process, screen);
        screen.say(format!("    from {}", process.process.source));
    }
    day.shopping.say(screen);
    screen.say(format!("  {} and as many empty jars", counted(day.lids, "new lid", "new lids")));
    screen.say("");
    screen.say(format!(
        "Check the seals from {} to {}.",
        moments::in_words(day.seal_check_from, clock),
        moments::in_words(day.seal_check_to, clock)
    ));
    for line in day.assumed.iter().chain(&day.cautions) {
        screen.say(line);
    }
    for (what, path) in [("card", &day.card), ("calendar file", &day.ics)] {
        if let Some(path) = path {
            screen.say(format!("Wrote the {what} {}.", path.display()));
        }
    }
    if day.card.is_none() {
        screen.next(format!(
            "`jarledger plan --recipe {} --card day.pdf` makes a page to hang up; `--ics day.ics` one for the calendar",
            quoted(&day.recipe)
        ));
    }
    Ok(())
}

fn table<'d>(entries: impl Iterator<Item = &'d Entry>) -> Table {
    let mut table = Table::new(["Time", "What", "Canner", "Load", ""]);
    for entry in entries {
        table.row([
            format!("{}-{}", entry.at.format("%H:%M"), entry.until.format("%H:%M")),
            entry.what.clone(),
            entry.canner.clone().unwrap_or_default(),
            entry.load.map(|load| load.to_string()).unwrap_or_default(),
            if entry.hands_on { "hands" } else { "" }.to_owned(),
        ]);
    }
    table
}
