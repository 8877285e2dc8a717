//! Folders that appear whole or not at all, as `NewFile`s do.

use std::fs::{self, DirBuilder, File};
use std::io::ErrorKind;
use std::os::unix::fs::DirBuilderExt;
use std::path::{Path, PathBuf};

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::error::interrupt::Working;
use crate::ledger::file::header::not_beside_a_ledger;
use crate::ledger::file::new_file::{folder_of, sweep, sync_name, under_temporary_name};

/// A folder in the making.
#[derive(Debug)]
pub(crate) struct NewFolder {
    temp: PathBuf,
    target: PathBuf,
    /// Held locked while the folder is in the making, so that nobody sweeps it away.
    _lock: File,
    _working: Working,
}

impl NewFolder {
    /// Begins an empty folder, its owner's only, that is to become `target`.
    ///
    /// # Errors
    /// [`LedgerError`] when the folder around it does not exist or cannot be written.
    pub fn begin(target: &Path) -> Result<Self, LedgerError> {
        not_beside_a_ledger(target)?;
        let working = Working::begin();
        let around = folder_of(target);
        sweep(around);
        let made = under_temporary_name(around, |temp| {
            DirBuilder::new().mode(0o700).create(temp)?;
            let lock = match File::open(temp) {
                Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
                opened => opened?,
            };
            let _ = lock.try_lock();
            Ok(Some(lock))
        });
        let (temp, lock) = made.map_err(|error| LedgerError::of_io(&error, target, "making it"))?;
        Ok(Self { temp, target: target.to_owned(), _lock: lock, _working: working })
    }

    /// Where the folder is while it is being made.
    pub fn temp(&self) -> &Path {
        &self.temp
    }

    /// Gives the folder its name; where something of that name stands, it is left alone.
    ///
    /// # Errors
    /// [`LedgerError::Exists`] where the name is taken, or another when the disk fails.
    pub(crate) fn take_new_name(self) -> Result<(), LedgerError> {
        if interrupt::asked() {
            return Err(LedgerError::Interrupted);
        }
        if self.target.symlink_metadata().is_ok() {
            return Err(LedgerError::Exists(self.target.clone()));
        }
        fs::rename(&self.temp, &self.target)
            .map_err(|error| LedgerError::of_io(&error, &self.target, "giving it its name"))?;
        sync_name(&self.target)
    }
}

impl Drop for NewFolder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.temp);
    }
}
