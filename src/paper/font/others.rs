//! Faces besides the program's own: the one that was given, and the machine's, read when a character first needs them.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use skrifa::FontRef;
use skrifa::raw::TableProvider;

use crate::paper::font::face::{Bytes, Face};
use crate::paper::font::fonts::{FontError, Fonts};
use crate::paper::font::machine::{Known, MOST_FILE, best, is_restricted, look_through};

/// The faces, each known by its place among those read so far.
#[derive(Default)]
pub(super) struct Others {
    faces: Vec<Face>,
    given: Option<usize>,
    folders: Vec<PathBuf>,
    known: OnceCell<Vec<Known>>,
    read: HashMap<(Rc<Path>, u32), Option<usize>>,
    chosen: HashMap<(char, u16), Option<usize>>,
}

impl Others {
    /// Reads the font that was given.
    pub(super) fn new(fonts: &Fonts) -> Result<Self, FontError> {
        let mut others = Self { folders: fonts.folders.clone(), ..Self::default() };
        if let Some(file) = &fonts.given {
            let no_font = || FontError::NoFont(file.name.clone());
            // Of a collection, the first face.
            let font = FontRef::from_index(&file.bytes, 0).map_err(|_| no_font())?;
            if font.os2().is_ok_and(|about| is_restricted(&about)) {
                return Err(FontError::Restricted(file.name.clone()));
            }
            if font.glyf().is_err() && font.cff().is_err() {
                return Err(no_font());
            }
            let face = Face::new(Arc::clone(&file.bytes) as Bytes, 0).ok_or_else(no_font)?;
            others.faces.push(face);
            others.given = Some(0);
        }
        Ok(others)
    }

    /// The face to draw a character with in a weight.
    pub(super) fn for_character(&mut self, character: char, weight: u16) -> Option<usize> {
        if let Some(known) = self.chosen.get(&(character, weight)) {
            return *known;
        }
        let given = self.given.filter(|at| self.faces[*at].draws(character));
        let chosen = given.or_else(|| {
            let known = self.known.get_or_init(|| look_through(&self.folders));
            let best = best(known, character, weight)?;
            let place = (Rc::clone(&best.path), best.index);
            *self.read.entry(place).or_insert_with_key(|(path, index)| {
                self.faces.push(Face::new(Arc::new(bytes(path).ok()?), *index)?);
                Some(self.faces.len() - 1)
            })
        });
        self.chosen.insert((character, weight), chosen);
        chosen
    }

    /// A face that was chosen.
    pub(super) fn face(&mut self, at: usize) -> &mut Face {
        &mut self.faces[at]
    }
}

/// Reads a font file whole.
fn bytes(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(MOST_FILE).read_to_end(&mut bytes)?;
    Ok(bytes)
}
