//! What the screen shows: a function of the runs, the moment and the size of the terminal.

use unicode_width::UnicodeWidthStr;

use crate::cli::canning_day::run::screen::digits::{Scale, clock, drawn};
use crate::cli::canning_day::run::screen::keys::{in_words, offered};
use crate::ledger::kitchen::run::Run;
use crate::paper::text::mark::Mark;
use crate::paper::text::plain::{cut, plain, wrap};
use crate::rules::canning_day::run::{Instant, Phase, Stand, stand};
use crate::rules::gauge::dial::Dial;

/// Columns below which canners stand one below another.
const NARROWEST_COLUMN: usize = 24;

/// Columns between two canners.
const GAP: usize = 2;

/// Lines for the steps so far; of more the last are shown.
const MOST_STEP_LINES: usize = 3;

/// Seconds before the end from which the digits are marked.
const SOON: u64 = 60;

/// A terminal's size in letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Size {
    pub(super) columns: usize,
    pub(super) rows: usize,
}

/// What there is to show.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scene<'a> {
    pub(super) runs: &'a [Run],
    pub(super) now: &'a Instant,
    /// The place among the runs of the one that the keys are for.
    pub(super) chosen: usize,
    /// What came of the last key.
    pub(super) note: Option<&'a str>,
}

/// What the dial of a run's canner must show, in words that follow its name; none where that goes without saying.
pub(super) fn dial_of(run: &Run) -> String {
    match run.aim.dial {
        Dial::AtItsWord => String::new(),
        Dial::High(reading) => format!(", dial at {reading}"),
        Dial::Useless => ", replace its dial".to_owned(),
    }
}

/// A part of a line, in one color.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) text: String,
    pub(super) mark: Option<Mark>,
}

/// A line of the screen.
pub(super) type Line = Vec<Span>;

fn line(text: impl Into<String>, mark: Option<Mark>) -> Line {
    vec![Span { text: text.into(), mark }]
}

/// The lines of the screen, from the top: no more than it has rows, and none wider than it.
pub(super) fn frame(scene: &Scene<'_>, size: Size) -> Vec<Line> {
    let foot = foot(scene, size.columns);
    let room = size.rows.saturating_sub(foot.len());
    let count = scene.runs.len().max(1);
    let column = size.columns.saturating_sub(GAP * (count - 1)) / count;
    let mut lines = Vec::new();
    if column >= NARROWEST_COLUMN {
        let size = Size { columns: column, rows: room.saturating_sub(1) };
        let blocks: Vec<Vec<Line>> = (0..scene.runs.len()).map(|place| block(scene, place, size)).collect();
        lines = side_by_side(&blocks, column);
    } else {
        for place in 0..scene.runs.len() {
            // Lines that one canner leaves over go to those below it.
            let rows = room.saturating_sub(lines.len()) / (scene.runs.len() - place);
            lines.extend(block(scene, place, Size { columns: size.columns, rows }));
        }
    }
    lines.resize(room, Line::new());
    lines.extend(foot);
    lines.truncate(size.rows);
    lines
}

/// Columns of lines put together into lines.
fn side_by_side(blocks: &[Vec<Line>], column: usize) -> Vec<Line> {
    let rows = blocks.iter().map(Vec::len).max().unwrap_or(0);
    let mut lines = vec![Line::new(); rows];
    for (row, line) in lines.iter_mut().enumerate() {
        for (place, block) in blocks.iter().enumerate() {
            let part = block.get(row).cloned().unwrap_or_default();
            let wide: usize = part.iter().map(|span| span.text.width()).sum();
            line.extend(part);
            if place + 1 < blocks.len() {
                let pad = " ".repeat((column + GAP).saturating_sub(wide));
                line.push(Span { text: pad, mark: None });
            }
        }
    }
    lines
}

/// What came of the last key, and the keys that are for every canner.
fn foot(scene: &Scene<'_>, columns: usize) -> Vec<Line> {
    let mut keys = match scene.runs.len() {
        0 | 1 => vec!["q  leave; the time runs on".to_owned()],
        count => vec![format!("1-{count}  choose"), "q  leave".to_owned()],
    };
    if let Some(run) = scene.runs.get(scene.chosen)
        && let Some(last) = run.taken.last()
    {
        keys.push(format!("b  take back \u{201c}{}\u{201d}", in_words(last.step, run.aim.method)));
    }
    keys.push(scene.now.at.format("%H:%M").to_string());
    let note = scene.note.map(|note| wrapped(note, columns)).unwrap_or_default();
    let note = note.into_iter().map(|text| line(text, Some(Mark::Overdue)));
    note.chain(filled(&keys, columns).into_iter().map(|text| line(text, None))).collect()
}

/// Items one after another, on as many lines as they need.
fn filled(items: &[String], columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for item in items {
        let item = cut(&plain(item), columns);
        match lines.last_mut().filter(|line| line.width() + 3 + item.width() <= columns) {
            Some(line) => line.extend(["   ", &item]),
            None => lines.push(item),
        }
    }
    lines
}

fn wrapped(text: &str, columns: usize) -> Vec<String> {
    wrap(&plain(text), columns).lines().map(|line| cut(line, columns)).collect()
}

