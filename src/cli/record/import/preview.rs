//! What a list is taken for, shown before anything comes in.

use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, Reply, interrupted};
use crate::exchange::shelf::day::DateOrder;
use crate::exchange::shelf::guess::{Guess, Taken};
use crate::exchange::shelf::look::Dates;
use crate::ledger::batch::import::ShelfRow;
use crate::values::names::counted::counted;
use crate::values::time::on_screen;

/// Rows shown before the question.
pub(super) const FIRST: usize = 5;

/// Rows shown of a dry run.
pub(super) const MOST: usize = 20;

/// What the headings are taken for, in lines.
pub(super) fn headings(guess: &Guess) -> Vec<String> {
    let wide = guess.taken.iter().map(|taken| taken.heading.chars().count()).max().unwrap_or_default();
    let line = |Taken { heading, column, .. }: &Taken| {
        let padding = " ".repeat(wide - heading.chars().count());
        format!("  {heading}{padding}  {}", column.map_or("left out", meaning))
    };
    guess.taken.iter().map(line).collect()
}

/// One of our columns in a word or two.
fn meaning(column: &'static str) -> &'static str {
    match column {
        "put_up" => "day it was put up",
        "jar" => "jar size",
        "count" => "number of jars",
        "best_by" => "best by",
        "name_reason" => "why the name is right",
        other => other,
    }
}

/// The order of a list's dates: as said, as only one can be, or as chosen.
pub(super) fn order(
    said: Option<DateOrder>,
    dates: &Dates,
    asker: &Asker,
) -> Result<(DateOrder, Option<String>), Failure> {
    match (said, dates) {
        (Some(said), _) => Ok((said, None)),
        (None, Dates::Plain) => Ok((DateOrder::Iso, None)),
        (None, Dates::Proven(order)) => Ok((
            *order,
            Some(format!("Dates are {}: no other order makes all of them dates.", in_words(*order))),
        )),
        (None, Dates::Open(..)) if !asker.can_ask() => Ok((DateOrder::Iso, None)),
        (None, Dates::Open(orders, sample)) => {
            let ask = format!("Dates such as {sample} are written how?");
            let question = Question { ask: &ask, flag: "--date-format ORDER", help: "", default: None };
            let words: Vec<&str> = orders.iter().map(|&order| in_words(order)).collect();
            match asker.choose(question, words.clone(), 0)? {
                Reply::Given(chosen) => {
                    let at = words.iter().position(|words| *words == chosen).unwrap_or_default();
                    Ok((orders[at], None))
                }
                Reply::Back => Err(interrupted()),
            }
        }
    }
}

const fn in_words(order: DateOrder) -> &'static str {
    match order {
        DateOrder::MonthDayYear => "month/day/year",
        DateOrder::DayMonthYear => "day/month/year",
        DateOrder::YearMonthDay | DateOrder::Iso => "year/month/day",
    }
}

/// Rows as they were read, in lines.
pub(super) fn rows(rows: &[ShelfRow], of: u64) -> Vec<String> {
    let mut lines: Vec<String> = rows.iter().map(row).collect();
    let more = of.saturating_sub(rows.len() as u64);
    if more > 0 {
        lines.push(format!("  and {}", counted(more, "more row", "more rows")));
    }
    lines
}

fn row(row: &ShelfRow) -> String {
    let mut text = format!(
        "  {}, {}, put up {}",
        row.product,
        row.size.counted(row.count.unwrap_or(1)),
        on_screen::day(row.put_up)
    );
    text.extend(row.pack.map(|pack| format!(", {pack} pack")));
    text.extend(row.food.as_ref().map(|(food, _)| format!(", {food}")));
    text.extend(row.place.as_ref().map(|place| format!(", in {place}")));
    text.extend(row.best_by.map(|best_by| format!(", best by {}", on_screen::day(best_by))));
    text.extend(row.id.as_ref().map(|id| format!(", id {id}")));
    text.extend(row.note.as_ref().map(|note| format!(", note: {note}")));
    text.extend(row.vouched.as_ref().map(|word| format!(", your word: {word}")));
    text
}
