//! `doctor`: shows what it can whatever the ledger is like.

use std::fs;
use std::os::unix::fs::PermissionsExt;

use crate::common::world::World;

fn warnings(world: &World, args: &[&str]) -> Vec<String> {
    let mut all = vec!["doctor"];
    all.extend(args);
    let answer = world.json(&all);
    answer["warnings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|warning| warning["code"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn doctor_says_which_ledger_and_who_named_it() {
    let world = World::at_500_ft();
    world.ok(&["backup"]);
    let answer = world.json(&["doctor"]);
    assert_eq!(answer["chosen_by"], "named by JARLEDGER_FILE");
    assert_eq!(answer["opens"], true);
    assert_eq!(answer["mode"], "0600");
    assert_eq!(answer["extent"]["entries"], 1);
    assert_eq!(answer["warnings"], serde_json::json!([]));
    let flag = world.json(&["doctor", "--ledger", "other"]);
    assert_eq!(flag["chosen_by"], "named by --ledger");
    assert_eq!(flag["opens"], false);
}

#[test]
fn doctor_works_when_the_ledger_does_not() {
    let world = World::new();
    assert_eq!(warnings(&world, &[]), ["not-found"]);
    fs::write(world.ledger(), b"").unwrap();
    assert_eq!(warnings(&world, &[]), ["damaged", "readable"]);
    fs::write(world.ledger(), vec![7; 5000]).unwrap();
    assert_eq!(warnings(&world, &[]), ["damaged", "readable"]);
    let mut homeless = world.command(&["doctor", "--json"]);
    homeless.env_remove("JARLEDGER_FILE").env_remove("HOME");
    let output = homeless.output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(String::from_utf8(output.stdout).unwrap().contains("no-path"));
}

#[test]
fn doctor_points_at_what_endangers_the_ledger_from_outside() {
    let world = World::at_500_ft();
    world.ok(&["backup"]);
    fs::set_permissions(world.ledger(), fs::Permissions::from_mode(0o644)).unwrap();
    fs::hard_link(world.ledger(), world.home().join("second")).unwrap();
    fs::write(world.home().join("ledger (conflicted copy 2026-09-01).jarledger"), b"").unwrap();
    fs::create_dir(world.home().join(".stfolder")).unwrap();
    assert_eq!(warnings(&world, &[]), ["synced", "conflict", "readable", "linked"]);
}

#[test]
fn doctor_misses_backups() {
    let mut world = World::at_500_ft();
    assert_eq!(warnings(&world, &[]), ["no-backup"]);
    world.ok(&["backup", "mine"]);
    assert_eq!(warnings(&world, &[]), [""; 0]);
    fs::remove_file(world.home().join("mine")).unwrap();
    assert_eq!(warnings(&world, &[]), ["backup-away"]);
    world.on("2026-10-05");
    assert_eq!(warnings(&world, &[]), ["old-backup", "backup-away"]);
}
