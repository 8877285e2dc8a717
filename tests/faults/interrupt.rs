//! Faults 2 and 5: a long import killed or interrupted, and Ctrl-C at a question.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::thread;
use std::time::Duration;

use crate::inject::{can_trace, counted, hit, skip};
use crate::lab::{Lab, ended};
use crate::world::World;

/// A shelf of so many rows, all different.
fn shelf(lab: &Lab, rows: u32) {
    let mut text = "product,put_up,jar,count,place,note\n".to_owned();
    for row in 0..rows {
        writeln!(text, "Product {},2026-01-{:02},pint,1,Shelf {},row {row}", row % 40, row % 28 + 1, row % 7)
            .unwrap();
    }
    fs::write(lab.world.home().join("shelf.csv"), text).unwrap();
}

fn killed_at(lab: &Lab, call: &str, every: u32) -> u32 {
    let before = lab.contents();
    lab.world.ok(&["import", "shelf.csv"]);
    let after = lab.contents();
    for (hits, nth) in (0..).zip((1..).step_by(every as usize)) {
        lab.reset();
        let hit = hit(lab, call, "signal=KILL", nth, &["import", "shelf.csv"]);
        if !hit.injected {
            assert_eq!(hit.ended.code, Some(0), "{}: {}", hit.when, hit.ended.err);
            return hits;
        }
        let checked = lab.run(&["check"]);
        assert_eq!(checked.code, Some(0), "{}: {}{}", hit.when, checked.out, checked.err);
        let now = lab.contents();
        assert!(now == before || now == after, "{}", hit.when);
        // Run again, it brings what is missing and nothing twice.
        let again = lab.run(&["import", "shelf.csv"]);
        assert_eq!(again.code, Some(0), "{}: {}", hit.when, again.err);
        assert_eq!(lab.contents(), after, "{}", hit.when);
    }
    unreachable!("a run makes finitely many calls")
}

#[test]
fn fault_02_an_import_killed_is_whole_or_was_never() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    shelf(&lab, 2_000);
    let hits: u32 = [("fsync", 1), ("fdatasync", 1), ("unlink", 1), ("ftruncate", 1), ("pwrite64", 23)]
        .iter()
        .map(|(call, every)| {
            lab.reset();
            killed_at(&lab, call, *every)
        })
        .sum();
    assert!(hits > 12, "only {hits} calls were hit");
}

#[test]
#[ignore = "hits every one of some hundred calls"]
fn fault_02_an_import_killed_at_any_call_is_whole_or_was_never() {
    if can_trace() {
        let lab = Lab::new();
        shelf(&lab, 2_000);
        killed_at(&lab, "pwrite64", 1);
    }
}

#[test]
#[ignore = "two hundred imports"]
fn fault_02_an_import_killed_at_any_moment_is_whole_or_was_never() {
    let lab = Lab::new();
    shelf(&lab, 2_000);
    let before = lab.contents();
    lab.world.ok(&["import", "shelf.csv"]);
    let after = lab.contents();
    let mut cut_short = 0;
    for round in 0..200_u64 {
        lab.reset();
        let mut child = lab.command(&["import", "shelf.csv"]).spawn().unwrap();
        // A simple generator spreads the moments over the first quarter of a second.
        thread::sleep(Duration::from_micros(round * 7_919 % 251 * 1_000));
        let _ = child.kill();
        cut_short += usize::from(child.wait().unwrap().code().is_none());
        let now = lab.contents();
        assert!(now == before || now == after, "round {round}");
        lab.assert_whole(&format!("round {round}"));
    }
    assert!(cut_short > 20, "only {cut_short} imports were cut short");
    counted(cut_short, "kills at any moment");
}

