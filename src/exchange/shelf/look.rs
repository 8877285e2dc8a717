//! A first look at a list: what its headings are taken for, and in which order its dates can have been written.

use std::io::Read;

use chrono::NaiveDate;
use csv::ByteRecord;

use crate::exchange::problem::Problems;
use crate::exchange::shelf::columns::{ColumnChoice, Columns};
use crate::exchange::shelf::day::{DateOrder, day, is_plain};
use crate::exchange::shelf::decode::Encoding;
use crate::exchange::shelf::guess::Guess;
use crate::exchange::shelf::shelf_csv::open_rows;

/// What a first look found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// What the headings are taken for.
    pub guess: Guess,
    /// What is known of the order of its dates.
    pub dates: Dates,
}

/// What is known of the order of the dates in a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Dates {
    /// Every date is ISO 8601 or has its month in letters, or no order makes all of them dates.
    Plain,
    /// This order alone makes every one of them a date that can be.
    Proven(DateOrder),
    /// Several do; and one date that they read differently.
    Open(Vec<DateOrder>, String),
}

/// Orders that numbers alone may be in.
const ORDERS: [DateOrder; 3] = [DateOrder::MonthDayYear, DateOrder::DayMonthYear, DateOrder::YearMonthDay];

/// Looks at a list; `today` is the last day something can have been put up on.
///
/// # Errors
/// What is wrong with its shape, before any row is read.
pub(crate) fn look_at(
    from: impl Read,
    encoding: Option<Encoding>,
    delimiter: Option<u8>,
    said: &ColumnChoice,
    today: NaiveDate,
) -> Result<Look, Problems> {
    let mut rows = open_rows(from, encoding, delimiter)?;
    let guess = Guess::of(rows.header.iter().map(String::as_str), said);
    // What is wrong with the headings is reported when they are read.
    let columns = Columns::read(rows.header.iter().map(String::as_str), &guess.choice).ok();
    let at = |ours| Some(columns.as_ref()?.at(ours)?.0);
    let (put_up, best_by) = (at("put_up"), at("best_by"));
    let mut fits: Vec<DateOrder> = ORDERS.to_vec();
    let mut differs = None;
    let mut record = ByteRecord::new();
    let mut first = true;
    while let Ok(true) = rows.reader.read_byte_record(&mut record) {
        let cell = |at: Option<usize>| {
            let text = std::str::from_utf8(record.get(at?)?).ok()?.trim();
            Some(text).filter(|text| !text.is_empty() && !is_plain(text))
        };
        let (made, keeps) = (cell(put_up), cell(best_by));
        // A list that begins with plain dates goes on with them.
        if std::mem::take(&mut first) && made.is_none() && keeps.is_none() {
            return Ok(Look { guess, dates: Dates::Plain });
        }
        fits.retain(|&order| {
            made.is_none_or(|text| day(text, order).is_ok_and(|day| day <= today))
                && keeps.is_none_or(|text| day(text, order).is_ok())
        });
        if let Some(text) = made.filter(|_| differs.is_none()) {
            let mut days: Vec<NaiveDate> = ORDERS.iter().filter_map(|&order| day(text, order).ok()).collect();
            days.dedup();
            differs = Some(text.to_owned()).filter(|_| days.len() > 1);
        }
    }
    let dates = match (&fits[..], differs) {
        ([], _) => Dates::Plain,
        ([only], _) => Dates::Proven(*only),
        (_, None) => Dates::Proven(fits[0]),
        (_, Some(text)) => Dates::Open(fits, text),
    };
    Ok(Look { guess, dates })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dates(cells: &[&str]) -> Dates {
        let text = format!(
            "product,put_up,jar\n{}",
            cells.iter().map(|cell| format!("Pears,\"{cell}\",pint\n")).collect::<String>()
        );
        let today = NaiveDate::from_ymd_opt(2026, 9, 1).unwrap();
        look_at(text.as_bytes(), None, None, &ColumnChoice::default(), today).unwrap().dates
    }

    // By hand, on 1 September 2026: 7/14 is no 7th of a 14th month; 9/8/26 by month and day is still to come.
    #[test]
    fn an_order_is_proven_by_the_dates_that_only_it_can_read() {
        assert_eq!(dates(&["2026-07-04", "2026-07-14"]), Dates::Plain);
        assert_eq!(dates(&["July 4, 2026"]), Dates::Plain);
        assert_eq!(dates(&["7/4/2026", "7/14/2026"]), Dates::Proven(DateOrder::MonthDayYear));
        assert_eq!(dates(&["4.7.2026", "14.7.2026"]), Dates::Proven(DateOrder::DayMonthYear));
        assert_eq!(dates(&["9/8/2026"]), Dates::Proven(DateOrder::DayMonthYear));
        assert_eq!(dates(&["2026/7/4"]), Dates::Proven(DateOrder::YearMonthDay));
        let open = vec![DateOrder::MonthDayYear, DateOrder::DayMonthYear];
        assert_eq!(dates(&["7/4/2026", "5/5/2026"]), Dates::Open(open, "7/4/2026".to_owned()));
        assert_eq!(dates(&["7/14/2026", "14/7/2026"]), Dates::Plain);
    }
}
