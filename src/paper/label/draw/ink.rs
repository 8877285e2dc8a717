//! Black ink on a page: text, rules and outlines, in points from the top left.

use chrono::{DateTime, Datelike, Timelike, Utc};
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::{Document, SerializeSettings};

use crate::paper::font::{Shaped, Typeface, Weight};
use crate::paper::label::words::block::Line;

/// Share of the radius at which a cubic curve's handles make a quarter circle.
const QUARTER: f32 = 0.552_285;

/// Starts a document that says what it is. The same pages and `created` give the
/// same bytes.
pub(in crate::paper) fn document(title: &str, created: Option<DateTime<Utc>>) -> Document {
    let settings = SerializeSettings { enable_tagging: false, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let mut metadata = Metadata::new()
        .title(title.to_owned())
        .creator(concat!("jarledger ", env!("CARGO_PKG_VERSION")).to_owned());
    if let Some(at) = created {
        // Each fits: chrono's months, days, hours, minutes and seconds are below 256.
        let date = krilla::metadata::DateTime::new(u16::try_from(at.year()).unwrap_or(0))
            .month(at.month() as u8)
            .day(at.day() as u8)
            .hour(at.hour() as u8)
            .minute(at.minute() as u8)
            .second(at.second() as u8)
            .utc_offset_hour(0)
            .utc_offset_minute(0);
        metadata = metadata.creation_date(date);
    }
    document.set_metadata(metadata);
    document
}

/// Hundredths of a point are 4 µm: more digits only make the file longer.
fn round(value: f32) -> f32 {
    (value * 100.0).round() / 100.0
}

/// A straight rule: from a point to a point.
pub(in crate::paper) type Rule = ((f32, f32), (f32, f32));

/// A page being drawn on.
pub(in crate::paper) struct Ink<'a, 'b> {
    surface: &'a mut Surface<'b>,
    face: &'a mut Typeface,
}

impl<'a, 'b> Ink<'a, 'b> {
    pub fn new(surface: &'a mut Surface<'b>, face: &'a mut Typeface) -> Self {
        let mut ink = Self { surface, face };
        ink.fill();
        ink
    }

    /// What is drawn next is filled, not outlined.
    fn fill(&mut self) {
        self.surface.set_stroke(None);
        let paint = luma::Color::black().into();
        self.surface.set_fill(Some(Fill { paint, ..Fill::default() }));
    }

    fn shaped(&mut self, shaped: &Shaped, size: f32, x: f32, baseline: f32) {
        for run in &shaped.runs {
            let at = Point::from_xy(round(x + run.x * size), round(baseline));
            let text = &shaped.text[run.at.clone()];
            self.surface.draw_glyphs(at, &run.glyphs, run.font.clone(), text, round(size * run.scale), false);
        }
    }

    /// Draws a fitted line; `x` and `y` place its shape.
    pub fn line(&mut self, line: &Line, x: f32, y: f32) {
        self.shaped(&line.shaped, line.size, x + line.x, y + line.baseline);
    }

    /// Draws a text from a point on its baseline.
    pub fn text(&mut self, text: &str, weight: Weight, size: f32, x: f32, baseline: f32) {
        let shaped = self.face.shape(weight, text);
        self.shaped(&shaped, size, x, baseline);
    }

    /// Draws a text with its middle at a point on its baseline.
    pub(crate) fn centred(&mut self, text: &str, weight: Weight, size: f32, x: f32, baseline: f32) {
        let half = self.face.width(weight, text) * size / 2.0;
        self.text(text, weight, size, x - half, baseline);
    }

    /// Fills a path, `scale` points a unit, from a point on.
    pub fn path(&mut self, path: &Path, scale: f32, x: f32, y: f32) {
        self.surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, round(x), round(y)));
        self.surface.draw_path(path);
        self.surface.pop();
    }

    fn stroke(&mut self, path: Option<Path>, width: f32) {
        let Some(path) = path else { return };
        self.surface.set_fill(None);
        let paint = luma::Color::black().into();
        self.surface.set_stroke(Some(Stroke { paint, width, ..Stroke::default() }));
        self.surface.draw_path(&path);
        self.fill();
    }

    /// Draws straight rules as one path.
    pub fn rules(&mut self, rules: impl IntoIterator<Item = Rule>, width: f32) {
        let mut path = PathBuilder::new();
        for (from, to) in rules {
            path.move_to(round(from.0), round(from.1));
            path.line_to(round(to.0), round(to.1));
        }
        self.stroke(path.finish(), width);
    }

    /// Draws the edge of a box; a corner of half its side makes it a disc.
    pub fn edge(&mut self, (x, y, w, h): (f32, f32, f32, f32), corner: f32, width: f32) {
        let mut path = PathBuilder::new();
        if corner <= 0.0 {
            path.push_rect(
                Rect::from_xywh(round(x), round(y), round(w), round(h)).expect("boxes are finite"),
            );
        } else {
            let (r, k) = (corner, corner * (1.0 - QUARTER));
            path.move_to(x + r, y);
            path.line_to(x + w - r, y);
            path.cubic_to(x + w - k, y, x + w, y + k, x + w, y + r);
            path.line_to(x + w, y + h - r);
            path.cubic_to(x + w, y + h - k, x + w - k, y + h, x + w - r, y + h);
            path.line_to(x + r, y + h);
            path.cubic_to(x + k, y + h, x, y + h - k, x, y + h - r);
            path.line_to(x, y + r);
            path.cubic_to(x, y + k, x + k, y, x + r, y);
            path.close();
        }
        self.stroke(path.finish(), width);
    }
}
