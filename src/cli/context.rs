//! What every command runs with: its ledger, and what time it is.

use std::cell::Cell;
use std::mem::ManuallyDrop;
use std::path::PathBuf;
use std::time::{Duration, Instant as Stopwatch, SystemTime};

use chrono::{DateTime, Datelike, FixedOffset, Local, NaiveDate, Utc};

use crate::cli::errors::{Code, Failure, speak_of};
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::ledger::copies::backup::newest_backup;
use crate::ledger::file::open::Ledger;
use crate::rules::canning_day::run::{BootTime, Instant};
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Days after which a backup is old.
pub(super) const OLD_BACKUP_DAYS: i64 = 30;

/// Entries that would be a loss to type again.
const WORTH_A_BACKUP: i64 = 20;

/// Years in which a machine's clock may stand: none has run before 1970, and no day after 2199 is known here.
const CLOCK_YEARS: std::ops::RangeInclusive<i32> = 1970..=2199;

/// Says that the clock is outside those years.
fn strange(clock: Clock) -> String {
    format!("the machine's clock shows {}", on_screen::day(clock.today()))
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
    /// Whether the moment was given instead of read from the clock.
    is_made_up: bool,
    /// When it was read, on a clock that nobody sets.
    gathered: Stopwatch,
    /// What the ledger held once it was opened for writing.
    opened: Cell<Option<Held>>,
}

/// What a ledger held when it was opened for writing.
#[derive(Debug, Clone, Copy)]
struct Held {
    begun: DateTime<Utc>,
    entries: i64,
    last_day: Option<NaiveDate>,
}

/// What the machine's clock shows, in whichever year.
pub(super) fn machine_clock() -> DateTime<Local> {
    SystemTime::now().into()
}

/// The time since the machine started, and which start that was.
pub(super) fn boot_time() -> Option<BootTime> {
    let boot = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?.trim().to_owned();
    let since = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    let ms = u64::try_from(since.tv_sec).ok()?.checked_mul(1_000)?
        + u64::try_from(since.tv_nsec).ok()? / 1_000_000;
    Some(BootTime { boot, ms })
}

impl Context {
    /// Of a moment that was given, or read from the clock just now.
    pub(super) fn gather(path: PathBuf, now: DateTime<FixedOffset>, is_made_up: bool) -> Self {
        speak_of(&path);
        let clock = Clock { now };
        if !CLOCK_YEARS.contains(&clock.now.year()) {
            complain(&format!(
                "note: {}; no day here counts. Set it, or give the day with --today",
                strange(clock)
            ));
        }
        Self { clock, path, draft: false, is_made_up, gathered: Stopwatch::now(), opened: Cell::new(None) }
    }

    /// A command on a file in the making, at this moment.
    pub(super) fn draft(path: PathBuf, clock: Clock) -> Self {
        let gathered = Stopwatch::now();
        Self { clock, path, draft: true, is_made_up: true, gathered, opened: Cell::new(None) }
    }

    /// The same at this moment, for a command that goes on for hours; a moment that was made up goes on as well.
    pub(super) fn by_now(&self) -> Self {
        let now = if self.is_made_up {
            self.clock.now + self.gathered.elapsed()
        } else {
            machine_clock().fixed_offset()
        };
        Self {
            clock: Clock { now },
            path: self.path.clone(),
            draft: self.draft,
            is_made_up: self.is_made_up,
            gathered: Stopwatch::now(),
            opened: Cell::new(None),
        }
    }

    /// How long the command has been going on.
    pub(super) fn running(&self) -> Duration {
        self.gathered.elapsed()
    }

    /// The moment the command runs, on the wall clock and on the one since the machine started.
    ///
    /// Under `--today` the moment is made up, and only a wall clock can show it.
    pub(super) fn instant(&self) -> Instant {
        Instant { at: self.clock.now, boot: if self.is_made_up { None } else { boot_time() } }
    }

    /// Opens the ledger for reading.
    ///
    /// It stays open until the program ends, which frees all of it at once: to close it, SQLite would free its schema piece
    /// by piece.
    pub(super) fn open(&self) -> Result<ManuallyDrop<Ledger>, Failure> {
        let ledger = Ledger::open(&self.path)?;
        on_screen::write_days_in(ledger.day_order()?);
        Ok(ManuallyDrop::new(ledger))
    }

    /// Opens the ledger for writing.
    pub(super) fn open_to_write(&self) -> Result<Ledger, Failure> {
        self.must_know_the_day()?;
        let ledger = Ledger::open_to_write(&self.path)?;
        on_screen::write_days_in(ledger.day_order()?);
        if self.draft {
            ledger.make_hasty()?;
        }
        self.opened.set(Some(Held {
            begun: ledger.begun(),
            entries: ledger.last_entry()?,
            last_day: ledger.day_of_last_entry()?,
        }));
        Ok(ledger)
    }

    /// Whether the moment is one that may be written down.
    pub(super) fn must_know_the_day(&self) -> Result<(), Failure> {
        if CLOCK_YEARS.contains(&self.clock.now.year()) {
            return Ok(());
        }
        let message = format!("{}; nothing was changed", strange(self.clock));
        Err(Failure::new(Code::Refused, message, "set the clock, or give the day with --today"))
    }

    /// After the first thing written on a day: says so if the newest backup is old. Looking writes nothing.
    pub(super) fn remind(&self, screen: &mut Screen) {
        let Some(Held { begun, entries, last_day }) = self.opened.get() else { return };
        if last_day == Some(self.clock.today()) {
            return;
        }
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
