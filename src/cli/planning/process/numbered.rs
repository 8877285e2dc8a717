//! Notes below a table of processes, each said once and referred to by its number.

use crate::cli::talk::screen::Screen;

/// The notes so far, in the order of their numbers.
#[derive(Default)]
pub(super) struct Notes(Vec<String>);

impl Notes {
    /// The numbers of a row's notes, as they stand in its cell.
    pub(super) fn marks(&mut self, notes: impl IntoIterator<Item = String>) -> String {
        let mut marks = Vec::new();
        for note in notes {
            let at = self.0.iter().position(|known| *known == note).unwrap_or_else(|| {
                self.0.push(note);
                self.0.len() - 1
            });
            marks.push((at + 1).to_string());
        }
        marks.join(", ")
    }

    /// Says each note with its number.
    pub(super) fn say(&self, screen: &mut Screen) {
        for (note, at) in self.0.iter().zip(1..) {
            screen.say(format!("{at}: {note}"));
        }
    }
}
