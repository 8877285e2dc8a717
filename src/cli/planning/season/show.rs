//! The plan for a season in words and tables.

use chrono::NaiveDate;

use crate::answers::eating::season::answer::{Answer, Line, Totals};
use crate::answers::eating::season::evidence::Evidence;
use crate::answers::eating::season::lasting::Lasting;
use crate::cli::talk::screen::Screen;
use crate::paper::text::table::Table;
use crate::rules::eating::season::{ENOUGH_DAYS, ENOUGH_JARS};
use crate::values::measures::in_words::{short_time, weight};
use crate::values::measures::units::Units;
use crate::values::names::counted::{counted, jars};
use crate::values::time::on_screen;

pub(super) fn show(answer: &Answer, today: NaiveDate, units: Units, screen: &mut Screen) {
    if answer.lines.is_empty() {
        screen.say("No jar was put up yet, so there is nothing to plan by.");
        screen.next("`jarledger putup` logs a batch");
        return;
    }
    if let Some(product) = &answer.product {
        lasting(product, answer, screen);
        return;
    }
    let days = (answer.until - today).num_days();
    let (known, unknown): (Vec<&Line>, Vec<&Line>) =
        answer.lines.iter().partition(|line| !line.too_little_history);
    if !known.is_empty() {
        screen.say(format!(
            "To last until {} ({days} days) in about {} of seasons:",
            on_screen::day(answer.until),
            percent(answer.sure)
        ));
        needs(&known, answer.sure, screen);
        remarks(&known, screen);
        works(&known, units, screen);
        if let Some(words) = in_all(&answer.totals, units) {
            screen.say("");
            screen.say(words);
        }
    }
    for line in unknown {
        screen.say(format!(
            "Too little history to plan {} in {}: {}. A plan takes {ENOUGH_JARS} jars used or {ENOUGH_DAYS} days with \
             stock.",
            line.product,
            line.size.plural(),
            evidence(&line.evidence),
        ));
    }
    screen.next("`jarledger plan` works out one batch; `jarledger process` finds its tested process");
}

/// Whether one product will last: the answer, the jars, and what it rests on.
fn lasting(product: &Lasting, answer: &Answer, screen: &mut Screen) {
    let (name, until) = (&product.product, on_screen::day(answer.until));
    let used = evidence(&product.evidence);
    let (Some(lasts), Some(expected)) = (product.lasts, &product.expected) else {
        screen.say(format!("{name}: too little history to say whether it lasts until {until}."));
        screen.say(format!("On the shelf: {}{}.", jars(product.in_stock), not_counted(product)));
        screen.say(format!(
            "{used}. An answer takes {ENOUGH_JARS} jars used or {ENOUGH_DAYS} days with stock."
        ));
        return;
    };
    screen.say(format!("{name}, until {until}: {}{}.", verdict(lasts, answer.sure), in_ten(lasts)));
    let on_the_shelf = match product.in_stock {
        0 => "none".to_owned(),
        in_stock => format!("{}, of which {} will keep", jars(in_stock), product.still_good.unwrap_or(0)),
    };
    screen.say(format!(
        "On the shelf: {on_the_shelf}{}. Needed: {}. To can: {}.",
        not_counted(product),
        expected.enough,
        product.put_up.unwrap_or(0),
    ));
    let mut rests_on =
        format!("{used}; by then likely {}, from {} to {}.", expected.middle, expected.low, expected.enough);
    if let Some(seldom) = seldom_in_stock(&product.evidence, expected.enough) {
        rests_on.push_str(&format!(" {seldom}"));
    }
    if !product.evidence.year_on_record {
        rests_on.push_str(" Less than a year on record: every month counts alike.");
    }
    screen.say(rests_on);
    screen.next("`jarledger season` plans every product");
}

/// The jars that stand there and count for nothing.
fn not_counted(product: &Lasting) -> String {
    let counts = [(product.on_hold, "on hold"), (product.unchecked, "not checked yet")];
    let named: Vec<String> =
        counts.iter().filter(|(jars, _)| *jars > 0).map(|(jars, why)| format!("{jars} {why}")).collect();
    if named.is_empty() { String::new() } else { format!("; not counted: {}", named.join(", ")) }
}

/// Whether jars last, as sure as was asked for.
fn verdict(share: f64, sure: f64) -> &'static str {
    if share >= sure {
        "yes, there is enough"
    } else if share >= 0.5 {
        "probably enough"
    } else if share >= 0.05 {
        "probably not enough"
    } else {
        "no, not enough"
    }
}

/// The share of seasons, where it is worth a number.
fn in_ten(share: f64) -> String {
    match (share * 10.0).round() {
        0.0 => String::new(),
        1.0 => "; enough in 1 season of 10".to_owned(),
        tenths if tenths < 10.0 => format!("; enough in {tenths} seasons of 10"),
        _ => String::new(),
    }
}

/// What was used and given away; missing jars stand beside it, since nobody knows whether they were used.
fn evidence(evidence: &Evidence) -> String {
    let given = match evidence.given {
        0 => String::new(),
        given => format!(" and {given} given"),
    };
    let missing = match evidence.missing {
        0 => String::new(),
        missing => format!("; {missing} missing"),
    };
    format!("{} used{given} in {:.1} months with stock{missing}", used(evidence), evidence.months_with_stock)
}

/// Jars eaten and those emptied into other batches.
const fn used(evidence: &Evidence) -> u32 {
    evidence.eaten + evidence.used_in_batches
}

