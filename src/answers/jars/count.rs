//! A stocktake: what was seen in a place, and what differs from the ledger.

use std::collections::BTreeMap;

use crate::answers::near::did_you_mean;
use crate::ledger::counts::count::{Counted, Tally};
use crate::ledger::entry::names::one_meant;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::values::codes::count_line::{CountLine, read_line};
use crate::values::codes::jar_code::JarCode;
use crate::values::names::counted::jars as jars_in_words;
use crate::values::names::name::{Name, NameError};
use crate::values::names::near::near_names;
use crate::values::time::clock::Clock;

/// A line that names no jar of this ledger.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Unknown {
    pub(crate) line: usize,
    pub(crate) text: String,
    pub(crate) why: String,
    pub(crate) near: Vec<JarCode>,
}

impl Unknown {
    /// What is wrong with it, and what may be meant.
    pub(crate) fn message(&self) -> String {
        let near: Vec<String> = self.near.iter().map(ToString::to_string).collect();
        let hint =
            if near.is_empty() { String::new() } else { format!("; did you mean {}?", near.join(" or ")) };
        format!("{}{hint}", self.why)
    }
}

/// What was seen.
#[derive(Debug, Default)]
pub(crate) struct Seen {
    pub(crate) jars: Vec<Jar>,
    pub(crate) tallies: Vec<Tally>,
    pub(crate) unknown: Vec<Unknown>,
}

impl Seen {
    /// Whether nothing was counted at all.
    pub(crate) fn is_empty(&self) -> bool {
        self.jars.is_empty() && self.tallies.is_empty() && self.unknown.is_empty()
    }
}

/// Reads what was seen, a line each.
pub(crate) fn see(text: &str, ledger: &Ledger) -> Result<Seen, LedgerError> {
    let mut seen = Seen::default();
    for (line, number) in text.lines().zip(1..) {
        see_line(line, number, &mut seen, ledger)?;
    }
    Ok(seen)
}

/// Reads one line into what was seen so far.
pub(crate) fn see_line(
    line: &str,
    number: usize,
    seen: &mut Seen,
    ledger: &Ledger,
) -> Result<(), LedgerError> {
    let unknown =
        |why: String, near: Vec<JarCode>| Unknown { line: number, text: line.trim().to_owned(), why, near };
    match read_line(line) {
        Ok(None) => {}
        Ok(Some(CountLine::Tally(counted, size, product))) => match product_named(&product, ledger)? {
            Ok(product) => add(&mut seen.tallies, Tally { product, size, counted }),
            Err(why) => seen.unknown.push(unknown(why, Vec::new())),
        },
        Ok(Some(CountLine::Jars(words))) => match ledger.jars_named(&words, BareBatch::Refused) {
            Ok(jars) => seen.jars.extend(jars),
            Err(
                error @ (LedgerError::NoJar { .. }
                | LedgerError::WrongCheck { .. }
                | LedgerError::NoBatch { .. }
                | LedgerError::NotFound(_)
                | LedgerError::Refused { .. }),
            ) => {
                let why = match &error {
                    LedgerError::Refused { what, .. } => what.clone(),
                    other => other.to_string(),
                };
                let near = match error {
                    LedgerError::NoJar { near, .. } | LedgerError::WrongCheck { near, .. } => near,
                    _ => Vec::new(),
                };
                seen.unknown.push(unknown(why, near));
            }
            Err(error) => return Err(error),
        },
        Err(why) => seen.unknown.push(unknown(why, Vec::new())),
    }
    Ok(())
}

/// The product that everyday words name, or why none.
fn product_named(words: &Name, ledger: &Ledger) -> Result<Result<Name, String>, LedgerError> {
    if ledger.knows_product(words)? {
        return Ok(Ok(words.clone()));
    }
    let products = ledger.names_in_use(Named::Product)?;
    Ok(match one_meant(words.as_str(), products.iter().map(String::as_str)) {
        Ok(Some(only)) => only.parse().map_err(|error: NameError| error.to_string()),
        Ok(None) => {
            let near = near_names(words.as_str(), products.iter().map(String::as_str));
            let near = did_you_mean(&near).map(|near| format!("; {near}")).unwrap_or_default();
            Err(format!("there is no product {words} in this ledger{near}"))
        }
        Err(several) => Err(several.to_string()),
    })
}

/// Adds a tally to one of the same jars, so that two shelves may be counted one after the other.
fn add(tallies: &mut Vec<Tally>, new: Tally) {
    let alike = |tally: &&mut Tally| tally.size == new.size && tally.product.key() == new.product.key();
    match tallies.iter_mut().find(alike) {
        Some(tally) => tally.counted = tally.counted.saturating_add(new.counted),
        None => tallies.push(new),
    }
}

/// Says what differs.
pub(crate) fn lines(counted: &Counted, unknown: &[Unknown], place: &Name) -> Vec<String> {
    let mut lines = vec![format!("{} confirmed in {place}.", jars_in_words(counted.confirmed.len()))];
    let mut list = |jars: &[Jar], what: &dyn Fn(&Jar) -> String| {
        lines.extend(
            jars.iter().map(|jar| format!("{} {} ({}): {}", jar.code, jar.product, jar.size, what(jar))),
        );
    };
    list(&counted.missing, &|_| "missing".to_owned());
    list(&counted.found, &|_| "found again".to_owned());
    list(&counted.moved, &|jar| {
        format!("not expected here, kept in {}", jar.place.as_deref().unwrap_or("no place"))
    });
    // What stands in the freezer is not looked for on its old shelf.
    let (cold, here): (Vec<Jar>, Vec<Jar>) =
        counted.not_seen.iter().cloned().partition(|jar| jar.state.cold_place().is_some());
    list(&here, &|jar| format!("not seen, and {}", jar.state));
    list(&counted.gone, &|jar| format!("seen here, and {} by the ledger; look at it", jar.state));
    let mut by_place: BTreeMap<&str, usize> = BTreeMap::new();
    for place in cold.iter().filter_map(|jar| jar.state.cold_place()) {
        *by_place.entry(place).or_default() += 1;
    }
    if !by_place.is_empty() {
        let cold: Vec<String> =
            by_place.iter().map(|(place, &jars)| format!("{} in the {place}", jars_in_words(jars))).collect();
        lines.push(format!("Not looked for here: {}.", cold.join(", ")));
    }
    for tally in &counted.tallies {
        let (counted, on_record) = (tally.counted, tally.on_record);
        let difference = match counted.cmp(&on_record) {
            std::cmp::Ordering::Equal => "as in the ledger".to_owned(),
            std::cmp::Ordering::Less => format!("{} fewer than in the ledger", on_record - counted),
            std::cmp::Ordering::Greater => format!("{} more than in the ledger", counted - on_record),
        };
        lines.push(format!("{} ({}): {counted} counted, {difference}", tally.product, tally.size));
    }
    lines.extend(unknown.iter().map(|unread| format!("line {}: {}", unread.line, unread.message())));
    lines
}

/// Writes down what a stocktake found.
pub(crate) fn settle(
    ledger: &Ledger,
    place: &Name,
    counted: &Counted,
    clock: Clock,
) -> Result<EntryId, LedgerError> {
    let written = ledger.write("count", clock, |write| {
        write.settle_count(place, counted)?;
        let Counted { missing, moved, found, .. } = counted;
        let summary =
            format!("{place}: {} missing, {} found, {} moved in", missing.len(), found.len(), moved.len());
        Ok(((), summary))
    })?;
    Ok(written.entry)
}
