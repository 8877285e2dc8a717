//! Times on a kitchen clock, to the minute.

use std::fmt;
use std::str::FromStr;

use crate::values::names::number_words::in_digits;

/// Minutes in a day.
const DAY: u16 = 24 * 60;

/// A time of day, `00:00` to `23:59`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClockTime(u16);

/// Says why a text is not a time of day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{0}\u{201d} is not a time of day; write it like 14:05 or 2:05pm")]
pub struct ClockTimeError(pub String);

impl ClockTime {
    /// The time `minutes` after midnight; nothing from 1,440 on.
    pub(crate) fn from_minutes(minutes: u16) -> Option<Self> {
        (minutes < DAY).then_some(Self(minutes))
    }

    /// Minutes after midnight, 0 to 1,439.
    pub const fn minutes(self) -> u16 {
        self.0
    }

    /// Minutes from here forward to `later`, past midnight if need be: 0 to 1,439.
    pub(crate) fn minutes_until(self, later: Self) -> u32 {
        u32::from((later.0 + DAY - self.0) % DAY)
    }
}

impl FromStr for ClockTime {
    type Err = ClockTimeError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        read_time(given).map(|(time, _)| time).ok_or_else(|| ClockTimeError(given.to_owned()))
    }
}

/// Reads a time as people tell it, and whether it says which half of the day it means: `9:15` may be either, `09:15`,
/// `21:15` and `9:15pm` are plain.
pub fn read_time(given: &str) -> Option<(ClockTime, bool)> {
    let text = given.trim().to_lowercase().replace("a.m", "am").replace("p.m", "pm").replace('\u{2019}', "'");
    let text = text.strip_prefix("at ").unwrap_or(&text).trim_end_matches('.');
    match text {
        "noon" => return Some((ClockTime(DAY / 2), true)),
        "midnight" => return Some((ClockTime(0), true)),
        _ => {}
    }
    let (clock, half) = match (text.strip_suffix("am"), text.strip_suffix("pm")) {
        (Some(clock), _) => (clock.trim_end(), Some(0)),
        (_, Some(clock)) => (clock.trim_end(), Some(12)),
        _ => (text, None),
    };
    let hour_named = clock.strip_suffix("o'clock").map(str::trim_end);
    if let Some((hour, minute)) = in_words(clock).or_else(|| Some((hour_of_twelve(hour_named?)?, 0))) {
        let time = (hour % 12 + half.unwrap_or(0)) * 60 + minute;
        let time = if half.is_none() { hour * 60 + minute } else { time };
        return Some((ClockTime(time % DAY), half.is_some()));
    }
    // `2pm` is two o'clock; a bare `14` could be anything, and 20.11 a day.
    let (hour_text, minute) = clock
        .split_once([':', 'h'])
        .or_else(|| half.and_then(|_| clock.split_once('.')))
        .or_else(|| half.map(|_| (clock, "00")))?;
    let hour = two_digits(hour_text)?;
    let minute = two_digits(minute).filter(|&number| minute.len() == 2 && number < 60)?;
    let is_plain = half.is_some() || hour == 0 || hour_text.len() == 2;
    let hour = match half {
        Some(half) => (1..=12).contains(&hour).then_some(hour % 12 + half)?,
        None => Some(hour).filter(|&hour| hour < 24)?,
    };
    Some((ClockTime(hour * 60 + minute), is_plain))
}

/// `half past two`, `quarter to 11`, `ten past three`: the hour of twelve and the minute.
fn in_words(clock: &str) -> Option<(u16, u16)> {
    let (minutes, is_past, hour) = match (clock.split_once(" past "), clock.split_once(" to ")) {
        (Some((minutes, hour)), _) => (minutes, true, hour),
        (_, Some((minutes, hour))) => (minutes, false, hour),
        _ => return None,
    };
    let hour = hour_of_twelve(hour)?;
    let minutes = match minutes.strip_prefix("a ").unwrap_or(minutes) {
        "half" if is_past => 30,
        "quarter" => 15,
        other => {
            let other = in_digits(other.trim_end_matches("minutes").trim_end());
            two_digits(&other).filter(|minutes| (1..=30).contains(minutes))?
        }
    };
    Some(if is_past { (hour, minutes) } else { ((hour + 10) % 12 + 1, 60 - minutes) })
}

