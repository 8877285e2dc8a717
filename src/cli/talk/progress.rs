//! Shows on a terminal what a long command is at, once it has taken over a second.
//!
//! Nothing shows where stderr is no terminal, with `--json` or `--quiet`, or where the command is done sooner; what
//! showed is gone again before anything else is said.

use std::io::{self, IsTerminal, Read};
use std::sync::Mutex;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::cli::talk::screen::Screen;
use crate::ledger::file::progress::on_progress;

/// How long a command may take before it says what it is at.
const SOON: Duration = Duration::from_secs(1);

/// Time between two looks.
const TICK: Duration = Duration::from_millis(200);

/// The line of the command under way, for what the ledger reports.
static LINE: Mutex<Option<ProgressBar>> = Mutex::new(None);

/// A line about what is under way; it goes when this does.
pub(in crate::cli) struct Progress(Option<Shown>);

struct Shown {
    line: ProgressBar,
    end: Option<Sender<()>>,
    ticking: Option<JoinHandle<()>>,
}

impl Progress {
    /// Begins; `what` says what is under way: "importing".
    pub(in crate::cli) fn begin(screen: &Screen, what: &'static str) -> Self {
        if !screen.takes_notes() || !io::stderr().is_terminal() {
            return Self(None);
        }
        let line = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden())
            .with_style(style("{spinner} {msg}, {elapsed}"))
            .with_message(what);
        if let Ok(mut shown) = LINE.lock() {
            *shown = Some(line.clone());
        }
        on_progress(|done, of| {
            if let Ok(Some(line)) = LINE.lock().as_deref() {
                draw(line, done, of);
            }
        });
        let (end, ended) = channel();
        let drawn = line.clone();
        let ticking = thread::spawn(move || {
            if ended.recv_timeout(SOON) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            drawn.set_draw_target(ProgressDrawTarget::stderr());
            while ended.recv_timeout(TICK) == Err(RecvTimeoutError::Timeout) {
                drawn.tick();
            }
            drawn.finish_and_clear();
        });
        Self(Some(Shown { line, end: Some(end), ticking: Some(ticking) }))
    }

    /// Counts what is read, of so many bytes.
    pub(in crate::cli) fn reading<'r>(
        &self,
        from: Box<dyn Read + 'r>,
        of: Option<u64>,
    ) -> Box<dyn Read + 'r> {
        match (&self.0, of.filter(|&of| of > 0)) {
            (Some(shown), Some(of)) => Box::new(Counted { from, line: shown.line.clone(), read: 0, of }),
            _ => from,
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        let Some(shown) = &mut self.0 else { return };
        if let Ok(mut line) = LINE.lock() {
            *line = None;
        }
        drop(shown.end.take());
        if let Some(ticking) = shown.ticking.take() {
            // It only draws; if it could not, there is nothing to mend.
            let _ = ticking.join();
        }
    }
}

fn style(template: &str) -> ProgressStyle {
    ProgressStyle::with_template(template).expect("the template is ours").tick_chars("|/-\\ ")
}

fn draw(line: &ProgressBar, done: u64, of: u64) {
    if line.length() != Some(of) {
        line.set_length(of);
        line.set_style(style("{spinner} {msg}, {percent} % in {elapsed}"));
    }
    line.set_position(done);
}

/// A reader that shows how far it is.
struct Counted<'r> {
    from: Box<dyn Read + 'r>,
    line: ProgressBar,
    read: u64,
    of: u64,
}

impl Read for Counted<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.from.read(into)?;
        self.read += read as u64;
        draw(&self.line, self.read, self.of);
        Ok(read)
    }
}
