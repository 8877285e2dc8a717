//! The first hundred bytes of a ledger file, read before SQLite sees any of it.
//!
//! Offsets are those of the SQLite file format, "The Database Header".

use std::ffi::OsStr;
use std::io::{ErrorKind, Read};
use std::os::unix::ffi::OsStrExt;
use std::path::{Path, PathBuf};

use crate::ledger::error::LedgerError;
use crate::ledger::error::regular::open_regular;
use crate::ledger::schema::version::{APPLICATION_ID, Version};

const MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// What the header says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::ledger) struct Header {
    /// Bytes of one page.
    pub(in crate::ledger) page_size: u32,
    /// Length of the file in pages.
    pub(in crate::ledger) pages: u64,
    /// The schema version.
    pub(in crate::ledger) version: Version,
}

/// Follows links to the file itself, so that its journal is looked for beside it.
pub(in crate::ledger) fn resolve(path: &Path) -> Result<PathBuf, LedgerError> {
    path.canonicalize().map_err(|error| match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory | ErrorKind::InvalidFilename => {
            LedgerError::NoLedger(path.to_owned())
        }
        _ => LedgerError::of_io(&error, path, "looking for it"),
    })
}

/// Reads the header of a resolved path and refuses what is no ledger of ours, or a later one.
pub(in crate::ledger) fn read_header(path: &Path) -> Result<Header, LedgerError> {
    let not_ours = |what: &str| LedgerError::NotOurs { path: path.to_owned(), what: what.to_owned() };
    let damaged = |what: &str| LedgerError::Damaged { path: path.to_owned(), what: what.to_owned() };
    let failed = |error: std::io::Error| LedgerError::of_io(&error, path, "reading it");
    let about = path.metadata().map_err(failed)?;
    if about.is_dir() {
        return Err(not_ours("it is a folder"));
    }
    // A pipe or a device would be waited on for ever.
    if !about.is_file() {
        return Err(not_ours("it is not a plain file"));
    }
    let mut bytes = Vec::with_capacity(100);
    open_regular(path).and_then(|file| file.take(100).read_to_end(&mut bytes)).map_err(failed)?;
    if bytes.is_empty() {
        return Err(not_ours("it is empty: 0 bytes"));
    }
    if !bytes.starts_with(MAGIC) {
        return Err(not_ours("it is not an SQLite file"));
    }
    let Ok(header) = <[u8; 100]>::try_from(bytes) else {
        return Err(damaged("it is cut off inside its header"));
    };
    let word = |at: usize| {
        let bytes = header[at..at + 4].try_into().expect("four bytes were sliced");
        i32::from_be_bytes(bytes)
    };
    if word(68) != APPLICATION_ID {
        return Err(not_ours("it is an SQLite file of another program"));
    }
    let version =
        Version::from_stamp(word(60)).ok_or_else(|| damaged("its schema version is not one of ours"))?;
    if version.major > Version::CURRENT.major {
        return Err(LedgerError::TooNew {
            path: path.to_owned(),
            found: version.to_string(),
            known: Version::CURRENT.to_string(),
        });
    }
    // 1 is a rollback journal, 2 a write-ahead log: the file's format, 1.3.3.
    match (header[18], header[19]) {
        (1, 1) if !has_bytes(&with_suffix(path, "-wal")) => {}
        (1 | 2, 1 | 2) => return Err(LedgerError::WriteAhead { path: path.to_owned() }),
        _ => return Err(damaged("its file format is one that no release writes")),
    }
    // Every release writes schema format 4 and UTF-8.
    if (word(44), word(56)) != (4, 1) {
        return Err(damaged("its file format is one that no release writes"));
    }
    let page_size = match u16::from_be_bytes([header[16], header[17]]) {
        1 => 65_536,
        size if size >= 512 && size.is_power_of_two() => u32::from(size),
        _ => return Err(damaged("its page size is no page size")),
    };
    if about.len() < u64::from(page_size) {
        return Err(damaged("it is cut off inside its first page"));
    }
    Ok(Header { page_size, pages: about.len() / u64::from(page_size), version })
}

