//! The terminal while the screen is up, and as it was once it is not.

use std::io::{self, Write};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crossterm::cursor::{Hide, MoveTo, Show};
use crossterm::event::{Event, KeyCode, KeyEventKind, KeyModifiers, poll, read};
use crossterm::style::Print;
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode, size,
};
use crossterm::{execute, queue};

use crate::cli::canning_day::run::screen::frame::{Line, Size};
use crate::cli::canning_day::run::screen::keys::Key;
use crate::paper::text::mark::Mark;

/// Whether keys come one by one, and whether the screen before is put away.
static KEYS: AtomicBool = AtomicBool::new(false);
static SCREEN: AtomicBool = AtomicBool::new(false);

/// A terminal taken over; dropped, it is as it was. A panic, too, leaves it as it was.
pub(super) struct Terminal(());

/// What happened at the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Happening {
    Key(Key),
    /// Its size changed.
    Resized,
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
        let taken = Self(());
        enable_raw_mode()?;
        KEYS.store(true, Ordering::SeqCst);
        if whole_screen {
            SCREEN.store(true, Ordering::SeqCst);
            execute!(io::stdout(), EnterAlternateScreen, Hide)?;
        }
        Ok(taken)
    }

    /// Waits for a key, no longer than so long.
    #[expect(clippy::unused_self, reason = "only a terminal taken over gives keys one by one")]
    pub(super) fn happening(&self, within: Duration) -> io::Result<Option<Happening>> {
        if !poll(within)? {
            return Ok(None);
        }
        Ok(match read()? {
            Event::Key(key) if key.kind == KeyEventKind::Press => match key.code {
                KeyCode::Char('c') if key.modifiers.contains(KeyModifiers::CONTROL) => {
                    Some(Happening::Interrupt)
                }
                KeyCode::Char(letter)
                    if !key.modifiers.intersects(KeyModifiers::CONTROL | KeyModifiers::ALT) =>
                {
                    Key::of(letter).map(Happening::Key)
                }
                KeyCode::Esc => Some(Happening::Key(Key::Leave)),
                KeyCode::Tab | KeyCode::Right | KeyCode::Down => Some(Happening::Key(Key::Next)),
                _ => None,
            },
            Event::Resize(..) => Some(Happening::Resized),
            _ => None,
        })
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        give_back();
    }
}

/// The terminal as it was; there is nobody to tell if it cannot be had.
fn give_back() {
    if SCREEN.swap(false, Ordering::SeqCst) {
        let _ = execute!(io::stdout(), Show, LeaveAlternateScreen);
    }
    if KEYS.swap(false, Ordering::SeqCst) {
        let _ = disable_raw_mode();
    }
}

/// The size of the terminal.
pub(super) fn size_now() -> io::Result<Size> {
    let (columns, rows) = size()?;
    Ok(Size { columns: usize::from(columns), rows: usize::from(rows) })
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
