//! `plan --recipe`: a day by the clock, on the screen, on paper and in the calendar.

use std::fs;

use crate::common::readers::{content, python};
use crate::common::world::World;

const PEARS: &str = r#"name = "Hillside pears"
food = "pears"
pack = "hot"
makes = "pint:9"
publication = "Example Guide, Pears"

[[ingredient]]
what = "pears"
amount = "11 lb"

[[step]]
what = "peel and core"
minutes = 45
hands = true
"#;

fn world_with(text: &str) -> World {
    let world = World::with_canners();
    fs::write(world.home().join("pears.toml"), text).unwrap();
    let path = world.home().join("pears.toml").display().to_string();
    world.ok(&["recipe", "add", "--from", &path]);
    world
}

fn rows(plan: &serde_json::Value) -> Vec<(String, String, bool)> {
    let clock = |value: &serde_json::Value| value.as_str().unwrap()[11..16].to_owned();
    let rows = plan["timetable"].as_array().unwrap().iter();
    rows.map(|row| {
        let span = format!("{}-{}", clock(&row["at"]), clock(&row["until"]));
        (span, row["what"].as_str().unwrap().to_owned(), row["hands_on"] == true)
    })
    .collect()
}

#[test]
fn a_day_on_one_canner_is_timed_as_by_hand() {
    let world = world_with(PEARS);
    let plan = world.json(&["plan", "--recipe", "pears", "--canner", "Kettle", "--start", "tomorrow 9:00"]);
    // Pears, hot, pints, up to 1,000 ft: 20 min (AIB 539, Guide 2); 5 min before lifting (the same, from memory). 2 min
    // to fill a jar, 30 to the boil and 5 to lift out: common practice, no source.
    let expected = [
        ("09:00-09:45", "peel and core", true),
        ("09:45-10:03", "fill 9 pints", true),
        ("10:03-10:33", "come to a full boil", false),
        ("10:33-10:53", "process 20 minutes at a full boil", false),
        ("10:53-10:58", "heat off, lid off, wait", false),
        ("10:58-11:03", "lift out 9 pints", true),
    ];
    let expected: Vec<_> =
        expected.into_iter().map(|(at, what, hands)| (at.into(), what.into(), hands)).collect();
    assert_eq!(rows(&plan), expected);
    assert_eq!(plan["timetable"][1]["canner"], "Kettle");
    assert_eq!(plan["timetable"][1]["load"], 1);
    assert_eq!(plan["seal_check_from"], "2026-09-02T23:03:00Z");
    assert_eq!((&plan["lids"], &plan["buy"][0]["amount"]), (&9.into(), &"11 lb".into()));
    assert!(plan["cautions"][0].as_str().unwrap().contains("Example Guide, Pears"));
    assert!(
        plan["assumed"].as_array().unwrap().iter().any(|said| said.as_str().unwrap().contains("Kettle: 30"))
    );
}

#[test]
fn a_day_ends_when_it_should_and_two_canners_run_beside_each_other() {
    let world = world_with(PEARS);
    let line = ["plan", "--recipe", "pears", "--jars", "pint:18", "--done-by", "2026-09-02 18:00"];
    let plan = world.json(&line);
    assert_eq!(plan["done"], "2026-09-02T18:00:00Z");
    let canners: Vec<&str> =
        plan["loads"].as_array().unwrap().iter().map(|load| load["canner"].as_str().unwrap()).collect();
    assert_eq!(canners.len(), 2);
    assert!(canners.contains(&"Big dial") && canners.contains(&"Kettle"));
    // One canner twice is longer: 45 + 2 x (18 + 30 + 20 + 5 + 5).
    assert!(plan["minutes"].as_u64().unwrap() < 45 + 2 * 78, "{plan}");
    let alone = world.json(&[&line[..], &["--canner", "Kettle"]].concat());
    assert_eq!(alone["minutes"], 45 + 2 * 78);
}

