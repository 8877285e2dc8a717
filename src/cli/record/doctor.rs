use std::path::{Path, PathBuf};

use chrono::DateTime;

use crate::cli::context::OLD_BACKUP_DAYS;
use crate::cli::errors::Failure;
use crate::cli::global_args::GlobalArgs;
use crate::cli::global_args::{Origin, find_ledger, now};
use crate::cli::kitchen::settings;
use crate::cli::kitchen::settings::Setting;
use crate::cli::record::backup::in_words;
use crate::cli::talk::screen::Screen;
use crate::ledger::copies::backup::{Newest, newest_backup};
use crate::ledger::copies::copy::Extent;
use crate::ledger::copies::surroundings::surroundings;
use crate::ledger::copies::surroundings::{Surroundings, as_it_is};
use crate::ledger::error::LedgerError;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::ledger::schema_version;
use crate::values::time::on_screen;

/// Tell what this program is, where its ledger is and what could be wrong with it; works when the ledger does not
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {}

/// One thing worth knowing, with a stable code.
#[derive(Debug, PartialEq, Eq, serde::Serialize)]
struct Warning {
    code: &'static str,
    what: String,
    hint: String,
}

#[derive(serde::Serialize)]
struct Answer {
    version: &'static str,
    schema_known: String,
    sqlite: &'static str,
    program: Option<String>,
    on_path: Vec<String>,
    ledger_file: Option<String>,
    chosen_by: Option<&'static str>,
    resolved: Option<String>,
    bytes: Option<u64>,
    mode: Option<String>,
    file_system: Option<String>,
    opens: bool,
    extent: Option<Extent>,
    newest_backup: Option<String>,
    newest_backup_at: Option<String>,
    settings: Vec<Setting>,
    warnings: Vec<Warning>,
}

pub(in crate::cli) fn run(_: Args, global: &GlobalArgs, screen: &mut Screen) -> Result<(), Failure> {
    let this = std::env::current_exe().ok();
    let found = find_ledger(global);
    let mut answer = Answer {
        version: env!("CARGO_PKG_VERSION"),
        schema_known: schema_version(),
        sqlite: crate::ledger::sqlite_version(),
        program: this.as_deref().map(shown),
        on_path: copies_on_path().iter().map(|path| shown(path)).collect(),
        ledger_file: None,
        chosen_by: None,
        resolved: None,
        bytes: None,
        mode: None,
        file_system: None,
        opens: false,
        extent: None,
        newest_backup: None,
        newest_backup_at: None,
        settings: settings::in_force(global),
        warnings: Vec::new(),
    };
    if let Some(other) = copies_on_path().first().filter(|first| !same(first, this.as_deref())) {
        answer.warnings.push(Warning {
            code: "other-copy",
            what: format!("`jarledger` on PATH is another program file, {}", other.display()),
            hint: "run the one you mean by its full path".to_owned(),
        });
    }
    match found {
        Ok((path, origin)) => look(&path, origin, global, &mut answer),
        Err(failure) => answer.warnings.push(Warning {
            code: "no-path",
            what: failure.message,
            hint: failure.hint.unwrap_or_default(),
        }),
    }
    if screen.json() {
        return screen.answer(&answer);
    }
    show(&answer, screen);
    Ok(())
}

fn look(path: &Path, origin: Origin, global: &GlobalArgs, answer: &mut Answer) {
    let around = surroundings(path);
    answer.ledger_file = Some(shown(path));
    answer.chosen_by = Some(origin.in_words());
    answer.resolved = around.file.as_deref().map(shown);
    answer.bytes = around.bytes;
    answer.mode = around.mode.map(|mode| format!("{mode:04o}"));
    answer.file_system.clone_from(&around.file_system);
    let newest = newest_backup(path);
    answer.newest_backup = newest.as_ref().map(|newest| shown(&newest.file));
    answer.newest_backup_at = newest.as_ref().map(|newest| newest.at.to_rfc3339());
    match as_it_is(path) {
        Ok(extent) => {
            answer.opens = true;
            answer.extent = Some(extent);
        }
        // Reported below, with the journal.
        Err(LedgerError::NeedsRecovery(_)) => {}
        Err(error) => {
            let failure = Failure::from(error);
            answer.warnings.push(Warning {
                code: failure.code.as_str(),
                what: failure.message,
                hint: failure.hint.unwrap_or_default(),
            });
        }
    }
    outside(&around, &mut answer.warnings);
    clock(answer.extent.as_ref(), global, &mut answer.warnings);
    backups(newest.as_ref(), answer.opens, global, &mut answer.warnings);
}

