//! Bytes by the thousand for everything that reads what others wrote: imports, codes, notes of a
//! session, ledger files.
//!
//! Each round begins with something whole and damages it in a few places, by a generator of fixed
//! seed, so that a failure comes again. `JARLEDGER_FUZZ_CASES` sets the rounds of each target. The same targets run
//! under a fuzzer led by coverage: `README.md` here has the command.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

#[path = "../cli/common/world.rs"]
mod world;

mod mutate;
mod targets;

use mutate::Mutator;
use tempfile::TempDir;
use world::World;

/// Rounds of a target: what the environment says, else `usual`.
fn rounds(usual: u32) -> u32 {
    std::env::var("JARLEDGER_FUZZ_CASES").map_or(usual, |cases| cases.parse().unwrap())
}

const SHELVES: [&[u8]; 4] = [
    include_bytes!("seeds/shelf_csv/every_column.csv"),
    include_bytes!("seeds/shelf_csv/semicolons.csv"),
    include_bytes!("seeds/shelf_csv/utf_16.csv"),
    include_bytes!("seeds/shelf_csv/doubtful.tsv"),
];

#[test]
fn no_bytes_upset_the_import_of_a_shelf() {
    let mut mutator = Mutator::new(1);
    for _ in 0..rounds(4_000) {
        targets::shelf_csv(&mutator.damaged(&SHELVES));
    }
}

const CODES: [&[u8]; 8] = [
    include_bytes!("seeds/codes/jar"),
    include_bytes!("seeds/codes/long_jar"),
    include_bytes!("seeds/codes/batch"),
    include_bytes!("seeds/codes/load"),
    include_bytes!("seeds/codes/list"),
    include_bytes!("seeds/codes/tally"),
    include_bytes!("seeds/codes/jars"),
    include_bytes!("seeds/codes/remark"),
];

#[test]
fn no_bytes_upset_the_reading_of_codes() {
    let mut mutator = Mutator::new(2);
    for _ in 0..rounds(100_000) {
        targets::codes(&mutator.damaged(&CODES));
    }
}

const FORMS: [&[u8]; 2] = [include_bytes!("seeds/form/step"), include_bytes!("seeds/form/seals")];

#[test]
fn no_bytes_upset_the_reading_of_a_form() {
    let mut mutator = Mutator::new(5);
    for _ in 0..rounds(50_000) {
        targets::form(&mutator.damaged(&FORMS));
    }
}

const NOTES: [&[u8]; 2] =
    [include_bytes!("seeds/session_note/every_key.toml"), include_bytes!("seeds/session_note/acid.toml")];

#[test]
fn no_note_of_a_session_upsets_the_putting_up() {
    let mut world = World::with_canners();
    world.on("2026-09-01T18:00");
    let before = std::fs::read(world.ledger()).unwrap();
    let mut mutator = Mutator::new(3);
    let mut logged = 0;
    for round in 0..rounds(250) {
        std::fs::write(world.ledger(), &before).unwrap();
        let note = mutator.damaged(&NOTES);
        std::fs::write(world.home().join("note.toml"), &note).unwrap();
        let ran = world.run(&["putup", "--from", "note.toml"]);
        let shown = String::from_utf8_lossy(&note);
        assert!(matches!(ran.code, 0 | 2..=5), "round {round}: {ran}\n{shown}");
        assert!(!ran.err.contains("panicked"), "round {round}: {ran}\n{shown}");
        if ran.code == 0 {
            logged += 1;
            assert_eq!(world.run(&["check"]).code, 0, "round {round}: {shown}");
        } else {
            assert!(std::fs::read(world.ledger()).unwrap() == before, "round {round}: {ran}\n{shown}");
        }
    }
    println!("logged {logged}");
    assert!(logged > 10, "only {logged} notes were good enough to be logged");
}

#[test]
fn no_damage_to_a_ledger_gives_a_wrong_count_that_check_does_not_find() {
    let folder = TempDir::new().unwrap();
    let damage = targets::Damage::new(folder.path());
    let mut mutator = Mutator::new(4);
    let mut taken = [0; 3];
    for _ in 0..rounds(600) {
        let steps = 1 + mutator.below(4);
        let script: Vec<u8> = (0..steps * 8).map(|_| mutator.byte()).collect();
        taken[damage.open(&script) as usize] += 1;
    }
    let [refused, right, found] = taken;
    println!("refused {refused}, right {right}, wrong and found by `check` {found}");
    assert!(refused > 0 && right > 0, "{taken:?}");
}
