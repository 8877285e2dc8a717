//! A shelf that was kept elsewhere, as CSV: one row a jar, or a count of like jars.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{BufRead, BufReader, Cursor, Read};

use chrono::NaiveDate;
use csv::ByteRecord;

use crate::exchange::problem::{Problem, Problems};
use crate::exchange::shelf::cells::{BadShape, Cells, Lines};
use crate::exchange::shelf::columns::{ColumnChoice, Columns};
use crate::exchange::shelf::day::{DateOrder, day};
use crate::exchange::shelf::decode::{Decoded, Encoding, NotText};
use crate::exchange::whole::formula::unmarked;
use crate::ledger::batch::import::{MOST_ROWS, ShelfRow};
use crate::ledger::error::LedgerError;
use crate::rules::food::food_search;
use crate::rules::food::food_search::Found;
use crate::rules::food::name_check::name_conflict;
use crate::rules::process::contradiction;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::names::counted::counted;
use crate::values::names::name::Name;
use crate::values::names::number_words::in_digits;
use crate::values::time::on_screen;

/// How a file is to be read.
pub struct Reading<'r> {
    /// Its columns.
    pub columns: &'r ColumnChoice,
    /// How its letters are written; none: by its mark, else UTF-8.
    pub encoding: Option<Encoding>,
    /// What stands between its cells; none: what its header has most of, comma, semicolon or TAB.
    pub delimiter: Option<u8>,
    /// In which order its dates are written.
    pub dates: DateOrder,
    /// The day it is: nothing was put up after it.
    pub today: NaiveDate,
    /// The acidity of a food, where the tables or the household know the food.
    pub acidity: &'r dyn Fn(&FoodId) -> Option<Option<Acidity>>,
    /// The household's word for the process of rows that say none.
    pub vouched: Option<String>,
    /// Whether cells are taken as they are, a mark against formulas included.
    pub raw: bool,
}

/// The text of a list, its first line read before the rest.
type Text<R> = std::io::Chain<Cursor<Vec<u8>>, BufReader<Decoded<R>>>;

/// The rows of a list, its header read.
pub(in crate::exchange) struct Rows<R: Read> {
    pub(in crate::exchange) reader: csv::Reader<Cells<Text<R>>>,
    pub(in crate::exchange) header: Vec<String>,
    /// The lines on which the rows read so far begin.
    lines: Lines,
}

/// Opens a list and reads its header.
pub(in crate::exchange) fn open_rows<R: Read>(
    from: R,
    encoding: Option<Encoding>,
    delimiter: Option<u8>,
) -> Result<Rows<R>, Problems> {
    let mut text = BufReader::with_capacity(64 << 10, Decoded::new(from, encoding));
    let head = first_line(&mut text).map_err(|error| of_io(&error))?;
    if head.is_empty() {
        return Err(Problem::of_file("the file is empty").into());
    }
    let delimiter = delimiter.unwrap_or_else(|| delimiter_of(&head));
    let lines = Lines::default();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(Cells::new(Cursor::new(head).chain(text), delimiter, lines.clone()));
    let mut record = ByteRecord::new();
    match reader.read_byte_record(&mut record) {
        Ok(true) => {}
        Ok(false) => return Err(Problem::of_file("the file has nothing but empty lines").into()),
        Err(error) => return Err(of_csv(&error).into()),
    }
    let header_line = lines.borrow_mut().pop_front();
    debug_assert!(header_line.is_some(), "the header is a row that went by");
    let header = record.iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect();
    Ok(Rows { reader, header, lines })
}

/// Reads every row and hands the good ones to `take`, until the first problem: from there on the
/// rest is only looked through, so that all problems are reported at once.
///
/// # Errors
/// Whatever `take` returns. Problems of the file are the inner error.
pub fn read_shelf(
    from: impl Read,
    reading: &Reading<'_>,
    mut take: impl FnMut(&ShelfRow) -> Result<(), LedgerError>,
) -> Result<Result<(), Problems>, LedgerError> {
    let Rows { mut reader, header, lines } = match open_rows(from, reading.encoding, reading.delimiter) {
        Ok(rows) => rows,
        Err(problems) => return Ok(Err(problems)),
    };
    let mut record = ByteRecord::new();
    let columns = match Columns::read(header.iter().map(String::as_str), reading.columns) {
        Ok(columns) => columns,
        Err(problems) => return Ok(Err(problems)),
    };
    let mut problems = Problems::default();
    let mut doubts = Doubts::default();
    let mut ids = Ids::default();
    let mut rows = 0;
    loop {
        match reader.read_byte_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {}
            Err(error) => {
                problems.add(of_csv(&error));
                break;
            }
        }
        rows += 1;
        let line = lines.borrow_mut().pop_front().unwrap_or_default();
        if rows > MOST_ROWS {
            problems
                .add(Problem::of_file(format!("the file has more than {MOST_ROWS} rows")).hint("split it"));
            break;
        }
        let mut row = Row {
            columns: &columns,
            reading,
            record: &record,
            line,
            problems: &mut problems,
            doubts: &mut doubts,
        };
        let read = row.read();
        if let Some(before) = read.as_ref().and_then(|read| ids.said_otherwise(read, line)) {
            let id = read.as_ref().and_then(|read| read.id.clone()).unwrap_or_default();
            let what = format!("line {before} has the id \u{201c}{id}\u{201d} too, and says something else");
            problems.add(
                Problem::of_line(line, what).hint("give each row an id of its own, or correct one of them"),
            );
        }
        if let Some(read) = read.filter(|_| problems.is_empty()) {
            take(&read)?;
        }
    }
    Ok(if problems.is_empty() { Ok(()) } else { Err(problems) })
}

