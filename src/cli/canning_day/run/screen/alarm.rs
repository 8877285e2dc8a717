//! Rings once what was timed is over, and each minute until the next step answers.

use std::ffi::OsStr;
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use rustix::process::{Pid, Signal, kill_process_group};

use crate::cli::errors::{Code, Failure};
use crate::ledger::entry::write::EntryId;
use crate::ledger::kitchen::run::Run;
use crate::rules::canning_day::run::{Instant, stand};

/// What shows a notification on a desktop.
const NOTIFIER: &str = "notify-send";

/// How often a run rang since its last step.
#[derive(Debug)]
struct Rung {
    run: i64,
    step: Option<EntryId>,
    times: u64,
}

/// A run whose time is over, and what is to be said of it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Due {
    pub(super) run: i64,
    pub(super) text: String,
}

/// Which runs rang, and how often.
#[derive(Debug, Default)]
pub(super) struct Reminders(Vec<Rung>);

impl Reminders {
    /// What is to be said now, of the runs whose time is over: at once, and again each minute.
    pub(super) fn due(&mut self, runs: &[Run], now: &Instant) -> Vec<Due> {
        let over = runs.iter().filter_map(|run| {
            let here = stand(&run.aim, &run.taken, now);
            Some((run, here.over_s? / 60 + 1, here.say))
        });
        let mut kept = Vec::new();
        let mut due = Vec::new();
        for (run, times, say) in over {
            let rung = Rung { run: run.id, step: run.last_entry, times };
            let before = self.0.iter().find(|before| before.run == rung.run && before.step == rung.step);
            if before.is_none_or(|before| before.times < times) {
                due.push(Due { run: run.id, text: format!("{}: {say}", run.canner) });
            }
            kept.push(rung);
        }
        self.0 = kept;
        due
    }

    /// Whether any waits for an answer.
    pub(super) fn wait(&self) -> bool {
        !self.0.is_empty()
    }
}

/// The programs that make themselves heard.
pub(super) struct Alarms {
    /// The household's own command.
    own: Option<Vec<String>>,
    sounding: Option<Child>,
    /// Programs that end by themselves.
    ending: Vec<Child>,
}

impl Alarms {
    /// Takes the household's own command, if it has one.
    pub(super) fn new(own: Option<&str>) -> Result<Self, Failure> {
        let own = own.map(words).transpose()?;
        Ok(Self { own, sounding: None, ending: Vec::new() })
    }

    /// Notifies a desktop, if there is one, and starts the household's own command, unless it still runs.
    pub(super) fn sound(&mut self, text: &str) {
        self.ending.retain_mut(|child| matches!(child.try_wait(), Ok(None)));
        // Without a desktop, or this program, there is the bell.
        let notifier =
            quiet(NOTIFIER).args(["--app-name=jarledger", "--urgency=critical", "--", text]).spawn();
        self.ending.extend(notifier);
        let still = self.sounding.as_mut().is_some_and(|child| matches!(child.try_wait(), Ok(None)));
        if let (Some((program, rest)), false) = (self.own.as_ref().and_then(|own| own.split_first()), still) {
            self.sounding =
                quiet(program).args(rest).env("JARLEDGER_ALARM", text).process_group(0).spawn().ok();
        }
    }

    /// Ends what still sounds, with all it started.
    pub(super) fn hush(&mut self) {
        let Some(mut child) = self.sounding.take() else { return };
        if matches!(child.try_wait(), Ok(None)) {
            if let Some(group) = i32::try_from(child.id()).ok().and_then(Pid::from_raw) {
                // It may just have ended by itself.
                let _ = kill_process_group(group, Signal::TERM);
            }
            self.ending.push(child);
        }
    }
}

impl Drop for Alarms {
    fn drop(&mut self) {
        self.hush();
    }
}

/// A program that neither reads the keys nor writes over the screen.
fn quiet(program: impl AsRef<OsStr>) -> Command {
    let mut command = Command::new(program);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// The words of a command, whose program must be there: an alarm that fails does so when it is needed.
fn words(command: &str) -> Result<Vec<String>, Failure> {
    let hint = "give a program and its arguments, such as --alarm './ring loudly'";
    let words = shlex::split(command).filter(|words| !words.is_empty()).ok_or_else(|| {
        Failure::usage(
            format!("\u{201c}{command}\u{201d} is not a command for an alarm; nothing was changed"),
            hint,
        )
    })?;
    if is_there(&words[0]) {
        Ok(words)
    } else {
        Err(Failure::new(
            Code::NotFound,
            format!("there is no program {} for an alarm; nothing was changed", words[0]),
            hint,
        ))
    }
}

fn is_there(program: &str) -> bool {
    if program.contains('/') {
        return Path::new(program).is_file();
    }
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|folder| folder.join(program).is_file())
}
