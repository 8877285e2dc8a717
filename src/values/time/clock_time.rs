//! Times on a kitchen clock, to the minute.

use std::fmt;
use std::str::FromStr;

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
        parse(given).ok_or_else(|| ClockTimeError(given.to_owned()))
    }
}

fn parse(given: &str) -> Option<ClockTime> {
    let text = given.trim().to_ascii_lowercase().replace("a.m.", "am").replace("p.m.", "pm");
    match text.as_str() {
        "noon" => return Some(ClockTime(DAY / 2)),
        "midnight" => return Some(ClockTime(0)),
        _ => {}
    }
    let (clock, half) = if let Some(clock) = text.strip_suffix("am") {
        (clock.trim_end(), Some(0))
    } else if let Some(clock) = text.strip_suffix("pm") {
        (clock.trim_end(), Some(12))
    } else {
        (text.as_str(), None)
    };
    // `2pm` is two o'clock; a bare `14` could be anything.
    let (hour, minute) = clock.split_once(':').or_else(|| half.map(|_| (clock, "00")))?;
    let hour = two_digits(hour)?;
    let minute = two_digits(minute).filter(|&number| minute.len() == 2 && number < 60)?;
    let hour = match half {
        Some(half) => (1..=12).contains(&hour).then_some(hour % 12 + half)?,
        None => Some(hour).filter(|&hour| hour < 24)?,
    };
    Some(ClockTime(hour * 60 + minute))
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
