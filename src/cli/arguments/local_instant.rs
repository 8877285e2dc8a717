//! The instant that a clock on the wall shows.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Datelike, FixedOffset, Local, MappedLocalTime, NaiveDateTime, TimeDelta, TimeZone};

use crate::cli::errors::Failure;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::values::time::civil_day::YEARS;

/// The file that TZ names, where it is no regular one: a pipe or a device could be waited for or read for ever.
pub(in crate::cli) fn odd_zone() -> Option<PathBuf> {
    let zone = std::env::var("TZ").ok()?;
    let named = zone.strip_prefix(':').unwrap_or(&zone);
    // Where zones are kept; a whole path stays what it is.
    let places = ["/usr/share/zoneinfo", "/share/zoneinfo", "/etc/zoneinfo"].map(Path::new);
    let is_odd = |path: &PathBuf| path.metadata().is_ok_and(|about| !about.is_file() && !about.is_dir());
    places.map(|place| place.join(named)).into_iter().find(is_odd)
}

/// The instant of a local time that was computed, not typed. Where the clocks show it twice, the first; where they skip
/// it, by the clock before the change.
pub(in crate::cli) fn local_instant(moment: NaiveDateTime) -> DateTime<FixedOffset> {
    one_instant(moment).unwrap_or_else(|not_one| match not_one {
        NotOneInstant::Skipped { as_before, .. } => as_before,
        NotOneInstant::Twice { first, .. } | NotOneInstant::Elsewhere { here: first, .. } => first,
    })
}

/// The one instant at which a local wall clock shows `moment`.
///
/// # Errors
/// Where the clocks skip it or show it twice.
pub(in crate::cli) fn one_instant(moment: NaiveDateTime) -> Result<DateTime<FixedOffset>, NotOneInstant> {
    match Local.from_local_datetime(&moment) {
        MappedLocalTime::Single(instant) => Ok(instant.fixed_offset()),
        // They come in either order, by the season the zone calls its standard one.
        MappedLocalTime::Ambiguous(one, other) => Err(NotOneInstant::Twice {
            moment,
            first: one.min(other).fixed_offset(),
            second: one.max(other).fixed_offset(),
        }),
        MappedLocalTime::None => {
            // No zone skips more than the one day that some left out to change sides of the date line.
            let day_before = Local.from_local_datetime(&(moment - TimeDelta::hours(25))).earliest();
            let as_before = day_before
                .and_then(|before| moment.and_local_timezone(before.fixed_offset().timezone()).single());
            Err(NotOneInstant::Skipped { moment, as_before: as_before.unwrap_or(moment.and_utc().into()) })
        }
    }
}

/// A day and a time with how far the clock stood from UTC, such as `2026-11-01T01:25-04:00`; a note written by a program
/// may give seconds and a Z, as TOML's own times do.
pub(in crate::cli) fn read_instant(text: &str) -> Option<DateTime<FixedOffset>> {
    let text = text.replace(' ', "T");
    let text = text.strip_suffix('Z').map_or_else(|| text.clone(), |local| format!("{local}+00:00"));
    let read = |format| DateTime::parse_from_str(&text, format).ok();
    let instant = read("%Y-%m-%dT%H:%M%:z").or_else(|| read("%Y-%m-%dT%H:%M:00%:z"))?;
    YEARS.contains(&instant.year()).then_some(instant)
}

/// The same instant, if the clocks here then stood as far from UTC as it says.
///
/// # Errors
/// Where they did not: an offset of the other half of the year is as likely a slip as another place.
pub(in crate::cli) fn by_clocks_here(
    instant: DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, NotOneInstant> {
    let here = on_the_wall(instant);
    if here.offset() == instant.offset() {
        return Ok(instant);
    }
    Err(NotOneInstant::Elsewhere { said: instant, here })
}

/// Why a time that was typed is not one instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(in crate::cli) enum NotOneInstant {
    #[error("the clocks here skip {}, going forward", shown(moment))]
    Skipped { moment: NaiveDateTime, as_before: DateTime<FixedOffset> },
    #[error("the clocks here show {} twice, going back", shown(moment))]
    Twice { moment: NaiveDateTime, first: DateTime<FixedOffset>, second: DateTime<FixedOffset> },
    #[error(
        "on {} the clocks here stand at {}, not at {}",
        said.format("%Y-%m-%d"), here.format("%:z"), said.format("%:z")
    )]
    Elsewhere { said: DateTime<FixedOffset>, here: DateTime<FixedOffset> },
}

fn shown(moment: &NaiveDateTime) -> impl std::fmt::Display {
    moment.format("%Y-%m-%d %H:%M")
}

impl NotOneInstant {
    /// What to write instead.
    pub(in crate::cli) fn instead(self) -> String {
        match self {
            Self::Skipped { as_before, .. } => {
                format!("give what the clock shows, such as {}", on_the_wall(as_before).format("%H:%M"))
            }
            Self::Twice { first, second, .. } => {
                format!("say which: {} comes first, then {}", written(first), written(second))
            }
            Self::Elsewhere { said, here } => format!(
                "for that time on the clock here write {}, for that instant {}",
                said.format("%Y-%m-%dT%H:%M"),
                written(here)
            ),
        }
    }

    /// The refusal; `unchanged` says what was not done.
    pub(in crate::cli) fn refused(self, unchanged: &str) -> Failure {
        Failure::usage(format!("{self}; {unchanged}"), self.instead())
    }
}

fn written(at: DateTime<FixedOffset>) -> impl std::fmt::Display {
    at.format("%Y-%m-%dT%H:%M%:z")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_instant_is_read_to_the_minute_as_people_and_programs_write_it() {
        // 18:05 in UTC, by `date -u -d 2026-08-13T18:05Z +%s`.
        for written in [
            "2026-08-13T14:05-04:00",
            "2026-08-13 14:05-04:00",
            "2026-08-13T14:05:00-04:00",
            "2026-08-13T18:05Z",
            "2026-08-13T18:05:00Z",
        ] {
            assert_eq!(read_instant(written).map(|at| at.timestamp()), Some(1_786_644_300), "{written}");
        }
        for other in
            ["2026-08-13T14:05", "2026-08-13T14:05:30-04:00", "9999-08-13T14:05-04:00", "14:05Z", "Z"]
        {
            assert_eq!(read_instant(other), None, "{other}");
        }
    }
}
