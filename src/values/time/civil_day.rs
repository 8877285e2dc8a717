//! Days as people write them: ISO dates, `July 4, 2026`, `today`, `yesterday`, `-3d`, `tuesday`.
//!
//! Of dates in numbers alone only year-month-day is read. `02/03/04` is a different day in
//! different countries, so it is refused with its readings, never guessed.

use chrono::{Datelike, Days, Months, NaiveDate, Weekday};

use crate::values::names::number_words::in_digits;
use crate::values::time::month_in_letters::in_letters;
use crate::values::time::three_numbers::{calendar_day, three_numbers};

/// Years a ledger can hold.
pub(crate) const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// Says why a text is not a day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DayError {
    /// Nothing that names a day.
    #[error(
        "\u{201c}{0}\u{201d} is not a day; write it as year-month-day such as 2026-08-14, or August 14, 2026, today, yesterday, -3d or a weekday"
    )]
    Unknown(String),
    /// More than one reading, or one that is not in the order the ledger reads.
    #[error("\u{201c}{given}\u{201d} could be {}; write the one you mean as year-month-day", spelt_out(.readings))]
    NotIso {
        /// The text given.
        given: String,
        /// What it may mean: day first, then month first, then year first.
        readings: Vec<NaiveDate>,
    },
    /// A date no calendar has.
    #[error("there is no day {0} in the calendar")]
    NoSuchDay(String),
    /// A year no ledger holds.
    #[error("\u{201c}{0}\u{201d} is outside the years 1900 to 2199")]
    OutOfRange(String),
}

fn spelt_out(days: &[NaiveDate]) -> String {
    let words: Vec<String> = days.iter().map(|day| format!("{} ({day})", day.format("%-d %B %Y"))).collect();
    words.join(" or ")
}

/// A day named by a word: `today`, `yesterday`, `-3d`, `-2w`, `tuesday`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DayWord {
    /// So many days before today.
    Ago(u64),
    /// The last such day before today: `monday` said on a Monday is a week ago, since that day itself is `today`.
    Last(Weekday),
}

impl DayWord {
    /// Reads a word, upper and lower case being alike; nothing where it is none.
    pub fn read(given: &str) -> Option<Self> {
        let text = given.trim().to_ascii_lowercase();
        match text.as_str() {
            "today" => Some(Self::Ago(0)),
            "yesterday" => Some(Self::Ago(1)),
            "the day before yesterday" => Some(Self::Ago(2)),
            _ => weekday(&text).map(Self::Last).or_else(|| days_ago(&text).map(Self::Ago)),
        }
    }

    /// The day, seen from `today`; nothing where the calendar does not reach that far.
    pub(crate) fn seen_from(self, today: NaiveDate) -> Option<NaiveDate> {
        let days = match self {
            Self::Ago(days) => days,
            Self::Last(weekday) => match today.weekday().days_since(weekday) {
                0 => 7,
                days => days.into(),
            },
        };
        today.checked_sub_days(Days::new(days))
    }
}

/// Reads a day relative to `today`.
///
/// # Errors
/// [`DayError`] for anything else, and for years outside 1900 to 2199.
pub fn parse_day(given: &str, today: NaiveDate) -> Result<NaiveDate, DayError> {
    if let Some(word) = DayWord::read(given) {
        let day = word.seen_from(today).ok_or_else(|| DayError::OutOfRange(given.to_owned()))?;
        return within_years(day, given);
    }
    if let Some(day) = in_letters(given) {
        return within_years(day, given);
    }
    let readings = several(given.trim(), today);
    if readings.is_empty() {
        return numbers(&given.trim().to_ascii_lowercase(), given);
    }
    Err(DayError::NotIso { given: given.to_owned(), readings })
}

/// What `last sunday`, of which some mean the one before, and `July 4`, without its year, may mean.
fn several(text: &str, today: NaiveDate) -> Vec<NaiveDate> {
    let lower = text.to_ascii_lowercase();
    if let Some(weekday) = lower.strip_prefix("last ").and_then(weekday) {
        let last = DayWord::Last(weekday).seen_from(today);
        return last
            .into_iter()
            .flat_map(|last| [Some(last), last.checked_sub_days(Days::new(7))])
            .flatten()
            .collect();
    }
    let of_year =
        |year: i32| in_letters(&format!("{} {year:04}", lower.replace("the ", "").replace(" of ", " ")));
    let years = [today.year(), today.year().saturating_sub(1), today.year().saturating_add(1)];
    years.into_iter().filter_map(of_year).filter(|day| YEARS.contains(&day.year())).collect()
}

