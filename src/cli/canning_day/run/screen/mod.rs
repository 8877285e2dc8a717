//! The screen at the stove: the time left in large digits, one key for each step, and a bell when a time is over.
//!
//! May use: ledger, paper, rules, values.
//!
//! What it shows is read anew from the ledger each second, so it follows what another terminal or a phone said meanwhile.

use std::io::{self, Write};
use std::mem::ManuallyDrop;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::sleep;
use std::time::Duration;

use signal_hook::consts::SIGHUP;

use crate::cli::canning_day::run::acts;
use crate::cli::canning_day::run::screen::alarm::{Alarms, Due, Reminders};
use crate::cli::canning_day::run::screen::frame::{Line, Scene, Size, frame};
use crate::cli::canning_day::run::screen::keys::{Key, in_words};
use crate::cli::canning_day::run::screen::plain::ChangeLines;
use crate::cli::canning_day::run::screen::terminal::{Happening, Terminal, draw, ring, size_now};
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::ledger::error::interrupt::{Working, asked, give_time};
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{Instant, left_in_words, stand};
use crate::values::kinds::run_step::RunStep;

mod alarm;
mod digits;
mod frame;
mod keys;
mod plain;
mod terminal;
#[cfg(test)]
mod tests;

/// Time between two drawings.
const BETWEEN: Duration = Duration::from_secs(1);

/// Longest time before it is seen that the program was asked to end.
const SLICE: Duration = Duration::from_millis(200);

/// A second key to take a step back within this time is taken for the same one, struck twice.
const SAME_STROKE: Duration = Duration::from_secs(1);

/// How the runs are shown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Looks {
    /// Line by line.
    pub(super) plain: bool,
    /// Whether there are keys to press.
    pub(super) keys: bool,
    pub(super) colored: bool,
}

/// Stays with the runs under way until all their jars are out or somebody leaves; returns the runs as they then stand.
pub(super) fn watch(looks: Looks, alarm: Option<&str>, ctx: &Context) -> Result<Vec<Run>, Failure> {
    let mut alarms = Alarms::new(alarm)?;
    let mut board = Board::read(ctx)?;
    if board.is_done() {
        return Ok(board.runs);
    }
    // Asked to end, it gives the terminal back first.
    let _working = Working::begin();
    give_time();
    let hung_up = Arc::new(AtomicBool::new(false));
    // Without it the terminal that hangs up ends the program, which is no worse.
    let _ = signal_hook::flag::register(SIGHUP, Arc::clone(&hung_up));
    let mut face = Face::new(looks).map_err(|error| lost(&error))?;
    let mut reminders = Reminders::default();
    let (mut looked, mut drawn) = (None::<Duration>, None::<Duration>);
    loop {
        if asked() || hung_up.load(Ordering::Relaxed) {
            return Err(interrupted());
        }
        let now = ctx.running();
        let wait = looked.map_or(Duration::ZERO, |at| (at + BETWEEN).saturating_sub(now));
        if wait.is_zero() {
            board.look(&ctx.by_now());
            if board.is_done() {
                return Ok(board.runs);
            }
            let due = reminders.due(&board.runs, &board.now);
            due.iter().for_each(|due| alarms.sound(&due.text));
            if !reminders.wait() {
                alarms.hush();
            }
            looked = Some(now);
            if face.show(&board, &due).map_err(|error| lost(&error))? {
                drawn = looked;
            }
            continue;
        }
        match face.happening(wait.min(SLICE)).map_err(|error| lost(&error))? {
            None => {}
            Some(Happening::Interrupt) => return Err(interrupted()),
            Some(Happening::Key(Key::Leave)) => return Ok(board.runs),
            Some(Happening::Key(key)) => {
                board.press(key, now, &ctx.by_now());
                board.look(&ctx.by_now());
                if board.is_done() {
                    return Ok(board.runs);
                }
                face.says_again |= key == Key::SayAgain;
                looked = drawn;
            }
        }
    }
}

fn interrupted() -> Failure {
    Failure::new(
        Code::Interrupted,
        "interrupted; every step is on record and the time runs on",
        "`jarledger run` goes on",
    )
}

fn lost(error: &io::Error) -> Failure {
    Failure::new(
        Code::Io,
        format!("the terminal could not be used: {error}; every step is on record and the time runs on"),
        "`jarledger run` goes on",
    )
}

/// The runs under way as they were last looked at, and the one that the keys are for.
struct Board {
    runs: Vec<Run>,
    now: Instant,
    chosen: Option<i64>,
    note: Option<String>,
    unread: Option<String>,
    taken_back: Option<Duration>,
}

impl Board {
    fn read(ctx: &Context) -> Result<Self, Failure> {
        let runs = read(ctx)?;
        let chosen = runs.first().map(|run| run.id);
        let (note, unread, taken_back) = (None, None, None);
        Ok(Self { runs, now: ctx.instant(), chosen, note, unread, taken_back })
    }

    /// Looks at the clock and the ledger; where that cannot be read, the time runs on for the runs as they were.
    fn look(&mut self, ctx: &Context) {
        self.now = ctx.instant();
        match read(ctx) {
            Ok(runs) => (self.runs, self.unread) = (runs, None),
            Err(failure) => self.unread = Some(failure.message),
        }
    }

