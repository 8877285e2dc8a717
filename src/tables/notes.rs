//! What the publications add to single rows of the process tables.

use std::sync::OnceLock;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::names::named::named_enum;

named_enum! {
    /// What a remark means for a load.
    pub enum Bears as "a bearing of a note" {
        /// Worth knowing: where the figures come from.
        Remark = "remark",
        /// The figures hold only under a condition that no ledger records.
        Condition = "condition",
        /// Part of the process is not held here, so that no load can be held against it.
        NotHeld = "not-held",
    }
}

/// A remark on the processes it matches; an empty column matches every process.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
pub struct Note {
    food: Option<FoodId>,
    pack: Option<Pack>,
    #[serde(rename = "jar")]
    size: Option<JarSize>,
    method: Option<Method>,
    above_ft: Option<i64>,
    /// Holds only for processes of fewer minutes than this.
    pub below_min: Option<u32>,
    /// The remark, one or two sentences.
    pub note: String,
    /// What it means for a load.
    pub bears: Bears,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the remark is.
    pub basis: Basis,
}

fn fits<T: PartialEq>(wanted: Option<&T>, given: &T) -> bool {
    wanted.is_none_or(|wanted| wanted == given)
}

/// The remarks on one process at one altitude.
pub fn on(
    food: &FoodId,
    pack: Pack,
    size: JarSize,
    method: Method,
    altitude: Altitude,
    minutes: u32,
) -> impl Iterator<Item = &'static Note> {
    all().iter().filter(move |note| {
        fits(note.food.as_ref(), food)
            && fits(note.pack.as_ref(), &pack)
            && fits(note.size.as_ref(), &size)
            && fits(note.method.as_ref(), &method)
            && note.above_ft.is_none_or(|feet| altitude.is_above_feet(feet))
            && note.below_min.is_none_or(|least| minutes < least)
    })
}

/// Every remark, in the order of the table.
pub fn all() -> &'static [Note] {
    static ROWS: OnceLock<Vec<Note>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/notes.tsv"), "notes.tsv"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::processes;

    #[test]
    fn every_note_is_on_some_published_row() {
        for note in all() {
            let top = Altitude::from_feet(9_000);
            let found = processes::all().iter().any(|row| {
                let at = if row.covers(top) { top } else { Altitude::from_feet(row.altitude_min_ft) };
                on(&row.food, row.pack, row.size, row.method, at, row.minutes).any(|other| other == note)
            });
            assert!(found, "{note:?}");
        }
    }

    #[test]
    fn large_lima_beans_have_their_own_headspace_in_raw_quarts_only() {
        // AIB 539, Guide 4, Beans, fresh lima: quarts raw, 1-1/2 in for small beans, 1-1/4 in for large.
        let food: FoodId = "lima-beans".parse().unwrap();
        let notes =
            |pack, size| on(&food, pack, size, Method::PressureDial, Altitude::from_feet(0), 40).count();
        assert_eq!(notes(Pack::Raw, JarSize::Quart), 1);
        assert_eq!(notes(Pack::Raw, JarSize::Pint), 0);
        assert_eq!(notes(Pack::Hot, JarSize::Quart), 0);
    }
}