/// The day `months` later; a day the month has not becomes its last one, so that
/// 29 February and twelve months give 28 February. Saturates at 31 December 2199.
pub(crate) fn add_months(day: NaiveDate, months: u32) -> NaiveDate {
    let last = NaiveDate::from_ymd_opt(*YEARS.end(), 12, 31).expect("31 December is in every calendar year");
    day.checked_add_months(Months::new(months)).map_or(last, |later| later.min(last))
}

fn within_years(day: NaiveDate, given: &str) -> Result<NaiveDate, DayError> {
    if YEARS.contains(&day.year()) { Ok(day) } else { Err(DayError::OutOfRange(given.to_owned())) }
}

/// Reads a weekday by its full name or its first three letters.
fn weekday(text: &str) -> Option<Weekday> {
    const NAMES: [(&str, Weekday); 7] = [
        ("monday", Weekday::Mon),
        ("tuesday", Weekday::Tue),
        ("wednesday", Weekday::Wed),
        ("thursday", Weekday::Thu),
        ("friday", Weekday::Fri),
        ("saturday", Weekday::Sat),
        ("sunday", Weekday::Sun),
    ];
    NAMES.into_iter().find(|(name, _)| text == *name || text == &name[..3]).map(|(_, weekday)| weekday)
}

/// Reads `-3d`, `-2w`, `3 days ago` or `a week ago` as days before today, at most five digits.
fn days_ago(text: &str) -> Option<u64> {
    if let Some(ago) = text.strip_suffix(" ago") {
        let ago = in_digits(ago);
        let (count, unit) = ago.split_once(' ')?;
        let per = match unit {
            "day" | "days" => 1,
            "week" | "weeks" => 7,
            _ => return None,
        };
        return digits(count, 5).filter(|_| !count.is_empty()).map(|count| u64::from(count) * per);
    }
    let (count, per) =
        if let Some(count) = text.strip_suffix('d') { (count, 1) } else { (text.strip_suffix('w')?, 7) };
    digits(count.strip_prefix('-')?, 5).map(|count| u64::from(count) * per)
}

