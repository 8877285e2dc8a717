//! How long a canner really held its pressure or its boil, drops left out.
//!
//! Any drop below the target starts the full time again from zero (from memory:
//! USDA AIB 539, Guide 1, Using pressure canners, and Using boiling-water
//! canners), so only the longest unbroken stretch counts.

use std::fmt;
use std::str::FromStr;

use crate::values::time::clock_time::ClockTime;

/// The longest drop that can be entered by the clock, in minutes: longer means the times were swapped.
const LONGEST_DROP: u32 = 6 * 60;

/// One time the pressure (or the boil) fell below its target, and when it was back.
///
/// Written `14:05-14:12` by the clock or `20m-27m` in minutes after the target was
/// first reached; the second half is left out if it never came back: `14:05-`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drop {
    /// By the clock.
    Clock {
        /// When it was lost.
        lost: ClockTime,
        /// When it was regained, if it was.
        regained: Option<ClockTime>,
    },
    /// In minutes after the target was first reached.
    After {
        /// When it was lost.
        lost: u32,
        /// When it was regained, if it was.
        regained: Option<u32>,
    },
}

/// Says why a text is not a drop.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DropError {
    /// Neither form.
    #[error(
        "\u{201c}{0}\u{201d} is not a drop; write when it was lost and regained, such as 14:05-14:12 or 20m-27m, or 14:05- if it never came back"
    )]
    Shape(String),
    /// Regained before it was lost.
    #[error("the drop \u{201c}{0}\u{201d} ends before it begins, or lasts more than six hours")]
    Backwards(String),
}

/// Reads `20m` or `20min`, at most four digits.
fn minutes_after(text: &str) -> Option<u32> {
    let digits = text.strip_suffix("min").or_else(|| text.strip_suffix('m'))?.trim_end();
    let plain = digits.len() <= 4 && digits.bytes().all(|byte| byte.is_ascii_digit());
    if plain { digits.parse().ok() } else { None }
}

impl FromStr for Drop {
    type Err = DropError;

    fn from_str(given: &str) -> Result<Self, DropError> {
        let shape = || DropError::Shape(given.to_owned());
        let (lost, regained) = given.split_once('-').ok_or_else(shape)?;
        let (lost, regained) = (lost.trim(), Some(regained.trim()).filter(|text| !text.is_empty()));
        let (drop, backwards) = if let Some(lost) = minutes_after(lost) {
            let regained = regained.map(|text| minutes_after(text).ok_or_else(shape)).transpose()?;
            let too_long = |back: u32| back.checked_sub(lost).is_none_or(|long| long > LONGEST_DROP);
            (Self::After { lost, regained }, regained.is_some_and(too_long))
        } else {
            let lost: ClockTime = lost.parse().map_err(|_| shape())?;
            let regained = regained.map(|text| text.parse().map_err(|_| shape())).transpose()?;
            let too_long = |back| lost.minutes_until(back) > LONGEST_DROP;
            (Self::Clock { lost, regained }, regained.is_some_and(too_long))
        };
        if backwards {
            return Err(DropError::Backwards(given.to_owned()));
        }
        Ok(drop)
    }
}

impl fmt::Display for Drop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clock { lost, regained: Some(back) } => write!(f, "{lost}-{back}"),
            Self::Clock { lost, regained: None } => write!(f, "{lost}-"),
            Self::After { lost, regained: Some(back) } => write!(f, "{lost}m-{back}m"),
            Self::After { lost, regained: None } => write!(f, "{lost}m-"),
        }
    }
}

impl serde::Serialize for Drop {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// What was written down about the time of a run.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RunTime {
    /// Minutes at pressure or at a full boil, as the person counted them.
    pub minutes: Option<u32>,
    /// When the target was first reached.
    pub reached_at: Option<ClockTime>,
    /// When the heat was turned off.
    pub ended_at: Option<ClockTime>,
    /// Every drop below the target.
    pub drops: Vec<Drop>,
}

/// The longest unbroken stretch, as far as the record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unbroken {
    /// So many minutes.
    Known(u32),
    /// No more than so many minutes: the record does not place every drop within the run.
    AtMost(u32),
    /// Neither minutes nor both clock times are on record.
    Unknown,
}

