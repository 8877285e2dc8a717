//! `setup` and `canner`.

use crate::common::world::World;

#[test]
fn setup_begins_a_private_ledger_and_changes_it_later() {
    use std::os::unix::fs::PermissionsExt;

    let world = World::new();
    insta::assert_snapshot!(world.run(&["setup", "--altitude", "500ft"]), @"
    Began the ledger HOME/ledger.jarledger: kitchen at 500ft.
    -- stderr --
    next: `jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9` records a canner; `jarledger canner add` asks for it all
    -- exit 0 --
    ");
    let mode = std::fs::metadata(world.ledger()).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    insta::assert_snapshot!(world.run(&["setup", "--altitude", "260m", "-q"]), @r"
    Changed the ledger HOME/ledger.jarledger: kitchen at 260m.
    -- exit 0 --
    ");
}

#[test]
fn canners_are_recorded_once_and_listed() {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "quart:7,pint:16"]);
    insta::assert_snapshot!(world.run(&["canner", "list"]), @"
    Canner    Kind           One load holds
    Big dial  pressure-dial  16 pints or 7 quarts
    -- stderr --
    next: `jarledger canner add` records another
    -- exit 0 --
    ");
    let again = world.run(&["canner", "add", "big DIAL", "--method", "boiling-water", "--holds", "pint:9"]);
    assert_eq!(again.code, 4);
    assert!(again.err.contains("already; nothing was changed"), "{}", again.err);
}

#[test]
fn a_missing_ledger_is_never_made_by_another_command() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&["canner", "list"]), @r"
    -- stderr --
    error: there is no ledger at HOME/ledger.jarledger
    hint: begin one with `jarledger setup --altitude 500ft`, or name yours with --ledger FILE
    -- exit 3 --
    ");
    assert!(!world.ledger().exists());
}

#[test]
fn without_a_terminal_the_missing_flag_is_named() {
    let world = World::new();
    for (line, flag) in
        [("setup", "--altitude HEIGHT"), ("setup --dates day-month-year", "--altitude HEIGHT")]
    {
        let ran = world.line(line);
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.contains(&format!("error: {flag} is missing")), "{ran}");
    }
    assert!(!world.ledger().exists());
    world.ok(&["setup", "--altitude", "500ft"]);
    for (line, flag) in [
        ("canner add", "NAME"),
        ("canner add Kettle", "--method KIND"),
        ("canner add Kettle --method boiling-water", "--holds SIZE:JARS"),
    ] {
        let ran = world.line(line);
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.contains(&format!("error: {flag} is missing")), "{ran}");
    }
    // What is on record already is not asked for again.
    assert!(world.ok(&["setup", "--dates", "day-month-year"]).contains("kitchen at 500ft"));
}

#[test]
fn every_setting_is_listed_with_who_said_it() {
    let world = World::new();
    // Without a ledger too.
    let answer = world.json_of("setup --list");
    let of = |answer: &serde_json::Value, name: &str| -> (String, String) {
        let rows = answer["settings"].as_array().unwrap();
        let row = rows.iter().find(|row| row["setting"] == name && row["product"].is_null()).unwrap();
        (row["value"].as_str().unwrap_or("none").to_owned(), row["from"].as_str().unwrap().to_owned())
    };
    let pair = |value: &str, from: &str| (value.to_owned(), from.to_owned());
    assert_eq!(of(&answer, "altitude"), pair("none", "not said yet"));
    assert_eq!(of(&answer, "dates on labels"), pair("day-month-year", "built in"));
    assert_eq!(of(&answer, "best-by months"), pair("12", "built in"));
    assert_eq!(of(&answer, "today"), pair("2026-09-01", "named by --today"));
    assert_eq!(of(&answer, "ledger").1, "named by JARLEDGER_FILE");

    world.ok(&["setup", "--altitude", "260m"]);
    world.ok(&["setup", "--dates", "month-day-year"]);
    world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "half-pint:12"]);
    let jam = "putup --product Jam --food jam-jelly --pack hot --jars half-pint:6 --canner Kettle --minutes 10 \
               --out 11:30 --quality-months 18";
    assert_eq!(world.line(jam).code, 0);
    let listed = world.ok(&["setup", "--list"]);
    insta::assert_snapshot!(&listed[listed.find("  altitude").unwrap()..], @"
    altitude: 260m (said to `setup`; --altitude overrides it)
    dates on labels: month-day-year (said to `setup`; --dates overrides it)
    dates on screens: month-day-year (said to `setup`)
    measures: us (built in)
    label sheet: letter-3x6 (built in; --sheet overrides it)
    best-by months: 12 (built in; --quality-months overrides it)
    best-by months of Jam: 18 (said to `putup`; --quality-months overrides it)
    ");
    assert_eq!(world.json(&["doctor"])["settings"], world.json(&["setup", "--list"])["settings"]);
    // What was taken back is not in force.
    world.ok(&["undo", "2"]);
    assert_eq!(of(&world.json_of("setup --list"), "dates on labels"), pair("day-month-year", "built in"));

    let named = world.json(&["setup", "--list", "--ledger", "elsewhere"]);
    assert_eq!(of(&named, "ledger"), pair("elsewhere", "named by --ledger"));
    let mut homely = world.command(&["setup", "--list", "--json"]);
    let output = homely.env_remove("JARLEDGER_FILE").output().unwrap();
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let file = world.home().join(".local/share/jarledger/ledger.jarledger");
    assert_eq!(of(&answer, "ledger"), pair(file.to_str().unwrap(), "in the XDG data directory"));
}