/// The text up to the first line end, at most a buffer of it.
fn first_line(text: &mut impl BufRead) -> std::io::Result<Vec<u8>> {
    let buffer = text.fill_buf()?;
    let end = buffer.iter().position(|&byte| matches!(byte, b'\n' | b'\r')).map_or(buffer.len(), |at| at + 1);
    let head = buffer[..end].to_vec();
    text.consume(end);
    Ok(head)
}

/// What the header has most of outside quotes.
fn delimiter_of(head: &[u8]) -> u8 {
    let mut quoted = false;
    let mut counts = [(0_usize, b','), (0, b';'), (0, b'\t')];
    for &byte in head {
        quoted ^= byte == b'"';
        if let Some(count) = counts.iter_mut().find(|(_, delimiter)| *delimiter == byte).filter(|_| !quoted) {
            count.0 += 1;
        }
    }
    // The earlier of equals: a comma where there is nothing to go by.
    counts.iter().rev().max_by_key(|(count, _)| *count).map_or(b',', |(_, delimiter)| *delimiter)
}

/// The rows of a file that have an id: by the hash of the id, half of the hash of what they say, and their line.
#[derive(Default)]
struct Ids(HashMap<u64, (u32, u32)>);

impl Ids {
    /// The line of an earlier row that has the id of this one and says something else.
    fn said_otherwise(&mut self, row: &ShelfRow, line: u64) -> Option<u32> {
        let id = row.id.as_deref()?;
        let hash = |text: &str| {
            let mut hasher = DefaultHasher::new();
            text.hash(&mut hasher);
            hasher.finish()
        };
        let says = (hash(&format!("{row:?}")) >> 32) as u32;
        let (said, before) =
            *self.0.entry(hash(id)).or_insert((says, u32::try_from(line).unwrap_or(u32::MAX)));
        (said != says).then_some(before)
    }
}

/// The doubts about the last names and foods met, kept since a list has few of them and repeats them.
type Doubts = HashMap<(Name, Option<FoodId>), Option<String>>;

/// What to do where a word for a process stands against the tables.
const NOBODY_CAN_VOUCH: &str = "nobody can vouch for what the tables contradict: leave vouched empty";

/// Most jars of one row.
const MOST_JARS: u32 = 10_000;

/// Most names remembered.
const NAMES_KEPT: usize = 10_000;

/// One row being read.
struct Row<'r> {
    columns: &'r Columns,
    reading: &'r Reading<'r>,
    record: &'r ByteRecord,
    line: u64,
    problems: &'r mut Problems,
    doubts: &'r mut Doubts,
}

