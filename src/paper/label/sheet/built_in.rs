//! Sheets that need no defining: round figures that suit plain sticker paper.

use crate::paper::label::sheet::definition::{Sheet, SheetSpec};
use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::Page;

/// Name, page, round, label size, columns and rows, pitch; lengths in mm.
type Row = (&'static str, Page, bool, (i64, i64), (u32, u32), (i64, i64));

/// Lid discs are about 70 mm (regular mouth) and 86 mm (wide mouth) across, from
/// memory; a label of 60 or 76 mm stays inside the screw band's opening.
const SHEETS: [Row; 10] = [
    ("letter-63x38", Page::Letter, false, (63, 38), (3, 6), (67, 42)),
    ("letter-90x50", Page::Letter, false, (90, 50), (2, 5), (98, 53)),
    ("letter-50x30", Page::Letter, false, (50, 30), (3, 8), (60, 33)),
    ("letter-round-60", Page::Letter, true, (60, 60), (3, 4), (66, 66)),
    ("letter-round-76", Page::Letter, true, (76, 76), (2, 3), (92, 86)),
    ("a4-60x36", Page::A4, false, (60, 36), (3, 7), (65, 39)),
    ("a4-90x50", Page::A4, false, (90, 50), (2, 5), (100, 55)),
    ("a4-45x25", Page::A4, false, (45, 25), (4, 9), (49, 29)),
    ("a4-round-60", Page::A4, true, (60, 60), (3, 4), (65, 68)),
    ("a4-round-76", Page::A4, true, (76, 76), (2, 3), (94, 88)),
];

/// The sheet used when none is named.
pub const DEFAULT_SHEET: &str = "letter-63x38";

fn centred(has: Length, pitch: i64, count: u32, size: i64) -> Length {
    let used = Length::mm(pitch * i64::from(count - 1) + size);
    Length::micrometres((has.as_micrometres() - used.as_micrometres()) / 2)
}

/// Every built-in sheet.
pub fn built_in_sheets() -> Vec<Sheet> {
    SHEETS
        .into_iter()
        .map(|(name, page, round, (width, height), (columns, rows), (across, down))| {
            let (page_width, page_height) = page.size();
            Sheet::new(SheetSpec {
                name: name.to_owned(),
                page,
                round,
                width: Length::mm(width),
                height: Length::mm(height),
                corner: if round { Length::mm(0) } else { Length::mm(2) },
                columns,
                rows,
                pitch_across: Length::mm(across),
                pitch_down: Length::mm(down),
                left: centred(page_width, across, columns, width),
                top: centred(page_height, down, rows, height),
            })
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
        assert_eq!(sheets.len(), SHEETS.len());
        for sheet in sheets {
            // Common practice, no source: most desk printers leave 4 to 6 mm white.
            assert!(sheet.spec().left >= Length::mm(6), "{}", sheet.name());
            assert!(sheet.spec().top >= Length::mm(6), "{}", sheet.name());
        }
        assert!(built_in_sheet(DEFAULT_SHEET).is_some());
        assert!(built_in_sheet("A4-round-60").is_some());
        assert!(built_in_sheet("a4-9x9").is_none());
    }
}
