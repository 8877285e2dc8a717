//! A page to print before a sheet of labels is spent: edges, positions and rulers.

use chrono::{DateTime, Utc};
use krilla::page::PageSettings;

use crate::paper::font::{CAP_HEIGHT, Typeface, Weight};
use crate::paper::label::draw::ink::{Ink, Rule, document};
use crate::paper::label::draw::print::{Printed, draw_edge};
use crate::paper::label::sheet::definition::Sheet;
use crate::paper::label::words::block::MM;
use crate::paper::label::words::run::{LabelError, PrintWarning};

/// Points in an inch.
const INCH: f32 = 72.0;
/// White kept between the page's edge and a ruler's ends, in points.
const CLEAR: f32 = 12.0 * MM;
/// Half the width of the band a ruler lies in, in points.
const BAND: f32 = 20.0;
/// Shortest ruler worth printing.
const SHORTEST: f32 = 10.0 * MM;
/// Size of a ruler's figures, in points.
const FIGURES: f32 = 6.0;
/// Largest size of a label's position, in points.
const POSITION: f32 = 14.0;

/// One scale of a ruler: millimetres above the line, inches below it.
struct Scale {
    /// Points between ticks.
    tick: f32,
    /// Ticks to a longer one, and to a figure.
    half: usize,
    whole: usize,
    /// What a figure counts on by.
    step: usize,
    /// +1 below or right of the line, -1 above or left of it.
    side: f32,
}

/// Prints the edges of every label of a sheet with its position, one ruler down the
/// first column and one across the last row. Held against the light over a sheet of labels it shows
/// whether the printer keeps to size.
///
/// # Errors
/// [`LabelError::Pdf`] when the PDF writer gives up.
pub fn print_test_page(sheet: &Sheet, created: Option<DateTime<Utc>>) -> Result<Printed, LabelError> {
    let unprintable = sheet.unprintable().map(|white| PrintWarning::Margin { white });
    let (width, height) = sheet.spec().page.size();
    let (width, height) = (width.points(), height.points());
    let mut face = Typeface::new();
    let mut document = document("Test page for jar labels", created);
    let mut page = document
        .start_page_with(PageSettings::from_wh(width, height).expect("pages are at least 50 mm a side"));
    let mut surface = page.surface();
    let mut ink = Ink::new(&mut surface, &mut face);
    for position in 0..sheet.per_page() {
        let place = sheet.label_box(position);
        let (x, y) = (place.left.points(), place.top.points());
        draw_edge(&mut ink, sheet.spec(), x, y);
        let number = (position + 1).to_string();
        // Up and to the right, clear of the rulers, as large as is clear of them.
        let high = place.height.points();
        let size = ((high - 2.0 * BAND) / 2.0).clamp(FIGURES, POSITION);
        let low = (0.3 * high).min(high - 2.0 * BAND - 4.0).max(CAP_HEIGHT * size + 1.0);
        ink.centred(&number, Weight::Bold, size, x + place.width.points() * 0.75, y + low);
    }
    let (first, last) = (sheet.label_box(0), sheet.label_box(sheet.per_page() - 1));
    let across = (last.top.points() + last.height.points() - BAND - 2.0).min(height - CLEAR);
    let down = (first.left.points() + BAND + 2.0).max(CLEAR);
    ruler(&mut ink, (CLEAR, across), width - 2.0 * CLEAR, false);
    ruler(&mut ink, (down, CLEAR), across - BAND - 2.0 * CLEAR, true);
    let note = format!("{}: print at 100 %, not fitted to the page; then measure the rulers", sheet.name());
    ink.centred(&note, Weight::Regular, 8.0, width / 2.0, height - 12.0);
    surface.finish();
    page.finish();
    let pdf = document.finish().map_err(|error| LabelError::Pdf(format!("{error:?}")))?;
    Ok(Printed { pdf, pages: 1, labels: 0, warnings: unprintable.into_iter().collect() })
}

/// Draws a ruler from a point on, across or down, in whole centimetres.
fn ruler(ink: &mut Ink<'_, '_>, (left, top): (f32, f32), room: f32, down: bool) {
    let length = ((room + 0.01) / SHORTEST).floor() * SHORTEST;
    if length < SHORTEST {
        return;
    }
    let point = |far: f32, off: f32| if down { (left + off, top + far) } else { (left + far, top + off) };
    let mut rules: Vec<Rule> = vec![(point(0.0, 0.0), point(length, 0.0))];
    let scales = [
        Scale { tick: MM, half: 5, whole: 10, step: 10, side: -1.0 },
        Scale { tick: INCH / 8.0, half: 4, whole: 8, step: 1, side: 1.0 },
    ];
    for scale in scales {
        for count in 0..=((length + 0.01) / scale.tick) as usize {
            let far = count as f32 * scale.tick;
            let long = if count % scale.whole == 0 {
                10.0
            } else if count % scale.half == 0 {
                7.0
            } else {
                4.0
            };
            rules.push((point(far, 0.0), point(far, long * scale.side)));
            if count % scale.whole == 0 {
                let figure = (count / scale.whole * scale.step).to_string();
                let unit = if scale.side < 0.0 { "mm" } else { "in" };
                let figure = if count == 0 { unit.to_owned() } else { figure };
                let (x, y) = point(far, 15.0 * scale.side);
                ink.centred(&figure, Weight::Regular, FIGURES, x, y + CAP_HEIGHT * FIGURES / 2.0);
            }
        }
    }
    ink.rules(rules, 0.3);
}
