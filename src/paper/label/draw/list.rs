//! Lists on paper, page after page: a title, columns, rows, and notes at the end.

use chrono::{DateTime, Utc};
use krilla::Document;
use krilla::page::PageSettings;

use crate::paper::font::fonts::Fonts;
use crate::paper::font::parts::{END_ISOLATE, ISOLATE};
use crate::paper::font::{ASCENT, CAP_HEIGHT, DESCENT, Typeface, Weight};
use crate::paper::label::draw::ink::{Ink, Rule, document};
use crate::paper::label::draw::print::Printed;
use crate::paper::label::fit::shrink::fit;
use crate::paper::label::sheet::page::Page;
use crate::paper::label::words::block::{Block, Cut, FLOOR, Fitted, Shape};
use crate::paper::label::words::printable::{mark, printable};
use crate::paper::label::words::run::{LabelError, MOST_ROWS, PrintWarning};

/// White around the page, in points (15 mm).
const MARGIN: f32 = 42.5;
/// White between columns and between rows.
const BETWEEN: f32 = 8.0;
const APART: f32 = 3.0;
/// Sizes, in points.
const TITLE: f32 = 26.0;
const TEXT: f32 = 11.0;
const HEADING: f32 = 9.0;
const FIGURE: f32 = 30.0;

/// One column.
#[derive(Debug, Clone, Copy)]
pub(in crate::paper) struct Column {
    pub heading: &'static str,
    /// Share of the width, against the other columns.
    pub share: f32,
    pub weight: Weight,
    /// Whether two texts that are cut must not come out alike.
    pub names: bool,
}

/// A row: its cells, a heading across all columns, or words that belong to the row above.
#[derive(Debug, Clone)]
pub(in crate::paper) enum Row {
    Cells(Vec<String>),
    /// The same, in bold: the row that must not be missed.
    Strong(Vec<String>),
    /// What must be read from across the room.
    Figure(String),
    Heading(String),
    Words(String),
}

#[derive(Debug, Clone)]
pub(in crate::paper) struct List {
    /// A name.
    pub title: String,
    /// What of it is said behind it, in English.
    pub of_title: String,
    /// A line under the title.
    pub about: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    /// Paragraphs after the last row.
    pub notes: Vec<String>,
    /// Whether each row begins with an empty box to tick.
    pub tick: bool,
    /// How large everything is printed, 1 being the usual size.
    pub scale: f32,
}

/// A fitted text with its height.
struct Cell {
    fitted: Fitted,
    height: f32,
}

struct Flow<'l> {
    list: &'l List,
    face: Typeface,
    warnings: std::collections::BTreeSet<PrintWarning>,
    width: f32,
    height: f32,
}

/// Prints a list on as many pages as it takes.
pub(in crate::paper) fn print_list(
    list: &List,
    page: Page,
    fonts: &Fonts,
    created: Option<DateTime<Utc>>,
) -> Result<Printed, LabelError> {
    if list.rows.len() > MOST_ROWS {
        return Err(LabelError::Rows(list.rows.len()));
    }
    let (width, height) = page.size();
    let mut flow = Flow {
        list,
        face: Typeface::with(fonts)?,
        warnings: std::collections::BTreeSet::new(),
        width: width.points() - 2.0 * MARGIN,
        height: height.points() - MARGIN,
    };
    let mut document = document(&format!("{}{}", list.title, list.of_title), created);
    let (mut at, mut pages) = (0, 0);
    while pages == 0 || at < list.rows.len() + list.notes.len() {
        pages += 1;
        at = flow.page(&mut document, (width.points(), height.points()), at, pages);
    }
    let pdf = document.finish().map_err(|error| LabelError::Pdf(format!("{error:?}")))?;
    Ok(Printed { pdf, pages, labels: 0, warnings: flow.warnings.into_iter().collect() })
}

