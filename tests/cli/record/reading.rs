//! What holds for every command that only reads.

use std::collections::BTreeSet;

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, entry, put_up, shelve};
use crate::common::world::World;

/// Every way to ask the ledger something.
const READS: &[&[&str]] = &[
    &[],
    &["canner", "list"],
    &["process", "--food", "green-beans"],
    &["plan", "Green beans", "--food", "green-beans", "--pack", "raw", "--jar", "pint", "--jars", "9"],
    &["label", "26-001", "2", "--out", "labels.pdf"],
    &["jar", "26-001-01-0"],
    &["batch"],
    &["batch", "26-001"],
    &["shelf"],
    &["shelf", "--jars"],
    &["eat"],
    &["eat", "--ahead", "12"],
    &["gauge", "Big dial", "--list"],
    &["trace", "26-001-01-0"],
    &["discard", "--sign", "list"],
    &["history"],
    &["history", "--entry", "3"],
    &["season"],
    &["report", "--out", "shelf.html"],
    &["calendar", "--out", "jars.ics"],
    &["export", "--json", "--out", "whole.json"],
    &["export", "jar", "--out", "jars.csv"],
    &["export", "--dictionary"],
    &["check"],
    &["doctor"],
    &["backup", "copy.jarledger"],
    &["completions", "bash"],
    &["serve", "phones"],
    &["man"],
];

/// The commands that change the ledger, or make one.
const WRITES: &[&str] = &[
    "setup", "putup", "seal", "correct", "hold", "release", "open", "finish", "give", "move", "missing",
    "chill", "freeze", "count", "undo", "restore", "demo", "import", "run", "recipe",
];

fn household() -> World {
    let world = World::at_500_ft();
    let beans = Some("green-beans");
    let green = shelve(&world, "Green beans", beans, (JarSize::Pint, 5), "2026-07-14T16:40", "Cellar");
    act(&world, green, &[1], Act::Open, "2026-08-30T18:00");
    put_up(&world, "Plums", Some("plums"), (JarSize::Pint, 2), "2026-08-31T16:00", "Counter");
    for batch in ["26-001/1", "26-002/1"] {
        entry(&world, "judge", "2026-09-01T09:00", |write| write.judge_load(batch.parse().unwrap()));
    }
    world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "pint:9"]);
    world.ok(&["gauge", "Big dial", "--reads", "11", "--true", "10", "--on", "2026-08-01"]);
    world
}

#[test]
fn every_command_is_known_to_read_or_to_write() {
    let known: BTreeSet<&str> =
        READS.iter().filter_map(|read| read.first().copied()).chain(WRITES.iter().copied()).collect();
    for command in jarledger::cli::command().get_subcommands() {
        assert!(known.contains(command.get_name()), "say whether `{}` reads or writes", command.get_name());
    }
}

#[test]
fn reading_leaves_the_file_alone() {
    let world = household();
    let ledger = world.ledger();
    let long_ago = std::time::SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(1_000_000_000);
    std::fs::File::options().append(true).open(&ledger).unwrap().set_modified(long_ago).unwrap();
    let before = std::fs::read(&ledger).unwrap();
    for read in READS {
        world.ok(read);
        assert!(std::fs::read(&ledger).unwrap() == before, "{read:?} changed the bytes");
        assert_eq!(std::fs::metadata(&ledger).unwrap().modified().unwrap(), long_ago, "{read:?}");
        let beside: Vec<String> = std::fs::read_dir(world.home())
            .unwrap()
            .map(|file| file.unwrap().file_name().into_string().unwrap())
            .filter(|name| name.starts_with("ledger.jarledger") && name != "ledger.jarledger")
            .collect();
        assert_eq!(beside, [""; 0], "{read:?} left files beside the ledger");
    }
}

#[test]
fn nothing_in_the_ledger_steers_the_terminal() {
    let world = household();
    // ESC [ 2 J clears a screen, BEL rings, U+009B is one-character CSI, U+202E turns the line around.
    let evil = "bad \u{1b}[2J\u{7}\u{9b}31m \u{202e}lid";
    world.ok(&["discard", "26-001", "2", "--why", evil]);
    world.ok(&["hold", "26-001", "3", "--reason", evil]);
    world.ok(&["move", "26-001", "4", "--to", "Cellar \u{202e}shelf"]);
    world.ok(&["correct", "batch", "26-001", "--note", evil, "--reason", evil]);
    for read in READS.iter().filter(|read| !matches!(read.first(), Some(&("man" | "completions")))) {
        for columns in [Some("80"), None] {
            let mut command = world.command(read);
            match columns {
                Some(columns) => command.env("COLUMNS", columns),
                None => command.env_remove("COLUMNS"),
            };
            let output = command.output().unwrap();
            for bytes in [output.stdout, output.stderr] {
                let text = String::from_utf8(bytes).unwrap();
                let steering = text.chars().find(|&c| {
                    c.is_control() && c != '\n' && !(c == '\t' && columns.is_none()) || c == '\u{202e}'
                });
                assert_eq!(steering, None, "{read:?}: {text:?}");
            }
        }
    }
    assert!(world.ok(&["history", "--limit", "4"]).contains("\\u{1b}"), "shown, not dropped");
    // Into a pipe an export keeps every character, in JSON's escapes.
    let export = world.ok(&["export", "--json"]);
    assert!(!export.contains(['\u{202e}', '\u{9b}']) && export.contains("\\u202elid"), "{export}");
}
