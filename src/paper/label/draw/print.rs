//! A print run made into a PDF.

use std::collections::{BTreeSet, HashMap};

use chrono::{DateTime, Utc};
use krilla::page::PageSettings;

use crate::paper::font::Typeface;
use crate::paper::label::draw::ink::{Ink, document};
use crate::paper::label::fit::layout::{Layout, lay_out};
use crate::paper::label::fit::symbol::{LEAST_MODULE, Symbol};
use crate::paper::label::sheet::spec::SheetSpec;
use crate::paper::label::words::block::MM;
use crate::paper::label::words::run::{Label, LabelError, LabelRun, PrintWarning};

/// A finished document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// Pages in it.
    pub pages: usize,
    /// Labels in it, copies counted.
    pub labels: usize,
    /// What could not be shown as it stands, each once.
    pub warnings: Vec<PrintWarning>,
}

/// Prints labels on sheets. `created` goes into the document; everything else
/// depends on the run alone, so that the same run gives the same bytes.
///
/// # Errors
/// [`LabelError`] where the run is empty, too long or starts off the sheet, and where the font given is of no use.
pub fn print_labels(run: &LabelRun, created: Option<DateTime<Utc>>) -> Result<Printed, LabelError> {
    print_linked(run, None, created)
}

/// The same, with codes that lead to the page at the shelf at this address, such as `http://shelf.local:8464`.
///
/// # Errors
/// Also where a link leaves modules that are too small.
pub fn print_linked(
    run: &LabelRun,
    leads_to: Option<&str>,
    created: Option<DateTime<Utc>>,
) -> Result<Printed, LabelError> {
    let labels = run.ordered()?;
    let sheet = run.sheet.spec();
    let (width, height) = sheet.page.size();
    let size =
        PageSettings::from_wh(width.points(), height.points()).expect("pages are at least 50 mm a side");
    let mut document = document("Jar labels", created);
    let unprintable = run.sheet.unprintable().map(|white| PrintWarning::Margin { white });
    let warnings = unprintable.into_iter().collect();
    let mut press = Press { face: Typeface::with(&run.fonts)?, known: HashMap::new(), warnings };
    let per_page = run.sheet.per_page();
    let (mut position, mut pages, mut rest) = (run.start - 1, 0, labels.as_slice());
    while !rest.is_empty() {
        let (here, after) = rest.split_at(rest.len().min(per_page - position));
        let mut page = document.start_page_with(size.clone());
        let mut surface = page.surface();
        for (at, label) in here.iter().enumerate() {
            let place = run.sheet.label_box(position + at);
            let (symbol, layout) = press.symbol(label, run, leads_to)?;
            let (x, y) = (place.left.points(), place.top.points());
            let mut ink = Ink::new(&mut surface, &mut press.face);
            draw(&mut ink, label, &layout, &symbol, x, y);
            if run.outline {
                draw_edge(&mut ink, sheet, x, y);
            }
        }
        surface.finish();
        page.finish();
        (position, pages, rest) = (0, pages + 1, after);
    }
    let pdf = document.finish().map_err(|error| LabelError::Pdf(format!("{error:?}")))?;
    Ok(Printed { pdf, pages, labels: labels.len(), warnings: press.warnings.into_iter().collect() })
}

/// Lays labels out, once for all jars of a batch: they differ in figures of equal width.
struct Press {
    face: Typeface,
    known: HashMap<(Label, usize), std::rc::Rc<Layout>>,
    warnings: BTreeSet<PrintWarning>,
}

impl Press {
    /// The symbol of a label, and the label laid out around it.
    fn symbol(
        &mut self,
        label: &Label,
        run: &LabelRun,
        leads_to: Option<&str>,
    ) -> Result<(Symbol, std::rc::Rc<Layout>), LabelError> {
        let Some(page) = leads_to else {
            let symbol = Symbol::of(label.code);
            let layout = self.layout(label, run, symbol.modules)?;
            return Ok((symbol, layout));
        };
        let mut widest = 0.0_f32;
        for symbol in Symbol::of_link(page, label.code) {
            let layout = self.layout(label, run, symbol.modules)?;
            // A difference of rounding does not count as a smaller module.
            if layout.share >= 0.999 * LEAST_MODULE * MM {
                return Ok((symbol, layout));
            }
            widest = widest.max(layout.share / MM);
        }
        let sheet = run.sheet.name().to_owned();
        Err(LabelError::Link { sheet, code: label.code, hundredths: (100.0 * widest).floor() as u32 })
    }

    fn layout(
        &mut self,
        label: &Label,
        run: &LabelRun,
        modules: usize,
    ) -> Result<std::rc::Rc<Layout>, LabelError> {
        let mut like = label.clone();
        let figures = label.code.number.to_string().len().max(2);
        like.code.number = 10_u32.pow(figures as u32 - 1);
        let key = (like, modules);
        if let Some(known) = self.known.get(&key) {
            return Ok(std::rc::Rc::clone(known));
        }
        let layout = lay_out(&mut self.face, label, run.days, run.sheet.spec(), modules);
        if let Some(text) = layout.left_out() {
            let (sheet, text) = (run.sheet.name().to_owned(), text.to_owned());
            return Err(LabelError::NoRoom { sheet, code: label.code, text });
        }
        self.warnings.extend(layout.warnings.iter().cloned());
        let layout = std::rc::Rc::new(layout);
        self.known.insert(key, std::rc::Rc::clone(&layout));
        Ok(layout)
    }
}

fn draw(ink: &mut Ink<'_, '_>, label: &Label, layout: &Layout, symbol: &Symbol, x: f32, y: f32) {
    for frame in &layout.fitted.frames {
        ink.edge((x + frame.0, y + frame.1, frame.2, frame.3), 0.0, 1.0);
    }
    for line in &layout.fitted.lines {
        let code = label.code.to_string();
        if Some(line.block) == layout.number_block && line.shaped.text.len() == code.len() {
            ink.text(&code, line.weight, line.size, x + line.x, y + line.baseline);
        } else {
            ink.line(line, x, y);
        }
    }
    if let Some((left, top)) = layout.symbol {
        ink.path(&symbol.outline(), layout.module, x + left, y + top);
    }
}

/// Draws the edge of one label.
pub(in crate::paper) fn draw_edge(ink: &mut Ink<'_, '_>, sheet: &SheetSpec, x: f32, y: f32) {
    let corner = if sheet.round { sheet.width.points() / 2.0 } else { sheet.corner.points() };
    ink.edge((x, y, sheet.width.points(), sheet.height.points()), corner, 0.4);
}