fn hour_of_twelve(text: &str) -> Option<u16> {
    two_digits(&in_digits(text.trim())).filter(|hour| (1..=12).contains(hour))
}

/// Reads one or two ASCII digits.
fn two_digits(text: &str) -> Option<u16> {
    let plain = matches!(text.len(), 1 | 2) && text.bytes().all(|byte| byte.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:02}:{:02}", self.0 / 60, self.0 % 60))
    }
}

impl serde::Serialize for ClockTime {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn time(text: &str) -> ClockTime {
        text.parse().unwrap()
    }

    #[test]
    fn the_time_is_read_in_12_and_24_hours() {
        for (text, words) in [
            ("14:05", "14:05"),
            ("0:00", "00:00"),
            ("23:59", "23:59"),
            ("2:05", "02:05"),
            ("2:05pm", "14:05"),
            ("1:05am", "01:05"),
            ("2:05 PM", "14:05"),
            ("12:30am", "00:30"),
            ("12:30pm", "12:30"),
            (" 11:59 am ", "11:59"),
        ] {
            assert_eq!(time(text).to_string(), words, "{text}");
        }
        for wrong in [
            "",
            ":",
            "14",
            "14:5",
            "24:00",
            "12:60",
            "0:30am",
            "13:00pm",
            "14:05:00",
            "-1:00",
            "\u{661}:05",
            "pm",
            "140:5",
            "+9:05",
            "9:+5",
            "014:05",
        ] {
            assert_eq!(wrong.parse::<ClockTime>(), Err(ClockTimeError(wrong.to_owned())));
        }
    }

    #[test]
    fn a_time_without_its_half_of_the_day_is_known_to_be_one() {
        // English clock times, common usage.
        for (text, words, plain) in [
            ("9:15", "09:15", false),
            ("09:15", "09:15", true),
            ("10:15", "10:15", true),
            ("0:15", "00:15", true),
            ("9:15pm", "21:15", true),
            ("2.30 pm", "14:30", true),
            ("11 a.m", "11:00", true),
            ("11h30", "11:30", true),
            ("half past two", "02:30", false),
            ("half past two pm", "14:30", true),
            ("a quarter to 11", "10:45", false),
            ("quarter to one", "12:45", false),
            ("ten past twelve", "12:10", false),
            ("twenty-five to 3", "02:35", false),
            ("11 o'clock", "11:00", false),
            ("two o\u{2019}clock pm", "14:00", true),
            ("at noon", "12:00", true),
        ] {
            assert_eq!(read_time(text), Some((time(words), plain)), "{text}");
        }
        // A day may be meant, or nothing.
        for wrong in [
            "20.11",
            "11.30",
            "1130",
            "2026",
            "half past",
            "half to three",
            "forty past two",
            "13 o'clock",
            "h30",
        ] {
            assert_eq!(read_time(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn minutes_run_forward_past_midnight() {
        assert_eq!(time("13:30").minutes_until(time("15:00")), 90);
        assert_eq!(time("23:30").minutes_until(time("00:45")), 75);
        assert_eq!(time("15:00").minutes_until(time("15:00")), 0);
        assert_eq!(time("00:00").minutes_until(time("23:59")), 1_439);
        assert_eq!(time("00:01").minutes_until(time("00:00")), 1_439);
    }

    #[test]
    fn minutes_after_midnight_end_with_the_day() {
        assert_eq!(ClockTime::from_minutes(1_439), Some(time("23:59")));
        assert_eq!(ClockTime::from_minutes(1_440), None);
        assert_eq!(time("14:05").minutes(), 845);
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
            let _ = text.parse::<ClockTime>();
        }

        #[test]
        fn every_minute_of_the_day_reads_back(minutes in 0_u16..1_440) {
            let time = ClockTime::from_minutes(minutes).unwrap();
            prop_assert_eq!(time.to_string().parse::<ClockTime>(), Ok(time));
        }
    }
}
