//! Tables for the terminal, laid out by tabled.

use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::peaker::Priority;
use tabled::settings::style::Style;
use tabled::settings::{Alignment, Modify, Padding, Settings, Width};

use super::plain::plain;

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

    /// Lays the table out: within `width` columns on a terminal, wrapping the widest cells;
    /// without a width, tab-separated values under a line of headings.
    pub fn render(&self, width: Option<usize>) -> String {
        let Some(width) = width else { return self.tabs() };
        let mut builder = Builder::new();
        builder.push_record(&self.heads);
        for row in &self.rows {
            builder.push_record(row);
        }
        let mut table = builder.build();
        table.with(
            Settings::empty()
                .with(Style::empty())
                .with(Padding::new(0, 2, 0, 0))
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

    fn tabs(&self) -> String {
        let mut text = String::new();
        for row in std::iter::once(&self.heads).chain(&self.rows) {
            text.push_str(&row.iter().map(|cell| cell.replace('\n', " ")).collect::<Vec<_>>().join("\t"));
            text.push('\n');
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use unicode_width::UnicodeWidthStr;

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
    fn a_pipe_gets_tabs_and_nothing_cut() {
        assert!(shelf().render(None).contains("Pears\t7\n"));
    }
}
