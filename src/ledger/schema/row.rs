//! Reads columns into values of the trade.

use std::str::FromStr;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate};
use rusqlite::Row;
use rusqlite::types::{FromSql, FromSqlResult, ValueRef};

use crate::ledger::error::LedgerError;
use crate::values::codes::jar_code::BatchCode;
use crate::values::time::iso_day::IsoDay;

/// What a text says, or the text itself where it says nothing.
struct Parsed<T>(Result<T, String>);

impl<T: FromStr> FromSql for Parsed<T> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let text = value.as_str()?;
        Ok(Self(text.parse().map_err(|_| text.to_owned())))
    }
}

impl<T> Parsed<T> {
    fn of_column(self, column: &str) -> Result<T, LedgerError> {
        self.0.map_err(|text| unreadable(column, &text))
    }
}

fn unreadable(column: &str, text: &str) -> LedgerError {
    LedgerError::Unreadable(format!("{column} {text:?}"))
}

/// Reads the text of a column that was kept as it was.
pub(in crate::ledger) fn known<T: FromStr>(text: &str, column: &str) -> Result<T, LedgerError> {
    text.parse().map_err(|_| unreadable(column, text))
}

/// Reads a text column into a value that has a fixed name or form.
pub(in crate::ledger) fn parsed<T: FromStr>(row: &Row<'_>, column: &str) -> Result<T, LedgerError> {
    row.get::<_, Parsed<T>>(column)?.of_column(column)
}

/// Reads a text column that may be NULL.
pub(in crate::ledger) fn parsed_opt<T: FromStr>(
    row: &Row<'_>,
    column: &str,
) -> Result<Option<T>, LedgerError> {
    row.get::<_, Option<Parsed<T>>>(column)?.map(|value| value.of_column(column)).transpose()
}

/// Reads a civil day.
pub(in crate::ledger) fn date(row: &Row<'_>, column: &str) -> Result<NaiveDate, LedgerError> {
    parsed::<IsoDay>(row, column).map(|day| day.0)
}

/// Puts an instant together from its two columns.
pub(in crate::ledger) fn instant(
    seconds: i64,
    offset_min: i64,
) -> Result<DateTime<FixedOffset>, LedgerError> {
    let offset = i32::try_from(offset_min * 60).ok().and_then(FixedOffset::east_opt);
    // Hours are added to and taken from moments, which would overflow at the ends of the calendar.
    let utc = DateTime::from_timestamp(seconds, 0).filter(|utc| (1..=9999).contains(&utc.year()));
    match (utc, offset) {
        (Some(utc), Some(offset)) => Ok(utc.with_timezone(&offset)),
        _ => Err(LedgerError::Unreadable(format!("instant {seconds} at {offset_min} min"))),
    }
}

/// The columns of a row from left to right, for rows that may be many: to look each column up by its name takes longer
/// than to read it.
pub(in crate::ledger) struct Columns<'r, 's> {
    row: &'r Row<'s>,
    next: usize,
}

impl<'r, 's> Columns<'r, 's> {
    pub(in crate::ledger) const fn of(row: &'r Row<'s>) -> Self {
        Self { row, next: 0 }
    }

    /// Reads the next column.
    pub(in crate::ledger) fn take<T: FromSql>(&mut self) -> Result<T, LedgerError> {
        let at = self.next;
        self.next += 1;
        Ok(self.row.get(at)?)
    }

    /// Reads the next column into a value that has a fixed name or form.
    pub(in crate::ledger) fn parsed<T: FromStr>(&mut self) -> Result<T, LedgerError> {
        let value = self.take()?;
        self.known(value)
    }

    /// Reads the next column, a civil day.
    pub(in crate::ledger) fn day(&mut self) -> Result<NaiveDate, LedgerError> {
        self.parsed::<IsoDay>().map(|day| day.0)
    }

    /// Reads the next column, which may be NULL.
    pub(in crate::ledger) fn parsed_opt<T: FromStr>(&mut self) -> Result<Option<T>, LedgerError> {
        self.take::<Option<Parsed<T>>>()?.map(|value| self.known(value)).transpose()
    }

    /// Puts an instant together from the next two columns, if the first is not NULL.
    pub(in crate::ledger) fn instant_opt(&mut self) -> Result<Option<DateTime<FixedOffset>>, LedgerError> {
        match self.take()? {
            Some(at) => instant(at, self.take()?).map(Some),
            None => {
                self.next += 1;
                Ok(None)
            }
        }
    }

    fn known<T>(&self, value: Parsed<T>) -> Result<T, LedgerError> {
        value.of_column(self.row.as_ref().column_name(self.next - 1)?)
    }
}

/// The offset of an instant in whole minutes, as kept beside its seconds.
pub(in crate::ledger) fn offset_minutes(instant: DateTime<FixedOffset>) -> i64 {
    i64::from(instant.offset().local_minus_utc() / 60)
}

/// Reads the batch a row belongs to, from the columns `year` and `batch_number`.
pub(in crate::ledger) fn batch_code(row: &Row<'_>) -> Result<BatchCode, LedgerError> {
    Ok(BatchCode { year: row.get("year")?, number: row.get("batch_number")? })
}
