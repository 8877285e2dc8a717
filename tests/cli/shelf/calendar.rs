//! `calendar`.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, put_up, shelve, tall_canner};
use crate::common::readers::{content, python};
use crate::common::world::World;

/// Noon on 1 September 2026: beans cooling since the morning, a jar of pears open, a gauge never tested.
fn household() -> World {
    let world = World::at_500_ft();
    tall_canner(&world, "2025-08-19T08:00");
    let pears = shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 7), "2025-12-20T11:00", "Pantry");
    act(&world, pears, &[7], Act::Open, "2026-08-30T18:00");
    put_up(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 2), "2026-09-01T08:00", "Counter");
    world
}

/// The events of a calendar just written, by title.
fn events(world: &World, name: &str) -> Option<Vec<serde_json::Value>> {
    let mut reader = python("calendar.py")?;
    reader.arg(world.home().join(name));
    Some(serde_json::from_str(&content(reader)).unwrap())
}

fn titled<'e>(events: &'e [serde_json::Value], start: &str) -> Vec<&'e serde_json::Value> {
    events.iter().filter(|event| event["title"].as_str().unwrap().starts_with(start)).collect()
}

#[test]
fn the_dates_to_keep_are_in_the_file() {
    let world = household();
    insta::assert_snapshot!(world.run(&["calendar", "--out", "jars.ics"]), @r"
    Wrote jars.ics: 7 dates to keep.
    -- stderr --
    next: read the file into your calendar program; later, write it again with --force
    -- exit 0 --
    ");
    let Some(events) = events(&world, "jars.ics") else { return };
    // The world is in UTC; 12 to 24 hours after 08:00: from 20:00 to 08:00 on the next day.
    let check = titled(&events, "Check seals: 2 jars of Green beans")[0];
    assert_eq!(check["first"], "2026-09-01T20:00:00+00:00");
    assert_eq!(check["after"], "2026-09-02T08:00:00+00:00");
    // Pears are acid: 7 days after the day of opening.
    let use_up = titled(&events, "Last day for opened Pears")[0];
    assert_eq!(use_up["first"], "2026-09-06");
    // An open jar has left its shelf for the refrigerator.
    let notes = use_up["notes"].as_str().unwrap();
    assert!(notes.contains("It is in: refrigerator (was on Pantry)."), "{notes}");
    // Six quarts left, all due on 20 December, the fourth month from September: 6/4 a month, so 2, 1, 2, 1. Months
    // without a jar were never in the calendar, so they are not in this first file.
    let months = titled(&events, "Eat first");
    let shown: Vec<_> = months
        .iter()
        .map(|event| (event["first"].as_str().unwrap(), event["title"].as_str().unwrap()))
        .collect();
    assert_eq!(
        shown,
        [
            ("2026-09-01", "Eat first: 2 jars this month"),
            ("2026-10-01", "Eat first: 1 jar this month"),
            ("2026-11-01", "Eat first: 2 jars this month"),
            ("2026-12-01", "Eat first: 1 jar this month"),
        ]
    );
    assert!(months[0]["notes"].as_str().unwrap().contains("Pears, quart, best by 20 Dec 2026, Pantry"));
    assert_eq!(titled(&events, "Have the dial gauge of Tall canner tested")[0]["first"], "2026-09-01");
    assert!(events.iter().all(|event| event["status"] == "CONFIRMED"));
}

#[test]
fn a_later_file_settles_what_is_done_and_keeps_every_identifier() {
    let mut world = household();
    world.ok(&["calendar", "--out", "before.ics"]);
    world.ok(&["calendar", "--out", "again.ics"]);
    let read = |world: &World, name: &str| std::fs::read(world.home().join(name)).unwrap();
    assert_eq!(read(&world, "before.ics"), read(&world, "again.ics"));
    let beans = "26-001".parse().unwrap();
    act(&world, beans, &[1, 2], Act::CheckSealed, "2026-09-02T07:00");
    act(&world, "25-001".parse().unwrap(), &[7], Act::Finish, "2026-09-03T18:00");
    world.on("2026-09-04");
    // A program that reads its first file has nothing to cancel.
    world.ok(&["calendar", "--out", "first.ics"]);
    insta::assert_snapshot!(world.run(&["calendar", "--out", "after.ics", "--after", "before.ics"]), @r"
    Wrote after.ics: 5 dates to keep, and 2 done and cancelled.
    -- stderr --
    next: read the file into your calendar program; later, write it again with --force
    -- exit 0 --
    ");
    // So does a file that is written over the one of last time.
    std::fs::copy(world.home().join("before.ics"), world.home().join("shelf.ics")).unwrap();
    world.ok(&["calendar", "--out", "shelf.ics", "--force"]);
    assert_eq!(read(&world, "shelf.ics"), read(&world, "after.ics"));
    let shown = |name| events(&world, name);
    let (Some(before), Some(first), Some(after)) =
        (shown("before.ics"), shown("first.ics"), shown("after.ics"))
    else {
        return;
    };
    let uids = |events: &[serde_json::Value]| {
        events.iter().map(|event| event["uid"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(uids(&before), uids(&after));
    let titles = |events: &[serde_json::Value], status: &str| {
        let of_status = events.iter().filter(|event| event["status"] == status);
        of_status.map(|event| event["title"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(
        titles(&after, "CANCELLED"),
        [
            "Settled: Check seals: Green beans, batch 26-001",
            "Settled: Last day for opened Pears, jar 25-001-07-5"
        ]
    );
    assert_eq!(titles(&after, "CONFIRMED"), titles(&first, "CONFIRMED"));
    assert_eq!(first.len() + 2, after.len());
    assert!(after[0]["stamp"].as_str() > before[0]["stamp"].as_str());
    assert!(after[0]["sequence"].as_u64() > before[0]["sequence"].as_u64());
}

#[test]
fn an_earlier_file_that_cannot_be_read_is_named_and_nothing_is_written() {
    let world = household();
    insta::assert_snapshot!(world.run(&["calendar", "--out", "jars.ics", "--after", "lost.ics"]), @r"
    -- stderr --
    error: lost.ics could not be read: No such file or directory (os error 2); nothing was written
    hint: name the calendar file of last time, or leave --after out
    -- exit 3 --
    ");
    assert!(!world.home().join("jars.ics").exists());
    // Any other file names no entry of this ledger.
    std::fs::write(world.home().join("mine.ics"), b"UID:\xff\nUID:mine\n").unwrap();
    world.ok(&["calendar", "--out", "jars.ics", "--after", "mine.ics"]);
}

#[test]
fn no_other_file_is_written_over() {
    let world = household();
    std::fs::write(world.home().join("mine.ics"), "mine").unwrap();
    insta::assert_snapshot!(world.run(&["calendar", "--out", "mine.ics"]), @r"
    -- stderr --
    error: mine.ics is there already; nothing was written
    hint: name another file, or replace this one with --force
    -- exit 4 --
    ");
    insta::assert_snapshot!(world.run(&["calendar", "--out", "ledger.jarledger", "--force"]), @r"
    -- stderr --
    error: ledger.jarledger is the ledger itself; nothing was written
    hint: name another file, such as --out jars.ics
    -- exit 4 --
    ");
    insta::assert_snapshot!(world.run(&["calendar", "--out", "no/such/folder.ics"]), @r"
    -- stderr --
    error: there is no folder no/such; nothing was written
    hint: make the folder first
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["calendar", "--out", "."]), @r"
    -- stderr --
    error: . is not a file; nothing was written
    hint: name a file, such as --out jars.ics
    -- exit 4 --
    ");
    assert_eq!(std::fs::read(world.home().join("mine.ics")).unwrap(), b"mine");
    assert_eq!(world.run(&["calendar", "--out", "mine.ics", "--force"]).code, 0);
    assert_ne!(std::fs::read(world.home().join("mine.ics")).unwrap(), b"mine");
    assert_eq!(world.run(&["shelf"]).code, 0);
}

#[test]
fn a_seal_check_goes_by_the_clock_on_the_wall_on_the_night_it_goes_back() {
    // POSIX.1-2024, Base Definitions, 8.3, TZ: Eastern time, going back at 02:00 on the first Sunday of November.
    const ZONE: &str = "EST5EDT,M3.2.0,M11.1.0";
    let mut world = World::with_canners();
    world.on("2026-10-31T12:00");
    let run = |args: &[&str]| {
        let output = world.command(args).env("TZ", ZONE).output().unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let putup = "putup --product Pears --food pears --pack hot --jars pint:1 --canner Kettle --minutes 20 --out 12:00";
    let logged = run(&putup.split(' ').collect::<Vec<_>>());
    run(&["calendar", "--out", "jars.ics"]);
    let calendar = std::fs::read_to_string(world.home().join("jars.ics")).unwrap().replace("\r\n ", "");
    // By hand: 12:00 EDT is 16:00 UTC; 12 hours later it is 00:00 EDT, 24 hours later 16:00 UTC or 11:00 EST.
    for shown in [&logged.replace('\n', " "), &calendar.replace('\\', "")] {
        assert!(shown.contains("Sunday 1 November, 00:00"), "{shown}");
        assert!(shown.contains("Sunday 1 November, 11:00"), "{shown}");
    }
}

/// At noon on 1 September 2026: pears opened on 30 August, beans that did not seal chilled on the 31st.
fn in_the_refrigerator() -> World {
    let mut world = World::with_canners();
    let beans =
        put_up(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 2), "2026-08-30T16:00", "Counter");
    act(&world, beans, &[1, 2], Act::CheckFailed, "2026-08-31T08:00");
    act(&world, beans, &[1, 2], Act::Chill, "2026-08-31T09:00");
    let pears = shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 2), "2025-12-20T11:00", "Pantry");
    act(&world, pears, &[1, 2], Act::Open, "2026-08-30T18:00");
    world.on("2026-09-01T12:00");
    world
}

#[test]
fn a_chilled_jar_has_its_last_day_in_the_file_as_an_opened_one_has() {
    let world = in_the_refrigerator();
    world.ok(&["calendar", "--out", "jars.ics"]);
    let Some(events) = events(&world, "jars.ics") else { return };
    // University of Missouri Extension: a jar that did not seal keeps 2 days in the refrigerator; 31 August and 2.
    let chilled = titled(&events, "Last day for chilled Green beans");
    assert_eq!(chilled.len(), 2);
    assert_eq!(chilled[0]["first"], "2026-09-02");
    assert_eq!(titled(&events, "Last day for opened Pears").len(), 2);
}

#[test]
fn nobody_is_asked_to_eat_a_jar_that_is_on_hold() {
    let world = in_the_refrigerator();
    world.ok(&["hold", "25-001", "1", "--reason", "smells odd"]);
    world.ok(&["hold", "26-001", "1", "--reason", "smells odd"]);
    world.ok(&["calendar", "--out", "jars.ics"]);
    let Some(events) = events(&world, "jars.ics") else { return };
    for held in ["opened Pears, jar 25-001-01", "chilled Green beans, jar 26-001-01"] {
        let found = titled(&events, &format!("On hold, discard: {held}"))[0];
        assert_eq!(found["first"], "2026-09-01");
        let notes = found["notes"].as_str().unwrap();
        assert!(notes.contains("do not eat it") && !notes.contains("Eat it"), "{notes}");
        assert!(titled(&events, &format!("Last day for {held}")).is_empty());
    }
    assert_eq!(titled(&events, "Last day for ").len(), 2);
}

#[test]
fn the_jars_owed_are_marked_where_their_process_is_not_on_record() {
    // The loads of this kitchen are logged without what the canner did.
    let world = household();
    world.ok(&["calendar", "--out", "jars.ics"]);
    let Some(events) = events(&world, "jars.ics") else { return };
    let notes = titled(&events, "Eat first")[0]["notes"].as_str().unwrap();
    assert!(notes.contains("Pears, quart, best by 20 Dec 2026, Pantry, process not on record"), "{notes}");
    assert!(notes.contains("Unless you know that yourself, do not eat it."), "{notes}");
    let opened = titled(&events, "Last day for opened")[0]["notes"].as_str().unwrap();
    let shown = "Eat it today only if you know its process yourself, or discard it: process not on record.";
    assert!(opened.starts_with(shown), "{opened}");
}