#[test]
fn fault_05_an_import_interrupted_writes_nothing() {
    let lab = Lab::new();
    shelf(&lab, 200_000);
    let before = lab.contents();
    for signal in ["-INT", "-TERM"] {
        let child = lab.command(&["import", "shelf.csv"]).spawn().unwrap();
        // Until the import is under way: its journal is there, or its first pages are.
        for _ in 0..200 {
            if lab.journal().exists() {
                break;
            }
            thread::sleep(Duration::from_millis(10));
        }
        thread::sleep(Duration::from_millis(100));
        assert!(Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap().success());
        let ended = ended(&child.wait_with_output().unwrap());
        assert_eq!(ended.code, Some(130), "{signal}: {}{}", ended.out, ended.err);
        assert!(ended.err.contains("interrupted; nothing was saved"), "{}", ended.err);
        assert_eq!(lab.contents(), before, "{signal}");
        assert!(!lab.journal().exists(), "{signal}");
    }
}

/// Runs a command at a real terminal; the terminal's settings are shown after it.
pub(crate) fn at_terminal(world: &World, command: &str, dialogue: &[(&str, &str)]) -> Option<String> {
    let python = Path::new("/usr/bin/python3");
    if !python.exists() {
        skip("terminals (python3 is missing)");
        return None;
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/readers/terminal.py");
    let binary = env!("CARGO_BIN_EXE_jarledger");
    let shell = format!("{binary} --today 2026-09-01 {command}; echo \"ended with $?\"; stty -a");
    let output = Command::new(python)
        .arg(script)
        .arg(serde_json::to_string(dialogue).unwrap())
        .args(["sh", "-c", &shell])
        .env("JARLEDGER_FILE", world.ledger())
        .env("HOME", world.home())
        .env("TERM", "xterm")
        .env("KEEP_MOVES", "1")
        .env("TZ", "UTC")
        .current_dir(world.home())
        .output()
        .unwrap();
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The text without colours and movements of the cursor.
fn without_moves(raw: &str) -> String {
    let mut shown = String::new();
    let mut parts = raw.split('\u{1b}');
    shown.push_str(parts.next().unwrap_or_default());
    for part in parts {
        let end =
            part.find(|c: char| !matches!(c, '[' | '?' | '0'..='9' | ';')).map_or(part.len(), |at| at + 1);
        shown.push_str(part.get(end..).unwrap_or_default());
    }
    shown.replace('\r', "")
}

#[test]
fn fault_05_ctrl_c_at_a_question_writes_nothing_and_leaves_the_terminal_as_it_was() {
    let lab = Lab::with_shelf();
    lab.world.ok(&["backup", "early"]);
    lab.world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:9"]);
    let before = lab.contents();
    for (command, question) in
        [("restore early", "Put the backup in the place of the ledger?"), ("putup", "What is in the jars?")]
    {
        let Some(raw) = at_terminal(&lab.world, command, &[(question, "\u{3}")]) else { return };
        let shown = without_moves(&raw);
        assert!(shown.contains("ended with 130"), "{shown}");
        assert!(shown.contains("nothing was saved"), "{shown}");
        // The last thing said of the cursor, if any, is that it shows.
        let cursor = |sign: &str| raw.rfind(&format!("\u{1b}[?25{sign}"));
        assert!(cursor("l") <= cursor("h"), "{command}: the cursor stays hidden: {raw:?}");
        for set in [" echo ", " icanon ", " isig "] {
            let settings = shown.split("ended with").nth(1).unwrap().replace([';', '\n'], " ");
            assert!(settings.contains(set), "{command}: the terminal lost{set}: {shown}");
        }
        assert_eq!(lab.contents(), before, "{command}");
    }
}

/// A pipe that nobody ever writes to.
fn pipe_at(path: &std::path::Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn fault_43_a_pipe_or_a_socket_in_the_place_of_a_file_never_hangs() {
    let mut lab = Lab::with_shelf();
    lab.world.on("2026-09-01T12:00");
    lab.world.ok(&["backup", "early"]);
    lab.world.ok(&["export", "--out", "tables"]);
    let home = lab.world.home().to_owned();
    let quick = |args: &[&str]| {
        let ended = ended(&lab.under(&["timeout", "-s", "KILL", "20"], args).output().unwrap());
        ended.assert_calm(&format!("{args:?}"));
        assert!(ended.code.is_some_and(|code| code < 124), "{args:?} hangs");
        ended
    };
    pipe_at(&home.join("pipe"));
    let _socket = std::os::unix::net::UnixListener::bind(home.join("socket")).unwrap();
    for odd in ["pipe", "socket", "/dev/zero"] {
        for args in [
            &["putup", "--from", odd][..],
            &["recipe", "add", "--from", odd],
            &["calendar", "--out", odd, "--force"],
            &["calendar", "--out", "jars.ics", "--after", odd],
            &["export", "--json", "--out", odd],
            &["backup", odd],
            &["restore", odd, "--yes"],
        ] {
            assert_ne!(quick(args).code, Some(0), "{args:?}");
        }
    }
    // Empty, it would be a count of nothing, and a calendar nobody read before.
    for odd in ["socket", "/dev/zero", "/dev/null", "tables"] {
        for args in [
            &["count", "Cellar", odd, "--yes"][..],
            &["import", odd],
            &["calendar", "--out", "jars.ics", "--after", odd],
        ] {
            if args[0] == "import" && odd == "tables" {
                continue;
            }
            let ended = quick(args);
            assert_eq!(ended.code, Some(5), "{args:?}: {}{}", ended.out, ended.err);
            assert!(ended.err.contains("nothing was"), "{args:?}: {}", ended.err);
        }
    }
    // The file of a zone, which the clock reads whole.
    for odd in ["/dev/zero", ":/dev/zero", "../../../dev/zero", home.join("pipe").to_str().unwrap()] {
        let mut command = lab.under(&["timeout", "-s", "KILL", "20"], &["shelf"]);
        let refused = ended(&command.env("TZ", odd).output().unwrap());
        assert_eq!(refused.code, Some(2), "TZ={odd}: {}{}", refused.out, refused.err);
        assert!(refused.err.contains("TZ names"), "TZ={odd}: {}", refused.err);
    }
    // Names the program chooses itself.
    pipe_at(&home.join(".jarledger-new-1-0"));
    pipe_at(&home.join("ledger-backups").join("elsewhere-pipe"));
    assert_eq!(quick(&["export", "--json", "--out", "whole.json"]).code, Some(0));
    fs::remove_file(home.join("ledger-backups").join("elsewhere")).unwrap();
    pipe_at(&home.join("ledger-backups").join("elsewhere"));
    assert_eq!(quick(&["doctor"]).code, Some(0));
    fs::remove_file(home.join("tables").join("jar.csv")).unwrap();
    pipe_at(&home.join("tables").join("jar.csv"));
    assert_eq!(quick(&["import", "tables", "--ledger", "new.jarledger"]).code, Some(5));
    for beside in ["-journal", "-wal", "-shm"] {
        let beside = home.join(format!("ledger.jarledger{beside}"));
        pipe_at(&beside);
        for args in [
            &["shelf"][..],
            &["canner", "add", "X", "--method", "boiling-water", "--holds", "pint:7"],
            &["restore", "early", "--yes"],
        ] {
            let ended = quick(args);
            assert_eq!(ended.code, Some(4), "{args:?}: {}", ended.err);
            assert!(ended.err.contains("move it away"), "{args:?}: {}", ended.err);
        }
        fs::remove_file(beside).unwrap();
    }
    lab.assert_whole("pipes");
}

#[test]
fn fault_43_a_program_that_waits_at_a_pipe_ends_when_it_is_asked_to() {
    let lab = Lab::with_shelf();
    let before = lab.contents();
    pipe_at(&lab.world.home().join("pipe"));
    for signal in ["INT", "TERM"] {
        for args in [&["import", "pipe"][..], &["count", "Cellar", "pipe"]] {
            let output = lab.under(&["timeout", "-k", "10", "-s", signal, "1"], args).output().unwrap();
            let ended = ended(&output);
            // What `timeout` says of a program that ended by the first signal; 137 is the second.
            assert_eq!(ended.code, Some(124), "{signal} {args:?}: {}", ended.err);
        }
    }
    assert_eq!(lab.contents(), before);
}
