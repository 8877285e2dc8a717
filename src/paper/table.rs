//! Tables for the terminal, laid out by tabled.

use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::peaker::Priority;
use tabled::settings::style::Style;
use tabled::settings::{Alignment, Modify, Padding, Settings, Width};

use unicode_width::UnicodeWidthStr;

use super::plain::{plain, wrap};

/// Spaces after each column.
const GAP: usize = 2;

/// A table: headings and rows of text.
#[derive(Debug, Clone)]
pub struct Table {
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
    numbers: Vec<usize>,
}

impl Table {
    /// An empty table with these headings.
    pub fn new<const N: usize>(heads: [&str; N]) -> Self {
        Self { heads: heads.map(str::to_owned).to_vec(), rows: Vec::new(), numbers: Vec::new() }
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
        self.rows.push(cells.map(|cell| plain(&cell)).to_vec());
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
    }

    /// Lays the table out: within `width` columns on a terminal, the widest columns wrapped
    /// between words; without a width, tab-separated values under a line of headings.
    pub fn render(&self, width: Option<usize>) -> String {
        let Some(width) = width else { return self.tabs() };
        let columns = self.columns(width);
        let mut builder = Builder::new();
        for row in self.lines() {
            builder.push_record(row.iter().zip(&columns).map(|(cell, &column)| wrap(cell, column)));
        }
        let mut table = builder.build();
        table.with(
            Settings::empty()
                .with(Style::empty())
                .with(Padding::new(0, GAP, 0, 0))
                .with(Width::wrap(width).keep_words(true).priority(Priority::max(true))),
        );
        for &column in &self.numbers {
            table.with(Modify::new(Columns::one(column)).with(Alignment::right()));
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
    /// time, but none below its longest word, until the table fits.
    fn columns(&self, width: usize) -> Vec<usize> {
        let widest = |measure: fn(&str) -> usize| -> Vec<usize> {
            (0..self.heads.len())
                .map(|at| self.lines().map(|row| measure(&row[at])).max().unwrap_or_default())
                .collect()
        };
        let floors = widest(|cell| cell.split_whitespace().map(UnicodeWidthStr::width).max().unwrap_or(0));
        let mut columns = widest(|cell| cell.lines().map(UnicodeWidthStr::width).max().unwrap_or(0));
        let room = width.saturating_sub(GAP * columns.len());
        while columns.iter().sum::<usize>() > room {
            let shrinkable = columns.iter().zip(&floors).enumerate().filter(|(_, (now, floor))| now > floor);
            // Beyond that, words are broken by the last resort in `render`.
            let Some((at, _)) = shrinkable.max_by_key(|(_, (now, _))| **now) else { break };
            columns[at] -= 1;
        }
        columns
    }

    fn tabs(&self) -> String {
        let mut text = String::new();
        for row in self.lines() {
            text.push_str(&row.iter().map(|cell| cell.replace('\n', " ")).collect::<Vec<_>>().join("\t"));
            text.push('\n');
        }
        text
    }
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
        let text = shelf().render(Some(40));
        assert!(text.lines().all(|line| line.width() <= 40), "{text}");
    }

    #[test]
    fn cells_break_between_words_and_dates_not_at_all() {
        let mut table = Table::new(["Product", "Place", "Best by"]);
        table.row(["Pears in light syrup", "Pantry middle", "2026-09-19, past"].map(str::to_owned));
        // By hand: 20 + 13 + 16 and three gaps of 2 are 55; 40 leaves 34, so 15 are taken from the widest by turns.
        let text = table.render(Some(40));
        assert_eq!(
            text,
            "Product      Place   Best by\n\
             Pears in     Pantry  2026-09-19,\n\
             light syrup  middle  past\n"
        );
    }

    #[test]
    fn a_pipe_gets_tabs_and_nothing_cut() {
        assert!(shelf().render(None).contains("Pears\t7\n"));
    }
}