/// Where there was seldom any stock, what is said of it, and of a need that nobody has seen yet.
fn seldom_in_stock(evidence: &Evidence, needed: u32) -> Option<String> {
    let Evidence { months_with_stock, months_on_record, most_used, .. } = evidence;
    evidence.seldom_in_stock.then(|| {
        let unseen = if needed > *most_used {
            format!("; {needed} is more than the {most_used} ever used in so long a time")
        } else {
            String::new()
        };
        format!("On the shelf for only {months_with_stock:.1} of {months_on_record:.1} months{unseen}.")
    })
}

fn remarks(lines: &[&Line], screen: &mut Screen) {
    for line in lines {
        let needed = line.expected.as_ref().map_or(0, |expected| expected.enough);
        if let Some(seldom) = seldom_in_stock(&line.evidence, needed) {
            screen.say(format!("{}, {}. {seldom}", line.product, line.size.plural()));
        }
    }
    let short: Vec<String> = (lines.iter().filter(|line| !line.evidence.year_on_record))
        .map(|line| format!("{}, {}", line.product, line.size.plural()))
        .collect();
    if !short.is_empty() {
        screen.say(format!("Less than a year on record, so every month counts alike: {}.", short.join("; ")));
    }
}

fn needs(lines: &[&Line], sure: f64, screen: &mut Screen) {
    let mut table = Table::new(["Product", "Used", "Months", "Likely", "Needed", "Will keep", "To can"])
        .number(1)
        .number(2)
        .number(4)
        .number(5)
        .number(6);
    for line in lines {
        let Some(expected) = &line.expected else { continue };
        let changed = line.what_if.as_ref().map_or_else(String::new, |change| format!(" ({change})"));
        table.row([
            format!("{}, {}{changed}", line.product, line.size.plural()),
            used(&line.evidence).to_string(),
            format!("{:.1}", line.evidence.months_with_stock),
            format!("{} ({}-{})", expected.middle, expected.low, expected.enough),
            expected.enough.to_string(),
            good(line),
            line.put_up.unwrap_or(0).to_string(),
        ]);
    }
    screen.table(&table);
    screen.say(format!("Months: with stock. Likely: {}", beyond(1.0 - sure)));
    screen.say("Will keep: jars on the shelf that will be used by their best by.");
    let besides = |what: &str, of: fn(&Evidence) -> u32, screen: &mut Screen| {
        let words: Vec<String> = (lines.iter().filter(|line| of(&line.evidence) > 0))
            .map(|line| format!("{}, {} {}", line.product, line.size.plural(), of(&line.evidence)))
            .collect();
        if !words.is_empty() {
            screen.say(format!("{what}: {}.", words.join("; ")));
        }
    };
    besides("Given away besides", |evidence| evidence.given, screen);
    besides("Missing, used or not", |evidence| evidence.missing, screen);
}

/// Jars that count, and those that would pass their best by first.
fn good(line: &Line) -> String {
    let good = line.still_good.unwrap_or(0);
    if good as usize == line.in_stock { good.to_string() } else { format!("{good} of {}", line.in_stock) }
}

fn works(lines: &[&Line], units: Units, screen: &mut Screen) {
    let mut table = Table::new(["Jars", "To can", "Loads", "Produce", "At the canner"]).number(0).number(2);
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
                || "no figure".to_owned(),
                |produce| match produce.style {
                    Some(style) => format!("{}, {style}", weight(produce.pounds, units)),
                    None => weight(produce.pounds, units),
                },
            ),
            match (work.time, work.no_time) {
                (Some(time), _) => format!("{}{}", at_least(time.at_least), short_time(time.minutes)),
                (None, Some(why)) => why.to_owned(),
                (None, None) => "not known".to_owned(),
            },
        ]);
    }
    if any {
        screen.say("");
        screen.table(&table);
    } else {
        screen.say("Nothing to can: what stands on the shelf lasts.");
    }
}

/// The list for shopping and for work; none where nothing is to be put up.
pub(in crate::cli) fn in_all(totals: &Totals, units: Units) -> Option<String> {
    if totals.lids == 0 {
        return None;
    }
    let by_size: Vec<String> = totals
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
    let mut all = vec![by_size.join(", "), lids];
    // Where nothing is known of any, there is nothing to say.
    if totals.loads > 0 {
        let loads = counted(totals.loads, "load", "loads");
        all.push(format!("{}{loads}", at_least(totals.loads_at_least)));
    }
    if totals.pounds.hundredths() > 0 {
        let produce = weight(totals.pounds, units);
        all.push(format!("{}{produce} of produce", at_least(totals.pounds_at_least)));
    }
    if totals.minutes > 0 {
        all.push(format!(
            "{}{} at the canner",
            at_least(totals.minutes_at_least),
            short_time(totals.minutes)
        ));
    }
    Some(format!("In all: {}.", all.join("; ")))
}

fn at_least(is: bool) -> &'static str {
    if is { "at least " } else { "" }
}

/// How many seasons lie below the range, and how many above.
fn beyond(share: f64) -> String {
    let seasons = (1.0 / share).round();
    if (seasons * share - 1.0).abs() < 1e-6 {
        return format!("1 season in {seasons} uses less, 1 in {seasons} uses more.");
    }
    format!("{} of seasons use less, {0} use more.", percent(share))
}

fn percent(share: f64) -> String {
    let percent = (share * 1_000.0).round() / 10.0;
    format!("{percent} %")
}