fn outside(around: &Surroundings, warnings: &mut Vec<Warning>) {
    let mut warn =
        |code, what: String, hint: &str| warnings.push(Warning { code, what, hint: hint.to_owned() });
    if let Some(journal) = &around.journal {
        warn(
            "journal",
            format!("{} is there: a write is under way or was stopped", journal.display()),
            "leave it where it is: the next command rolls back to the last whole state",
        );
    }
    if around.over_network {
        let kind = around.file_system.as_deref().unwrap_or_default();
        warn(
            "network",
            format!("the ledger is on a network file system ({kind}), where locks may fail"),
            "keep the ledger on this machine's own disk and carry backups over the network",
        );
    }
    if let Some(folder) = &around.synced_by {
        warn(
            "synced",
            format!("{} looks like a folder that another program copies between machines", folder.display()),
            "keep the ledger elsewhere and put backups there: `jarledger backup FOLDER`",
        );
    }
    for conflict in &around.conflicts {
        warn(
            "conflict",
            format!("{} looks like a second version of the ledger", conflict.display()),
            "compare the two with `jarledger history --ledger FILE` before going on with either",
        );
    }
    if around.mode.is_some_and(|mode| mode & 0o077 != 0) {
        warn(
            "readable",
            "others on this machine may read or write the ledger".to_owned(),
            "`chmod 600` on it",
        );
    }
    if around.names.is_some_and(|names| names > 1) {
        warn(
            "linked",
            "the ledger file has a second name (a hard link)".to_owned(),
            "remove one of them: after a crash only the name that was used finds its journal",
        );
    }
}

/// A clock that went back makes every due day wrong, though entries count by their number.
fn clock(extent: Option<&Extent>, global: &GlobalArgs, warnings: &mut Vec<Warning>) {
    let today = now(global).date_naive();
    if let Some(last) = extent.and_then(|extent| extent.last_entry).filter(|last| *last > today) {
        warnings.push(Warning {
            code: "clock",
            what: format!(
                "today is {} by the clock, and the newest entry is of {}",
                on_screen::day(today),
                on_screen::day(last)
            ),
            hint: "set the clock of this machine, or give the day with --today".to_owned(),
        });
    }
}

fn backups(newest: Option<&Newest>, opens: bool, global: &GlobalArgs, warnings: &mut Vec<Warning>) {
    let mut warn =
        |code, what: String, hint: &str| warnings.push(Warning { code, what, hint: hint.to_owned() });
    match newest {
        None if opens => {
            warn("no-backup", "no backup of this ledger is known".to_owned(), "`jarledger backup`")
        }
        None => {}
        Some(newest) => {
            let days = (now(global).to_utc() - newest.at).num_days();
            if days > OLD_BACKUP_DAYS {
                warn("old-backup", format!("the newest backup is {days} days old"), "`jarledger backup`");
            }
            if !newest.here {
                let hint = "plug in its disk, or make another with `jarledger backup`";
                warn("backup-away", format!("{} cannot be seen from here", newest.file.display()), hint);
            }
        }
    }
}

fn show(answer: &Answer, screen: &mut Screen) {
    let said = |given: &Option<String>| given.clone().unwrap_or_else(|| "not known".to_owned());
    screen.say(format!("Program: {}, version {}", said(&answer.program), answer.version));
    screen.say(format!("Reads ledgers up to schema {}, with SQLite {}", answer.schema_known, answer.sqlite));
    if let (Some(ledger), Some(origin)) = (&answer.ledger_file, answer.chosen_by) {
        screen.say(format!("Ledger: {ledger} ({origin})"));
        if answer.resolved.as_ref().is_some_and(|resolved| resolved != ledger) {
            screen.say(format!("  leads to {}", said(&answer.resolved)));
        }
        if let (Some(bytes), Some(mode)) = (answer.bytes, &answer.mode) {
            screen.say(format!("  {bytes} bytes, mode {mode}, file system {}", said(&answer.file_system)));
        }
        match &answer.extent {
            Some(extent) => screen.say(format!("  opens, with {}", in_words(extent))),
            None => screen.say("  does not open as it is"),
        }
        match (&answer.newest_backup, &answer.newest_backup_at) {
            (Some(file), Some(at)) => {
                let made = DateTime::parse_from_rfc3339(at)
                    .map_or_else(|_| at.clone(), |at| on_screen::moment(on_the_wall(at)));
                screen.say(format!("Newest backup: {file}, made {made}"));
            }
            _ => screen.say("Newest backup: none known"),
        }
    }
    settings::say(&answer.settings, screen);
    for warning in &answer.warnings {
        screen.say(format!("{}: {}", warning.code, warning.what));
        if !warning.hint.is_empty() {
            screen.say(format!("  {}", warning.hint));
        }
    }
    if answer.warnings.is_empty() {
        screen.say("Nothing looks wrong from outside; `jarledger check` looks inside.");
    }
}

/// Program files called `jarledger` in the folders of PATH, the first being the one a shell runs.
fn copies_on_path() -> Vec<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path)
        .map(|folder| folder.join("jarledger"))
        .filter(|file| file.is_file())
        .collect()
}

fn same(file: &Path, this: Option<&Path>) -> bool {
    this.is_some_and(|this| file.canonicalize().ok() == this.canonicalize().ok())
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}
