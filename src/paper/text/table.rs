//! Tables for the terminal, laid out by tabled.

use std::borrow::Cow;

use tabled::builder::Builder;
use tabled::settings::object::{Columns, Rows};
use tabled::settings::style::Style;
use tabled::settings::{Alignment, Color, Modify, Padding, Settings};

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::paper::text::mark::Mark;
use crate::paper::text::plain::{plain, wrap};

/// Cells that head a row which is shown on lines of its own.
const FRONT: usize = 2;

/// Spaces after each column.
const GAP: usize = 2;

/// Widths beyond which a word is broken where the table does not fit otherwise, the mildest first. No date
/// and no jar code is as wide as the last.
const LONGEST: [usize; 3] = [usize::MAX, 24, 14];

/// A space at which no cell is broken.
const GLUE: char = '\u{a0}';

/// A text for a cell, such as a date, that stays on one line.
pub fn unbroken(text: &str) -> String {
    text.replace(' ', GLUE.encode_utf8(&mut [0; 4]))
}

/// How a table is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// In columns side by side, within so many columns of a terminal.
    Within(usize),
    /// In columns side by side, as wide as they are: for a file or another program.
    Wide,
    /// A tab between cells.
    Tabs,
}

/// A table: headings and rows of text.
#[derive(Debug, Clone)]
pub struct Table {
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
    numbers: Vec<usize>,
    /// The rows that catch the eye.
    marks: Vec<(usize, Mark)>,
}