impl<'r> Row<'r> {
    /// Reads every cell, whether or not an earlier one was good.
    fn read(&mut self) -> Option<ShelfRow> {
        let cells = self.record.len();
        if cells != self.columns.width {
            let cells = counted(cells, "cell", "cells");
            let what = format!("this line has {cells} and the header has {}", self.columns.width);
            self.problems.add(Problem::of_line(self.line, what));
            return None;
        }
        let product = self.needed("product", |text| text.parse::<Name>().map_err(|error| error.to_string()));
        let put_up = self.put_up();
        let (count, size) = match self.count_with_size() {
            Some((count, size)) => (Some(Some(count)), Some(size)),
            None => {
                // In the order that people name them, so are their problems.
                let size = self.needed("jar", jar_size);
                (self.count(), size)
            }
        };
        let place = self.optional("place", |text| text.parse::<Name>().map_err(|error| error.to_string()));
        let best_by = self.best_by(put_up);
        let food = self.food();
        let pack = self.optional("pack", |text| text.parse::<Pack>().map_err(|error| error.to_string()));
        let id = self.optional("id", |text| short(text, 200));
        let note = self.optional("note", |text| short(text, 2_000));
        let vouched =
            self.optional("vouched", |text| short(text, 2_000))?.or_else(|| self.reading.vouched.clone());
        let name_reason = self.optional("name_reason", |text| short(text, 2_000))?;
        let (product, food) = (product?, food?);
        let doubt = self.doubt(&product, food.as_ref());
        if let Some(doubt) = doubt.as_ref().filter(|_| name_reason.is_none() || vouched.is_some()) {
            let hint = if name_reason.is_some() {
                NOBODY_CAN_VOUCH
            } else {
                "correct the name or the food; if both are right, say why in a column name_reason"
            };
            let heading = self.columns.at("product").map_or("product", |(_, heading)| heading);
            self.wrong((product.as_str(), heading), doubt, Some(hint.to_owned()));
            return None;
        }
        let (size, pack) = (size?, pack?);
        let untested = || contradiction(&food.as_ref()?.0, pack, size);
        if let Some(what) = vouched.as_ref().and_then(|_| untested()) {
            let heading = self.columns.at("jar").map_or("jar", |(_, heading)| heading);
            self.wrong((size.as_str(), heading), &what, Some(NOBODY_CAN_VOUCH.to_owned()));
            return None;
        }
        Some(ShelfRow {
            vouched,
            name_reason: doubt.and(name_reason),
            product,
            put_up: put_up?,
            size,
            count: count?,
            place: place?,
            best_by: best_by?,
            food,
            pack,
            id: id?,
            note: note?,
        })
    }

    /// What is to be doubted about a name with a food.
    fn doubt(&mut self, product: &Name, food: Option<&(FoodId, Option<Acidity>)>) -> Option<String> {
        let key = (product.clone(), food.map(|(food, _)| food.clone()));
        if let Some(known) = self.doubts.get(&key) {
            return known.clone();
        }
        if self.doubts.len() >= NAMES_KEPT {
            self.doubts.clear();
        }
        let acidity = food.and_then(|(_, acidity)| *acidity);
        let doubt = name_conflict(product.as_str(), key.1.as_ref(), acidity)
            .map(|conflict| conflict.of(product, key.1.as_ref()));
        self.doubts.insert(key, doubt.clone());
        doubt
    }

    /// The cell of one of our columns, trimmed and unmarked, and its heading; none: nothing is in it.
    fn cell(&self, ours: &str) -> Option<(&'r str, &'r str)> {
        let (at, heading) = self.columns.at(ours)?;
        // Decoded before: it is text.
        let cell = std::str::from_utf8(self.record.get(*at)?).ok()?.trim();
        let cell = if self.reading.raw { cell } else { unmarked(cell) };
        if cell.is_empty() { None } else { Some((cell, heading)) }
    }

    fn wrong(&mut self, (cell, heading): (&str, &str), what: impl Into<String>, hint: Option<String>) {
        let mut problem = Problem::of_cell(self.line, heading, cell, what);
        problem.hint = hint;
        self.problems.add(problem);
    }

    fn needed<T>(&mut self, ours: &str, read: impl Fn(&str) -> Result<T, String>) -> Option<T> {
        if self.cell(ours).is_none() {
            let heading = self.columns.at(ours).map_or(ours, |(_, heading)| heading);
            let mut problem = Problem::of_line(self.line, "this cell must not be empty");
            problem.column = Some(heading.to_owned());
            self.problems.add(problem);
            return None;
        }
        self.optional(ours, read)?
    }

    /// What is in an optional cell; the outer none: something wrong.
    #[expect(clippy::option_option, reason = "nothing there and something wrong are two things")]
    fn optional<T>(&mut self, ours: &str, read: impl Fn(&str) -> Result<T, String>) -> Option<Option<T>> {
        let Some(cell) = self.cell(ours) else { return Some(None) };
        match read(cell.0) {
            Ok(value) => Some(Some(value)),
            Err(what) => {
                self.wrong(cell, what, None);
                None
            }
        }
    }

    fn put_up(&mut self) -> Option<NaiveDate> {
        let Some(cell) = self.cell("put_up") else {
            return self.needed("put_up", |_| Err(String::new()));
        };
        match day(cell.0, self.reading.dates) {
            Ok(day) if day > self.reading.today => {
                self.wrong(
                    cell,
                    format!("that is after today, {}", on_screen::day(self.reading.today)),
                    None,
                );
                None
            }
            Ok(day) => Some(day),
            Err((what, hint)) => {
                self.wrong(cell, what, hint);
                None
            }
        }
    }

