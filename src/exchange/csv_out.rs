//! Writing CSV (RFC 4180), with LF line ends.

use std::io::{self, Write};

use super::formula::escaped;

/// One cell to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CsvCell<'c> {
    /// A text, which a spreadsheet might run.
    Text(&'c str),
    /// Anything else: a number, or nothing.
    Plain(&'c str),
}

/// Whether texts that a spreadsheet would run are escaped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Formulas {
    /// Escaped: for people.
    Escaped,
    /// As they are: for programs.
    Raw,
}

/// Writes one row.
///
/// # Errors
/// Whatever `to` returns.
pub fn write_row<'c>(
    to: &mut (impl Write + ?Sized),
    cells: impl IntoIterator<Item = CsvCell<'c>>,
    formulas: Formulas,
) -> io::Result<()> {
    for (at, cell) in cells.into_iter().enumerate() {
        if at > 0 {
            to.write_all(b",")?;
        }
        match cell {
            CsvCell::Text(text) if formulas == Formulas::Escaped => quoted(to, &escaped(text))?,
            CsvCell::Text(text) | CsvCell::Plain(text) => quoted(to, text)?,
        }
    }
    to.write_all(b"\n")
}

/// Puts quotes around a cell that needs them.
fn quoted(to: &mut (impl Write + ?Sized), text: &str) -> io::Result<()> {
    if !text.contains(['"', ',', '\n', '\r']) {
        return to.write_all(text.as_bytes());
    }
    write!(to, "\"{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[CsvCell<'_>], formulas: Formulas) -> String {
        let mut out = Vec::new();
        write_row(&mut out, cells.iter().copied(), formulas).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn cells_are_quoted_as_rfc_4180_says() {
        // RFC 4180, section 2, rules 6 and 7.
        let cells = [
            CsvCell::Text("a,b"),
            CsvCell::Text("say \"when\""),
            CsvCell::Text("two\nlines"),
            CsvCell::Plain(""),
        ];
        assert_eq!(row(&cells, Formulas::Raw), "\"a,b\",\"say \"\"when\"\"\",\"two\nlines\",\n");
    }

    #[test]
    fn only_texts_are_escaped_and_a_negative_number_stays_a_number() {
        let cells = [CsvCell::Text("-1"), CsvCell::Plain("-1")];
        assert_eq!(row(&cells, Formulas::Escaped), "'-1,-1\n");
        assert_eq!(row(&cells, Formulas::Raw), "-1,-1\n");
    }
}
