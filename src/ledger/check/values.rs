//! The values: every cell of every table read as the commands read it, by the same parsers.

use std::ops::RangeInclusive;
use std::str::FromStr;

use chrono::{Datelike, NaiveDate};
use rusqlite::Row;
use rusqlite::types::FromSql;

use crate::ledger::batch::batch_story::Origin;
use crate::ledger::batch::judging::written_findings;
use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::kitchen::recipe::written_recipe;
use crate::ledger::kitchen::setting::{MONTHS, written_setting};
use crate::ledger::schema::cell::cell;
use crate::ledger::schema::row::{instant, parsed_opt};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::load::run_time::Drop;
use crate::rules::load::verdict::Verdict;
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::kinds::run_step::RunStep;
use crate::values::kinds::seal_test::SealTest;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;
use crate::values::time::civil_day::YEARS;

/// Reads a column of a row and keeps nothing.
type Reader = fn(&Row<'_>, &str) -> Result<(), LedgerError>;

/// The columns that say more than text and numbers, and what reads them.
const READERS: &[(&str, &str, Reader)] = &[
    ("ledger", "made_at", moment_in_utc),
    ("entry", "at", moment),
    ("entry", "on_date", day),
    ("setting", "value", setting),
    ("canner", "method", reads_as::<Method>),
    ("canner_capacity", "size", reads_as::<JarSize>),
    ("canner_mix", "size", reads_as::<JarSize>),
    ("gauge_test", "on_date", day),
    ("household_process", "food", reads_as::<FoodId>),
    ("household_process", "acidity", reads_as::<Acidity>),
    ("household_process", "pack", reads_as::<Pack>),
    ("household_process", "size", reads_as::<JarSize>),
    ("household_process", "method", reads_as::<Method>),
    ("household_process", "altitude_min_ft", fits::<i32>),
    ("household_process", "altitude_max_ft", fits::<i32>),
    ("household_process", "published_on", day),
    ("recipe", "version", fits::<u32>),
    ("recipe", "definition", recipe),
    ("run", "food", reads_as::<FoodId>),
    ("run", "pack", reads_as::<Pack>),
    ("run", "size", reads_as::<JarSize>),
    ("run", "altitude", reads_as::<Altitude>),
    ("run_step", "step", reads_as::<RunStep>),
    ("run_step", "at", moment),
    ("batch", "food", reads_as::<FoodId>),
    ("batch", "acidity", reads_as::<Acidity>),
    ("batch", "pack", reads_as::<Pack>),
    ("batch", "put_up", day),
    ("batch", "origin", reads_as::<Origin>),
    ("load", "altitude", reads_as::<Altitude>),
    ("load", "pressure_entered", reads_as::<Pressure>),
    ("load", "acid", reads_as::<AcidRecord>),
    ("load", "reached_at", moment_of_load),
    ("load", "ended_at", moment_of_load),
    ("load", "out_at", moment_of_load),
    ("load", "verdict", reads_as::<Verdict>),
    ("load", "findings", findings),
    ("load_drop", "told", reads_as::<Drop>),
    ("judgement", "verdict", reads_as::<Verdict>),
    ("judgement", "findings", findings),
    ("jar", "size", reads_as::<JarSize>),
    ("jar", "best_by", best_by),
    ("jar", "born", reads_as::<JarState>),
    ("jar", "state", reads_as::<JarState>),
    ("event", "act", reads_as::<Act>),
    ("event", "from_state", reads_as::<JarState>),
    ("event", "to_state", reads_as::<JarState>),
    ("event", "at", moment),
    ("event", "on_date", day),
    ("seal_check", "test", reads_as::<SealTest>),
    ("hold", "cause", reads_as::<HoldCause>),
    ("correction", "field", reads_as::<Field>),
];

pub(super) fn values(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    for table in ledger.tables()? {
        let readers: Vec<(&str, Reader)> = READERS
            .iter()
            .filter(|(of, ..)| *of == table.name)
            .map(|(_, column, reader)| (*column, *reader))
            .collect();
        let columns = table.columns.len();
        let mut statement = ledger.conn.prepare(&format!("SELECT * FROM {}", table.name))?;
        let mut rows = statement.query([])?;
        let mut number = 0;
        // A row that cannot be read at all, such as one too long for any command, ends the table.
        while let Some(row) = rows.next()? {
            number += 1;
            let cells = (0..columns).map(|at| cell(row, at).map(drop));
            let read = readers.iter().map(|(column, reader)| reader(row, column));
            for error in cells.chain(read).filter_map(Result::err) {
                let what = match error {
                    LedgerError::Unreadable(what) => what,
                    error => error.to_string(),
                };
                checked.find(Kind::Value, format!("row {number} of {}: {what}", table.name));
            }
        }
    }
    Ok(())
}

fn reads_as<T: FromStr>(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    parsed_opt::<T>(row, column).map(drop)
}

/// A day in the years that days are typed in.
fn day(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    within(row, column, YEARS)
}

/// As [`day`], and as many months later as a product may have.
fn best_by(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    let years = MONTHS.end().div_ceil(12).cast_signed();
    within(row, column, *YEARS.start()..=YEARS.end() + years)
}

fn within(row: &Row<'_>, column: &str, years: RangeInclusive<i32>) -> Result<(), LedgerError> {
    match parsed_opt::<NaiveDate>(row, column)? {
        Some(day) if !years.contains(&day.year()) => Err(LedgerError::Unreadable(format!("{column} {day}"))),
        _ => Ok(()),
    }
}

fn fits<T: FromSql>(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    Ok(row.get::<_, Option<T>>(column).map(drop)?)
}

fn moment(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    instant(row.get(column)?, row.get("at_offset")?).map(drop)
}

fn moment_in_utc(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    instant(row.get(column)?, 0).map(drop)
}

fn moment_of_load(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    match row.get::<_, Option<i64>>(column)? {
        Some(at) => instant(at, row.get("out_offset")?).map(drop),
        None => Ok(()),
    }
}

fn setting(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    let (key, value): (String, String) = (row.get("key")?, row.get(column)?);
    written_setting(&key, &value)
}

fn recipe(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    let (name, definition): (String, String) = (row.get("name")?, row.get(column)?);
    written_recipe(&name, &definition).map(drop)
}

fn findings(row: &Row<'_>, column: &str) -> Result<(), LedgerError> {
    row.get::<_, Option<String>>(column)?.map_or(Ok(()), |text| written_findings(&text).map(drop))
}
