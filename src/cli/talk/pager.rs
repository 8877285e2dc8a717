//! Answers longer than the terminal, through the person's own pager.

use std::io::{self, IsTerminal, Write};
use std::process::{Command, Stdio};

/// What shows a page at a time where PAGER does not say.
const USUAL: &str = "less";

/// Options for `less` where LESS gives none: leave if all of it fits, let colors through, leave the text on the screen.
const LESS: &str = "FRX";

/// Shows the text through the pager if the terminal is too short for it; says whether it did.
pub(super) fn show(text: &str) -> bool {
    let is_terminal = io::stdout().is_terminal() && io::stdin().is_terminal();
    let dumb = std::env::var_os("TERM").is_none_or(|term| term == "dumb");
    let Some((_, terminal_size::Height(rows))) =
        terminal_size::terminal_size().filter(|_| is_terminal && !dumb)
    else {
        return false;
    };
    // The line of the next prompt.
    if text.lines().count() < usize::from(rows) {
        return false;
    }
    let pager = std::env::var("PAGER").unwrap_or_else(|_| USUAL.to_owned());
    let words = shlex::split(&pager).unwrap_or_default();
    let Some((program, args)) = words.split_first() else { return false };
    let mut command = Command::new(program);
    command.args(args).stdin(Stdio::piped());
    if std::env::var_os("LESS").is_none() {
        command.env("LESS", LESS);
    }
    let Ok(mut pager) = command.spawn() else { return false };
    if let Some(mut to) = pager.stdin.take() {
        // Whoever leaves the pager early has seen enough.
        let _ = to.write_all(text.as_bytes());
    }
    pager.wait().is_ok_and(|ended| ended.code() != Some(127))
}
