//! Watches CSV text go by, so that no cell is endless and no quote is left open unnoticed.
//!
//! Line ends outside quotes become `\n`, whichever way they were written, so that lines count
//! the same in every file.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::io::{self, Read};
use std::rc::Rc;

/// Longest cell, in bytes.
pub(in crate::exchange) const LONGEST_CELL: usize = 64 << 10;

/// What is wrong with the shape of the text; carried inside the `io::Error` of a read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(in crate::exchange) enum BadShape {
    #[error("a cell that begins here is longer than {LONGEST_CELL} bytes")]
    TooLong { line: u64 },
    #[error("a quote that is opened here is never closed")]
    OpenQuote { line: u64 },
    #[error("more stands after the quote that ends the cell")]
    AfterQuote { line: u64 },
}

impl BadShape {
    pub(in crate::exchange) const fn line(&self) -> u64 {
        match self {
            Self::TooLong { line } | Self::OpenQuote { line } | Self::AfterQuote { line } => *line,
        }
    }
}

/// Where in a cell the text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Start,
    Bare,
    Quoted,
    /// After a quote inside a quoted cell: the end of it, or the first of two.
    Closing,
}

/// The lines on which the rows that went by begin; empty lines are no rows.
pub(in crate::exchange) type Lines = Rc<RefCell<VecDeque<u64>>>;

/// Reads another reader's CSV text with its line ends made alike.
pub(in crate::exchange) struct Cells<R> {
    from: R,
    lines: Lines,
    /// The next byte begins a row, unless it ends an empty line.
    at_row: bool,
    delimiter: u8,
    state: State,
    /// A carriage return outside quotes was just turned into a line end.
    after_return: bool,
    length: usize,
    line: u64,
    /// Where the cell began.
    cell_line: u64,
}

impl<R> Cells<R> {
    pub(in crate::exchange) const fn new(from: R, delimiter: u8, lines: Lines) -> Self {
        Self {
            from,
            lines,
            at_row: true,
            delimiter,
            state: State::Start,
            after_return: false,
            length: 0,
            line: 1,
            cell_line: 1,
        }
    }

    /// Takes one byte: what goes on in its place, if anything.
    fn take(&mut self, byte: u8) -> Result<Option<u8>, BadShape> {
        let follows_return = std::mem::take(&mut self.after_return);
        if self.state == State::Quoted {
            self.line += u64::from(byte == b'\n');
            self.state = if byte == b'"' { State::Closing } else { State::Quoted };
            return self.lengthen().map(|()| Some(byte));
        }
        if self.at_row && !matches!(byte, b'\n' | b'\r') {
            self.at_row = false;
            self.lines.borrow_mut().push_back(self.line);
        }
        match byte {
            b'\n' if follows_return => Ok(None),
            b'\n' | b'\r' => {
                self.after_return = byte == b'\r';
                self.at_row = true;
                self.line += 1;
                self.begin_cell();
                Ok(Some(b'\n'))
            }
            b'"' if matches!(self.state, State::Start | State::Closing) => {
                self.state = State::Quoted;
                self.lengthen().map(|()| Some(byte))
            }
            _ if byte == self.delimiter => {
                self.begin_cell();
                Ok(Some(byte))
            }
            // RFC 4180, 2.5: nothing but a delimiter follows the quote that ends a cell.
            _ if self.state == State::Closing => Err(BadShape::AfterQuote { line: self.cell_line }),
            _ => {
                self.state = State::Bare;
                self.lengthen().map(|()| Some(byte))
            }
        }
    }

    const fn begin_cell(&mut self) {
        self.state = State::Start;
        self.length = 0;
        self.cell_line = self.line;
    }

    const fn lengthen(&mut self) -> Result<(), BadShape> {
        self.length += 1;
        if self.length > LONGEST_CELL { Err(BadShape::TooLong { line: self.cell_line }) } else { Ok(()) }
    }
}

impl<R: Read> Read for Cells<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        loop {
            let got = self.from.read(into)?;
            if got == 0 {
                return match self.state {
                    State::Quoted if !into.is_empty() => {
                        Err(io::Error::other(BadShape::OpenQuote { line: self.cell_line }))
                    }
                    _ => Ok(0),
                };
            }
            let mut kept = 0;
            for at in 0..got {
                if let Some(byte) = self.take(into[at]).map_err(io::Error::other)? {
                    into[kept] = byte;
                    kept += 1;
                }
            }
            if kept > 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passed(text: &str) -> Result<String, BadShape> {
        let mut out = String::new();
        match Cells::new(text.as_bytes(), b',', Lines::default()).read_to_string(&mut out) {
            Ok(_) => Ok(out),
            Err(error) => Err(error.get_ref().unwrap().downcast_ref::<BadShape>().unwrap().clone()),
        }
    }

    #[test]
    fn line_ends_of_every_kind_are_alike_outside_quotes() {
        assert_eq!(passed("a\r\nb\rc\n\n\"d\r\ne\"\r\n").as_deref(), Ok("a\nb\nc\n\n\"d\r\ne\"\n"));
    }

    #[test]
    fn an_open_quote_is_reported_where_it_opens() {
        assert_eq!(passed("a,b\n1,\"two\n3,4\n5,6\n"), Err(BadShape::OpenQuote { line: 2 }));
        assert_eq!(passed("a,\"b\"\"c\"\n").as_deref(), Ok("a,\"b\"\"c\"\n"));
        // RFC 4180, 2.5: a quote inside a cell that does not begin with one is a letter.
        assert_eq!(passed("a,5\" pipe\n").as_deref(), Ok("a,5\" pipe\n"));
    }

    #[test]
    fn no_cell_is_endless() {
        let cell = "x".repeat(LONGEST_CELL);
        assert!(passed(&format!("a\n{cell},{cell}\n")).is_ok());
        assert_eq!(passed("a,b\n\"Beans\"x,1\n"), Err(BadShape::AfterQuote { line: 2 }));
        assert_eq!(passed(&format!("a\n\n{cell}x\n")), Err(BadShape::TooLong { line: 3 }));
        assert_eq!(passed(&format!("a\n\"{cell}")), Err(BadShape::TooLong { line: 2 }));
    }
}
