//! Dates of three numbers, which alone do not say in which order they stand.

use chrono::NaiveDate;

/// The numbers of a date as they are written, with the same sign of `-`, `/` and `.` between them.
pub(crate) fn three_numbers(text: &str) -> Option<[&str; 3]> {
    let sign = text.chars().find(|sign| matches!(sign, '-' | '/' | '.'))?;
    let mut fields = text.split(sign);
    let numbers = [fields.next()?, fields.next()?, fields.next()?];
    let are_digits = numbers.iter().all(|number| number.bytes().all(|byte| byte.is_ascii_digit()));
    (are_digits && fields.next().is_none()).then_some(numbers)
}

/// A day of the calendar from its numbers; a two-digit year is one of this century, since no jar is from before.
pub(crate) fn calendar_day(year: &str, month: &str, day: &str) -> Option<NaiveDate> {
    let full: i32 = match year.len() {
        2 => 2000 + year.parse::<i32>().ok()?,
        4 => year.parse().ok()?,
        _ => return None,
    };
    let short = |number: &str| (number.len() <= 2).then(|| number.parse().ok())?;
    NaiveDate::from_ymd_opt(full, short(month)?, short(day)?)
}