/// Reads a number of so many ASCII digits at most.
fn digits(text: &str, at_most: usize) -> Option<u32> {
    let plain = text.len() <= at_most && text.bytes().all(|byte| byte.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

/// Reads year-month-day; an error lists what any other order of three numbers may mean.
fn numbers(text: &str, given: &str) -> Result<NaiveDate, DayError> {
    let unknown = || DayError::Unknown(given.to_owned());
    let [a, b, c] = three_numbers(text).ok_or_else(unknown)?;
    // Nobody writes the day between the year and the month.
    if a.len() == 4 && [b, c].iter().all(|field| matches!(field.len(), 1 | 2)) {
        let day = calendar_day(a, b, c).ok_or_else(|| DayError::NoSuchDay(given.trim().to_owned()))?;
        return within_years(day, given);
    }
    let mut readings: Vec<NaiveDate> = Vec::new();
    for (year, month, day) in [(c, b, a), (c, a, b), (a, b, c)] {
        if let Some(reading) = calendar_day(year, month, day).filter(|day| YEARS.contains(&day.year()))
            && !readings.contains(&reading)
        {
            readings.push(reading);
        }
    }
    if readings.is_empty() {
        Err(unknown())
    } else {
        Err(DayError::NotIso { given: given.to_owned(), readings })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn date(text: &str) -> NaiveDate {
        NaiveDate::parse_from_str(text, "%Y-%m-%d").unwrap()
    }

    /// 25 November 2026 is a Wednesday.
    fn read(text: &str) -> Result<NaiveDate, DayError> {
        parse_day(text, date("2026-11-25"))
    }

    #[test]
    fn iso_dates_and_everyday_words_are_read() {
        for (text, day) in [
            ("2026-08-14", "2026-08-14"),
            (" 2024-02-29 ", "2024-02-29"),
            ("1900-01-01", "1900-01-01"),
            ("2199-12-31", "2199-12-31"),
            ("today", "2026-11-25"),
            ("Yesterday", "2026-11-24"),
            ("-0d", "2026-11-25"),
            ("-3d", "2026-11-22"),
            ("-25D", "2026-10-31"),
            ("-2w", "2026-11-11"),
            ("2 days ago", "2026-11-23"),
            ("a week ago", "2026-11-18"),
            ("Two weeks ago", "2026-11-11"),
            ("the day before yesterday", "2026-11-23"),
            ("2026/07/04", "2026-07-04"),
            ("2026.7.4", "2026-07-04"),
            ("2026-2-3", "2026-02-03"),
        ] {
            assert_eq!(read(text), Ok(date(day)), "{text}");
        }
    }

    // The week before Wednesday 25 November 2026, counted off a calendar.
    #[test]
    fn a_weekday_is_the_most_recent_one_before_today() {
        for (text, day) in [
            ("tuesday", "2026-11-24"),
            ("mon", "2026-11-23"),
            ("Sunday", "2026-11-22"),
            ("sat", "2026-11-21"),
            ("fri", "2026-11-20"),
            ("THU", "2026-11-19"),
            ("wednesday", "2026-11-18"),
            ("wed", "2026-11-18"),
        ] {
            assert_eq!(read(text), Ok(date(day)), "{text}");
        }
    }

    #[test]
    fn an_ambiguous_date_is_refused_with_its_readings() {
        assert_eq!(
            read("02/03/04"),
            Err(DayError::NotIso {
                given: "02/03/04".to_owned(),
                readings: vec![date("2004-03-02"), date("2004-02-03"), date("2002-03-04")],
            })
        );
        assert_eq!(
            read("02/03/2026").unwrap_err().to_string(),
            "\u{201c}02/03/2026\u{201d} could be 2 March 2026 (2026-03-02) or 3 February 2026 (2026-02-03); \
             write the one you mean as year-month-day"
        );
        // A thirteenth month leaves one reading, which is still asked for in the ledger's order.
        assert_eq!(
            read("25.12.2026"),
            Err(DayError::NotIso { given: "25.12.2026".to_owned(), readings: vec![date("2026-12-25")] })
        );
        for (text, readings) in [
            ("3-3-2026", &["2026-03-03"][..]),
            // Without its year, and a word that not everybody takes alike: 22 November 2026 is a Sunday.
            ("July 4", &["2026-07-04", "2025-07-04", "2027-07-04"]),
            ("4th of July", &["2026-07-04", "2025-07-04", "2027-07-04"]),
            ("29 Feb", &[]),
            ("last sunday", &["2026-11-22", "2026-11-15"]),
        ] {
            let expected = match readings {
                [] => DayError::Unknown(text.to_owned()),
                _ => DayError::NotIso {
                    given: text.to_owned(),
                    readings: readings.iter().map(|day| date(day)).collect(),
                },
            };
            assert_eq!(read(text), Err(expected), "{text}");
        }
    }

    #[test]
    fn days_that_do_not_exist_or_lie_far_off_are_refused() {
        for missing in ["2024-02-30", "2023-02-29", "2026-13-01", "2026-00-10", "2026-04-31"] {
            assert_eq!(read(missing), Err(DayError::NoSuchDay(missing.to_owned())));
        }
        for far in ["0024-01-01", "1899-12-31", "2200-01-01", "-99999d", "-99999w"] {
            assert_eq!(read(far), Err(DayError::OutOfRange(far.to_owned())));
        }
        assert_eq!(parse_day("today", date("1850-01-01")), Err(DayError::OutOfRange("today".to_owned())));
        assert_eq!(parse_day("mon", date("1850-01-01")), Err(DayError::OutOfRange("mon".to_owned())));
        assert_eq!(parse_day("yesterday", NaiveDate::MIN), Err(DayError::OutOfRange("yesterday".to_owned())));
        for wrong in [
            "",
            "-",
            "d",
            "-d",
            "3d",
            "+3d",
            "--3d",
            "-123456d",
            "tomorrow",
            "mond",
            "20260814",
            "2026-08",
            "29 Feb 2023",
            "1e3",
            "2026-08-14T10:00",
            "\u{662}\u{660}\u{662}\u{666}-01-01",
            "20/30/40",
            "2026-008-14",
            "2026-08-014",
            "026-08-14",
            "20260-01-01",
            "abcd-ef-gh",
            "2026--14",
            "1-2-3-4",
        ] {
            assert_eq!(read(wrong), Err(DayError::Unknown(wrong.to_owned())));
        }
    }

    // ISO 8601 leaves month arithmetic open; the last day of a shorter month is the ledger's own choice.
    #[test]
    fn months_are_added_without_leaving_the_month() {
        for (from, months, to) in [
            ("2024-02-29", 12, "2025-02-28"),
            ("2024-02-29", 48, "2028-02-29"),
            ("2026-08-31", 6, "2027-02-28"),
            ("2026-08-14", 12, "2027-08-14"),
            ("2026-12-01", 1, "2027-01-01"),
            ("2026-12-01", 0, "2026-12-01"),
            ("2199-06-01", 12, "2199-12-31"),
            ("2026-01-01", u32::MAX, "2199-12-31"),
        ] {
            assert_eq!(add_months(date(from), months), date(to), "{from} + {months}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
            let _ = read(&text);
        }

        #[test]
        fn any_three_numbers_are_read_or_refused_without_a_panic(text in "-?[0-9]{0,5}[-/.dw][0-9]{0,5}[-/.][0-9]{0,5}") {
            let _ = read(&text);
        }

        #[test]
        fn every_written_day_reads_back(days in 0_u64..109_572) {
            let day = date("1900-01-01") + Days::new(days);
            prop_assert_eq!(read(&day.to_string()), Ok(day));
        }
    }
}
