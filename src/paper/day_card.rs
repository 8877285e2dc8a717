//! A planned day as a page to hang in the kitchen: the process in the largest type, and a box to tick beside each step.

use chrono::{DateTime, Utc};

use crate::paper::font::Weight;
use crate::paper::font::fonts::Fonts;
use crate::paper::label::draw::list::{Column, List, Row, print_list};
use crate::paper::label::draw::print::Printed;
use crate::paper::label::sheet::page::Page;
use crate::paper::label::words::run::LabelError;

/// Sizes tried, the largest first, until the day fits one page.
const SCALES: [f32; 8] = [1.6, 1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 0.9];

/// A day to hang up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DayCard {
    /// What is put up.
    pub recipe: String,
    /// In how many jars.
    pub jars: String,
    /// When it begins and when it is done.
    pub span: String,
    /// Each process: its figures, and what belongs to them.
    pub processes: Vec<CardProcess>,
    /// The days, each with its steps.
    pub days: Vec<(String, Vec<CardStep>)>,
    /// What to have at hand.
    pub at_hand: Vec<String>,
    /// What to heed.
    pub cautions: Vec<String>,
}

/// One process.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CardProcess {
    /// Minutes and pressure.
    pub figures: String,
    /// Jars, canner, venting, headspace, acid.
    pub terms: Vec<String>,
}

/// One step to tick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CardStep {
    /// From when until when.
    pub time: String,
    /// What is done.
    pub what: String,
    /// The canner and the load.
    pub at: String,
    /// Whether it is the process itself.
    pub is_process: bool,
}

/// Prints the card, as large as fits one page.
///
/// # Errors
/// [`LabelError`] when the list is too long or the PDF writer gives up.
pub(crate) fn print_day_card(
    card: &DayCard,
    page: Page,
    fonts: &Fonts,
    created: Option<DateTime<Utc>>,
) -> Result<Printed, LabelError> {
    let mut list = list(card);
    for scale in SCALES {
        list.scale = scale;
        let printed = print_list(&list, page, fonts, created)?;
        if printed.pages == 1 {
            return Ok(printed);
        }
    }
    // A day too long for one page is printed at the usual size on several.
    list.scale = 1.0;
    print_list(&list, page, fonts, created)
}

fn list(card: &DayCard) -> List {
    let mut rows = Vec::new();
    for process in &card.processes {
        rows.push(Row::Figure(process.figures.clone()));
        rows.extend(process.terms.iter().cloned().map(Row::Words));
    }
    for (day, steps) in &card.days {
        rows.push(Row::Heading(day.clone()));
        rows.extend(steps.iter().map(|step| {
            let cells = vec![step.time.clone(), step.what.clone(), step.at.clone()];
            if step.is_process { Row::Strong(cells) } else { Row::Cells(cells) }
        }));
    }
    if !card.at_hand.is_empty() {
        rows.push(Row::Heading("Have at hand".to_owned()));
        rows.extend(card.at_hand.iter().cloned().map(Row::Words));
    }
    let column = |heading, share| Column { heading, share, weight: Weight::Regular, names: false };
    List {
        title: card.recipe.clone(),
        of_title: format!(": {}", card.jars),
        about: card.span.clone(),
        columns: vec![column("Time", 1.8), column("Step", 4.6), column("Canner", 2.4)],
        rows,
        notes: card.cautions.clone(),
        tick: true,
        scale: 1.0,
    }
}
