//! Days in files: ISO 8601, or with the month in letters; numbers alone only in the order that was said or proven.

use chrono::NaiveDate;

use crate::values::names::named::named_enum;
use crate::values::time::iso_day::IsoDay;
use crate::values::time::month_in_letters::in_letters;
use crate::values::time::three_numbers::{calendar_day, three_numbers};

named_enum! {
    /// In which order a file writes day, month and year.
    pub enum DateOrder as "an order of dates" {
        /// ISO 8601, 2026-08-30.
        Iso = "iso",
        /// 30.8.2026.
        DayMonthYear = "dmy",
        /// 8/30/2026.
        MonthDayYear = "mdy",
        /// 2026/8/30.
        YearMonthDay = "ymd",
    }
}

/// Earliest year a jar can be from.
const FIRST_YEAR: i32 = 1950;

/// Reads a day, or says what is wrong with it and what to do.
pub(in crate::exchange) fn day(text: &str, order: DateOrder) -> Result<NaiveDate, (String, Option<String>)> {
    let plain = iso(text).or_else(|| in_letters(text));
    let read = plain.or_else(|| ordered(three_numbers(text)?, order));
    match read {
        Some(day) if chrono::Datelike::year(&day) >= FIRST_YEAR => Ok(day),
        Some(_) => Err((format!("the year is before {FIRST_YEAR}"), None)),
        None => Err(refusal(text, order)),
    }
}

/// Whether a text is a date in any order: ISO 8601, or with its month in letters.
pub(in crate::exchange) fn is_plain(text: &str) -> bool {
    iso(text).or_else(|| in_letters(text)).is_some()
}

fn iso(text: &str) -> Option<NaiveDate> {
    text.parse::<IsoDay>().ok().map(|day| day.0)
}

fn ordered([a, b, c]: [&str; 3], order: DateOrder) -> Option<NaiveDate> {
    match order {
        DateOrder::DayMonthYear => calendar_day(c, b, a),
        DateOrder::MonthDayYear => calendar_day(c, a, b),
        // Nobody leads with a year of two digits, and a day there would be taken for it.
        DateOrder::YearMonthDay => calendar_day(a, b, c).filter(|_| a.len() == 4),
        DateOrder::Iso => None,
    }
}

/// What is wrong, with every reading the text could have.
fn refusal(text: &str, order: DateOrder) -> (String, Option<String>) {
    if order == DateOrder::Iso && text.len() == 10 && text.bytes().filter(|&byte| byte == b'-').count() == 2 {
        return ("that is not a day on the calendar".to_owned(), None);
    }
    let readings: Vec<String> = [DateOrder::DayMonthYear, DateOrder::MonthDayYear, DateOrder::YearMonthDay]
        .into_iter()
        .filter(|&other| other != order)
        .filter_map(|other| Some((other, ordered(three_numbers(text)?, other)?)))
        .map(|(other, day)| format!("{day} with --date-format {other}"))
        .collect();
    let what = match order {
        DateOrder::Iso => "write days as YYYY-MM-DD, or as July 4, 2026".to_owned(),
        other => format!("that is not a date in the order {other}"),
    };
    let hint = (!readings.is_empty()).then(|| format!("it could be {}", readings.join(", or ")));
    (what, hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_iso_days_are_read_unless_the_order_is_said() {
        // ISO 8601-1:2019, 5.2.2.1; 2024 is a leap year, 2023 is not.
        assert_eq!(day("2024-02-29", DateOrder::Iso), Ok(NaiveDate::from_ymd_opt(2024, 2, 29).unwrap()));
        for wrong in [
            "2024-02-30",
            "2023-02-29",
            "29 Feb 2023",
            "0024-01-01",
            "2026-8-1",
            "20260801",
            "",
            "２０２６-08-01",
        ] {
            assert!(day(wrong, DateOrder::Iso).is_err(), "{wrong}");
        }
    }

    #[test]
    fn iso_and_a_month_in_letters_are_read_in_any_order() {
        let fourth = Ok(NaiveDate::from_ymd_opt(2026, 7, 4).unwrap());
        for text in ["July 4, 2026", "2026-07-04"] {
            for order in [DateOrder::Iso, DateOrder::MonthDayYear, DateOrder::DayMonthYear] {
                assert_eq!(day(text, order), fourth, "{text}");
            }
        }
    }

    #[test]
    fn a_date_with_two_readings_is_refused_with_both() {
        let (_, hint) = day("02/03/04", DateOrder::Iso).unwrap_err();
        assert_eq!(
            hint.unwrap(),
            "it could be 2004-03-02 with --date-format dmy, or 2004-02-03 with --date-format mdy"
        );
    }

    #[test]
    fn a_file_is_read_by_its_own_order() {
        let second_of_march = NaiveDate::from_ymd_opt(2004, 3, 2).unwrap();
        assert_eq!(day("02/03/04", DateOrder::DayMonthYear), Ok(second_of_march));
        assert_eq!(day("2.3.2004", DateOrder::DayMonthYear), Ok(second_of_march));
        assert_eq!(day("3-2-2004", DateOrder::MonthDayYear), Ok(second_of_march));
        assert_eq!(day("2004/3/2", DateOrder::YearMonthDay), Ok(second_of_march));
        assert!(day("31.4.2004", DateOrder::DayMonthYear).is_err());
        assert!(day("2.3/2004", DateOrder::DayMonthYear).is_err());
        assert!(day("1.2.3.4", DateOrder::DayMonthYear).is_err());
    }
}
