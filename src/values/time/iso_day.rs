//! A day as data hold it: ISO 8601, `2026-08-14`, in no other form.

use chrono::NaiveDate;

/// A day written year-month-day with two hyphens, in ten characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct IsoDay(pub NaiveDate);

/// Says that a text is not such a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NoIsoDay;

impl std::str::FromStr for IsoDay {
    type Err = NoIsoDay;

    fn from_str(text: &str) -> Result<Self, NoIsoDay> {
        let bytes = text.as_bytes();
        if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
            return Err(NoIsoDay);
        }
        let number = |digits: &[u8]| {
            digits.iter().try_fold(0, |sum, digit| {
                digit.is_ascii_digit().then(|| sum * 10 + u32::from(digit - b'0')).ok_or(NoIsoDay)
            })
        };
        let (year, month, day) = (number(&bytes[..4])?, number(&bytes[5..7])?, number(&bytes[8..])?);
        NaiveDate::from_ymd_opt(year.cast_signed(), month, day).map(Self).ok_or(NoIsoDay)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // ISO 8601-1:2019, 5.2.2.1, calendar date in extended form; 2024 is a leap year, 2023 is not.
    #[test]
    fn only_the_extended_form_of_a_day_of_the_calendar_is_one() {
        let day = NaiveDate::from_ymd_opt(2024, 2, 29).unwrap();
        assert_eq!("2024-02-29".parse(), Ok(IsoDay(day)));
        for wrong in [
            "2023-02-29",
            "2024-13-01",
            "2024-2-29",
            "20240229",
            "2024-02-29 ",
            "+024-02-29",
            "2024-02-2９",
            "",
        ] {
            assert_eq!(wrong.parse::<IsoDay>(), Err(NoIsoDay), "{wrong}");
        }
    }
}
