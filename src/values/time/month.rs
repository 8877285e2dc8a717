//! Calendar months, counted so that they can be subtracted.

use std::fmt;
use std::str::FromStr;

use chrono::{Datelike, NaiveDate};

/// One calendar month, written `2031-03`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    /// Months since January of year 0.
    count: i32,
}

/// Says that a text is not a month.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{0}\u{201d} is not a month; write it like 2031-03")]
pub struct MonthError(pub String);

impl Month {
    /// The month a day falls in.
    pub fn of(day: NaiveDate) -> Self {
        // A chrono year is within ±262,143 and a month0 below 12: neither cast nor product can overflow.
        Self { count: day.year() * 12 + day.month0() as i32 }
    }

    /// The month so many months later; stops at the last one that can be counted.
    #[must_use]
    pub fn plus(self, months: u32) -> Self {
        Self { count: self.count.saturating_add_unsigned(months) }
    }

    /// Months from `earlier` to this one; 0 when this one comes first.
    pub fn since(self, earlier: Self) -> u32 {
        u32::try_from(i64::from(self.count) - i64::from(earlier.count)).unwrap_or(0)
    }

    /// The first day of the month, where the calendar reaches that far.
    pub(crate) fn first_day(self) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(self.count.div_euclid(12), self.count.rem_euclid(12) as u32 + 1, 1)
    }

    /// The month in words: `March 2031`.
    pub(crate) fn in_words(self) -> String {
        const NAMES: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        format!("{} {}", NAMES[self.count.rem_euclid(12) as usize], self.count.div_euclid(12))
    }
}

impl FromStr for Month {
    type Err = MonthError;

    fn from_str(given: &str) -> Result<Self, MonthError> {
        let text = given.trim();
        let shaped = text.len() == 7
            && text.bytes().enumerate().all(|(at, b)| if at == 4 { b == b'-' } else { b.is_ascii_digit() });
        shaped
            .then(|| NaiveDate::parse_from_str(&format!("{text}-01"), "%Y-%m-%d").ok())
            .flatten()
            .map(Self::of)
            .ok_or_else(|| MonthError(given.to_owned()))
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:04}-{:02}", self.count.div_euclid(12), self.count.rem_euclid(12) + 1))
    }
}

impl serde::Serialize for Month {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn month(text: &str) -> Month {
        text.parse().unwrap()
    }

    #[test]
    fn months_are_counted_across_the_turn_of_the_year() {
        assert_eq!(month("2031-02").since(month("2030-11")), 3);
        assert_eq!(month("2030-11").since(month("2031-02")), 0);
        assert_eq!(month("2030-11").plus(14).to_string(), "2032-01");
        assert_eq!(month("2030-12").in_words(), "December 2030");
        assert_eq!(month("2030-12").first_day(), NaiveDate::from_ymd_opt(2030, 12, 1));
    }

    #[test]
    fn the_ends_of_the_calendar_do_not_overflow() {
        assert!(Month::of(NaiveDate::MAX).since(Month::of(NaiveDate::MIN)) > 6_000_000);
        assert_eq!(Month::of(NaiveDate::MAX).plus(u32::MAX).first_day(), None);
    }

    #[test]
    fn only_four_and_two_digits_are_a_month() {
        for wrong in
            ["", "2031", "2031-3", "2031-13", "2031-00", "31-03-01", "2031/03", "2031-03-01", "+031-03"]
        {
            assert!(wrong.parse::<Month>().is_err(), "{wrong}");
        }
    }
}