impl Flow<'_> {
    /// Fills one page from a row or note on; returns the first that did not go in.
    fn page(&mut self, document: &mut Document, size: (f32, f32), from: usize, number: usize) -> usize {
        let list = self.list;
        let settings = PageSettings::from_wh(size.0, size.1).expect("pages are at least 50 mm a side");
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        let mut y = MARGIN;
        let (text, small) = (TEXT * list.scale, HEADING * list.scale);
        let (name, cut) = self.ready(&list.title, true);
        let title = if list.of_title.is_empty() {
            name
        } else {
            // The name may be read from right to left; what is said of it is not.
            format!("{ISOLATE}{name}{END_ISOLATE}{}", list.of_title)
        };
        let title = self.fitted((title, cut), Weight::Bold, TITLE * list.scale, self.width, 2);
        y = self.draw(&mut surface, &title, MARGIN, y);
        let about = if number == 1 { list.about.clone() } else { format!("{} · page {number}", list.about) };
        let about = self.cell(&about, Weight::Regular, text, self.width, 2, false);
        y = self.draw(&mut surface, &about, MARGIN, y) + 2.0 * APART;
        let lefts = self.lefts();
        let mut headed = false;
        let mut at = from;
        // At least one row a page, however small the page.
        while at < list.rows.len() + list.notes.len() {
            let ruled = |at: usize| matches!(list.rows.get(at), Some(Row::Cells(_) | Row::Strong(_)));
            let begins = ruled(at) || matches!(list.rows.get(at), Some(Row::Heading(_))) && ruled(at + 1);
            let heads = begins && !headed;
            let cells = self.row(at, &lefts);
            let height = cells.iter().map(|(cell, _)| cell.height).fold(0.0, f32::max);
            let above = if heads { small * (ASCENT + DESCENT) + APART } else { 0.0 };
            if y + above + height + APART > self.height && at > from {
                break;
            }
            // The columns are named above the first of their rows on a page.
            if heads {
                for (column, (left, width)) in list.columns.iter().zip(&lefts) {
                    let heading = self.cell(column.heading, Weight::Regular, small, *width, 1, false);
                    self.draw(&mut surface, &heading, *left, y);
                }
                (headed, y) = (true, y + above);
            }
            let ruled = ruled(at);
            if ruled {
                let rule: Rule = ((MARGIN, y), (MARGIN + self.width, y));
                let mut ink = Ink::new(&mut surface, &mut self.face);
                ink.rules([rule], 0.3);
                if list.tick {
                    let side = CAP_HEIGHT * text * 1.2;
                    let top = y + APART + ASCENT * text - CAP_HEIGHT * text * 1.1;
                    ink.edge((MARGIN, top, side, side), 0.0, 0.8);
                }
            }
            for (cell, left) in &cells {
                self.draw(&mut surface, cell, *left, y + APART);
            }
            y += height + 2.0 * APART;
            at += 1;
        }
        surface.finish();
        page.finish();
        at
    }

    /// Left edge and width of each column.
    fn lefts(&self) -> Vec<(f32, f32)> {
        let tick = if self.list.tick { 1.6 * TEXT * self.list.scale } else { 0.0 };
        let columns = &self.list.columns;
        let shares: f32 = columns.iter().map(|column| column.share).sum();
        let room = self.width - tick - BETWEEN * columns.len().saturating_sub(1) as f32;
        let mut left = MARGIN + tick;
        columns
            .iter()
            .map(|column| {
                let width = room * column.share / shares;
                let place = (left, width);
                left += width + BETWEEN;
                place
            })
            .collect()
    }

    /// The fitted texts of a row or note with their left edges.
    fn row(&mut self, at: usize, lefts: &[(f32, f32)]) -> Vec<(Cell, f32)> {
        let list = self.list;
        let size = TEXT * list.scale;
        match list.rows.get(at) {
            Some(Row::Cells(cells)) => self.cells(cells, None, lefts),
            Some(Row::Strong(cells)) => self.cells(cells, Some(Weight::Bold), lefts),
            Some(Row::Figure(text)) => {
                vec![(self.cell(text, Weight::Bold, FIGURE * list.scale, self.width, 2, false), MARGIN)]
            }
            Some(Row::Heading(text)) => {
                vec![(self.cell(text, Weight::Bold, size + 2.0, self.width, 2, false), MARGIN)]
            }
            Some(Row::Words(text)) => {
                let (left, width) = (MARGIN + size, self.width - size);
                vec![(self.cell(text, Weight::Bold, size, width, 3, false), left)]
            }
            None => {
                let note = &list.notes[at - list.rows.len()];
                vec![(self.cell(note, Weight::Regular, size, self.width, 40, false), MARGIN)]
            }
        }
    }

    fn cells(&mut self, cells: &[String], weight: Option<Weight>, lefts: &[(f32, f32)]) -> Vec<(Cell, f32)> {
        let list = self.list;
        let size = TEXT * list.scale;
        let columns = cells.iter().zip(&list.columns).zip(lefts);
        columns
            .map(|((text, column), (left, width))| {
                let weight = weight.unwrap_or(column.weight);
                (self.cell(text, weight, size, *width, 3, column.names), *left)
            })
            .collect()
    }

    fn cell(
        &mut self,
        given: &str,
        weight: Weight,
        size: f32,
        width: f32,
        lines: usize,
        names: bool,
    ) -> Cell {
        let ready = self.ready(given, names);
        self.fitted(ready, weight, size, width, lines)
    }

    /// A text made printable, and how it is cut where it is too long.
    fn ready(&mut self, given: &str, names: bool) -> (String, Cut) {
        let ready = printable(&self.face, given);
        self.warnings.extend(ready.warnings());
        let mark = mark(given);
        let alike = names && (ready.replaced || !ready.missing.is_empty());
        let text = if alike { format!("{} {mark}", ready.text) } else { ready.text };
        (text, if names { Cut::Middle { mark } } else { Cut::End })
    }

    fn fitted(
        &mut self,
        (text, cut): (String, Cut),
        weight: Weight,
        size: f32,
        width: f32,
        lines: usize,
    ) -> Cell {
        let block = Block { floor: FLOOR + 1.0, lines, cut, ..Block::plain(text, weight, size) };
        let room = size * (ASCENT + DESCENT) * lines as f32;
        let shape = Shape { height: room, limits: &|_, _| (0.0, width), centred: false };
        let fitted = fit(&mut self.face, vec![block], &shape);
        for (text, shown) in &fitted.cut {
            self.warnings.insert(PrintWarning::Cut { text: text.clone(), shown: shown.clone() });
        }
        let height = fitted.bottom();
        Cell { fitted, height }
    }

    /// Draws a fitted text; returns where it ends.
    fn draw(&mut self, surface: &mut krilla::surface::Surface<'_>, cell: &Cell, x: f32, y: f32) -> f32 {
        let mut ink = Ink::new(surface, &mut self.face);
        for line in &cell.fitted.lines {
            ink.line(line, x, y);
        }
        y + cell.height
    }
}