    /// Whether there is nothing more to wait for.
    fn is_done(&self) -> bool {
        self.runs.iter().all(|run| run.taken.last().is_some_and(|last| last.step == RunStep::Out))
    }

    /// The place of the run that the keys are for.
    fn place(&self) -> usize {
        self.runs.iter().position(|run| Some(run.id) == self.chosen).unwrap_or(0)
    }

    fn choose(&mut self, place: usize) {
        self.chosen = self.runs.get(place).map(|run| run.id).or(self.chosen);
    }

    fn press(&mut self, key: Key, at: Duration, ctx: &Context) {
        let Some(run) = self.runs.get(self.place()) else { return };
        match key {
            Key::Choose(place) => self.choose(place),
            Key::Next => self.choose((self.place() + 1) % self.runs.len()),
            Key::Step(step) if run.taken.last().is_some_and(|last| last.step == step) => {
                // The same key, struck twice.
            }
            Key::Step(step) => {
                let now = ctx.instant();
                let left = stand(&run.aim, &run.taken, &now).left_s.filter(|_| step != RunStep::Lost);
                let early = left.filter(|&left| left > 0).map(left_in_words);
                let taken = ctx.open_to_write();
                let taken = taken.and_then(|ledger| acts::take(&ledger, run, step, &now, ctx.clock));
                self.note = match taken {
                    Ok(()) => early.map(|left| {
                        let words = in_words(step, run.aim.method);
                        format!("\u{201c}{words}\u{201d} came {left} early; b undoes it.")
                    }),
                    Err(failure) => Some(failure.message),
                };
            }
            Key::Back if self.taken_back.is_some_and(|before| at - before < SAME_STROKE) => {}
            Key::Back => {
                let last = run.taken.last().map(|last| in_words(last.step, run.aim.method));
                let back = ctx.open_to_write();
                let back = back.and_then(|ledger| acts::take_back(&ledger, run, ctx.clock));
                self.note = match (back, last) {
                    (Ok(()), Some(last)) => Some(format!("\u{201c}{last}\u{201d} was taken back.")),
                    (Ok(()), None) => None,
                    (Err(failure), _) => Some(failure.message),
                };
                self.taken_back = Some(at);
            }
            Key::SayAgain | Key::Leave => {}
        }
    }

    /// What came of the last key, or keeps the ledger from being read.
    fn note(&self) -> Option<&str> {
        self.unread.as_deref().or(self.note.as_deref())
    }
}

fn read(ctx: &Context) -> Result<Vec<Run>, Failure> {
    // Opened every second for hours, so it is closed each time.
    let ledger = ManuallyDrop::into_inner(ctx.open()?);
    Ok(ledger.runs_under_way()?)
}

/// Where the runs are shown, and the keys come from.
struct Face {
    looks: Looks,
    terminal: Option<Terminal>,
    /// What was drawn, and how large the terminal was.
    shown: (Vec<Line>, Size),
    changes: ChangeLines,
    says_again: bool,
}

impl Face {
    fn new(looks: Looks) -> io::Result<Self> {
        let terminal = looks.keys.then(|| Terminal::take(!looks.plain)).transpose()?;
        let mut face = Self {
            looks,
            terminal,
            shown: (Vec::new(), size_now()),
            changes: ChangeLines::default(),
            says_again: false,
        };
        if looks.plain && looks.keys {
            face.say(&["Keys: b takes the last step back; space says it again; q leaves.".to_owned()])?;
        }
        Ok(face)
    }

    /// Shows what changed, and rings for what is due; says whether anything was drawn.
    fn show(&mut self, board: &Board, due: &[Due]) -> io::Result<bool> {
        if !due.is_empty() && self.looks.keys {
            ring()?;
        }
        let scene = Scene { runs: &board.runs, now: &board.now, chosen: board.place(), note: board.note() };
        if self.looks.plain {
            let due: Vec<i64> = due.iter().map(|due| due.run).collect();
            let again = std::mem::take(&mut self.says_again);
            let lines = self.changes.lines(&scene, &due, again);
            self.say(&lines)?;
            return Ok(!lines.is_empty());
        }
        let size = size_now();
        let drawn = (frame(&scene, size), size);
        let changed = drawn != self.shown;
        if changed {
            draw(&drawn.0, self.looks.colored)?;
            self.shown = drawn;
        }
        Ok(changed)
    }

    fn say(&mut self, lines: &[String]) -> io::Result<()> {
        // A terminal that takes key by key does not begin a line by itself.
        let end = if self.terminal.is_some() { "\r\n" } else { "\n" };
        let mut stdout = io::stdout().lock();
        for line in lines {
            write!(stdout, "{line}{end}")?;
        }
        stdout.flush()
    }

    fn happening(&mut self, within: Duration) -> io::Result<Option<Happening>> {
        match &mut self.terminal {
            Some(terminal) => terminal.happening(within),
            None => {
                sleep(within);
                Ok(None)
            }
        }
    }
}