#[test]
fn a_wish_that_cannot_be_is_answered_with_the_nearest_that_can() {
    let world = world_with(PEARS);
    // 2 h 3 min from noon: 14:03.
    let ran = world.run(&["plan", "--recipe", "pears", "--canner", "kettle", "--done-by", "13:00"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(ran.err.contains("`--done-by \"2026-09-01 14:03\"`"), "{}", ran.err);
    let nearest = ["plan", "--recipe", "pears", "--canner", "kettle", "--done-by", "2026-09-01 14:03"];
    assert_eq!(world.json(&nearest)["start"], "2026-09-01T12:00:00Z");
}

#[test]
fn what_is_soaked_the_evening_before_begins_then() {
    let soak = "\n[[step]]\nwhat = \"soak\"\nminutes = 720\nevening_before = true\n";
    let world = world_with(&format!("{PEARS}{soak}"));
    let plan = world.json(&["plan", "--recipe", "pears", "--start", "2026-09-03 9:00"]);
    assert_eq!(plan["timetable"][0]["what"], "soak");
    assert_eq!(plan["timetable"][0]["at"], "2026-09-02T20:00:00Z");
    assert_eq!(plan["timetable"][1]["at"], "2026-09-03T09:00:00Z");
}

#[test]
fn a_jar_or_a_recipe_without_a_process_is_not_planned() {
    let world = world_with(PEARS);
    world.ok(&["canner", "add", "Deep", "--method", "boiling-water", "--holds", "half-gallon:4"]);
    let ran = world.run(&["plan", "--recipe", "pears", "--jars", "half-gallon:4"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(ran.err.contains("half-gallons") && ran.err.contains("nothing was planned"), "{}", ran.err);
    let none =
        PEARS.replace("food = \"pears\"\npack = \"hot\"\n", "").replace("Hillside pears", "Pear leather");
    let world = world_with(&none);
    let ran = world.run(&["plan", "--recipe", "leather"]);
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("names no process"), "{}", ran.err);
}

#[test]
fn the_calendar_of_a_day_rings_at_each_step_that_needs_hands() {
    let world = world_with(PEARS);
    let file = world.home().join("day.ics").display().to_string();
    let start =
        ["plan", "--recipe", "pears", "--canner", "Kettle", "--start", "tomorrow 9:00", "--ics", &file];
    world.ok(&start);
    let first = fs::read(&file).unwrap();
    assert_eq!(world.run(&start).code, 4, "a file that is there is not replaced");
    world.ok(&[&start[..], &["--force"]].concat());
    assert_eq!(fs::read(&file).unwrap(), first, "the same plan gives the same bytes");
    let Some(mut reader) = python("day_calendar.py") else { return };
    reader.arg(&file);
    let events: serde_json::Value = serde_json::from_str(&content(reader)).unwrap();
    let titles: Vec<&str> =
        events.as_array().unwrap().iter().map(|event| event["title"].as_str().unwrap()).collect();
    assert_eq!(
        titles,
        [
            "peel and core",
            "fill 9 pints (Kettle)",
            "process 20 minutes at a full boil (Kettle)",
            "lift out 9 pints (Kettle)"
        ]
    );
    assert_eq!(events[2]["at"], "2026-09-02T10:33:00+00:00");
    assert_eq!(events[2]["alarms"], serde_json::json!([0.0]));
}

#[test]
fn the_card_of_a_day_is_one_page_with_its_process_in_the_largest_type() {
    let world = world_with(PEARS);
    let file = world.home().join("day.pdf").display().to_string();
    world.ok(&[
        "plan",
        "--recipe",
        "pears",
        "--jars",
        "pint:18",
        "--start",
        "tomorrow 9:00",
        "--card",
        &file,
    ]);
    let Ok(read) = std::process::Command::new("pdftotext").args(["-bbox-layout", &file, "-"]).output() else {
        eprintln!("pdftotext is missing");
        assert!(std::env::var_os("CI").is_none());
        return;
    };
    let text = String::from_utf8(read.stdout).unwrap();
    assert_eq!(text.matches("<page ").count(), 1);
    let height = |line: &str| {
        let of = |name: &str| -> f32 {
            let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
            rest.split('"').next().unwrap().parse().unwrap()
        };
        of("yMax") - of("yMin")
    };
    let words: Vec<(f32, &str)> = text
        .lines()
        .filter(|line| line.contains("<word "))
        .map(|line| (height(line), line.split(['>', '<']).nth(2).unwrap()))
        .collect();
    let largest = words.iter().map(|(height, _)| *height).fold(0.0, f32::max);
    let of_largest: Vec<&str> =
        words.iter().filter(|(height, _)| *height > largest * 0.95).map(|(_, word)| *word).collect();
    assert!(of_largest.join(" ").contains("20 minutes at a full boil"), "{of_largest:?}");
}

#[test]
fn sizes_that_a_canner_holds_together_share_a_load_where_one_process_serves_them() {
    let rhubarb = PEARS.replace("Hillside pears", "Garden rhubarb").replace("\"pears\"", "\"rhubarb\"");
    let world = world_with(&rhubarb);
    let deep = ["canner", "add", "Deep", "--method", "boiling-water", "--holds", "pint:9,quart:7"];
    world.ok(&[&deep[..], &["--together", "quart:4,pint:5"]].concat());
    let line = ["plan", "--recipe", "rhubarb", "--canner", "Deep", "--jars", "pint:5,quart:4"];
    // Rhubarb, hot, pints and quarts alike 15 min up to 1,000 ft (AIB 539, Guide 2).
    let plan = world.json(&line);
    assert_eq!(plan["loads"].as_array().unwrap().len(), 1, "{plan}");
    let what = plan["timetable"][1]["what"].as_str().unwrap();
    assert!(what.contains("5 pints") && what.contains("4 quarts"), "{what}");
    // Pears take 20 min in pints and 25 in quarts (the same): two loads.
    fs::write(world.home().join("pears.toml"), PEARS).unwrap();
    let path = world.home().join("pears.toml").display().to_string();
    world.ok(&["recipe", "add", "--from", &path]);
    let plan = world.json(&["plan", "--recipe", "pears", "--canner", "Deep", "--jars", "pint:5,quart:4"]);
    assert_eq!(plan["loads"].as_array().unwrap().len(), 2, "{plan}");
}

#[test]
fn a_size_without_a_process_is_refused_for_that_and_not_for_want_of_room() {
    let world = world_with(PEARS);
    // Pears have no process in half-gallons (AIB 539, Guide 2: pints and quarts).
    let refused =
        world.run(&["plan", "--recipe", "pears", "--jars", "half-gallon:2", "--start", "tomorrow 9:00"]);
    assert_eq!(refused.code, 4, "{refused}");
    assert!(refused.err.contains("no tested process") && !refused.err.contains("how many"), "{refused}");
}

#[test]
fn a_day_by_a_dial_that_reads_high_says_what_it_must_show() {
    let world = world_with(
        &PEARS
            .replace("\"pears\"\npack = \"hot\"", "\"green-beans\"\npack = \"raw\"")
            .replace("11 lb", "9 lb"),
    );
    world.ok(&["gauge", "Big dial", "--reads", "12", "--true", "11"]);
    let file = world.home().join("day.pdf").display().to_string();
    let day = ["plan", "--recipe", "pears", "--canner", "Big dial", "--start", "tomorrow 9:00"];
    let rows = rows(&world.json(&day));
    // Dial target = required + (reading - true), common practice, no source: 11 psi and 1 high are 12.
    for what in
        ["come up to 12 psi on the dial (true 11 psi)", "process 20 minutes at 12 psi (82.8 kPa) on the dial"]
    {
        assert!(rows.iter().any(|row| row.1 == what), "{rows:?}");
    }
    world.ok(&[&day[..], &["--card", &file]].concat());
    let Ok(read) = std::process::Command::new("pdftotext").args(["-layout", &file, "-"]).output() else {
        eprintln!("pdftotext is missing");
        assert!(std::env::var_os("CI").is_none());
        return;
    };
    let text = String::from_utf8(read.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("20 minutes at 12 psi (82.8 kPa) on the dial"), "{text}");
    assert!(text.contains("or more for a true 11 psi (75.9 kPa)"), "{text}");
    assert!(!text.contains("minutes at 11 psi"), "{text}");
}
