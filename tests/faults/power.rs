//! Power loss: the writes of a command, recorded and replayed up to every moment, in every way the
//! disk may have kept them.
//!
//! What was written to a file before it was last synced is on the disk. Of what came after, any part may
//! be: none, all, the first few, or all but one. A name made in a folder or taken from it is on
//! the disk once the folder is synced, and may or may not be before. After each such loss the
//! ledger opens, whole, as it was before the command or after it; once the command has said that
//! it is done, only after it.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Stdio;

use rusqlite::Connection;
use tempfile::TempDir;

use crate::inject::{can_trace, counted};
use crate::lab::{Lab, contents, ended};

/// A call by which the program changes the ledger or its journal, or says something to the user.
#[derive(Debug, Clone, PartialEq)]
enum Call {
    Made(String),
    Wrote(String, u64, Vec<u8>),
    Cut(String, u64),
    Synced(String),
    SyncedFolder,
    Removed(String),
    Said,
}

/// Runs the command and records its system calls.
fn recorded(lab: &Lab, args: &[&str]) -> Vec<Call> {
    let folder = TempDir::new().unwrap();
    let trace = folder.path().join("trace");
    let calls =
        "trace=openat,write,pwrite64,ftruncate,fsync,fdatasync,unlink,rename,renameat,renameat2,link,linkat";
    let wrapper =
        ["strace", "-f", "-qq", "-y", "-xx", "-s", "100000", "-e", calls, "-o", trace.to_str().unwrap()];
    let done = ended(&lab.under(&wrapper, args).stdout(Stdio::piped()).output().unwrap());
    assert_eq!(done.code, Some(0), "{}", done.err);
    let home = format!("{}/", lab.world.home().canonicalize().unwrap().display());
    let lines = fs::read_to_string(&trace).unwrap();
    lines.lines().filter_map(|line| call(line, &home)).collect()
}

/// Reads one line of the trace; none: it is about something else.
fn call(line: &str, home: &str) -> Option<Call> {
    let call = line.split_once(' ')?.1.trim_start();
    let (name, rest) = call.split_once('(')?;
    let (rest, outcome) = rest.rsplit_once(" = ")?;
    if outcome.starts_with('-') {
        return None;
    }
    let texts: Vec<Vec<u8>> = rest.split('"').skip(1).step_by(2).map(bytes).collect();
    let on = |text: &str| -> Option<String> {
        let path = String::from_utf8(bytes(text.split_once('<')?.1.split_once('>')?.0)).ok()?;
        Some(path)
    };
    let ours = |path: &str| path.strip_prefix(home).map(str::to_owned);
    let numbers = |text: &str| -> Vec<u64> {
        text.rsplit(')')
            .nth(1)
            .unwrap_or(text)
            .rsplit(", ")
            .take(2)
            .map_while(|n| n.trim().parse().ok())
            .collect()
    };
    match name {
        "openat" if rest.contains("O_CREAT") => Some(Call::Made(ours(std::str::from_utf8(&texts[0]).ok()?)?)),
        "write" if rest.starts_with("1<") || rest.starts_with("1,") => Some(Call::Said),
        "pwrite64" => Some(Call::Wrote(ours(&on(rest)?)?, *numbers(rest).first()?, texts[0].clone())),
        "ftruncate" => Some(Call::Cut(ours(&on(rest)?)?, *numbers(rest).first()?)),
        "fsync" | "fdatasync" => {
            let path = on(rest)?;
            if format!("{path}/") == home { Some(Call::SyncedFolder) } else { ours(&path).map(Call::Synced) }
        }
        "unlink" => Some(Call::Removed(ours(std::str::from_utf8(&texts[0]).ok()?)?)),
        "rename" | "renameat" | "renameat2" | "link" | "linkat" => panic!("not part of a write: {line}"),
        _ => None,
    }
}

/// Bytes from `\x41\x42`.
fn bytes(text: &str) -> Vec<u8> {
    text.split("\\x").skip(1).map(|hex| u8::from_str_radix(&hex[..2], 16).unwrap()).collect()
}

/// A file's contents, and the changes the disk need not have kept yet.
#[derive(Debug, Clone, Default)]
struct OnDisk {
    kept: Vec<u8>,
    open: Vec<Call>,
}

fn apply(file: &mut Vec<u8>, change: &Call) {
    match change {
        Call::Wrote(_, at, bytes) => {
            let end = *at as usize + bytes.len();
            if file.len() < end {
                file.resize(end, 0);
            }
            file[*at as usize..end].copy_from_slice(bytes);
        }
        Call::Cut(_, length) => file.resize(*length as usize, 0),
        other => panic!("no change of a file: {other:?}"),
    }
}

impl OnDisk {
    /// Every way the file may be found.
    fn states(&self) -> Vec<Vec<u8>> {
        let count = self.open.len();
        let firsts = (0..=count).map(|n| (0..n).collect::<Vec<_>>());
        let all_but_one = (0..count).map(|left| (0..count).filter(|&n| n != left).collect());
        let mut states: Vec<Vec<u8>> = firsts
            .chain(all_but_one)
            .map(|which: Vec<usize>| {
                let mut file = self.kept.clone();
                which.iter().for_each(|&n| apply(&mut file, &self.open[n]));
                file
            })
            .collect();
        states.sort();
        states.dedup();
        states
    }
}

