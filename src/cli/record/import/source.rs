//! Where a list comes from: a file that can be read again, or what came through a pipe.

use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

use crate::cli::errors::{Code, Failure};
use crate::ledger::error::regular::{open_list, open_regular};

/// Most bytes taken from a pipe, in MiB: it is kept, and read before the ledger is locked.
const MOST_FROM_A_PIPE: u64 = 32;

/// A list that is read more than once.
#[derive(Debug)]
pub(super) enum Source {
    /// A plain file.
    File(PathBuf),
    /// What came through a pipe.
    Bytes(Vec<u8>),
}

impl Source {
    /// Finds out what it is; what comes through a pipe is read to its end, so that no slow neighbour keeps the ledger
    /// locked.
    pub(super) fn of(file: &Path) -> Result<Self, Failure> {
        if file == Path::new("-") {
            return whole(std::io::stdin().lock(), file).map(Self::Bytes);
        }
        let (opened, is_plain) = open_list(file).map_err(|error| unreadable(file, &error))?;
        if is_plain { Ok(Self::File(file.to_owned())) } else { whole(opened, file).map(Self::Bytes) }
    }

    /// The list from its beginning, and how long it is where that is known.
    pub(super) fn read(&self) -> Result<(Box<dyn Read + '_>, Option<u64>), Failure> {
        match self {
            Self::File(file) => {
                let opened = open_regular(file).map_err(|error| unreadable(file, &error))?;
                let length = opened.metadata().ok().map(|about| about.len());
                Ok((Box::new(opened), length))
            }
            Self::Bytes(bytes) => Ok((Box::new(Cursor::new(bytes)), Some(bytes.len() as u64))),
        }
    }
}

fn whole(from: impl Read, file: &Path) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let most = MOST_FROM_A_PIPE << 20;
    from.take(most + 1).read_to_end(&mut bytes).map_err(|error| unreadable(file, &error))?;
    if bytes.len() as u64 > most {
        return Err(Failure::new(
            Code::BadInput,
            format!("more than {MOST_FROM_A_PIPE} MiB came through the pipe; nothing was imported"),
            "save it in a file and import that",
        ));
    }
    Ok(bytes)
}

fn unreadable(file: &Path, error: &std::io::Error) -> Failure {
    Failure::unreadable(file.display(), error, "nothing was imported", "name the file to import")
}