/// What stands beside what must be shown of a canner; where there is less room, what matters least goes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd)]
enum Beside {
    Keys,
    Words,
    Detail,
    Steps,
    Space,
}

/// What is shown of one canner, on no more lines than there is room for.
fn block(scene: &Scene<'_>, place: usize, size: Size) -> Vec<Line> {
    let run = &scene.runs[place];
    let here = stand(&run.aim, &run.taken, scene.now);
    let among = (scene.runs.len() > 1).then_some(Among { place, chosen: place == scene.chosen });
    let (title, detail) = heads(run, among);
    let in_lines = |texts: Vec<String>, mark| -> Vec<Line> {
        texts.iter().flat_map(|text| wrapped(text, size.columns)).map(|text| line(text, mark)).collect()
    };
    // However long the name is, what the dial must show stands beside it.
    let dial = dial_of(run);
    let title = cut(&plain(&title), size.columns.saturating_sub(dial.width())) + &dial;
    let title = line(cut(&title, size.columns), None);
    let detail = in_lines(vec![detail], None);
    let say = in_lines(vec![here.say.clone()], mark(&here));
    let keys = in_lines(keys(run, &here, among), None);
    let steps = in_lines(steps_so_far(run, &here, size.columns), None);
    let time = here.left_s.map(clock);
    let put_together = |scale: Option<Scale>, beside: Beside| {
        let digits = time.as_deref().zip(scale).map(|(time, scale)| drawn(time, scale)).unwrap_or_default();
        let digits = digits.into_iter().map(|text| line(text, mark(&here))).collect();
        let shown = |from: Beside, lines: &Vec<Line>| if beside >= from { lines.clone() } else { Vec::new() };
        let parts = [digits, shown(Beside::Words, &say), keys.clone(), shown(Beside::Steps, &steps)];
        let mut lines = vec![title.clone()];
        lines.extend(shown(Beside::Detail, &detail));
        for part in parts.into_iter().filter(|part: &Vec<Line>| !part.is_empty()) {
            lines.extend((beside == Beside::Space).then(Line::new));
            lines.extend(part);
        }
        lines
    };
    let mut scales: Vec<Option<Scale>> =
        time.iter().flat_map(|time| Scale::that_fit(time, size.columns, size.rows)).map(Some).collect();
    if scales.is_empty() {
        scales.push(None);
    }
    let levels = [Beside::Space, Beside::Steps, Beside::Detail, Beside::Words, Beside::Keys];
    let mut lines = levels
        .iter()
        .flat_map(|&beside| scales.iter().map(move |&scale| (scale, beside)))
        .map(|(scale, beside)| put_together(scale, beside))
        .find(|lines| lines.len() <= size.rows)
        .unwrap_or_else(|| put_together(None, Beside::Words));
    lines.truncate(size.rows);
    lines
}

/// A canner's place among several.
#[derive(Debug, Clone, Copy)]
struct Among {
    place: usize,
    chosen: bool,
}

/// Which canner, and what is in it.
fn heads(run: &Run, among: Option<Among>) -> (String, String) {
    let what = format!("{}, {} pack, {}, {}", run.food, run.pack, run.size.plural(), run.aim.in_words());
    match among {
        None => (format!("Run {}, {}", run.id, run.canner), what),
        Some(Among { place, chosen }) => {
            let sign = if chosen { '>' } else { ' ' };
            (format!("{sign} {}  {}", place + 1, run.canner), format!("run {}: {what}", run.id))
        }
    }
}

/// What catches the eye: a time that is over or soon will be, and pressure that was lost.
fn mark(here: &Stand) -> Option<Mark> {
    match here.left_s {
        Some(0) => Some(Mark::Overdue),
        Some(left) => (left <= SOON).then_some(Mark::Due),
        None => (here.phase == Phase::ComingUp && here.restarts > 0).then_some(Mark::Due),
    }
}

/// The keys that fit now, with what they say.
fn keys(run: &Run, here: &Stand, among: Option<Among>) -> Vec<String> {
    if here.phase == Phase::Out {
        return vec![format!("`jarledger putup --run {}` logs the batch.", run.id)];
    }
    let first = among.filter(|among| !among.chosen).map(|among| format!("{} ", among.place + 1));
    let first = first.unwrap_or_default();
    offered(run, here).iter().map(|(key, words)| format!("{first}{key}  {words}")).collect()
}

/// The steps so far, the last ones where there are many.
fn steps_so_far(run: &Run, here: &Stand, columns: usize) -> Vec<String> {
    if run.taken.is_empty() {
        return Vec::new();
    }
    let anew = match here.restarts {
        0 => String::new(),
        times => format!("Lost {times}\u{d7}. "),
    };
    let steps: Vec<String> =
        run.taken.iter().map(|taken| format!("{} {}", taken.step, taken.when.at.format("%H:%M"))).collect();
    let line = |from: usize| {
        let dots = if from > 0 { "\u{2026} " } else { "" };
        format!("{anew}So far: {dots}{}", steps[from..].join(", "))
    };
    let from = (0..steps.len()).find(|&from| wrapped(&line(from), columns).len() <= MOST_STEP_LINES);
    vec![line(from.unwrap_or(steps.len() - 1))]
}