impl RunTime {
    /// The longest unbroken stretch.
    ///
    /// Both clock times give the whole run; a count of minutes beside them can
    /// only lower the answer. A count alone is the whole run from first reaching
    /// the target to the end, drops and all.
    pub(crate) fn longest_unbroken(&self) -> Unbroken {
        let Some(whole) = self.whole() else { return Unbroken::Unknown };
        let cap = self.minutes.unwrap_or(whole).min(whole);
        let placed: Option<Vec<(u32, u32)>> = self
            .drops
            .iter()
            .map(|&drop| self.place(drop, whole).filter(|&(lost, _)| lost <= whole))
            .collect();
        match placed {
            Some(drops) => Unbroken::Known(longest_stretch(whole, drops).min(cap)),
            None => {
                let longest_drop = self.drops.iter().map(|&drop| length(drop)).max().unwrap_or_default();
                Unbroken::AtMost(whole.saturating_sub(longest_drop).min(cap))
            }
        }
    }

    /// Minutes from first reaching the target to the end, drops and all, where they are on record.
    pub fn whole(&self) -> Option<u32> {
        self.reached_at.zip(self.ended_at).map(|(from, to)| from.minutes_until(to)).or(self.minutes)
    }

    /// When the run began, as far as the record says.
    pub fn began(&self) -> Option<ClockTime> {
        self.reached_at.or_else(|| {
            let end = u32::from(self.ended_at?.minutes());
            let back = (end + 24 * 60).checked_sub(self.whole()?)? % (24 * 60);
            ClockTime::from_minutes(u16::try_from(back).ok()?)
        })
    }

    /// The first drop that began before the run or after its end, where the record says when that was.
    pub(crate) fn drop_outside(&self) -> Option<Drop> {
        let whole = self.whole()?;
        self.drops.iter().copied().find(|&drop| self.place(drop, whole).is_some_and(|(lost, _)| lost > whole))
    }

    /// A drop in minutes from the start of the run; none where that start is not on record.
    fn place(&self, drop: Drop, whole: u32) -> Option<(u32, u32)> {
        let (lost, regained) = match drop {
            Drop::After { lost, regained } => (lost, regained),
            Drop::Clock { lost, regained } => {
                let at = self.began()?.minutes_until(lost);
                (at, regained.map(|back| at + lost.minutes_until(back)))
            }
        };
        Some((lost, regained.unwrap_or(whole)))
    }
}

/// Minutes a drop lasted; 0 where its end is not known.
fn length(drop: Drop) -> u32 {
    match drop {
        Drop::Clock { lost, regained } => regained.map_or(0, |back| lost.minutes_until(back)),
        Drop::After { lost, regained } => regained.map_or(0, |back| back.saturating_sub(lost)),
    }
}

