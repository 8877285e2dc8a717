//! The terminal while the screen is up, and as it was once it is not.

use std::collections::VecDeque;
use std::io::{self, Write};
use std::os::fd::AsFd;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crossterm::cursor::{Hide, MoveTo, Show};
use crossterm::style::Print;
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{execute, queue};
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use terminal_size::{Height, Width, terminal_size};

use crate::cli::canning_day::run::screen::frame::{Line, Size};
use crate::cli::canning_day::run::screen::keys::Key;
use crate::paper::text::mark::Mark;

/// Whether keys come one by one, and whether the screen before is put away.
static KEYS: AtomicBool = AtomicBool::new(false);
static SCREEN: AtomicBool = AtomicBool::new(false);

/// A terminal that does not report its size.
const USUAL: Size = Size { columns: 80, rows: 24 };

/// A terminal taken over; dropped, it is as it was. A panic, too, leaves it as it was.
pub(super) struct Terminal {
    /// Keys that were struck and not asked for yet.
    struck: VecDeque<Happening>,
}

/// What happened at the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Happening {
    Key(Key),
    /// Ctrl-C.
    Interrupt,
}

impl Terminal {
    /// Takes keys one by one from now on and, for a whole screen, puts away what was shown.
    pub(super) fn take(whole_screen: bool) -> io::Result<Self> {
        // A program that aborts on a panic drops nothing.
        static ONCE: Once = Once::new();
        ONCE.call_once(|| {
            let before = std::panic::take_hook();
            std::panic::set_hook(Box::new(move |panic| {
                give_back();
                before(panic);
            }));
        });
        let taken = Self { struck: VecDeque::new() };
        enable_raw_mode()?;
        KEYS.store(true, Ordering::SeqCst);
        if whole_screen {
            SCREEN.store(true, Ordering::SeqCst);
            execute!(io::stdout(), EnterAlternateScreen, Hide)?;
        }
        Ok(taken)
    }

    /// Waits for a key, no longer than so long. A terminal that is gone is an error.
    pub(super) fn happening(&mut self, within: Duration) -> io::Result<Option<Happening>> {
        if let Some(struck) = self.struck.pop_front() {
            return Ok(Some(struck));
        }
        let stdin = io::stdin();
        let mut waiting = [PollFd::from_borrowed_fd(stdin.as_fd(), PollFlags::IN)];
        let within = Timespec::try_from(within).map_err(io::Error::other)?;
        match poll(&mut waiting, Some(&within)) {
            Ok(0) | Err(rustix::io::Errno::INTR) => return Ok(None),
            ready => ready?,
        };
        let mut bytes = [0; 64];
        match rustix::io::read(stdin.as_fd(), &mut bytes)? {
            0 => Err(io::ErrorKind::UnexpectedEof.into()),
            read => {
                self.struck.extend(struck(&bytes[..read]));
                Ok(self.struck.pop_front())
            }
        }
    }
}

/// The keys that bytes from a terminal are: ECMA-48, 5.4, control sequences, of which only the arrows mean anything.
fn struck(bytes: &[u8]) -> Vec<Happening> {
    const ESC: u8 = 0x1b;
    let mut found = Vec::new();
    let mut rest = bytes.iter().copied();
    while let Some(byte) = rest.next() {
        found.extend(match byte {
            ESC => match rest.next() {
                None => Some(Happening::Key(Key::Leave)),
                Some(b'[' | b'O') => match rest.find(|byte| matches!(byte, b'@'..=b'~')) {
                    Some(b'B' | b'C') => Some(Happening::Key(Key::Next)),
                    _ => None,
                },
                Some(_) => None,
            },
            0x03 => Some(Happening::Interrupt),
            b'\t' => Some(Happening::Key(Key::Next)),
            letter => Key::of(char::from(letter)).map(Happening::Key),
        });
    }
    found
}

impl Drop for Terminal {
    fn drop(&mut self) {
        give_back();
    }
}

/// The terminal as it was; a failure to restore it is ignored, since there is nowhere left to report it.
fn give_back() {
    if SCREEN.swap(false, Ordering::SeqCst) {
        let _ = execute!(io::stdout(), Show, LeaveAlternateScreen);
    }
    if KEYS.swap(false, Ordering::SeqCst) {
        let _ = disable_raw_mode();
    }
}

/// The size of the terminal.
pub(super) fn size_now() -> Size {
    let known = terminal_size().filter(|(columns, rows)| columns.0 > 0 && rows.0 > 0);
    known.map_or(USUAL, |(Width(columns), Height(rows))| Size {
        columns: usize::from(columns),
        rows: usize::from(rows),
    })
}

/// Draws all lines in one go.
pub(super) fn draw(lines: &[Line], colored: bool) -> io::Result<()> {
    let mut out = Vec::new();
    for (row, line) in (0..).zip(lines) {
        queue!(out, MoveTo(0, row), Clear(ClearType::CurrentLine))?;
        for span in line {
            match span.mark.filter(|_| colored) {
                Some(mark) => queue!(out, Print(mark.begins()), Print(&span.text), Print(Mark::ENDS))?,
                None => queue!(out, Print(&span.text))?,
            }
        }
    }
    let mut stdout = io::stdout().lock();
    stdout.write_all(&out)?;
    stdout.flush()
}

/// Rings the bell.
pub(super) fn ring() -> io::Result<()> {
    let mut stdout = io::stdout().lock();
    stdout.write_all(b"\x07")?;
    stdout.flush()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::values::kinds::run_step::RunStep;

    #[test]
    fn bytes_are_read_as_the_keys_that_sent_them() {
        let key = |key| Happening::Key(key);
        assert_eq!(struck(b"hB2"), [key(Key::Step(RunStep::Heat)), key(Key::Back), key(Key::Choose(1))]);
        assert_eq!(struck(b"\x1b"), [key(Key::Leave)]);
        // Arrows down and up, F5, Alt-b, a letter of two bytes, Ctrl-C.
        assert_eq!(struck(b"\x1b[B\x1bOA\x1b[15~\x1bb\xc3\xb6\x03"), [key(Key::Next), Happening::Interrupt]);
    }
}
