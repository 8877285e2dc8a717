//! A day and a moment as a screen shows them: in the household's order once it said one.
//!
//! Nothing else writes a day for the eye. Data (JSON, files, what is kept in the ledger, what is typed) keep ISO 8601.
//! The order is kept beside the thread that answers, as the machine keeps its zone: every sentence that names a day would
//! otherwise carry it, those of the rules too.

use std::cell::Cell;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate};

use crate::values::time::day_words::DayOrder;

/// Letters of a day in ISO 8601.
const ISO: usize = 10;

thread_local! {
    static SAID: Cell<Option<DayOrder>> = const { Cell::new(None) };
    static FOR_PROGRAMS: Cell<bool> = const { Cell::new(false) };
}

/// From here on this thread writes days in the order that the household said; ISO 8601 where it said none.
pub(crate) fn write_days_in(order: Option<DayOrder>) {
    SAID.set(order);
}

/// From here on the answer is read by another program, for which days in lists stay ISO 8601.
pub(crate) fn write_for_programs() {
    FOR_PROGRAMS.set(true);
}

/// A day in a list or in passing: `2026-08-14`, or `Aug 14, 2026`.
pub fn day(day: NaiveDate) -> String {
    match SAID.get() {
        Some(order) if !FOR_PROGRAMS.get() => order.write(day),
        _ => day.to_string(),
    }
}

/// A text kept in the ledger, its days in ISO 8601 as a screen shows them.
pub(crate) fn kept_text(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        let end = from.find(|c: char| !c.is_ascii_alphanumeric() && c != '-').unwrap_or(from.len());
        shown.push_str(before);
        match from[..end].parse() {
            Ok(iso) if end == ISO && !before.ends_with(|c: char| c.is_alphanumeric() || c == '-') => {
                shown.push_str(&day(iso))
            }
            _ => shown.push_str(&from[..end]),
        }
        rest = &from[end..];
    }
    shown + rest
}

/// A day on paper, where its month is a word for whoever reads it.
pub(crate) fn day_on_paper(day: NaiveDate) -> String {
    SAID.get().unwrap_or(DayOrder::DayMonthYear).write(day)
}

/// A moment in a list, to the minute, by the offset it carries: `2026-08-14 16:05`, or `Aug 14, 2026 16:05`.
pub fn moment(at: DateTime<FixedOffset>) -> String {
    format!("{} {}", day(at.date_naive()), at.format("%H:%M"))
}

/// A day in a sentence: `Friday 14 August 2026`, or `Friday, August 14, 2026`.
pub(crate) fn day_in_words(day: NaiveDate) -> String {
    let pattern = match SAID.get().unwrap_or(DayOrder::DayMonthYear) {
        DayOrder::DayMonthYear => "%A %-d %B %Y",
        DayOrder::MonthDayYear => "%A, %B %-d, %Y",
        DayOrder::YearMonthDay => "%A, %Y %B %-d",
    };
    day.format(pattern).to_string()
}

/// A moment in a sentence, at the offset it carries: `Saturday 15 August, 04:40`; with its year where that
/// is another than the one of `now`.
pub(crate) fn moment_in_words(at: DateTime<FixedOffset>, now: DateTime<FixedOffset>) -> String {
    let day = match SAID.get().unwrap_or(DayOrder::DayMonthYear) {
        _ if at.year() != now.year() => day_in_words(at.date_naive()),
        DayOrder::DayMonthYear => at.format("%A %-d %B").to_string(),
        DayOrder::MonthDayYear | DayOrder::YearMonthDay => at.format("%A, %B %-d").to_string(),
    };
    format!("{day}, {}", at.format("%H:%M"))
}

#[cfg(test)]
mod tests {
    use super::*;

    // The orders as a household says them; 3 March 2026 was a Tuesday.
    #[test]
    fn a_day_follows_the_order_that_was_said() {
        let at = DateTime::parse_from_rfc3339("2026-03-03T04:05:00-05:00").expect("a moment");
        let next_year = DateTime::parse_from_rfc3339("2027-01-01T00:00:00-05:00").expect("a moment");
        for (order, listed, sentence, this_year) in [
            (None, "2026-03-03", "Tuesday 3 March 2026", "Tuesday 3 March, 04:05"),
            (Some(DayOrder::DayMonthYear), "3 Mar 2026", "Tuesday 3 March 2026", "Tuesday 3 March, 04:05"),
            (
                Some(DayOrder::MonthDayYear),
                "Mar 3, 2026",
                "Tuesday, March 3, 2026",
                "Tuesday, March 3, 04:05",
            ),
            (Some(DayOrder::YearMonthDay), "2026 Mar 3", "Tuesday, 2026 March 3", "Tuesday, March 3, 04:05"),
        ] {
            write_days_in(order);
            assert_eq!(day(at.date_naive()), listed);
            assert_eq!(moment(at), format!("{listed} 04:05"));
            assert_eq!(day_in_words(at.date_naive()), sentence);
            assert_eq!(moment_in_words(at, at), this_year);
            assert_eq!(moment_in_words(at, next_year), format!("{sentence}, 04:05"));
            assert_eq!(day_on_paper(at.date_naive()), if order.is_none() { "3 Mar 2026" } else { listed });
        }
        assert_eq!(
            kept_text(
                "of 2026-03-03, \u{201c}to 2026-03-04\u{201d}; x2026-03-03 26-001-01-0 2026-13-03 2026-03-03T04:05 2"
            ),
            "of 2026 Mar 3, \u{201c}to 2026 Mar 4\u{201d}; x2026-03-03 26-001-01-0 2026-13-03 2026-03-03T04:05 2"
        );
        write_for_programs();
        assert_eq!(moment(at), "2026-03-03 04:05");
    }

    #[test]
    fn a_moment_is_shown_at_the_offset_it_carries() {
        // 23:30 five hours west of Greenwich is the next day in Greenwich.
        let now = DateTime::parse_from_rfc3339("2026-08-15T23:30:00-05:00").expect("a moment");
        assert_eq!(moment_in_words(now, now), "Saturday 15 August, 23:30");
        let new_year = DateTime::parse_from_rfc3339("2027-01-01T04:40:00-05:00").expect("a moment");
        assert_eq!(moment_in_words(new_year, now), "Friday 1 January 2027, 04:40");
        assert_eq!(moment_in_words(now, new_year), "Saturday 15 August 2026, 23:30");
    }
}
