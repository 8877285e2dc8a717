//! Backups: verified copies, named by the moment they were made, kept by count.
//!
//! They stand in a folder beside the ledger, `ledger-backups` for `ledger.jarledger`, or where the
//! user says. That folder is also how the age of the newest is known: from the names in it, and
//! from a file `elsewhere` that names the last backup made in another place. Looking changes nothing.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::Read;
use std::os::unix::ffi::{OsStrExt, OsStringExt};
use std::path::{Path, PathBuf};

use chrono::{DateTime, NaiveDateTime, Utc};

use crate::ledger::copies::copy::Extent;
use crate::ledger::error::LedgerError;
use crate::ledger::error::regular::open_own;
use crate::ledger::file::create::make_folder;
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::values::time::clock::Clock;

/// How a moment is written in a file name.
const STAMP: &str = "%Y-%m-%dT%H%M%SZ";

/// What the names of ledger files end in.
const EXTENSION: &str = ".jarledger";

/// Names the last backup made outside the folder: a stamp, a line break, the path.
const ELSEWHERE: &str = "elsewhere";

/// More than a stamp and any path.
const LONGEST_NOTE: u64 = 8192;

/// Where a backup goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// The folder beside the ledger.
    Beside,
    /// A folder of the user's; the name follows from the moment.
    Folder(PathBuf),
    /// A file of the user's choice, that does not exist yet.
    File(PathBuf),
}

/// A backup that was made.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Made {
    /// The file.
    pub file: PathBuf,
    /// What is in it.
    #[serde(flatten)]
    pub extent: Extent,
    /// Older backups removed from its folder.
    pub removed: Vec<PathBuf>,
}

/// The newest backup known of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Newest {
    /// The file.
    pub file: PathBuf,
    /// When it was made.
    pub at: DateTime<Utc>,
    /// Whether it can be seen from here: its disk may not be plugged in.
    pub here: bool,
}

impl Ledger {
    /// Makes a verified backup, then removes the oldest in its folder beyond `keep`.
    ///
    /// Only backups of this ledger that bear a name given here are removed, and none that holds
    /// more entries than the new one.
    ///
    /// # Errors
    /// [`LedgerError`] where the copy cannot be made or is not whole; older backups then stand.
    pub fn backup(&self, target: &Target, keep: usize, clock: Clock) -> Result<Made, LedgerError> {
        let (folder, file) = match target {
            Target::Beside => {
                let folder = backup_folder(&self.path);
                make_folder(&folder)?;
                (Some(folder.clone()), free_name(&folder, &self.path, "", clock))
            }
            Target::Folder(folder) => (Some(folder.clone()), free_name(folder, &self.path, "", clock)),
            Target::File(file) => (None, file.clone()),
        };
        let extent = self.copy_to(&file)?;
        if *target != Target::Beside {
            self.remember_elsewhere(&file, clock)?;
        }
        let removed = match folder {
            Some(folder) => self.remove_oldest(&folder, keep, &extent),
            None => Vec::new(),
        };
        Ok(Made { file, extent, removed })
    }

    /// Copies the ledger as it is before its schema is changed.
    pub(in crate::ledger) fn copy_before_migration(
        &self,
        now: DateTime<Utc>,
    ) -> Result<PathBuf, LedgerError> {
        let folder = backup_folder(&self.path);
        make_folder(&folder)?;
        let clock = Clock { now: now.fixed_offset() };
        let file = free_name(&folder, &self.path, &format!("-schema-{}", self.version()), clock);
        self.copy_to(&file)?;
        Ok(file)
    }

    fn remember_elsewhere(&self, file: &Path, clock: Clock) -> Result<(), LedgerError> {
        let folder = backup_folder(&self.path);
        make_folder(&folder)?;
        let note = NewFile::begin(&folder.join(ELSEWHERE))?;
        let absolute = file.canonicalize().unwrap_or_else(|_| file.to_owned());
        let text = [stamp(clock).as_bytes(), b"\n", absolute.as_os_str().as_bytes()].concat();
        fs::write(note.temp(), text).map_err(|error| LedgerError::of_io(&error, &folder, "writing in it"))?;
        note.replace()
    }

    fn remove_oldest(&self, folder: &Path, keep: usize, newest: &Extent) -> Vec<PathBuf> {
        let mut backups = backups_in(folder, &self.path);
        backups.sort_by_key(|backup| std::cmp::Reverse((backup.at, backup.number)));
        let mut removed = Vec::new();
        for Named { file, .. } in backups.into_iter().skip(keep.max(1)) {
            let ours = Self::open_as_is(&file).and_then(|backup| backup.extent());
            let spare = ours.is_ok_and(|old| old.uuid == newest.uuid && old.entries <= newest.entries);
            if spare && fs::remove_file(&file).is_ok() {
                removed.push(file);
            }
        }
        removed
    }
}

/// The folder beside a ledger where its backups stand.
pub(crate) fn backup_folder(ledger: &Path) -> PathBuf {
    let ledger = ledger.canonicalize().unwrap_or_else(|_| ledger.to_owned());
    let mut name = stem(&ledger);
    name.push("-backups");
    folder_of(&ledger).join(name)
}

