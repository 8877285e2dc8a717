//! When a thing happened, where it is entered afterwards.

use chrono::NaiveTime;

use crate::cli::arguments::local_instant::local_instant;
use crate::cli::arguments::moment::Moment;
use crate::cli::errors::Failure;
use crate::rules::jar::permit::When;
use crate::values::time::civil_day::parse_day;
use crate::values::time::clock::Clock;

/// When a thing happened, if not now.
#[derive(Debug, Clone, clap::Args)]
pub(in crate::cli) struct HappenedOn {
    /// When it happened, if not now: a day (yesterday, -3d, 2026-08-14), a time (14:05), or both
    #[arg(long = "on", value_name = "WHEN", allow_hyphen_values = true)]
    on: Option<String>,
}

impl HappenedOn {
    /// Reads it against the clock; today alone, and nothing, are now.
    pub(in crate::cli) fn read(&self, clock: Clock) -> Result<When, Failure> {
        let Some(on) = &self.on else { return Ok(When::At(clock.now)) };
        if let Ok(moment) = on.parse::<Moment>() {
            return Ok(When::At(moment.once(moment.at_or_before(clock.now, clock.today()), clock.now)?));
        }
        let day = parse_day(on, clock.today())
            .map_err(|error| Failure::usage(error.to_string(), "give --on a day, such as --on yesterday"))?;
        if day == clock.today() {
            return Ok(When::At(clock.now));
        }
        let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("noon exists");
        Ok(When::OnDayOfNoon(local_instant(day.and_time(noon))))
    }
}

#[cfg(test)]
mod tests {
    use chrono::{DateTime, FixedOffset};

    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        local_instant(text.parse().unwrap())
    }

    #[test]
    fn a_day_a_time_or_both_are_read_and_today_is_now() {
        let clock = Clock { now: at("2026-11-25T09:30:00") };
        let read = |on: &str| HappenedOn { on: Some(on.to_owned()) }.read(clock).unwrap();
        assert_eq!(HappenedOn { on: None }.read(clock).unwrap(), When::At(clock.now));
        assert_eq!(read("today"), When::At(clock.now));
        assert_eq!(read("yesterday"), When::OnDayOfNoon(at("2026-11-24T12:00:00")));
        assert_eq!(read("-3d"), When::OnDayOfNoon(at("2026-11-22T12:00:00")));
        assert_eq!(read("8:15"), When::At(at("2026-11-25T08:15:00")));
        assert_eq!(read("2026-11-01T18:00"), When::At(at("2026-11-01T18:00:00")));
        assert!(HappenedOn { on: Some("soon".to_owned()) }.read(clock).is_err());
    }
}
