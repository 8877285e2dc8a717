//! What every command runs with: which ledger, and what time it is.

use std::ffi::OsString;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, Local, NaiveDate, NaiveDateTime, NaiveTime, TimeZone};
use etcetera::BaseStrategy;

use super::errors::Failure;
use crate::ledger::Ledger;
use crate::rules::clock::Clock;

/// Options of every command.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct GlobalArgs {
    /// The ledger file [default: $JARLEDGER_FILE, else jarledger/ledger.jarledger in the XDG data directory]
    #[arg(long, global = true, value_name = "FILE", help_heading = "Every command")]
    pub(super) ledger: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long, global = true, help_heading = "Every command")]
    pub(super) json: bool,
    /// The day it is, as YYYY-MM-DD or YYYY-MM-DDTHH:MM, instead of the clock's
    #[arg(long, global = true, value_name = "DATE", value_parser = moment, help_heading = "Every command")]
    pub(super) today: Option<NaiveDateTime>,
    /// No line about what to do next
    #[arg(long, short, global = true, help_heading = "Every command")]
    pub(super) quiet: bool,
}

/// Reads a day (taken at noon) or a day and a time.
fn moment(given: &str) -> Result<NaiveDateTime, String> {
    let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("noon exists");
    NaiveDate::parse_from_str(given, "%Y-%m-%d")
        .map(|day| day.and_time(noon))
        .or_else(|_| NaiveDateTime::parse_from_str(given, "%Y-%m-%dT%H:%M"))
        .map_err(|_| format!("{given:?} is not a date; write YYYY-MM-DD, or YYYY-MM-DDTHH:MM"))
}

/// What a command runs with.
#[derive(Debug)]
pub(super) struct Context {
    /// When the command runs.
    pub(super) clock: Clock,
    /// The ledger file.
    pub(super) path: PathBuf,
    /// Whether the file is only being made and is thrown away on any trouble.
    pub(super) draft: bool,
}

impl Context {
    /// Reads the clock and the environment once.
    pub(super) fn gather(args: &GlobalArgs) -> Result<Self, Failure> {
        let now = match args.today {
            Some(moment) => local_instant(moment),
            None => Local::now().fixed_offset(),
        };
        let path = match &args.ledger {
            Some(path) => path.clone(),
            None => match std::env::var_os("JARLEDGER_FILE").filter(|value| !value.is_empty()) {
                Some(path) => PathBuf::from(path),
                None => default_path(std::env::var_os("HOME"))?,
            },
        };
        super::errors::speak_of(&path);
        Ok(Self { clock: Clock { now }, path, draft: false })
    }

    /// Opens the ledger for reading.
    pub(super) fn open(&self) -> Result<Ledger, Failure> {
        Ok(Ledger::open(&self.path)?)
    }

    /// Opens the ledger for writing.
    pub(super) fn open_to_write(&self) -> Result<Ledger, Failure> {
        let ledger = Ledger::open_to_write(&self.path)?;
        if self.draft {
            ledger.make_hasty()?;
        }
        Ok(ledger)
    }
}

/// The instant a local wall clock shows `moment`; in the hour that a clock change skips, the one after it.
pub(super) fn local_instant(moment: NaiveDateTime) -> DateTime<FixedOffset> {
    Local
        .from_local_datetime(&moment)
        .earliest()
        .or_else(|| Local.from_local_datetime(&(moment + chrono::TimeDelta::hours(1))).earliest())
        .map_or_else(|| moment.and_utc().fixed_offset(), |instant| instant.fixed_offset())
}

/// `ledger.jarledger` in the XDG data directory.
fn default_path(home: Option<OsString>) -> Result<PathBuf, Failure> {
    if home.is_none_or(|home| home.is_empty()) {
        return Err(Failure::usage("no ledger was named and HOME is not set", "give --ledger FILE"));
    }
    let base = etcetera::base_strategy::Xdg::new()
        .map_err(|_| Failure::usage("no ledger was named and HOME is not usable", "give --ledger FILE"))?;
    Ok(base.data_dir().join("jarledger").join("ledger.jarledger"))
}