/// The newest backup of a ledger, by the names in its folder and the note of one made elsewhere.
pub fn newest_backup(ledger: &Path) -> Option<Newest> {
    let elsewhere = read_elsewhere(&backup_folder(ledger));
    backups(ledger).into_iter().next().into_iter().chain(elsewhere).max_by_key(|newest| newest.at)
}

/// The backups of a ledger in its folder, the newest first.
pub fn backups(ledger: &Path) -> Vec<Newest> {
    let mut beside = backups_in(&backup_folder(ledger), ledger);
    beside.sort_by_key(|backup| std::cmp::Reverse((backup.at, backup.number)));
    beside.into_iter().map(|Named { at, file, .. }| Newest { file, at, here: true }).collect()
}

fn read_elsewhere(folder: &Path) -> Option<Newest> {
    let mut note = Vec::new();
    open_own(&folder.join(ELSEWHERE)).and_then(|file| file.take(LONGEST_NOTE).read_to_end(&mut note)).ok()?;
    let at = note.iter().position(|&byte| byte == b'\n')?;
    let made = read_stamp(std::str::from_utf8(&note[..at]).ok()?)?;
    let file = PathBuf::from(OsString::from_vec(note[at + 1..].to_vec()));
    let here = file.is_file();
    Some(Newest { file, at: made, here })
}

/// A file with a backup's name.
struct Named {
    at: DateTime<Utc>,
    /// 1 for the first of its second.
    number: u32,
    file: PathBuf,
}

/// Files in a folder that bear the name of a backup of this ledger.
fn backups_in(folder: &Path, ledger: &Path) -> Vec<Named> {
    let Ok(names) = fs::read_dir(folder) else { return Vec::new() };
    let stem = stem(ledger);
    names
        .flatten()
        .filter_map(|found| {
            let name = found.file_name();
            let rest = name.as_bytes().strip_prefix(stem.as_bytes())?.strip_prefix(b"-")?;
            let rest = std::str::from_utf8(rest).ok()?.strip_suffix(EXTENSION)?;
            let (stamp, number) = rest.split_once('Z')?;
            let number = if number.is_empty() { 1 } else { number.strip_prefix('-')?.parse().ok()? };
            Some(Named { at: read_stamp(&format!("{stamp}Z"))?, number, file: found.path() })
        })
        .collect()
}

/// A name in `folder` that says which ledger, when, and what for, and that no file has yet.
pub(in crate::ledger) fn free_name(folder: &Path, ledger: &Path, what_for: &str, clock: Clock) -> PathBuf {
    let mut base = stem(ledger);
    base.push(format!("{what_for}-{}", stamp(clock)));
    (1..)
        .map(|number| {
            let mut name = base.clone();
            if number > 1 {
                name.push(format!("-{number}"));
            }
            name.push(EXTENSION);
            folder.join(name)
        })
        .find(|file| file.symlink_metadata().is_err())
        .expect("a folder holds finitely many files")
}

fn stamp(clock: Clock) -> String {
    clock.now.to_utc().format(STAMP).to_string()
}

fn read_stamp(text: &str) -> Option<DateTime<Utc>> {
    NaiveDateTime::parse_from_str(text, STAMP).ok().map(|moment| moment.and_utc())
}

/// The name of a ledger's file without its extension, whatever link leads to it.
fn stem(ledger: &Path) -> OsString {
    let real = ledger.canonicalize();
    let file = real.as_deref().unwrap_or(ledger);
    file.file_stem().unwrap_or(OsStr::new("ledger")).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_given_to_backups_count_as_backups() {
        let folder = tempfile::TempDir::new().unwrap();
        for name in [
            "jars-2026-08-30T101500Z.jarledger",
            "jars-2026-09-01T101500Z.jarledger",
            "jars-2026-09-01T101500Z-2.jarledger",
            "jars-replaced-2026-09-05T101500Z.jarledger",
            "jars-2026-13-01T101500Z.jarledger",
            "jars-2026-09-09T101500Z.csv",
            "jams-2026-09-09T101500Z.jarledger",
            "jars.jarledger",
        ] {
            fs::write(folder.path().join(name), b"").unwrap();
        }
        let mut found: Vec<String> = backups_in(folder.path(), Path::new("/x/jars.jarledger"))
            .into_iter()
            .map(|backup| backup.file.file_name().unwrap().to_string_lossy().into_owned())
            .collect();
        found.sort();
        assert_eq!(
            found,
            [
                "jars-2026-08-30T101500Z.jarledger",
                "jars-2026-09-01T101500Z-2.jarledger",
                "jars-2026-09-01T101500Z.jarledger",
            ]
        );
    }

    #[test]
    fn a_name_that_is_taken_is_passed_over() {
        let folder = tempfile::TempDir::new().unwrap();
        let clock = Clock { now: "2026-09-01T12:15:00+02:00".parse().unwrap() };
        let ledger = Path::new("jars.jarledger");
        let first = free_name(folder.path(), ledger, "", clock);
        assert_eq!(first.file_name().unwrap(), "jars-2026-09-01T101500Z.jarledger");
        fs::write(&first, b"").unwrap();
        let second = free_name(folder.path(), ledger, "", clock);
        assert_eq!(second.file_name().unwrap(), "jars-2026-09-01T101500Z-2.jarledger");
    }
}
