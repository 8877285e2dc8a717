//! Sheets that need no defining: for plain full-sheet label paper, cut along the lines printed with the labels.
//!
//! Each is named after its grid and in round figures of our own.

use crate::paper::label::sheet::definition::Sheet;
use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::measures::Measures;
use crate::paper::label::sheet::page::Page;

/// Grid, whether round, label size, pitch; lengths in mm.
type Row = (&'static str, bool, (i64, i64), (u32, u32), (i64, i64));

/// Lid discs are about 70 mm (regular mouth) and 86 mm (wide mouth) across, from
/// memory; labels of 55 and 72 mm stay inside the screw band's opening, those of 42 mm are for smaller lids.
const GRIDS: [Row; 6] = [
    ("3x6", false, (65, 42), (3, 6), (65, 42)),
    ("2x4", false, (90, 60), (2, 4), (90, 60)),
    ("4x8", false, (45, 32), (4, 8), (45, 32)),
    ("round-3x4", true, (55, 55), (3, 4), (60, 60)),
    ("round-2x3", true, (72, 72), (2, 3), (84, 84)),
    ("round-4x5", true, (42, 42), (4, 5), (48, 48)),
];

/// The paper they are for.
const PAGES: [Page; 2] = [Page::Letter, Page::A4];

/// The sheet used when none is named.
pub const DEFAULT_SHEET: &str = "letter-3x6";

/// Every built-in sheet.
pub fn built_in_sheets() -> Vec<Sheet> {
    PAGES
        .into_iter()
        .flat_map(|page| GRIDS.map(|grid| (page, grid)))
        .map(|(page, (grid, round, (width, height), columns_and_rows, (across, down)))| {
            let given = Measures {
                page: Some(page),
                round,
                label: Some((Length::mm(width), Length::mm(height))),
                grid: Some(columns_and_rows),
                pitch: Some((Length::mm(across), Length::mm(down))),
                ..Measures::default()
            };
            given
                .spec(&format!("{page}-{grid}"))
                .and_then(Sheet::new)
                .expect("built-in sheets fit their pages; a test makes each of them")
        })
        .collect()
}

/// The built-in sheet of a name.
pub fn built_in_sheet(name: &str) -> Option<Sheet> {
    built_in_sheets().into_iter().find(|sheet| sheet.name().eq_ignore_ascii_case(name.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_sheet_keeps_clear_of_the_edge_that_printers_leave_white() {
        let sheets = built_in_sheets();
        assert_eq!(sheets.len(), GRIDS.len() * PAGES.len());
        for sheet in sheets {
            // Common practice, no source: most desk printers leave 4 to 6 mm white.
            assert!(sheet.spec().left >= Length::mm(6), "{}", sheet.name());
            let grid = format!("{}x{}", sheet.spec().columns, sheet.spec().rows);
            assert!(sheet.name().ends_with(&grid), "{}", sheet.name());
            assert!(sheet.spec().top >= Length::mm(6), "{}", sheet.name());
        }
        assert!(built_in_sheet(DEFAULT_SHEET).is_some());
        assert!(built_in_sheet("A4-round-3x4").is_some());
        assert!(built_in_sheet("a4-9x9").is_none());
    }
}
