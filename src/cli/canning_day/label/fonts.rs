//! Where this machine keeps its fonts, and the language of whoever prints.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::cli::errors::Failure;
use crate::ledger::error::regular::open_regular;
use crate::paper::font::fonts::{FontFile, Fonts};

/// Largest font file that is read.
const MOST: u64 = 256 << 20;

/// Reads a font file that was named.
pub(super) fn read_font(path: &Path) -> Result<FontFile, Failure> {
    let mut bytes = Vec::new();
    open_regular(path).and_then(|file| file.take(MOST).read_to_end(&mut bytes)).map_err(|error| {
        let hint = "give a TrueType or OpenType file";
        Failure::unreadable(path.display(), &error, "nothing was written", hint)
    })?;
    Ok(FontFile { name: path.display().to_string(), bytes: Arc::new(bytes) })
}

/// What this machine has, and no font that was named.
pub(in crate::cli) fn machine_fonts() -> Fonts {
    Fonts { given: None, folders: font_folders(), language: language() }
}

/// The folders that fontconfig looks into unless configured otherwise: the household's first, then the machine's.
fn font_folders() -> Vec<PathBuf> {
    let absolute = |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let home = absolute("HOME");
    let own = absolute("XDG_DATA_HOME").or_else(|| Some(home.as_ref()?.join(".local/share")));
    let machine = std::env::var_os("XDG_DATA_DIRS").filter(|list| !list.is_empty());
    let machine = machine.unwrap_or_else(|| "/usr/local/share:/usr/share".into());
    let machine = std::env::split_paths(&machine).filter(|path| path.is_absolute()).collect::<Vec<_>>();
    let mut folders: Vec<PathBuf> = own.into_iter().chain(machine).map(|data| data.join("fonts")).collect();
    folders.extend(home.map(|home| home.join(".fonts")));
    folders
}

/// The language set for the terminal, as a tag: `ja` for `ja_JP.UTF-8`.
fn language() -> Option<String> {
    let set = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(|name| {
        let value = std::env::var(name).ok()?;
        if value.is_empty() { None } else { Some(value) }
    })?;
    let tag = set.split(['.', '@']).next()?.replace('_', "-").to_ascii_lowercase();
    if matches!(&*tag, "c" | "posix") { None } else { Some(tag) }
}
