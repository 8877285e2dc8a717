//! The fonts of a machine: which faces the files in its folders hold, and the one that draws a character best.
//!
//! Only the parts of a file that say this are read, since some hold twenty megabytes and most are not needed.

use std::collections::HashMap;
use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use skrifa::Tag;
use skrifa::raw::tables::cmap::Cmap;
use skrifa::raw::tables::os2::{Os2, SelectionFlags};
use skrifa::raw::{FontData, FontRead, TableDirectory};

/// Folders within folders that are looked into.
const MOST_DEEP: usize = 8;
/// Files that are looked at; more than any distribution has.
const MOST_FILES: usize = 20_000;
/// Largest table that is read to know a face, and largest font file that is read to print with.
const MOST_TABLE: u32 = 8 << 20;
pub(super) const MOST_FILE: u64 = 256 << 20;
/// Faces in one file; collections have some dozens.
const MOST_FACES: u32 = 64;

/// A face in a file.
pub(super) struct Known {
    pub path: Rc<Path>,
    pub index: u32,
    weight: u16,
    /// How much its look differs from the program's own font: none, another family, serifs or equal widths, slanted or
    /// narrow.
    apart: u8,
    /// The table of its characters.
    characters: Rc<[u8]>,
}

impl Known {
    fn draws(&self, character: char) -> bool {
        Cmap::read(FontData::new(&self.characters))
            .is_ok_and(|table| table.map_codepoint(character).is_some_and(|glyph| glyph.to_u32() != 0))
    }
}

/// The face that draws a character and looks most like the program's own font of a weight.
pub(super) fn best(known: &[Known], character: char, weight: u16) -> Option<&Known> {
    // Of equals, the first in the order of folders and names.
    known
        .iter()
        .filter(|face| face.draws(character))
        .min_by_key(|face| (face.apart, face.weight.abs_diff(weight)))
}

/// Every face that may stand in a document, of all font files in some folders.
pub(super) fn look_through(folders: &[PathBuf]) -> Vec<Known> {
    let mut files = Vec::new();
    for folder in folders {
        collect(folder, MOST_DEEP, &mut files);
    }
    // A file that cannot be read or is no font is passed over.
    files.iter().filter_map(|path| faces(path).ok()).flatten().collect()
}

/// The font files in a folder and those in it, by name.
fn collect(folder: &Path, deep: usize, files: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let mut paths: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.sort();
    for path in paths {
        // A link counts as what it leads to. A pipe is passed over: reading it might never end.
        let Ok(about) = fs::metadata(&path) else { continue };
        if about.is_dir() && deep > 0 {
            collect(&path, deep - 1, files);
        } else if about.is_file() && is_font(&path) && files.len() < MOST_FILES {
            files.push(path);
        }
    }
}

fn is_font(path: &Path) -> bool {
    let ends = ["ttf", "otf", "ttc", "otc"];
    path.extension().is_some_and(|end| ends.iter().any(|known| end.eq_ignore_ascii_case(known)))
}

/// The faces of one file.
fn faces(path: &Path) -> io::Result<Vec<Known>> {
    let mut file = File::open(path)?;
    let path: Rc<Path> = path.into();
    let head = read(&mut file, 0, 12)?;
    let starts = if head.starts_with(b"ttcf") {
        let count = u32::from_be_bytes([head[8], head[9], head[10], head[11]]).min(MOST_FACES);
        let list = read(&mut file, 12, 4 * count)?;
        list.chunks_exact(4).map(|four| u32::from_be_bytes([four[0], four[1], four[2], four[3]])).collect()
    } else {
        vec![0]
    };
    let mut tables = Tables { file, read: HashMap::new() };
    let indices = 0..;
    Ok(indices
        .zip(starts)
        .filter_map(|(index, start)| tables.face(&path, index, start).transpose())
        .filter_map(Result::ok)
        .collect())
}

/// The tables of one file; the faces of a collection share some.
struct Tables {
    file: File,
    read: HashMap<(u32, u32), Rc<[u8]>>,
}

impl Tables {
    fn table(&mut self, directory: &TableDirectory<'_>, tag: &[u8; 4]) -> io::Result<Rc<[u8]>> {
        let record = directory.table_records().iter().find(|record| record.tag() == Tag::new(tag));
        let record = record.ok_or(io::ErrorKind::InvalidData)?;
        let place = (record.offset(), record.length());
        if let Some(known) = self.read.get(&place) {
            return Ok(Rc::clone(known));
        }
        let bytes: Rc<[u8]> = read(&mut self.file, place.0, place.1)?.into();
        self.read.insert(place, Rc::clone(&bytes));
        Ok(bytes)
    }

    /// What a face says of itself; none where it has no outlines or may not stand in a document.
    fn face(&mut self, path: &Rc<Path>, index: u32, start: u32) -> io::Result<Option<Known>> {
        let head = read(&mut self.file, start, 12)?;
        let count = u16::from_be_bytes([head[4], head[5]]);
        let bytes = read(&mut self.file, start, 12 + 16 * u32::from(count))?;
        let directory = TableDirectory::read(FontData::new(&bytes)).map_err(io::Error::other)?;
        let has =
            |tag: &[u8; 4]| directory.table_records().iter().any(|record| record.tag() == Tag::new(tag));
        let outlines = has(b"glyf") || has(b"CFF ");
        let pictures = [b"CBDT", b"COLR", b"sbix", b"SVG "].into_iter().any(has);
        if !outlines || pictures {
            return Ok(None);
        }
        let about = self.table(&directory, b"OS/2")?;
        let about = Os2::read(FontData::new(&about)).map_err(io::Error::other)?;
        if is_restricted(&about) {
            return Ok(None);
        }
        let slanted = SelectionFlags::ITALIC | SelectionFlags::OBLIQUE;
        let plain = !about.fs_selection().intersects(slanted) && about.us_width_class() == NORMAL_WIDTH;
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let apart = match &*name {
            _ if !plain => 4,
            name if name.contains("Mono") || name.contains("Serif") => 3,
            name if name.starts_with("NotoSans") => 0,
            name if name.contains("Sans") => 1,
            _ => 2,
        };
        let characters = self.table(&directory, b"cmap")?;
        Ok(Some(Known { path: Rc::clone(path), index, weight: about.us_weight_class(), apart, characters }))
    }
}

/// The width of a face that is neither narrow nor wide (OpenType, OS/2, usWidthClass).
const NORMAL_WIDTH: u16 = 5;

/// Whether a font's maker forbids it to stand in documents (OpenType, OS/2, fsType bit 1).
pub(super) fn is_restricted(about: &Os2<'_>) -> bool {
    about.fs_type() & 0x000f == 0x0002
}

fn read(file: &mut File, from: u32, length: u32) -> io::Result<Vec<u8>> {
    if length > MOST_TABLE {
        return Err(io::ErrorKind::InvalidData.into());
    }
    file.seek(SeekFrom::Start(from.into()))?;
    let mut bytes = vec![0; length as usize];
    file.read_exact(&mut bytes)?;
    Ok(bytes)
}
