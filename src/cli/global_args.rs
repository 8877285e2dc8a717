//! Options that every command takes.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, NaiveTime};

use crate::cli::arguments::local_instant::{
    NotOneInstant, by_clocks_here, local_instant, machine_clock, one_instant,
};
use crate::cli::arguments::moment::Moment;
use crate::cli::talk::stderr::ColorWhen;
use crate::values::time::civil_day::parse_day;

/// Options of every command.
#[derive(Debug, Clone, Default, clap::Args)]
pub(super) struct GlobalArgs {
    /// The ledger file [default: $JARLEDGER_FILE, else jarledger/ledger.jarledger in the XDG data directory]
    #[arg(long, global = true, value_name = "FILE", help_heading = "Every command")]
    pub(super) ledger: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long, global = true, help_heading = "Every command")]
    pub(super) json: bool,
    /// The day it is, as YYYY-MM-DD or YYYY-MM-DDTHH:MM, instead of the clock's
    #[arg(long, global = true, value_name = "DATE", allow_hyphen_values = true, value_parser = moment, help_heading = "Every command")]
    pub(super) today: Option<DateTime<FixedOffset>>,
    /// Hide the lines about what to do next
    #[arg(long, short, global = true, help_heading = "Every command")]
    pub(super) quiet: bool,
    /// Tables with a tab between their cells, for another program
    #[arg(long, global = true, help_heading = "Every command")]
    pub(super) tsv: bool,
    /// Color what catches the eye; NO_COLOR turns it off
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        value_enum,
        default_value_t,
        help_heading = "Every command"
    )]
    pub(super) color: ColorWhen,
    /// Write long answers straight to the terminal, not through $PAGER
    #[arg(long, global = true, help_heading = "Every command")]
    pub(super) no_pager: bool,
}

/// Reads a day (taken at noon) or a day and a time; words for days are seen from the clock's own day.
fn moment(given: &str) -> Result<DateTime<FixedOffset>, String> {
    let today = machine_clock().date_naive();
    let here = match given.parse::<Moment>() {
        Ok(Moment::Instant(instant)) => by_clocks_here(instant),
        Ok(moment @ (Moment::At(_) | Moment::Word(..))) => one_instant(moment.on(today, today).naive_local()),
        Ok(Moment::Clock(_) | Moment::Bare(_)) | Err(_) => {
            let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("noon exists");
            let day = parse_day(given, today).map_err(|error| error.to_string())?;
            Ok(local_instant(day.and_time(noon)))
        }
    };
    here.map_err(|not_one: NotOneInstant| format!("{not_one}; {}", not_one.instead()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn today_is_given_like_any_other_day() {
        let at = |given: &str| moment(given).map(|moment| moment.naive_local().to_string());
        assert_eq!(at("2026-08-14"), Ok("2026-08-14 12:00:00".to_owned()));
        assert_eq!(at("2026-08-14T07:30"), Ok("2026-08-14 07:30:00".to_owned()));
        assert_eq!(moment("today").unwrap().date_naive(), machine_clock().date_naive());
        let message = moment("02/03/04").unwrap_err();
        assert!(message.contains("2 March 2004") && message.contains("3 February 2004"), "{message}");
        assert!(moment("14:05").is_err());
    }
}