fn longest_stretch(whole: u32, mut drops: Vec<(u32, u32)>) -> u32 {
    drops.sort_unstable();
    let mut longest = 0;
    let mut from = 0;
    for (lost, regained) in drops {
        longest = longest.max(lost.saturating_sub(from));
        from = from.max(regained);
    }
    longest.max(whole.saturating_sub(from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn run(minutes: Option<u32>, clock: &str, drops: &str) -> RunTime {
        let (reached, ended) = clock.split_once('-').unwrap_or((clock, ""));
        RunTime {
            minutes,
            reached_at: reached.parse().ok(),
            ended_at: ended.parse().ok(),
            drops: drops.split_whitespace().map(|drop| drop.parse().unwrap()).collect(),
        }
    }

    // Each worked by hand: whole run, stretches between the drops, the longest of them.
    #[test]
    fn only_the_longest_stretch_between_drops_counts() {
        for (minutes, clock, drops, longest) in [
            (Some(75), "", "", 75),
            (None, "14:00-15:15", "", 75),
            (None, "23:30-00:45", "", 75),
            (None, "13:30-15:00", "14:05-14:12", 48), // 35 | 48
            (None, "13:30-15:00", "14:40-14:45", 70), // 70 | 15
            (None, "13:30-15:30", "14:00-14:05 15:00-15:10", 55), // 30 | 55 | 20
            (None, "13:30-15:30", "15:00-15:10 14:00-14:05", 55),
            (None, "13:30-15:30", "14:00-14:30 14:10-14:20", 60), // 30 | 60, one drop inside the other
            (None, "13:30-15:00", "14:05-", 35),                  // never back
            (None, "13:30-15:00", "14:00-14:00", 60),             // a moment is a drop: 30 | 60
            (None, "23:30-01:10", "23:50-00:02", 68),             // 20 | 68, past midnight
            (None, "13:30-15:00", "13:30-13:32", 88),
            (None, "13:30-15:00", "15:00-15:05", 90),
            (Some(90), "", "20m-27m", 63), // 20 | 63
            (Some(90), "", "80m-95m", 80),
            (Some(10), "", "0m-10m", 0),                  // never at pressure
            (Some(90), "13:30", "14:05-14:12", 48),       // whole 90 from 13:30
            (Some(90), "-15:00", "14:05-14:12", 48),      // whole 90 up to 15:00
            (Some(80), "-00:20", "23:40-23:45", 40),      // began 23:00: 40 | 35
            (Some(75), "14:00-15:40", "14:20-14:25", 75), // counted again after the drop: 20 | 75
            (Some(60), "14:00-15:40", "14:20-14:25", 60), // the count can only lower it
            (Some(200), "14:00-15:40", "", 100),
            (Some(0), "", "", 0),
            (None, "14:00-14:00", "", 0),
        ] {
            assert_eq!(
                run(minutes, clock, drops).longest_unbroken(),
                Unbroken::Known(longest),
                "{minutes:?} {clock} {drops}"
            );
        }
    }

    #[test]
    fn a_drop_that_cannot_be_placed_leaves_only_a_bound() {
        for (minutes, clock, drops, at_most) in [
            (Some(90), "", "14:05-14:12", 83),             // 90 - 7, wherever it fell
            (Some(90), "", "14:05-14:12 14:10-14:20", 80), // they may overlap: only the longer is taken off
            (Some(90), "", "14:05-", 90),
            (Some(90), "13:30", "13:20-13:25", 85), // before the start: 23 h 50 after it
            (Some(90), "", "91m-95m", 86),          // after the end
            (Some(90), "", "95m-", 90),
            (Some(5), "", "14:05-14:12", 0),
            (Some(70), "13:30-15:00", "12:00-12:05", 70), // the count of 70 lowers 90 - 5
            (Some(3_000), "-15:00", "14:05-14:12", 2_993), // longer than a day: no start to be had
        ] {
            assert_eq!(
                run(minutes, clock, drops).longest_unbroken(),
                Unbroken::AtMost(at_most),
                "{minutes:?} {clock} {drops}"
            );
        }
        for (clock, drops) in [("", ""), ("13:30", "14:05-14:12"), ("-15:00", "")] {
            assert_eq!(run(None, clock, drops).longest_unbroken(), Unbroken::Unknown, "{clock} {drops}");
        }
    }

    #[test]
    fn drops_are_read_in_both_forms_and_written_back() {
        for (given, written) in [
            ("14:05-14:12", "14:05-14:12"),
            (" 2:05pm - 2:12pm ", "14:05-14:12"),
            ("23:55-00:05", "23:55-00:05"),
            ("20m-27min", "20m-27m"),
            ("14:05-", "14:05-"),
            ("20m-", "20m-"),
            ("1430m-1440m", "1430m-1440m"),
            ("20m-20m", "20m-20m"),
            ("8:00-14:00", "08:00-14:00"),
            ("0m-360m", "0m-360m"),
        ] {
            let drop: Drop = given.parse().unwrap();
            assert_eq!(drop.to_string(), written);
            assert_eq!(written.parse(), Ok(drop));
        }
        for wrong in [
            "",
            "-",
            "14:05",
            "20-27",
            "20m-14:12",
            "14:05-20m",
            "-14:12",
            "m-m",
            "12345m-",
            "\u{661}m-",
            "20m-x",
        ] {
            assert_eq!(wrong.parse::<Drop>(), Err(DropError::Shape(wrong.to_owned())));
        }
        for wrong in ["14:12-14:05", "27m-20m", "8:00-14:01", "0m-361m"] {
            assert_eq!(wrong.parse::<Drop>(), Err(DropError::Backwards(wrong.to_owned())));
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
            let _ = text.parse::<Drop>();
        }

        /// Minute by minute: the longest row of minutes that no drop touches.
        #[test]
        fn the_longest_stretch_is_that_of_a_minute_by_minute_walk(
            whole in 0_u32..120,
            drops in proptest::collection::vec((0_u32..120, 1_u32..40), 0..5),
        ) {
            let inside: Vec<_> = drops.into_iter().filter(|drop| drop.0 <= whole).collect();
            let touched = |minute: u32| inside.iter().any(|&(at, long)| (at..at + long).contains(&minute));
            let (mut row, mut longest) = (0, 0);
            for minute in 0..whole {
                row = if touched(minute) { 0 } else { row + 1 };
                longest = longest.max(row);
            }
            let drops = inside.iter().map(|&(at, long)| Drop::After { lost: at, regained: Some(at + long) }).collect();
            let time = RunTime { minutes: Some(whole), drops, ..RunTime::default() };
            prop_assert_eq!(time.longest_unbroken(), Unbroken::Known(longest));
        }
    }
}
