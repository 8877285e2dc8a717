//! What a long command is at shows on a terminal once it has taken over a second, and only there.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::thread::{self, JoinHandle};
use std::time::Duration;

use crate::common::readers;
use crate::common::world::World;

const SHELF: &str = "product,put_up,jar\nPears,2026-01-02,pint\n";

/// A pipe from which a shelf comes, its end only after more than a second.
fn slow_shelf(world: &World) -> (PathBuf, JoinHandle<()>) {
    let pipe = world.home().join("shelf.csv");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let to = pipe.clone();
    let writer = thread::spawn(move || {
        // Opening waits until the command has opened the other end.
        let mut pipe = OpenOptions::new().write(true).open(to).unwrap();
        pipe.write_all(SHELF.as_bytes()).unwrap();
        thread::sleep(Duration::from_millis(1_600));
    });
    (pipe, writer)
}

fn at_terminal(world: &World, flags: &[&str], file: &Path, dialogue: &[(&str, &str)]) -> Option<String> {
    let mut reader = readers::at_terminal(world, dialogue)?;
    reader.arg("import").args(flags).arg(file);
    let output = reader.output().unwrap();
    let shown = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{shown}");
    Some(shown)
}

#[test]
fn a_slow_import_says_what_it_is_at() {
    let world = World::at_500_ft();
    let (pipe, writer) = slow_shelf(&world);
    let shown = at_terminal(&world, &[], &pipe, &[("importing", ""), ("Imported 1 jar", "")]);
    if shown.is_some() {
        writer.join().unwrap();
    }
}

#[test]
fn a_quick_one_says_nothing_of_it() {
    let world = World::at_500_ft();
    let file = world.home().join("quick.csv");
    std::fs::write(&file, SHELF).unwrap();
    let Some(shown) = at_terminal(&world, &[], &file, &[]) else { return };
    assert!(shown.contains("Imported 1 jar") && !shown.contains("importing"), "{shown}");
}

#[test]
fn nor_does_a_slow_one_in_json_or_quiet_or_where_nobody_sits() {
    for flags in [&["--json"][..], &["--quiet"]] {
        let world = World::at_500_ft();
        let (pipe, writer) = slow_shelf(&world);
        let Some(shown) = at_terminal(&world, flags, &pipe, &[]) else { return };
        writer.join().unwrap();
        assert!(!shown.contains("importing"), "{shown}");
    }
    let world = World::at_500_ft();
    let (pipe, writer) = slow_shelf(&world);
    let ran = world.run(&["import", pipe.to_str().unwrap()]);
    writer.join().unwrap();
    assert_eq!(ran.code, 0);
    assert!(!ran.err.contains("importing"), "{}", ran.err);
}
