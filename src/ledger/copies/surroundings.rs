//! Where a ledger file lives, by its path, its folder and its disk, without opening it.

use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::{Path, PathBuf};

use crate::ledger::copies::copy::Extent;
use crate::ledger::error::LedgerError;
use crate::ledger::file::header::journal_of;
use crate::ledger::file::new_file::folder_of;
use crate::ledger::file::open::Ledger;

/// File systems that reach over a network, where locks may not hold between machines (names as the
/// system's mount table gives them).
const NETWORK: &[&str] = &[
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "9p",
    "afs",
    "ceph",
    "glusterfs",
    "davfs",
    "fuse.sshfs",
    "fuse.rclone",
    "vboxsf",
];

/// Folder names that programs use which copy files between machines behind SQLite's back.
const SYNCED: &[&str] = &[
    "dropbox",
    "onedrive",
    "google drive",
    "googledrive",
    "nextcloud",
    "owncloud",
    "icloud",
    "syncthing",
    "pcloud",
];

/// Marks such programs leave in a folder.
const SYNC_MARKS: &[&str] = &[".stfolder", ".dropbox", ".sync", ".nextcloudsync.log"];

/// What can be known of a ledger file from outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Surroundings {
    /// The file itself, links followed; none: there is none.
    pub file: Option<PathBuf>,
    /// Its length in bytes.
    pub bytes: Option<u64>,
    /// Its permission bits.
    pub mode: Option<u32>,
    /// How many names it has; more than one is a hard link.
    pub names: Option<u64>,
    /// The journal of a write that was stopped, or is under way.
    pub journal: Option<PathBuf>,
    /// The kind of file system, where the system says.
    pub file_system: Option<String>,
    /// Whether that reaches over a network.
    pub over_network: bool,
    /// The folder that another program seems to copy between machines.
    pub synced_by: Option<PathBuf>,
    /// Files that look like a second version such a program made.
    pub conflicts: Vec<PathBuf>,
}

/// Looks at the file at `path` from outside.
pub(crate) fn surroundings(path: &Path) -> Surroundings {
    let file = path.canonicalize().ok();
    let place = file.clone().or_else(|| std::path::absolute(path).ok()).unwrap_or_else(|| path.to_owned());
    let about = file.as_ref().and_then(|file| fs::metadata(file).ok());
    let file_system = file_system_of(&place);
    let journal = journal_of(&place);
    Surroundings {
        bytes: about.as_ref().map(fs::Metadata::len),
        mode: about.as_ref().map(|about| about.permissions().mode() & 0o7777),
        names: about.as_ref().map(MetadataExt::nlink),
        journal: journal.metadata().is_ok_and(|about| about.len() > 0).then_some(journal),
        over_network: file_system.as_deref().is_some_and(|kind| NETWORK.contains(&kind)),
        file_system,
        synced_by: synced_by(&place),
        conflicts: conflicts(&place),
        file,
    }
}

/// Opens the ledger as it is and counts what is in it, rolling nothing back and upgrading nothing.
///
/// # Errors
/// [`LedgerError`] that any command would meet; [`LedgerError::NeedsRecovery`] where one would
/// first roll back.
pub(crate) fn as_it_is(path: &Path) -> Result<Extent, LedgerError> {
    Ledger::open_untouched(path)?.extent()
}

/// The kind of file system a path is on, by the longest mount point above it.
fn file_system_of(path: &Path) -> Option<String> {
    let mounts = fs::read_to_string("/proc/self/mountinfo").ok()?;
    mounts
        .lines()
        .filter_map(|line| {
            let (left, right) = line.split_once(" - ")?;
            let point = left.split(' ').nth(4)?.replace("\\040", " ");
            path.starts_with(&point)
                .then(|| (point.len(), right.split(' ').next().unwrap_or_default().to_owned()))
        })
        // Of two mounts on one point the later covers the earlier.
        .max_by_key(|(length, _)| *length)
        .map(|(_, kind)| kind)
}

fn synced_by(file: &Path) -> Option<PathBuf> {
    file.ancestors()
        .skip(1)
        .find(|folder| {
            let name =
                folder.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
            SYNCED.iter().any(|synced| name == *synced || name.starts_with(&format!("{synced} ")))
                || SYNC_MARKS.iter().any(|mark| folder.join(mark).exists())
        })
        .map(Path::to_owned)
}

/// Siblings whose names begin like the ledger's and speak of a conflict.
fn conflicts(file: &Path) -> Vec<PathBuf> {
    let Some(stem) = file.file_stem().map(|stem| stem.to_string_lossy().to_lowercase()) else {
        return Vec::new();
    };
    let Ok(names) = fs::read_dir(folder_of(file)) else { return Vec::new() };
    let mut found: Vec<PathBuf> = names
        .flatten()
        .filter(|found| {
            let name = found.file_name().to_string_lossy().to_lowercase();
            name.starts_with(&stem) && name.contains("conflict")
        })
        .map(|found| found.path())
        .collect();
    found.sort();
    found
}
