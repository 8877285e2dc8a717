//! Files that appear whole or not at all.
//!
//! A file is made under a temporary name in its folder, synced, and only then given
//! its own name. One that is never finished is removed when it is dropped; one whose
//! maker was killed is swept away by the next that makes a file in that folder.

use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, ErrorKind};
use std::os::unix::fs::{MetadataExt, OpenOptionsExt, PermissionsExt, fchown};
use std::path::{Path, PathBuf};

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::error::interrupt::Working;
use crate::ledger::error::regular::open_own;
use crate::ledger::file::header::{not_beside_a_ledger, nothing_left_beside, with_suffix};

/// What all temporary names begin with.
const PREFIX: &str = ".jarledger-new-";

/// Names tried before giving up.
const NAMES: u32 = 1_000;

/// Makes a thing in a folder under a temporary name nobody uses.
///
/// `make` makes it and locks it; it gives none where what it made was swept away in the instant before it was locked.
pub(in crate::ledger) fn under_temporary_name(
    folder: &Path,
    mut make: impl FnMut(&Path) -> io::Result<Option<File>>,
) -> io::Result<(PathBuf, File)> {
    for number in 0..NAMES {
        let temp = folder.join(format!("{PREFIX}{}-{number}", std::process::id()));
        match make(&temp) {
            Ok(Some(lock)) => return Ok((temp, lock)),
            Ok(None) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(ErrorKind::AlreadyExists.into())
}

/// A file in the making.
#[derive(Debug)]
pub(crate) struct NewFile {
    temp: PathBuf,
    target: PathBuf,
    /// Held locked while the file is in the making, so that nobody sweeps it away.
    lock: File,
    _working: Working,
}

impl NewFile {
    /// Begins an empty file, readable by its owner only, that is to become `target`.
    ///
    /// # Errors
    /// [`LedgerError`] when the folder does not exist or cannot be written.
    pub fn begin(target: &Path) -> Result<Self, LedgerError> {
        not_beside_a_ledger(target)?;
        nothing_left_beside(target)?;
        let working = Working::begin();
        let folder = folder_of(target);
        sweep(folder);
        let made = under_temporary_name(folder, |temp| {
            let lock = OpenOptions::new().write(true).create_new(true).mode(0o600).open(temp)?;
            // Where the file system knows no locks, nothing is swept either.
            let _ = lock.try_lock();
            Ok(is_same_file(&lock, temp).then_some(lock))
        });
        let (temp, lock) = made.map_err(|error| LedgerError::of_io(&error, target, "making it"))?;
        Ok(Self { temp, target: target.to_owned(), lock, _working: working })
    }

    /// Where the file is while it is being made.
    pub fn temp(&self) -> &Path {
        &self.temp
    }

    /// What the file is to become.
    pub(in crate::ledger) fn target(&self) -> &Path {
        &self.target
    }

    /// Gives the file its name; where a file of that name stands, it is left alone.
    ///
    /// # Errors
    /// [`LedgerError::Exists`] where the name is taken, or another when the disk fails.
    pub(crate) fn take_new_name(self) -> Result<(), LedgerError> {
        self.settle()?;
        match fs::hard_link(&self.temp, &self.target) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                return Err(LedgerError::Exists(self.target.clone()));
            }
            // Without hard links the look and the renaming are two steps, and another program may come between them.
            Err(_) if !self.target.exists() && self.target.symlink_metadata().is_err() => {
                fs::rename(&self.temp, &self.target)
                    .map_err(|error| LedgerError::of_io(&error, &self.target, "giving it its name"))?;
            }
            Err(_) => return Err(LedgerError::Exists(self.target.clone())),
        }
        self.remove_temp();
        sync_name(&self.target)
    }

    /// Lets those read and write the file who may do so with the one it is to replace.
    pub(crate) fn take_after(&self, old: &Path) -> Result<(), LedgerError> {
        let Ok(old) = fs::metadata(old) else { return Ok(()) };
        let kept = fchown(&self.lock, Some(old.uid()), Some(old.gid()))
            .or_else(|_| fchown(&self.lock, None, Some(old.gid())))
            .is_ok();
        // Where the group cannot be kept, its rights would fall to another.
        let mode = old.mode() & if kept { 0o777 } else { 0o707 };
        self.lock
            .set_permissions(Permissions::from_mode(mode))
            .map_err(|error| LedgerError::of_io(&error, &self.target, "giving it its permissions"))
    }

    /// Gives the file its name, in the place of any file that had it.
    ///
    /// # Errors
    /// [`LedgerError`] when the disk fails; the old file then stands, unless the error says that the new one does.
    pub fn replace(self) -> Result<(), LedgerError> {
        self.settle()?;
        fs::rename(&self.temp, &self.target)
            .map_err(|error| LedgerError::of_io(&error, &self.target, "giving it its name"))?;
        sync_name(&self.target)
    }

    /// Syncs what was written, unless the program was asked to stop.
    fn settle(&self) -> Result<(), LedgerError> {
        if interrupt::asked() {
            return Err(LedgerError::Interrupted);
        }
        self.lock
            .sync_all()
            .map_err(|error| LedgerError::of_io(&error, &self.target, "syncing it to the disk"))
    }

    fn remove_temp(&self) {
        let _ = fs::remove_file(&self.temp);
        let _ = fs::remove_file(with_suffix(&self.temp, "-journal"));
    }
}

impl Drop for NewFile {
    fn drop(&mut self) {
        self.remove_temp();
    }
}

pub(crate) fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Syncs the name that was just given to a file or folder, which stands there whether this succeeds or not.
pub(in crate::ledger) fn sync_name(file: &Path) -> Result<(), LedgerError> {
    let folder = folder_of(file);
    match File::open(folder).and_then(|folder| folder.sync_all()) {
        Ok(()) => Ok(()),
        // Some file systems have nothing to sync in a folder and say so.
        Err(error) if error.kind() == ErrorKind::InvalidInput => Ok(()),
        Err(error) => Err(LedgerError::Unconfirmed {
            path: file.to_owned(),
            what: format!("syncing its folder to the disk failed: {error}"),
            saved: true,
        }),
    }
}

fn is_same_file(open: &File, path: &Path) -> bool {
    let (Ok(open), Ok(named)) = (open.metadata(), fs::symlink_metadata(path)) else { return false };
    (open.dev(), open.ino()) == (named.dev(), named.ino())
}

/// Removes what makers that were killed left in a folder.
pub(in crate::ledger) fn sweep(folder: &Path) {
    let Ok(names) = fs::read_dir(folder) else { return };
    for found in names.flatten() {
        let name = found.file_name();
        let Some(name) = name.to_str().filter(|name| name.starts_with(PREFIX)) else { continue };
        let made = folder.join(name.strip_suffix("-journal").unwrap_or(name));
        let Ok(kind) = found.file_type() else { continue };
        if kind.is_symlink() || in_the_making(&made) {
            continue;
        }
        let _ = if kind.is_dir() { fs::remove_dir_all(found.path()) } else { fs::remove_file(found.path()) };
    }
}

/// Whether somebody holds the file's lock. One that cannot be asked counts as held.
fn in_the_making(path: &Path) -> bool {
    // A folder in the making holds its lock itself; nothing waits at one that is opened.
    let is_folder = fs::symlink_metadata(path).is_ok_and(|found| found.is_dir());
    match if is_folder { File::open(path) } else { open_own(path) } {
        Ok(file) => file.try_lock().is_err(),
        Err(error) => error.kind() != io::ErrorKind::NotFound,
    }
}