impl Table {
    /// An empty table with these headings.
    pub fn new<const N: usize>(heads: [&str; N]) -> Self {
        Self {
            heads: heads.map(str::to_owned).to_vec(),
            rows: Vec::new(),
            numbers: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// Sets a column flush right.
    #[must_use]
    pub fn number(mut self, column: usize) -> Self {
        self.numbers.push(column);
        self
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        debug_assert_eq!(N, self.heads.len(), "a row has as many cells as there are headings");
        self.rows.push(cells.map(plain).to_vec());
    }

    /// Adds a row that catches the eye where colors are shown.
    pub fn marked<const N: usize>(&mut self, mark: Option<Mark>, cells: [String; N]) {
        self.marks.extend(mark.map(|mark| (self.rows.len(), mark)));
        self.row(cells);
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Leaves the headings and takes the rows away.
    pub fn clear(&mut self) {
        self.rows.clear();
        self.marks.clear();
    }

    /// Lays the table out. Within a terminal's columns the widest are wrapped between words, very long words broken
    /// where that is not enough, or each row is shown on lines of its own where not even that fits side by side.
    pub fn render(&self, layout: Layout, colored: bool) -> String {
        self.laid_out(layout, colored).replace(GLUE, " ")
    }

    fn laid_out(&self, layout: Layout, colored: bool) -> String {
        let width = match layout {
            Layout::Within(width) => width,
            Layout::Wide => return self.wide(),
            Layout::Tabs => return self.tabs(),
        };
        let Some(columns) = LONGEST.iter().find_map(|&longest| self.columns(width, longest)) else {
            return self.row_by_row(width, colored);
        };
        let mut builder = Builder::new();
        for row in self.lines() {
            builder.push_record(
                row.iter().zip(&columns).map(|(cell, &column)| wrap(&broken(cell, column), column)),
            );
        }
        let mut table = builder.build();
        table.with(Settings::empty().with(Style::empty()).with(Padding::new(0, GAP, 0, 0)));
        for &column in &self.numbers {
            table.with(Modify::new(Columns::one(column)).with(Alignment::right()));
        }
        for (row, mark) in self.marks.iter().filter(|_| colored) {
            table.with(Modify::new(Rows::one(row + 1)).with(Color::new(mark.begins(), Mark::ENDS)));
        }
        let mut text = String::new();
        for line in table.to_string().lines() {
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }

    fn lines(&self) -> impl Iterator<Item = &Vec<String>> {
        std::iter::once(&self.heads).chain(&self.rows)
    }

    /// The width of each column: as wide as its widest cell, the widest taken in a little at a
    /// time, but none below its longest word, of which a word counts as at most `longest` wide, until the
    /// table fits; none where it never does.
    fn columns(&self, width: usize, longest: usize) -> Option<Vec<usize>> {
        let widest = |measure: fn(&str) -> usize| -> Vec<usize> {
            (0..self.heads.len())
                .map(|at| self.lines().map(|row| measure(&row[at])).max().unwrap_or_default())
                .collect()
        };
        let words = widest(|cell| cell.split([' ', '\n']).map(UnicodeWidthStr::width).max().unwrap_or(0));
        let floors: Vec<usize> = words.into_iter().map(|word| word.min(longest)).collect();
        let mut columns = widest(|cell| cell.lines().map(UnicodeWidthStr::width).max().unwrap_or(0));
        let room = width.saturating_sub(GAP * columns.len());
        while columns.iter().sum::<usize>() > room {
            let shrinkable = columns.iter().zip(&floors).enumerate().filter(|(_, (now, floor))| now > floor);
            let (at, _) = shrinkable.max_by_key(|(_, (now, _))| **now)?;
            columns[at] -= 1;
        }
        Some(columns)
    }

    /// Each row on lines of its own: the first two cells, or one where two do not fit, and below them the
    /// others, with their headings but for the second.
    fn row_by_row(&self, width: usize, colored: bool) -> String {
        let front = |row: &[String], count| row.iter().take(count).cloned().collect::<Vec<_>>().join("  ");
        let fits = self.lines().all(|row| front(row, FRONT).width() <= width);
        let count = if fits { FRONT } else { 1 };
        let mut text = wrap(&front(&self.heads, count), width) + "\n";
        for (at, row) in self.rows.iter().enumerate() {
            let from = text.len();
            text.push_str(&wrap(front(row, count).trim_end(), width));
            text.push('\n');
            let shown: Vec<String> = self
                .heads
                .iter()
                .zip(row)
                .enumerate()
                .skip(count)
                .filter(|(_, (_, cell))| !cell.is_empty())
                .map(
                    |(at, (head, cell))| {
                        if head.is_empty() || at < FRONT { cell.clone() } else { format!("{head}: {cell}") }
                    },
                )
                .collect();
            if !shown.is_empty() {
                text.push_str(&wrap(&format!("  {}", shown.join("; ").replace('\n', " ")), width));
                text.push('\n');
            }
            if let Some((_, mark)) = self.marks.iter().find(|(marked, _)| colored && *marked == at) {
                for line in text.split_off(from).lines() {
                    text.extend([mark.begins(), line, Mark::ENDS, "\n"]);
                }
            }
        }
        text
    }

    /// Each column as wide as its widest cell.
    fn wide(&self) -> String {
        let cells: Vec<Vec<(usize, Cow<'_, str>)>> = (self.lines())
            .map(|row| {
                let cells = row.iter().map(|cell| in_one_line(cell));
                cells.map(|cell| (cell.width(), cell)).collect()
            })
            .collect();
        let widths: Vec<usize> = (0..self.heads.len())
            .map(|at| cells.iter().map(|row| row[at].0).max().unwrap_or_default())
            .collect();
        let mut text = String::new();
        for row in &cells {
            let from = text.len();
            for (at, ((own, cell), width)) in row.iter().zip(&widths).enumerate() {
                let room = width - own;
                let (before, after) = if self.numbers.contains(&at) { (room, 0) } else { (0, room) };
                text.extend(std::iter::repeat_n(' ', before));
                text.push_str(cell);
                text.extend(std::iter::repeat_n(' ', after + GAP));
            }
            text.truncate(from + text[from..].trim_end().len());
            text.push('\n');
        }
        text
    }

    fn tabs(&self) -> String {
        let mut text = String::new();
        for row in self.lines() {
            text.push_str(&row.iter().map(|cell| in_one_line(cell)).collect::<Vec<_>>().join("\t"));
            text.push('\n');
        }
        text
    }
}

fn in_one_line(cell: &str) -> Cow<'_, str> {
    if cell.contains('\n') { Cow::Owned(cell.replace('\n', " ")) } else { Cow::Borrowed(cell) }
}

/// Breaks words wider than `width`.
fn broken(cell: &str, width: usize) -> String {
    let mut shown = String::with_capacity(cell.len());
    let mut at = 0;
    for character in cell.chars() {
        let wide = character.width().unwrap_or(0);
        if character.is_whitespace() && character != GLUE {
            at = 0;
        } else if at > 0 && at + wide > width {
            shown.push('\n');
            at = wide;
        } else {
            at += wide;
        }
        shown.push(character);
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shelf() -> Table {
        let mut table = Table::new(["Product", "Jars"]).number(1);
        table.row(["Żurek 梅干し with a long name that must wrap somewhere".to_owned(), "12".to_owned()]);
        table.row(["Pears".to_owned(), "7".to_owned()]);
        table
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let text = shelf().render(Layout::Within(40), false);
        assert!(text.lines().all(|line| line.width() <= 40), "{text}");
    }

    #[test]
    fn what_a_row_is_about_is_shown_without_its_heading() {
        let mut table = Table::new(["Time", "What", "Canner", ""]);
        table.row(["13:20-13:38", "fill 9 pints of pears, cut", "Kettle", "hands"].map(str::to_owned));
        // By hand: no column narrower than its longest word, 11, 5, 6 and 5, with four gaps of 2 are 35; one less is no table.
        let text = table.render(Layout::Within(34), false);
        assert_eq!(text, "Time\n13:20-13:38\n  fill 9 pints of pears, cut;\n  Canner: Kettle; hands\n");
    }

    #[test]
    fn a_date_in_words_stays_on_one_line() {
        let mut table = Table::new(["Place", "Best by"]);
        table.row(["Pantry in the middle".to_owned(), unbroken("Sep 19, 2026")]);
        // By hand: 12 for the date and two gaps of 2 leave 11 of 27, of which the widest line, "the middle", takes 10.
        let text = table.render(Layout::Within(27), false);
        assert_eq!(text, "Place       Best by\nPantry in   Sep 19, 2026\nthe middle\n");
        assert_eq!(
            table.render(Layout::Wide, false).lines().nth(1),
            Some("Pantry in the middle  Sep 19, 2026")
        );
    }

    #[test]
    fn cells_break_between_words_and_dates_not_at_all() {
        let mut table = Table::new(["Product", "Place", "Best by"]);
        table.row(["Pears in light syrup", "Pantry middle", "2026-09-19, past"].map(str::to_owned));
        // By hand: 20 + 13 + 16 and three gaps of 2 are 55; 40 leaves 34, so 15 are taken from the widest by turns.
        let text = table.render(Layout::Within(40), false);
        assert_eq!(
            text,
            "Product      Place   Best by\n\
             Pears in     Pantry  2026-09-19,\n\
             light syrup  middle  past\n"
        );
    }

    #[test]
    fn one_endless_name_takes_no_other_row_out_of_the_table() {
        let mut table = Table::new(["Jars", "Product", "Place", "Best by"]).number(0);
        table.row(["5", "Green beans", "Cellar", "2027-08-14"].map(str::to_owned));
        table.row(["12".to_owned(), "Pears".to_owned(), "x".repeat(30), "2027-09-01".to_owned()]);
        // By hand: 4, 11, 30 and 10 with four gaps of 2 are 63; 52 leaves 44, so the endless name gets 19 of its 30,
        // where the longest that need not be broken is 24: 24 does not fit, 14 does, and the widest gives way to 19.
        assert_eq!(
            table.render(Layout::Within(52), false),
            "Jars  Product      Place                Best by\n\
             \u{20}  5  Green beans  Cellar               2027-08-14\n\
             \u{20} 12  Pears        xxxxxxxxxxxxxxxxxxx  2027-09-01\n\
             \u{20}                  xxxxxxxxxxx\n"
        );
    }

    #[test]
    fn what_does_not_fit_side_by_side_is_shown_row_by_row() {
        let mut table = Table::new(["Jar", "Product", "State", "Place", "Best by", ""]);
        table.row(
            ["26-012-01-8", "Sliced carrots", "frozen, on hold", "", "2027-09-10", "past"].map(str::to_owned),
        );
        // By hand: the longest words are 11, 7, 7, 5, 10 and 4 wide, 56 with six gaps of 2.
        assert_eq!(
            table.render(Layout::Within(40), false),
            "Jar  Product\n\
             26-012-01-8  Sliced carrots\n\
             \u{20} State: frozen, on hold; Best by:\n\
             \u{20} 2027-09-10; past\n"
        );
    }

    #[test]
    fn a_pipe_gets_tabs_and_nothing_cut() {
        assert!(shelf().render(Layout::Tabs, false).contains("Pears\t7\n"));
    }
}