    #[expect(clippy::option_option, reason = "nothing there and something wrong are two things")]
    fn best_by(&mut self, put_up: Option<NaiveDate>) -> Option<Option<NaiveDate>> {
        let Some(cell) = self.cell("best_by") else { return Some(None) };
        match day(cell.0, self.reading.dates) {
            Ok(day) if put_up.is_some_and(|put_up| day < put_up) => {
                self.wrong(cell, "that is before the jar was put up", None);
                None
            }
            Ok(day) => Some(Some(day)),
            Err((what, hint)) => {
                self.wrong(cell, what, hint);
                None
            }
        }
    }

    /// A count that says its size as well, `12 qts`, where the cell of the size says no other.
    fn count_with_size(&self) -> Option<(u32, JarSize)> {
        let (text, _) = self.cell("count")?;
        let text = in_digits(text);
        let (count, size) = text.split_at(text.find(|c: char| !c.is_ascii_digit())?);
        let size = JarSize::meant_by(size)?;
        let said = self.cell("jar").map(|(cell, _)| jar_size(cell));
        let agrees = said.is_none_or(|said| said == Ok(size));
        Some((count.parse().ok().filter(|count| agrees && (1..=MOST_JARS).contains(count))?, size))
    }

    #[expect(clippy::option_option, reason = "nothing there and something wrong are two things")]
    fn count(&mut self) -> Option<Option<u32>> {
        if self.columns.at("count").is_none() {
            return Some(None);
        }
        let Some(cell) = self.cell("count") else { return Some(Some(1)) };
        let written = in_digits(cell.0);
        let digits = written.len() <= 5 && written.bytes().all(|byte| byte.is_ascii_digit());
        match written.parse().ok().filter(|count| digits && (1..=MOST_JARS).contains(count)) {
            Some(count) => Some(Some(count)),
            None => {
                let hint = (written == "0").then(|| "leave out the rows of which no jar is left".to_owned());
                self.wrong(cell, "a count is a whole number from 1 to 10000, such as 7 or 7 quarts", hint);
                None
            }
        }
    }

    #[expect(clippy::option_option, reason = "nothing there and something wrong are two things")]
    fn food(&mut self) -> Option<Option<(FoodId, Option<Acidity>)>> {
        let Some(cell) = self.cell("food") else { return Some(None) };
        let food = match cell.0.parse::<FoodId>() {
            Ok(food) => food,
            Err(error) => {
                self.wrong(cell, error.to_string(), near_food(cell.0));
                return None;
            }
        };
        match (self.reading.acidity)(&food) {
            Some(acidity) => Some(Some((food, acidity))),
            None => {
                self.wrong(cell, "the tables know no such food", near_food(cell.0));
                None
            }
        }
    }
}

/// A size by its name, or as people write it: `qt`, `Pint jars`, `8 oz`.
fn jar_size(text: &str) -> Result<JarSize, String> {
    JarSize::read(text).map_err(|error| error.to_string())
}

fn near_food(given: &str) -> Option<String> {
    let near: Vec<&str> = match food_search::find(given) {
        Found::Exact(food) => vec![food.id.as_str()],
        Found::Suggested(suggestions) => {
            suggestions.iter().take(3).map(|suggestion| suggestion.food.id.as_str()).collect()
        }
    };
    (!near.is_empty()).then(|| format!("did you mean {}? or leave the cell empty", near.join(" or ")))
}

fn short(text: &str, longest: usize) -> Result<String, String> {
    let length = text.chars().count();
    if length > longest {
        return Err(format!("at most {longest} characters, and these are {length}"));
    }
    if let Some(control) = text.chars().find(|c| c.is_control() && *c != '\n' && *c != '\t') {
        return Err(format!("the control character U+{:04X} is no text", u32::from(control)));
    }
    Ok(text.to_owned())
}

fn of_csv(error: &csv::Error) -> Problem {
    match error.kind() {
        csv::ErrorKind::Io(error) => of_io(error),
        _ => Problem::of_file(error.to_string()),
    }
}

fn of_io(error: &std::io::Error) -> Problem {
    let inner = error.get_ref();
    if let Some(shape) = inner.and_then(|inner| inner.downcast_ref::<BadShape>()) {
        return Problem::of_line(shape.line(), shape.to_string());
    }
    if let Some(text) = inner.and_then(|inner| inner.downcast_ref::<NotText>()) {
        let problem = Problem::of_line(text.line(), text.to_string());
        return match text {
            NotText::Bytes { .. } => {
                problem.hint("say how it is written with --encoding, such as --encoding latin-1")
            }
            NotText::Nul { .. } => problem,
        };
    }
    Problem::of_file(format!("reading failed: {error}"))
}
