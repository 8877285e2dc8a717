//! `backup`, `restore` and the reminder.

use std::fs;

use crate::common::world::World;

fn names(folder: &std::path::Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|found| found.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_backup_is_verified_and_named_by_its_moment() {
    let world = World::at_500_ft();
    let said = world.ok(&["backup", "--quiet"]);
    assert!(said.starts_with("Backed up 1 entry (the last on 2026-09-01), 0 jars, verified, to"), "{said}");
    let copy = world.home().join("ledger-backups/ledger-2026-09-01T120000Z.jarledger");
    world.ok(&["check", "--ledger", copy.to_str().unwrap()]);
}

#[test]
fn only_the_newest_backups_stay_and_the_number_is_the_users() {
    let mut world = World::at_500_ft();
    for day in 1..=5 {
        world.on(&format!("2026-09-0{day}"));
        world.ok(&["backup", "--keep", "3"]);
    }
    assert_eq!(
        names(&world.home().join("ledger-backups")),
        [
            "ledger-2026-09-03T120000Z.jarledger",
            "ledger-2026-09-04T120000Z.jarledger",
            "ledger-2026-09-05T120000Z.jarledger",
        ]
    );
}

#[test]
fn a_backup_with_more_in_it_than_the_ledger_is_never_removed() {
    let mut world = World::at_500_ft();
    world.ok(&["backup"]);
    world.ok(&["setup", "--altitude", "900ft"]);
    world.on("2026-09-02").ok(&["backup"]);
    let first = world.home().join("ledger-backups/ledger-2026-09-01T120000Z.jarledger");
    world.on("2026-09-03").ok(&["restore", first.to_str().unwrap(), "--yes"]);
    world.on("2026-09-04").ok(&["backup", "--keep", "1"]);
    assert_eq!(
        names(&world.home().join("ledger-backups")),
        ["ledger-2026-09-02T120000Z.jarledger", "ledger-2026-09-04T120000Z.jarledger"]
    );
}

#[test]
fn a_file_that_is_there_is_never_overwritten_by_a_backup() {
    let world = World::at_500_ft();
    let target = world.home().join("mine");
    fs::write(&target, "grocery list").unwrap();
    let ran = world.run(&["backup", target.to_str().unwrap()]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert_eq!(fs::read_to_string(&target).unwrap(), "grocery list");
    let itself = world.run(&["backup", world.ledger().to_str().unwrap()]);
    assert_eq!(itself.code, 4, "{}", itself.err);
}

#[test]
fn a_restore_shows_both_sides_and_can_be_taken_back() {
    let world = World::at_500_ft();
    world.ok(&["backup", "early"]);
    world.ok(&["setup", "--altitude", "900ft"]);
    let asked = world.run(&["restore", "early"]);
    assert_eq!(asked.code, 2, "{}", asked.err);
    let said = world.ok(&["restore", "early", "--yes"]).replace('\n', " ");
    assert!(said.contains("early has 1 entry (the last on 2026-09-01), 0 jars."), "{said}");
    assert!(said.contains("ledger.jarledger has 2 entries"), "{said}");
    assert!(said.contains("1 entry is not in the backup"), "{said}");
    assert!(said.contains("The ledger now has 1 entry"), "{said}");
    assert!(said.contains("ledger-replaced-2026-09-01T120000Z.jarledger"), "{said}");
    assert_eq!(world.json(&["history"])["entries"].as_array().unwrap().len(), 1);
    world.ok(&["restore", "ledger-replaced-2026-09-01T120000Z.jarledger", "--yes"]);
    assert_eq!(world.json(&["history"])["entries"].as_array().unwrap().len(), 2);
}

#[test]
fn an_old_backup_is_mentioned_once_something_is_written_and_never_by_a_read() {
    let mut world = World::at_500_ft();
    let setup = ["setup", "--altitude", "900ft"];
    // A young ledger, or one of a few entries, is not worth a word.
    for _ in 0..18 {
        assert!(!world.on("2026-10-01").run(&setup).err.contains("note:"));
    }
    assert!(!world.on("2026-10-02").run(&setup).err.contains("note:"));
    let ran = world.on("2026-10-03").run(&setup);
    assert!(ran.err.contains("note: 20 entries and no backup yet"), "{}", ran.err);
    world.ok(&["backup", "elsewhere-file"]);
    assert!(!world.on("2026-11-02").run(&setup).err.contains("note:"));
    let ran = world.on("2026-11-03").run(&setup);
    assert!(ran.err.contains("note: the newest verified backup is 31 days old"), "{}", ran.err);
    assert!(!world.run(&setup).err.contains("note:"), "once a day is enough");
    world.on("2026-11-04");
    assert!(!world.run(&["canner", "list"]).err.contains("note:"));
    assert!(!world.run(&["setup", "--altitude", "900ft", "--quiet"]).err.contains("note:"));
}

#[test]
fn a_ledger_that_was_there_before_is_missed_by_name() {
    let world = World::at_500_ft();
    world.ok(&["backup"]);
    fs::remove_file(world.ledger()).unwrap();
    insta::assert_snapshot!(world.run(&["canner", "list"]), @r"
    -- stderr --
    error: there is no ledger at HOME/ledger.jarledger
    hint: it was there before: the newest backup is of 2026-09-01: `jarledger restore HOME/ledger-backups/ledger-2026-09-01T120000Z.jarledger`
    -- exit 3 --
    ");
    world.ok(&["restore", "ledger-backups/ledger-2026-09-01T120000Z.jarledger", "--yes"]);
    world.ok(&["check"]);
}