/// The path with more letters at its end.
pub(in crate::ledger) fn with_suffix(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// The files beside a ledger in which SQLite keeps part of it, by what their names end with.
pub(in crate::ledger) const BESIDE: [&str; 3] = ["-journal", "-wal", "-shm"];

/// Refuses a ledger beside which something else stands where SQLite would look for a file of its own: it would follow a
/// link, and wait for ever at a pipe.
pub(in crate::ledger) fn nothing_odd_beside(path: &Path) -> Result<(), LedgerError> {
    for beside in BESIDE.map(|ending| with_suffix(path, ending)) {
        if beside.symlink_metadata().is_ok_and(|about| !about.is_file()) {
            return Err(LedgerError::Refused {
                what: format!(
                    "{} stands where the journal of the ledger goes, and is not a regular file",
                    beside.display()
                ),
                hint: "see what it is with `ls -l`, and move it away".to_owned(),
            });
        }
    }
    Ok(())
}

/// Refuses to make a file where none stands any more, and only what SQLite kept beside it was left behind: SQLite would take
/// that for part of the new one.
pub(in crate::ledger) fn nothing_left_beside(path: &Path) -> Result<(), LedgerError> {
    if path.symlink_metadata().is_ok() {
        return Ok(());
    }
    match BESIDE.map(|ending| with_suffix(path, ending)).iter().find(|left| left.symlink_metadata().is_ok()) {
        None => Ok(()),
        Some(left) => Err(LedgerError::Refused {
            what: format!(
                "{} was left behind by another file, and would be read as part of the new one",
                left.display()
            ),
            hint: "move it to where you keep the file it belongs to, then try again".to_owned(),
        }),
    }
}

/// Whether the file is a database of another program, whatever its state.
pub(in crate::ledger) fn is_foreign(path: &Path) -> bool {
    application_id(path).is_some_and(|id| id != APPLICATION_ID)
}

/// Whether the file is a ledger, whatever its state.
pub(crate) fn is_ledger(path: &Path) -> bool {
    application_id(path) == Some(APPLICATION_ID)
}

/// The application id, which says whose database it is; none: the file is no database.
fn application_id(path: &Path) -> Option<i32> {
    let mut header = [0; 72];
    open_regular(path).and_then(|mut file| file.read_exact(&mut header)).ok()?;
    let id = header[68..72].try_into().expect("four bytes were sliced");
    header.starts_with(MAGIC).then_some(i32::from_be_bytes(id))
}

/// Refuses a name that belongs to a ledger's journal: SQLite would take the new file for one and roll it back into that
/// ledger.
pub(crate) fn not_beside_a_ledger(target: &Path) -> Result<(), LedgerError> {
    let name = target.file_name().map(OsStr::as_bytes).unwrap_or_default();
    for ending in BESIDE {
        let Some(stem) = name.strip_suffix(ending.as_bytes()) else { continue };
        let ledger = target.with_file_name(OsStr::from_bytes(stem));
        if is_ledger(&ledger) {
            return Err(LedgerError::Refused {
                what: format!(
                    "{} is a name that the ledger {} keeps for itself",
                    target.display(),
                    ledger.display()
                ),
                hint: "name another file".to_owned(),
            });
        }
    }
    Ok(())
}

/// The journal that holds what a transaction under way would be rolled back to.
pub(in crate::ledger) fn journal_of(path: &Path) -> PathBuf {
    with_suffix(path, "-journal")
}

fn has_bytes(path: &Path) -> bool {
    path.metadata().is_ok_and(|about| about.len() > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_of_another_ledger_is_never_read_as_part_of_a_new_one() {
        let folder = tempfile::tempdir().unwrap();
        let ledger = folder.path().join("new.jarledger");
        for ending in BESIDE {
            let left = with_suffix(&ledger, ending);
            std::fs::write(&left, "left").unwrap();
            assert!(matches!(nothing_left_beside(&ledger), Err(LedgerError::Refused { .. })), "{ending}");
            std::fs::remove_file(&left).unwrap();
        }
        assert!(nothing_left_beside(&ledger).is_ok());
        // Beside a ledger that is there they are its own.
        std::fs::write(&ledger, "there").unwrap();
        std::fs::write(with_suffix(&ledger, "-journal"), "its own").unwrap();
        assert!(nothing_left_beside(&ledger).is_ok());
    }
}
