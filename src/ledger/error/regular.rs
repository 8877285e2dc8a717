//! Files opened for their bytes: regular ones only, and without ever waiting for somebody at the other end.
//!
//! A pipe, a socket or a device can have any name, and opening one may wait for ever. Only a list, which may come from
//! another program, is waited for at a pipe.

use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, ErrorKind, Read};
use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};
use std::path::Path;

use rustix::fs::OFlags;
use rustix::io::Errno;

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

/// Opens a list that somebody named: a file, or a pipe that another program writes to, and whether it is a file.
///
/// # Errors
/// The system's, or that it is neither.
pub(crate) fn open_list(path: &Path) -> io::Result<(File, bool)> {
    let is_list = |about: &Metadata| about.is_file() || about.file_type().is_fifo();
    let neither = || io::Error::new(ErrorKind::InvalidInput, "it is neither a file nor a pipe");
    // Before it is opened: a device may wait for its hardware.
    if !is_list(&path.metadata()?) {
        return Err(neither());
    }
    let file = File::open(path)?;
    let about = file.metadata()?;
    if is_list(&about) { Ok((file, about.is_file())) } else { Err(neither()) }
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
    let odd = || io::Error::new(ErrorKind::InvalidInput, "it is not a regular file");
    let opened = OpenOptions::new().read(true).custom_flags(flags.bits().cast_signed()).open(path);
    match opened {
        Ok(file) if file.metadata()?.is_file() => Ok(file),
        Ok(_) => Err(odd()),
        // A socket, or a device that is not there.
        Err(error) if error.raw_os_error() == Some(Errno::NXIO.raw_os_error()) => Err(odd()),
        Err(error) => Err(error),
    }
}
