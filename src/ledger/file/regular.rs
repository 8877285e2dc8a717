//! Files opened for their bytes: regular ones only, and without ever waiting for somebody at the other end.
//!
//! A pipe, a socket or a device can have any name, and opening one may wait for ever.

use std::fs::{File, OpenOptions};
use std::io::{self, ErrorKind, Read};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;

use rustix::fs::OFlags;

/// Opens a file that somebody named; a link to it is followed.
///
/// # Errors
/// The system's, or that it is no regular file.
pub(crate) fn open_regular(path: &Path) -> io::Result<File> {
    open(path, OFlags::NONBLOCK)
}

/// Opens a file whose name the program chose; a link there is somebody else's.
///
/// # Errors
/// As [`open_regular`], and where a link stands there.
pub(crate) fn open_own(path: &Path) -> io::Result<File> {
    open(path, OFlags::NONBLOCK | OFlags::NOFOLLOW)
}

/// Reads a file that somebody named, up to `most` bytes.
///
/// # Errors
/// As [`open_regular`], or that it is not UTF-8.
pub(crate) fn read_regular(path: &Path, most: u64) -> io::Result<String> {
    let mut text = String::new();
    open_regular(path)?.take(most).read_to_string(&mut text)?;
    Ok(text)
}

fn open(path: &Path, flags: OFlags) -> io::Result<File> {
    let file = OpenOptions::new().read(true).custom_flags(flags.bits().cast_signed()).open(path)?;
    if file.metadata()?.is_file() {
        Ok(file)
    } else {
        Err(io::Error::new(ErrorKind::InvalidInput, "it is not a regular file"))
    }
}
