//! Bringing back a backup in the place of the ledger, keeping what was there.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use crate::ledger::copies::backup::free_name;
use crate::ledger::copies::copy::{Extent, copy_pages};
use crate::ledger::error::LedgerError;
use crate::ledger::file::connect::{Access, connect};
use crate::ledger::file::create::make_folder;
use crate::ledger::file::header::with_suffix;
use crate::ledger::file::header::{BESIDE, is_foreign, resolve};
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved;
use crate::ledger::jar::live::LIVE;
use crate::ledger::schema::row::batch_code;
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::time::clock::Clock;

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Restored {
    /// What the ledger holds now.
    #[serde(flatten)]
    pub extent: Extent,
    /// Where the replaced ledger is kept; none: there was none.
    pub replaced: Option<PathBuf>,
}

/// Reads every page of a ledger file and says what is in it.
///
/// # Errors
/// [`LedgerError`] where it is no ledger or not whole.
pub(crate) fn look_at(file: &Path) -> Result<Extent, LedgerError> {
    let ledger = Ledger::open_as_is(file)?;
    ledger.must_be_whole()?;
    ledger.extent()
}

/// Puts a copy of `file` in the place of the ledger at `path`, which is kept beside it first.
///
/// # Errors
/// [`LedgerError`] where `file` is not whole, another program holds the ledger, or the disk
/// fails; the ledger then stands as it was.
pub fn restore(file: &Path, path: &Path, clock: Clock) -> Result<Restored, LedgerError> {
    let from = Ledger::open_as_is(file)?;
    from.must_be_whole()?;
    let target = match resolve(path) {
        Ok(target) => target,
        Err(LedgerError::NoLedger(_)) => {
            make_folder(folder_of(path))?;
            path.to_owned()
        }
        Err(error) => return Err(error),
    };
    let old = Old::lock(path, &target)?;
    let new = NewFile::begin(&target)?;
    let extent = from.copy_into(&new)?;
    let kept = free_name(folder_of(&target), path, "-replaced", clock);
    let replaced = old.keep(&target, &kept)?.then_some(kept);
    new.take_after(&target)?;
    // Where the old file could be opened it is locked until the new one has its name, so that
    // nobody is half-way through a write when it goes.
    new.replace()?;
    saved::in_place(path);
    drop(old);
    Ok(Restored { extent, replaced })
}

/// How jars stand in a restored ledger that stood otherwise in the one it replaced.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Otherwise {
    /// On hold now, and not before.
    pub put_on_hold: Vec<JarCode>,
    /// On hold before, and now no more.
    pub let_go: Vec<JarCode>,
    /// The loads withheld now, and not before.
    pub withheld: Vec<LoadCode>,
}

impl Otherwise {
    /// Compares a restored ledger with the file of the one it replaced; none where that is another ledger.
    pub fn of(replaced: &Path, ledger: &Ledger) -> Result<Option<Self>, LedgerError> {
        let before = Ledger::open_as_is(replaced)?;
        if before.extent()?.uuid != ledger.extent()?.uuid {
            return Ok(None);
        }
        let (held, holds) = (before.held_jars()?, ledger.held_jars()?);
        let (short, is_short) = (before.short_loads()?, ledger.short_loads()?);
        let mut let_go = Vec::new();
        for &jar in held.difference(&holds) {
            if ledger.jar(jar).is_ok_and(|jar| jar.state.is_live()) {
                let_go.push(jar);
            }
        }
        Ok(Some(Self {
            put_on_hold: holds.difference(&held).copied().collect(),
            let_go,
            withheld: is_short.difference(&short).copied().collect(),
        }))
    }
}

impl Ledger {
    fn held_jars(&self) -> Result<BTreeSet<JarCode>, LedgerError> {
        let mut statement = self.conn.prepare(&format!(
            "SELECT b.year, b.number AS batch_number, j.number FROM jar j JOIN batch b ON b.id = j.batch_id
             WHERE {LIVE} AND j.held = 1"
        ))?;
        let rows = statement
            .query_and_then([], |row| Ok(JarCode { batch: batch_code(row)?, number: row.get("number")? }))?;
        rows.collect()
    }

    /// The loads whose record withholds their jars.
    fn short_loads(&self) -> Result<BTreeSet<LoadCode>, LedgerError> {
        let mut short = BTreeSet::new();
        let loads = "SELECT id FROM load WHERE verdict IN ('deviates', 'no-tested-process') AND id > ?1";
        for load in self.load_ids(loads, 0)? {
            short.extend(self.withheld_if_in_force(load)?);
        }
        Ok(short)
    }
}

/// The file that is to be replaced.
enum Old {
    /// There is none.
    Missing,
    /// Locked against every other writer while this lives, and rolled back to its last whole state.
    Locked(#[expect(dead_code, reason = "held for its lock")] Connection),
    /// Not a database that can be opened: nobody else can be at work in it.
    Unusable,
}

impl Old {
    fn lock(path: &Path, target: &Path) -> Result<Self, LedgerError> {
        if !target.exists() {
            return Ok(Self::Missing);
        }
        if !target.is_file() || is_foreign(target) {
            return Err(LedgerError::NotOurs {
                path: path.to_owned(),
                what: "it belongs to another program".to_owned(),
            });
        }
        let locked = connect(target, Access::Write).and_then(|conn| {
            conn.execute_batch("BEGIN IMMEDIATE")?;
            Ok(conn)
        });
        match locked.map_err(|error| error.at(path).about(path)) {
            Ok(conn) => Ok(Self::Locked(conn)),
            Err(
                LedgerError::NotOurs { .. } | LedgerError::Damaged { .. } | LedgerError::WriteAhead { .. },
            ) => Ok(Self::Unusable),
            Err(error) => Err(error),
        }
    }

    /// Copies the file to `kept`, and says whether there was one.
    fn keep(&self, target: &Path, kept: &Path) -> Result<bool, LedgerError> {
        let failed = |error: std::io::Error| LedgerError::of_io(&error, kept, "copying the ledger to it");
        match self {
            Self::Missing => Ok(false),
            Self::Locked(_) => {
                let copy = NewFile::begin(kept)?;
                // A second connection: one that writes cannot be copied from.
                copy_pages(&connect(target, Access::Read)?, &copy)?;
                copy.take_new_name().map_err(not_yet)?;
                set_aside(target, kept)?;
                Ok(true)
            }
            Self::Unusable => {
                let copy = NewFile::begin(kept)?;
                fs::copy(target, copy.temp()).map_err(failed)?;
                copy.take_new_name().map_err(not_yet)?;
                set_aside(target, kept)?;
                Ok(true)
            }
        }
    }
}

/// Where the copy of the old ledger may not be on disk yet, the restore stops before anything is replaced.
fn not_yet(error: LedgerError) -> LedgerError {
    match error {
        LedgerError::Unconfirmed { path, what, .. } => LedgerError::Io { path, what },
        other => other,
    }
}

/// Moves what SQLite keeps beside the old file to its copy: it would be mixed into the new one.
fn set_aside(target: &Path, kept: &Path) -> Result<(), LedgerError> {
    for ending in BESIDE {
        let (beside, to) = (with_suffix(target, ending), with_suffix(kept, ending));
        if beside.exists() {
            fs::rename(&beside, &to)
                .map_err(|error| LedgerError::of_io(&error, &to, "moving what stood beside the ledger"))?;
        }
    }
    Ok(())
}