fn replay(args: &[&str], prepared: Lab) {
    let (ledger, journal) = ("ledger.jarledger", "ledger.jarledger-journal");
    let lab = prepared;
    let before = lab.contents();
    let start = fs::read(lab.ledger()).unwrap();
    let calls = recorded(&lab, args);
    let after = lab.contents();
    assert_ne!(before, after);
    assert!(calls.contains(&Call::Said), "{calls:?}");

    let mut files: BTreeMap<&str, OnDisk> = BTreeMap::new();
    files.insert(ledger, OnDisk { kept: start, open: Vec::new() });
    // Whether the journal's name is in the folder: on the disk, and as last asked for.
    let (mut name_kept, mut name_asked) = (false, false);
    let mut said = false;
    let mut losses = 0;
    let scratch = TempDir::new().unwrap();
    for call in &calls {
        match call {
            Call::Said => said = true,
            Call::SyncedFolder => name_kept = name_asked,
            Call::Made(name) => {
                assert_eq!(name, journal);
                name_asked = true;
                files.insert(journal, OnDisk::default());
            }
            Call::Removed(name) => {
                assert_eq!(name, journal);
                name_asked = false;
            }
            Call::Synced(name) => {
                let file = files.get_mut(name.as_str()).unwrap();
                let open = std::mem::take(&mut file.open);
                open.iter().for_each(|change| apply(&mut file.kept, change));
            }
            change @ (Call::Wrote(name, ..) | Call::Cut(name, _)) => {
                files.get_mut(name.as_str()).unwrap().open.push(change.clone());
            }
        }
        for ledger_now in files[ledger].states() {
            let journals: Vec<Option<Vec<u8>>> = match files.get(journal) {
                None => vec![None],
                Some(file) => {
                    let there = file.states().into_iter().map(Some);
                    match (name_kept, name_asked) {
                        (true, true) => there.collect(),
                        (false, false) => vec![None],
                        _ => there.chain([None]).collect(),
                    }
                }
            };
            for journal_now in journals {
                losses += 1;
                let path = scratch.path().join(ledger);
                fs::write(&path, &ledger_now).unwrap();
                match &journal_now {
                    Some(bytes) => fs::write(scratch.path().join(journal), bytes).unwrap(),
                    None => drop(fs::remove_file(scratch.path().join(journal))),
                }
                look(&path, &before, &after, said, call);
            }
        }
    }
    assert!(losses > 50, "only {losses} losses were tried");
    counted(losses, "losses of power");
}

/// Opens what the loss left.
fn look(path: &Path, before: &str, after: &str, said: bool, call: &Call) {
    let now = contents(path);
    assert!(now == after || (now == before && !said), "after {call:?}: {now}");
    let whole: String =
        Connection::open(path).unwrap().query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(whole, "ok", "after {call:?}");
}

#[test]
fn fault_01_whatever_a_loss_of_power_leaves_of_a_write_is_whole() {
    if can_trace() {
        replay(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"], Lab::new());
    }
}

#[test]
fn fault_01_whatever_a_loss_of_power_leaves_of_an_opened_jar_is_whole() {
    if can_trace() {
        replay(&["open", "26-001", "2"], Lab::with_shelf());
    }
}

/// Backups, restores and exports write a whole file under another name: of them nothing needs to be
/// replayed, if what is written is synced before the name is given, and the name before that is told.
#[test]
fn fault_04_a_file_is_on_the_disk_before_it_has_its_name_and_before_that_is_said() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    lab.world.ok(&["backup", "early"]);
    let commands: [(&[&str], &str, usize); 3] = [
        (&["backup", "copy"], "copy\"", 1),
        (&["export", "--json", "--out", "whole.json"], "whole.json\"", 1),
        // The ledger that is replaced is kept first, under a name of its own.
        (&["restore", "early", "--yes"], "ledger.jarledger\"", 2),
    ];
    for (args, name, files) in commands {
        let folder = TempDir::new().unwrap();
        let trace = folder.path().join("trace");
        let calls = "trace=write,pwrite64,fsync,link,linkat,rename,renameat";
        let wrapper = ["strace", "-f", "-qq", "-y", "-e", calls, "-o", trace.to_str().unwrap()];
        let done = ended(&lab.under(&wrapper, args).output().unwrap());
        assert_eq!(done.code, Some(0), "{}", done.err);
        let lines = fs::read_to_string(&trace).unwrap();
        let lines: Vec<&str> = lines.lines().collect();
        let names = |line: &&str| line.contains("link") || line.contains("rename");
        let named = lines.iter().position(|line| names(line) && line.contains(name)).unwrap();
        assert_eq!(lines[..=named].iter().filter(|line| names(line)).count(), files, "{args:?} {lines:#?}");
        let home = lab.world.home().canonicalize().unwrap();
        for temp in 0..files {
            let about = |line: &&str| {
                line.contains(&format!("<{}/.jarledger-new-", home.display()))
                    && line.contains(&format!("-{temp}>"))
            };
            let synced = |line: &&str| line.contains("fsync(") && about(line);
            let wrote = |line: &&str| (line.contains("write(") || line.contains("pwrite64(")) && about(line);
            let last_write = lines[..named].iter().rposition(wrote).unwrap();
            assert!(lines[last_write..named].iter().any(synced), "{args:?} {lines:#?}");
            assert!(!lines[named..].iter().any(wrote), "{args:?} {lines:#?}");
        }
        let said = lines.iter().rposition(|line| line.contains("write(1<")).unwrap_or(lines.len());
        let folder_synced =
            |line: &&str| line.contains("fsync(") && line.contains(&format!("<{}>", home.display()));
        assert!(lines[named..said].iter().any(folder_synced), "{args:?} {lines:#?}");
    }
}
