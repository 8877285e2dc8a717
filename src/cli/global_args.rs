//! Options that every command takes, and what they name: the ledger, the moment, how the answer is shown.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveTime};
use etcetera::BaseStrategy;

use crate::cli::arguments::local_instant::{NotOneInstant, by_clocks_here, local_instant, one_instant};
use crate::cli::arguments::moment::Moment;
use crate::cli::context::{Context, boot_time, machine_clock};
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Manner;
use crate::cli::talk::stderr::ColorWhen;
use crate::rules::canning_day::run::Instant;
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

impl GlobalArgs {
    /// How the answer is to be shown.
    pub(super) const fn manner(&self) -> Manner {
        Manner {
            json: self.json,
            quiet: self.quiet,
            tabs: self.tsv,
            color: self.color,
            paged: !self.no_pager,
        }
    }
}

/// What named the ledger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    Flag,
    Environment,
    Default,
}

impl Origin {
    /// Says it.
    pub(super) const fn in_words(self) -> &'static str {
        match self {
            Self::Flag => "named by --ledger",
            Self::Environment => "named by JARLEDGER_FILE",
            Self::Default => "in the XDG data directory",
        }
    }
}

/// The moment the command runs.
pub(super) fn now(args: &GlobalArgs) -> DateTime<FixedOffset> {
    args.today.unwrap_or_else(|| machine_clock().fixed_offset())
}

/// That moment on both clocks.
pub(super) fn instant(args: &GlobalArgs) -> Instant {
    Instant { at: now(args), boot: if args.today.is_some() { None } else { boot_time() } }
}

/// Which ledger is meant, and what named it.
pub(super) fn find_ledger(args: &GlobalArgs) -> Result<(PathBuf, Origin), Failure> {
    if let Some(path) = &args.ledger {
        return Ok((path.clone(), Origin::Flag));
    }
    match std::env::var_os("JARLEDGER_FILE").filter(|value| !value.is_empty()) {
        Some(path) => Ok((PathBuf::from(path), Origin::Environment)),
        None => Ok((default_path(std::env::var_os("HOME"))?, Origin::Default)),
    }
}

/// What the command runs with.
pub(super) fn context(args: &GlobalArgs) -> Result<Context, Failure> {
    let (path, _) = find_ledger(args)?;
    Ok(Context::gather(path, now(args), args.today.is_some()))
}

/// `ledger.jarledger` in the XDG data directory.
fn default_path(home: Option<OsString>) -> Result<PathBuf, Failure> {
    let unusable =
        |what: &str| Failure::usage(format!("no ledger was named and {what}"), "give --ledger FILE");
    let given = std::env::var_os("XDG_DATA_HOME").map(PathBuf::from).filter(|path| path.is_absolute());
    let data = match given {
        Some(data) => data,
        None if home.as_ref().is_none_or(|home| home.is_empty()) => return Err(unusable("HOME is not set")),
        // It would be another ledger in every folder.
        None if home.is_some_and(|home| Path::new(&home).is_relative()) => {
            return Err(unusable("HOME is a relative path"));
        }
        None => etcetera::base_strategy::Xdg::new().map_err(|_| unusable("HOME is not usable"))?.data_dir(),
    };
    Ok(data.join("jarledger").join("ledger.jarledger"))
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
