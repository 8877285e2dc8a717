//! Reads columns into values of the trade.

use std::str::FromStr;

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::Row;

use super::LedgerError;
use crate::rules::jar_code::BatchCode;

/// Reads a text column into a value that has a fixed name or form.
pub(super) fn parsed<T: FromStr>(row: &Row<'_>, column: &str) -> Result<T, LedgerError> {
    let text: String = row.get(column)?;
    text.parse().map_err(|_| LedgerError::Unreadable(format!("{column} {text:?}")))
}

/// Reads a text column that may be NULL.
pub(super) fn parsed_opt<T: FromStr>(row: &Row<'_>, column: &str) -> Result<Option<T>, LedgerError> {
    let text: Option<String> = row.get(column)?;
    text.map(|text| text.parse().map_err(|_| LedgerError::Unreadable(format!("{column} {text:?}"))))
        .transpose()
}

/// Reads a civil day.
pub(super) fn date(row: &Row<'_>, column: &str) -> Result<NaiveDate, LedgerError> {
    parsed(row, column)
}

/// Puts an instant together from its two columns.
pub(super) fn instant(seconds: i64, offset_min: i64) -> Result<DateTime<FixedOffset>, LedgerError> {
    let offset = i32::try_from(offset_min * 60).ok().and_then(FixedOffset::east_opt);
    let utc = DateTime::from_timestamp(seconds, 0);
    match (utc, offset) {
        (Some(utc), Some(offset)) => Ok(utc.with_timezone(&offset)),
        _ => Err(LedgerError::Unreadable(format!("instant {seconds} at {offset_min} min"))),
    }
}

/// The offset of an instant in whole minutes, as kept beside its seconds.
pub(super) fn offset_minutes(instant: DateTime<FixedOffset>) -> i64 {
    i64::from(instant.offset().local_minus_utc() / 60)
}

/// Reads the batch a row belongs to, from the columns `year` and `batch_number`.
pub(super) fn batch_code(row: &Row<'_>) -> Result<BatchCode, LedgerError> {
    Ok(BatchCode { year: row.get("year")?, number: row.get("batch_number")? })
}
