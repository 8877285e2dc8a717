//! Two lists to hang up or carry about: what stands on a shelf, and which jars to pull.

use chrono::{DateTime, NaiveDate, Utc};

use crate::paper::font::Weight;
use crate::paper::font::fonts::Fonts;
use crate::paper::label::draw::list::{Column, List, Row, print_list};
use crate::paper::label::draw::print::Printed;
use crate::paper::label::sheet::page::Page;
use crate::paper::label::words::run::LabelError;
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::counted;
use crate::values::time::day_words::DayOrder;

/// Jars of one batch and size standing in one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardLine {
    /// What is in them.
    pub contents: String,
    /// Their size.
    pub size: JarSize,
    /// How many.
    pub jars: usize,
    /// Their batch.
    pub batch: BatchCode,
    /// The day they were put up.
    pub put_up: NaiveDate,
    /// Until when they are to be eaten.
    pub keeps: Keeps,
    /// Why they are not to be eaten from, in words.
    pub warning: Option<String>,
    /// What must be said of their process.
    pub process: ProcessMark,
}

/// A card for a shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfCard {
    /// The place.
    pub place: String,
    /// The day it was true.
    pub as_of: NaiveDate,
    /// What stands there, in any order.
    pub lines: Vec<CardLine>,
}

/// A jar to pull.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PullLine {
    /// Its code.
    pub code: JarCode,
    /// What is in it.
    pub contents: String,
    /// Where it stands, or what became of it.
    pub place: String,
    /// Its state in words.
    pub state: String,
    /// Why it is pulled.
    pub reason: String,
}

/// A sheet to take to the shelves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PullSheet {
    /// What was traced.
    pub title: String,
    /// The day it was true.
    pub as_of: NaiveDate,
    /// The jars; they are listed by place, so that each shelf is walked to once.
    pub lines: Vec<PullLine>,
    /// What to heed with these jars.
    pub cautions: Vec<String>,
}

const fn column(heading: &'static str, share: f32) -> Column {
    Column { heading, share, weight: Weight::Regular, names: false }
}

/// Prints a shelf card: jars not to be eaten from first, under their own heading,
/// then the oldest first.
///
/// # Errors
/// [`LabelError`] when the list is too long, the font given is of no use or the PDF writer gives up.
pub fn print_shelf_card(
    card: &ShelfCard,
    days: DayOrder,
    page: Page,
    fonts: &Fonts,
    created: Option<DateTime<Utc>>,
) -> Result<Printed, LabelError> {
    let mut lines = card.lines.clone();
    lines.sort_by_key(|line| (line.put_up, line.batch, line.size));
    let (held, good): (Vec<CardLine>, Vec<CardLine>) =
        lines.into_iter().partition(|line| line.warning.is_some());
    let cells = |line: &CardLine| {
        let (put_up, best_by) = (days.write(line.put_up), line.keeps.in_column(|day| days.write(day)));
        let (size, jars) = (line.size.to_string(), line.jars.to_string());
        Row::Cells(vec![put_up, best_by, line.contents.clone(), size, jars, line.batch.to_string()])
    };
    let in_rows = |line: &CardLine| {
        let mut words: Vec<String> = line.warning.iter().cloned().collect();
        words.extend(line.process.in_words());
        let words = if words.is_empty() { None } else { Some(Row::Words(words.join("; "))) };
        [Some(cells(line)), words].into_iter().flatten()
    };
    let mut rows = Vec::new();
    if !held.is_empty() {
        rows.push(Row::Heading("Not to be eaten off the shelf".to_owned()));
        rows.extend(held.iter().flat_map(in_rows));
        rows.push(Row::Heading("Oldest first".to_owned()));
    }
    rows.extend(good.iter().flat_map(in_rows));
    let jars: usize = card.lines.iter().map(|line| line.jars).sum();
    let text = format!("{} on {}", counted::jars(jars), days.write(card.as_of));
    let list = List {
        title: card.place.clone(),
        of_title: String::new(),
        about: text,
        columns: vec![
            column("Put up", 2.0),
            column("Best by", 2.0),
            Column { weight: Weight::Bold, names: true, ..column("Contents", 4.0) },
            column("Size", 1.6),
            column("Jars", 0.8),
            column("Batch", 1.4),
        ],
        rows,
        notes: Vec::new(),
        tick: false,
        scale: 1.0,
    };
    print_list(&list, page, fonts, created)
}

/// Prints a pull sheet, a box to tick beside each jar.
///
/// # Errors
/// [`LabelError`] when the list is too long, the font given is of no use or the PDF writer gives up.
pub fn print_pull_sheet(
    sheet: &PullSheet,
    days: DayOrder,
    page: Page,
    fonts: &Fonts,
    created: Option<DateTime<Utc>>,
) -> Result<Printed, LabelError> {
    let mut lines = sheet.lines.clone();
    lines.sort_by(|a, b| (&a.place, a.code).cmp(&(&b.place, b.code)));
    let rows = lines
        .into_iter()
        .map(|line| {
            Row::Cells(vec![line.place, line.code.to_string(), line.contents, line.state, line.reason])
        })
        .collect();
    let jars = sheet.lines.len();
    let list = List {
        title: sheet.title.clone(),
        of_title: String::new(),
        about: format!("{} on {}", counted::jars(jars), days.write(sheet.as_of)),
        columns: vec![
            column("Where", 2.2),
            Column { weight: Weight::Bold, ..column("Jar", 1.9) },
            Column { names: true, ..column("Contents", 2.6) },
            column("State", 1.3),
            column("Why", 3.4),
        ],
        rows,
        notes: sheet.cautions.clone(),
        tick: true,
        scale: 1.0,
    };
    print_list(&list, page, fonts, created)
}
