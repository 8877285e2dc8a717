//! Civil days written so that nobody can misread them.

use chrono::NaiveDate;

use crate::values::names::named::named_enum;

named_enum! {
    /// The order in which a household writes a day. The month is always a word:
    /// 02/03 is February to one reader and March to another.
    pub enum DayOrder as "an order of day, month and year" {
        /// `3 Mar 2026`
        DayMonthYear = "day-month-year" | "dmy",
        /// `Mar 3, 2026`
        MonthDayYear = "month-day-year" | "mdy",
        /// `2026 Mar 3`
        YearMonthDay = "year-month-day" | "ymd",
    }
}

impl DayOrder {
    /// Writes a day with its month as a word and its year in full.
    pub fn write(self, day: NaiveDate) -> String {
        let pattern = match self {
            Self::DayMonthYear => "%-d %b %Y",
            Self::MonthDayYear => "%b %-d, %Y",
            Self::YearMonthDay => "%Y %b %-d",
        };
        day.format(pattern).to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_month_is_a_word_in_every_order() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
        assert_eq!(DayOrder::DayMonthYear.write(day), "2 Mar 2026");
        assert_eq!(DayOrder::MonthDayYear.write(day), "Mar 2, 2026");
        assert_eq!(DayOrder::YearMonthDay.write(day), "2026 Mar 2");
    }
}