#[test]
fn the_readme_lists_every_setting() {
    let readme = include_str!("../../../README.md");
    let chapter = readme.split_once("## What holds where nothing is said").unwrap().1;
    let chapter = chapter.split("\n## ").next().unwrap();
    let answer = World::new().json_of("setup --list");
    for row in answer["settings"].as_array().unwrap() {
        let flag = row["instead"].as_str().unwrap();
        assert!(chapter.contains(flag), "{flag} is not in the README's table");
    }
}

#[test]
fn a_canner_takes_sizes_in_either_number_and_one_count_of_each() {
    let world = World::at_500_ft();
    let add = "canner add Pot --method boiling-water --holds";
    let ran = world.line(&format!("{add} quart:7,quarts:8"));
    assert_eq!(ran.code, 2, "{ran}");
    assert!(ran.err.contains("two counts of quarts; nothing was saved"), "{ran}");
    world.json_of(&format!("{add} quarts:7,pint:9"));
    assert!(world.line("canner list").out.contains("9 pints or 7 quarts"));
}

#[test]
fn a_backup_that_is_not_there_is_not_called_a_ledger_to_begin() {
    let world = World::at_500_ft();
    let ran = world.line("restore nothing --yes");
    assert_eq!(ran.code, 3, "{ran}");
    assert!(ran.err.contains("there is no backup at nothing; nothing was changed"), "{ran}");
    assert!(!ran.err.contains("setup"), "{ran}");
}

#[test]
fn a_kitchen_that_stands_higher_names_the_loads_put_up_lower() {
    let world = World::with_canners();
    world.json_of(
        "putup --product Pears --food pears --pack hot --jars pint:2 --canner Kettle --minutes 20 --out 11:00",
    );
    assert!(!world.ok(&["setup", "--dates", "month-day-year"]).contains("26-001/1"), "nothing changed");
    assert!(!world.ok(&["setup", "--altitude", "500ft"]).contains("26-001/1"), "the same height");
    let shown = world.ok(&["setup", "--altitude", "5000ft"]);
    assert!(shown.contains("Put up at 500ft and still in the house: 26-001/1."), "{shown}");
    let command = "jarledger correct load 26-001/1 --altitude 5000ft --reason \"the height was wrong\"";
    assert!(shown.split_whitespace().collect::<Vec<_>>().join(" ").contains(command), "{shown}");
    // USDA Complete Guide (AIB 539, 2015), Guide 2, Pears: pints 20 minutes up to 1,000 ft, 30 from 3,001 to 6,000 ft.
    let corrected = world.run(&[
        "correct",
        "load",
        "26-001/1",
        "--altitude",
        "5000ft",
        "--reason",
        "the height was wrong",
    ]);
    assert!(corrected.code == 0 && corrected.out.contains("30 min"), "{corrected}");
    let back = world.json(&["setup", "--altitude", "500ft"]);
    assert_eq!(back["loads_at_old_altitude"][0], "26-001/1");
}

#[test]
fn a_metric_household_reads_metric_measures_first_and_us_ones_beside_them() {
    let world = World::at_500_ft();
    let line =
        ["process", "--food", "green-beans", "--pack", "raw", "--jar", "pint", "--method", "pressure-dial"];
    let before = world.ok(&line);
    assert!(before.contains("at 11 psi (75.9 kPa)") && before.contains("1 in (2.5 cm)"), "{before}");
    world.ok(&["setup", "--units", "metric"]);
    // NIST SP 811, Appendix B: 11 psi = 75.842 kPa, owed and so rounded up; 1 in = 2.54 cm.
    let after = world.ok(&line);
    assert!(after.contains("at 75.9 kPa (11 psi)") && after.contains("2.5 cm (1 in)"), "{after}");
    // What was entered stays as it was entered, and so do the data.
    assert!(after.contains("500 ft (152 m)"), "{after}");
    assert_eq!(world.json(&line)["options"][0]["psi"], 11);
    assert!(world.ok(&["setup", "--list"]).contains("measures: metric (said to `setup`)"));
    world.ok(&["check"]);
}
