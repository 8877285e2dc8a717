//! What every command runs with: which ledger, and what time it is.

use std::cell::Cell;
use std::ffi::OsString;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, Local, MappedLocalTime, NaiveDateTime, NaiveTime, TimeZone, Utc};
use etcetera::BaseStrategy;

use crate::cli::arguments::moment::Moment;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::copies::backup::newest_backup;
use crate::ledger::file::open::Ledger;
use crate::values::time::civil_day::parse_day;
use crate::values::time::clock::Clock;

/// Days after which a backup is old.
pub(super) const OLD_BACKUP_DAYS: i64 = 30;

/// Entries that would be a loss to type again.
const WORTH_A_BACKUP: i64 = 20;

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
    #[arg(long, global = true, value_name = "DATE", allow_hyphen_values = true, value_parser = moment, help_heading = "Every command")]
    pub(super) today: Option<NaiveDateTime>,
    /// No line about what to do next
    #[arg(long, short, global = true, help_heading = "Every command")]
    pub(super) quiet: bool,
}

/// Reads a day (taken at noon) or a day and a time; words for days are seen from the clock's own day.
fn moment(given: &str) -> Result<NaiveDateTime, String> {
    if let Ok(moment @ (Moment::At(_) | Moment::Word(..))) = given.parse::<Moment>() {
        let today = Local::now().date_naive();
        return Ok(moment.on(today, today).naive_local());
    }
    let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("noon exists");
    let day = parse_day(given, Local::now().date_naive()).map_err(|error| error.to_string())?;
    Ok(day.and_time(noon))
}

/// What a command runs with.
#[derive(Debug)]
pub(super) struct Context {
    /// When the command runs.
    pub(super) clock: Clock,
    /// The ledger file.
    pub(super) path: PathBuf,
    /// Whether the file is only being made and is thrown away on any trouble.
    draft: bool,
    /// When the ledger was begun and how many entries it had, once it was opened for writing.
    opened: Cell<Option<(DateTime<Utc>, i64)>>,
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
    args.today.map_or_else(|| Local::now().fixed_offset(), local_instant)
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

impl Context {
    /// Reads the clock and the environment once.
    pub(super) fn gather(args: &GlobalArgs) -> Result<Self, Failure> {
        let (path, _) = find_ledger(args)?;
        crate::cli::errors::speak_of(&path);
        Ok(Self { clock: Clock { now: now(args) }, path, draft: false, opened: Cell::new(None) })
    }

    /// A command on a file in the making, at this moment.
    pub(super) const fn draft(path: PathBuf, clock: Clock) -> Self {
        Self { clock, path, draft: true, opened: Cell::new(None) }
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
        self.opened.set(Some((ledger.begun(), ledger.last_entry()?)));
        Ok(ledger)
    }

    /// After something was written: says so if the newest backup is old. Looking writes nothing.
    pub(super) fn remind(&self, screen: &mut Screen) {
        let Some((begun, entries)) = self.opened.get() else { return };
        let days_since = |at: DateTime<Utc>| (self.clock.now.to_utc() - at).num_days();
        match newest_backup(&self.path).map(|newest| days_since(newest.at)) {
            Some(days) if days > OLD_BACKUP_DAYS => screen.note(format!(
                "note: the newest verified backup is {days} days old; `jarledger backup` makes one"
            )),
            None if days_since(begun) > OLD_BACKUP_DAYS && entries >= WORTH_A_BACKUP => screen
                .note(format!("note: {entries} entries and no backup yet; `jarledger backup` makes one")),
            _ => {}
        }
    }
}

/// The instant a local wall clock shows `moment`: the first of the two where the clocks go back; in the hour that
/// a clock change skips, the one after it.
pub(super) fn local_instant(moment: NaiveDateTime) -> DateTime<FixedOffset> {
    let first = |moment: NaiveDateTime| match Local.from_local_datetime(&moment) {
        MappedLocalTime::Single(instant) => Some(instant),
        // They come in either order, by the season the zone calls its standard one.
        MappedLocalTime::Ambiguous(one, other) => Some(one.min(other)),
        MappedLocalTime::None => None,
    };
    first(moment)
        .or_else(|| first(moment + chrono::TimeDelta::hours(1)))
        .map_or_else(|| moment.and_utc().fixed_offset(), |instant| instant.fixed_offset())
}

/// `ledger.jarledger` in the XDG data directory.
fn default_path(home: Option<OsString>) -> Result<PathBuf, Failure> {
    let unusable =
        |what: &str| Failure::usage(format!("no ledger was named and {what}"), "give --ledger FILE");
    let given = std::env::var_os("XDG_DATA_HOME").map(PathBuf::from).filter(|path| path.is_absolute());
    let data = match given {
        Some(data) => data,
        None if home.is_none_or(|home| home.is_empty()) => return Err(unusable("HOME is not set")),
        None => etcetera::base_strategy::Xdg::new().map_err(|_| unusable("HOME is not usable"))?.data_dir(),
    };
    Ok(data.join("jarledger").join("ledger.jarledger"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn today_is_told_as_any_other_day() {
        let at = |given: &str| moment(given).map(|moment| moment.to_string());
        assert_eq!(at("2026-08-14"), Ok("2026-08-14 12:00:00".to_owned()));
        assert_eq!(at("2026-08-14T07:30"), Ok("2026-08-14 07:30:00".to_owned()));
        assert_eq!(moment("today").unwrap().date(), Local::now().date_naive());
        let told = moment("02/03/04").unwrap_err();
        assert!(told.contains("2 March 2004") && told.contains("3 February 2004"), "{told}");
        assert!(moment("14:05").is_err());
    }
}
