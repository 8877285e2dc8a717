//! The plan for a season in words and tables.

use chrono::NaiveDate;

use crate::cli::planning::season::answer::{Answer, Line, Totals};
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::rules::eating::season::LEAST_HISTORY_DAYS;
use crate::values::names::counted::counted;

pub(super) fn show(answer: &Answer, today: NaiveDate, screen: &mut Screen) {
    if answer.lines.is_empty() {
        screen.say("No jar was put up yet, so there is nothing to plan by.");
        screen.next("`jarledger putup` logs a batch");
        return;
    }
    let days = (answer.until - today).num_days();
    let (known, unknown): (Vec<&Line>, Vec<&Line>) =
        answer.lines.iter().partition(|line| !line.too_little_history);
    if !known.is_empty() {
        screen.say(format!(
            "To last until {} ({days} days) in {} of seasons:",
            answer.until,
            percent(answer.sure)
        ));
        needs(&known, answer.sure, screen);
        works(&known, screen);
        totals(&answer.totals, screen);
    }
    for line in unknown {
        screen.say(format!(
            "Too little history to plan {} in {}: {}. A plan takes {LEAST_HISTORY_DAYS} days with stock.",
            line.product,
            line.size.plural(),
            evidence(line),
        ));
    }
    screen.next("`jarledger plan` works out one batch; `jarledger process` finds its tested process");
}

fn evidence(line: &Line) -> String {
    format!("{} eaten in {:.1} months with stock", line.eaten, line.months_with_stock)
}

fn needs(lines: &[&Line], sure: f64, screen: &mut Screen) {
    let mut table = Table::new(["Product", "Evidence", "Will be eaten", "Enough", "Still good", "Put up"])
        .number(3)
        .number(4)
        .number(5);
    for line in lines {
        let Some(expected) = &line.expected else { continue };
        let changed = line.what_if.as_ref().map_or_else(String::new, |change| format!(" ({change})"));
        table.row([
            format!("{}, {}{changed}", line.product, line.size.plural()),
            evidence(line),
            format!("{}, between {} and {}", expected.middle, expected.low, expected.enough),
            expected.enough.to_string(),
            good(line),
            line.put_up.unwrap_or(0).to_string(),
        ]);
    }
    screen.table(&table);
    screen.say(format!("The lower end and the upper are each passed in {} of seasons.", percent(1.0 - sure)));
}

/// Jars that count, and those that would pass their best by first.
fn good(line: &Line) -> String {
    let good = line.still_good.unwrap_or(0);
    if good as usize == line.in_stock { good.to_string() } else { format!("{good} of {}", line.in_stock) }
}

fn works(lines: &[&Line], screen: &mut Screen) {
    let mut table =
        Table::new(["Jars", "To put up", "Loads", "Produce", "At the canner"]).number(0).number(2);
    let mut any = false;
    for line in lines {
        let Some(work) = &line.work else { continue };
        any = true;
        let canner = line.canner.as_ref().map_or_else(String::new, |canner| format!(", {canner}"));
        table.row([
            line.put_up.unwrap_or(0).to_string(),
            format!("{}, {}{canner}", line.product, line.size.plural()),
            work.loads.map_or_else(|| "?".to_owned(), |loads| loads.to_string()),
            work.produce.as_ref().map_or_else(
                || "the guide gives no figure".to_owned(),
                |produce| match produce.style {
                    Some(style) => format!("{} ({style})", produce.pounds),
                    None => produce.pounds.to_string(),
                },
            ),
            match (work.time, work.no_time) {
                (Some(time), _) => hours(time.minutes, time.at_least),
                (None, Some(why)) => why.to_owned(),
                (None, None) => "not known".to_owned(),
            },
        ]);
    }
    if any {
        screen.say("");
        screen.table(&table);
    } else {
        screen.say("Nothing to put up: what stands on the shelf lasts.");
    }
}

fn totals(totals: &Totals, screen: &mut Screen) {
    if totals.lids == 0 {
        return;
    }
    screen.say("");
    let jars: Vec<String> = totals
        .jars
        .iter()
        .map(|(size, &count)| {
            let get = totals.jars_to_get.get(size).copied().unwrap_or(count);
            let to_get = if get == count { String::new() } else { format!(" (get {get})") };
            format!("{}{to_get}", size.counted(count))
        })
        .collect();
    let mut lids = counted(totals.lids, "new lid", "new lids");
    if totals.lids_to_get != totals.lids {
        lids.push_str(&format!(" (get {})", totals.lids_to_get));
    }
    let at_least = |is: bool| if is { "at least " } else { "" };
    screen.say(format!(
        "In all: {}; {lids}; {}{}; {}{} of produce; {} at the canner.",
        jars.join(", "),
        at_least(totals.loads_at_least),
        counted(totals.loads, "load", "loads"),
        at_least(totals.pounds_at_least),
        totals.pounds,
        hours(totals.minutes, totals.minutes_at_least),
    ));
}

fn hours(minutes: u32, at_least: bool) -> String {
    let length = match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    };
    if at_least { format!("at least {length}") } else { length }
}

fn percent(share: f64) -> String {
    let percent = (share * 1_000.0).round() / 10.0;
    format!("{percent} %")
}
