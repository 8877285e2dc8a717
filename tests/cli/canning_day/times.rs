//! The times of a load: which day they were on, and those that cannot be.

use crate::common::world::World;

/// Two pints of green beans, raw pack: 20 min at 10 psi on a weighted gauge to 1,000 ft
/// (USDA AIB 539, Guide 4, Beans, snap and Italian).
const BEANS: &str = "putup --product Beans --food green-beans --pack raw --jars pint:2 --canner W \
                     --pressure 10 --vent 10";

/// A kitchen at 850 ft with a weighted-gauge canner, at noon on Friday 14 August 2026.
fn noon() -> World {
    let mut world = World::new();
    world.ok(&["setup", "--altitude", "850ft"]);
    world.ok(&["canner", "add", "W", "--method", "pressure-weighted", "--holds", "pint:9,quart:7"]);
    world.on("2026-08-14T12:00");
    world
}

#[test]
fn times_that_cannot_be_are_refused_and_nothing_is_saved() {
    let world = noon();
    // Gaps by hand. Each kind of them is held by src/rules/load/load_times.rs.
    for (times, message) in [
        (
            "--minutes 20 --reached 10:00 --out 10:15",
            "20 min is more than the 15 min from reached 10:00 to out 10:15",
        ),
        (
            "--reached 10:30 --ended 10:00 --out 11:00 --on 2026-08-14",
            "ended 10:00 is not after reached 10:30",
        ),
        (
            "--reached 10:00 --ended 10:25 --out 11:00 --drop 12:00-12:05 --on yesterday",
            "the drop 12:00-12:05 lies outside the run of 25 min",
        ),
        ("--ended 00:10 --out 11:50 --reached 00:00 --minutes 11", "11 min is more than the 10 min"),
    ] {
        let ran = world.line(&format!("{BEANS} {times}"));
        assert_eq!(ran.code, 2, "{times}: {ran}");
        assert!(ran.err.contains(message) && ran.err.contains("nothing was saved"), "{times}: {ran}");
    }
    assert!(world.line("batch").out.contains("No batch"));
    // 23:50 to 00:15 is 25 min.
    let answer = world.json_of(&format!("{BEANS} --minutes 25 --reached 23:50 --ended 00:15 --out 01:00"));
    assert_eq!(answer["loads"][0]["verdict"], "meets");
    assert_eq!(answer["loads"][0]["reached_at"], "2026-08-13T23:50:00Z");
}

#[test]
fn a_run_past_midnight_is_of_the_day_it_began_on() {
    let world = noon();
    let late = format!("{BEANS} --reached 23:50 --ended 00:15 --out 01:00");
    for (on, day) in [("--on yesterday", "2026-08-13"), ("--on 2026-08-14", "2026-08-14"), ("", "2026-08-14")]
    {
        let load = &world.json_of(&format!("{late} {on}"))["loads"][0];
        assert_eq!(load["reached_at"], "2026-08-13T23:50:00Z", "{on}");
        assert_eq!(load["out_at"], "2026-08-14T01:00:00Z", "{on}");
        // 24 h after 01:00 on the 14th.
        assert_eq!(load["seal_check_to"], "2026-08-15T01:00:00Z", "{on}");
        let batches = world.json_of("batch");
        assert_eq!(batches["batches"][0]["put_up"], day, "{on}");
    }
    // Long ago.
    let load = &world.json_of(&format!("{late} --on 2026-08-01"))["loads"][0];
    assert_eq!(load["out_at"], "2026-08-02T01:00:00Z");
}

#[test]
fn an_evening_is_not_taken_for_a_time_still_to_come() {
    let mut world = noon();
    world.on("2026-08-14T00:30");
    let answer = world.json_of(&format!("{BEANS} --minutes 20 --out 23:55"));
    assert_eq!(answer["loads"][0]["out_at"], "2026-08-13T23:55:00Z");
    assert_eq!(world.json_of("batch 26-001")["put_up"], "2026-08-13");
    world.on("2026-08-14T12:00");
    let ran = world.line(&format!("{BEANS} --minutes 20 --out 13:30"));
    assert_eq!(ran.code, 2, "{ran}");
    assert!(ran.err.contains("Friday 14 August, 13:30 is still to come"), "{ran}");
    let ran = world.line(&format!("{BEANS} --minutes 20 --out 2025-01-01T09:00 --on 2026-08-14"));
    assert_eq!(ran.code, 2, "{ran}");
    assert!(ran.err.contains("is not of a batch put up Friday 14 August 2026"), "{ran}");
}

#[test]
fn a_load_that_fails_shows_what_to_do_at_once_and_nothing_of_its_seals() {
    let mut world = noon();
    let ran = world.line(&format!("{BEANS} --minutes 10 --out 11:00"));
    let next: Vec<&str> = ran.err.lines().filter(|line| line.starts_with("next: ")).collect();
    assert_eq!(next, ["next: `jarledger freeze 26-001 1-2` (or `chill`, or `putup --reprocess`)"]);
    world.on("2026-08-14T13:01");
    let ran = world.line(&format!("{BEANS} --minutes 10 --out 11:00"));
    assert!(ran.err.contains("next: `jarledger discard 26-002 1-2` shows how\n"), "{ran}");
    let ran = world.line(&format!("{BEANS} --minutes 20 --out 11:00"));
    assert!(
        ran.err.contains("`jarledger seal 26-003 --sealed`, or `jarledger seal 26-003 --failed 2`"),
        "{ran}"
    );
}

#[test]
fn a_correction_is_held_against_the_times_on_record() {
    let mut world = noon();
    world.json_of(&format!("{BEANS} --minutes 25 --reached 10:00 --ended 10:25 --out 11:00"));
    world.on("2026-08-20T12:00");
    let before = world.json_of("batch 26-001");
    for (field, message) in [
        ("--minutes 30", "30 min is more than the 25 min from reached 10:00 to ended 10:25"),
        ("--ended 09:50", "ended 09:50 is not after reached 10:00"),
        ("--out 23:00", "out 23:00 would be 12 h 35 min after ended 10:25"),
        ("--drop 12:00-12:05", "the drop 12:00-12:05 lies outside the run of 25 min from 10:00"),
        ("--out 2026-08-13T11:00", "is not of a batch put up Friday 14 August 2026"),
        ("--out 2026-08-16T11:00", "is not of a batch put up Friday 14 August 2026"),
    ] {
        let ran = world.line(&format!("correct load 26-001/1 {field} --reason slip"));
        assert_eq!(ran.code, 2, "{field}: {ran}");
        assert!(ran.err.contains(message) && ran.err.contains("nothing was changed"), "{field}: {ran}");
    }
    assert_eq!(world.json_of("batch 26-001"), before);
    world.json_of("correct load 26-001/1 --minutes 20 --reached 10:05 --reason slip");
    world.json_of("correct load 26-001/1 --out 2026-08-14T10:40 --drop 10:06-10:08 --reason slip");
}

#[test]
fn the_year_is_shown_where_it_is_not_this_one() {
    let mut world = noon();
    world.on("2026-12-31T20:00");
    let shown = world.line(&format!("{BEANS} --minutes 20 --out 19:00")).out.replace('\n', " ");
    // 12 and 24 h after 19:00 on New Year's Eve.
    assert!(shown.contains("out Thursday 31 December, 19:00"), "{shown}");
    assert!(shown.contains("from Friday 1 January 2027, 07:00 to Friday 1 January 2027, 19:00"), "{shown}");
    world.on("2027-01-01T10:00");
    assert!(world.line("jar 26-001 1").out.contains("out Thursday 31 December 2026, 19:00"));
    assert!(world.line("seal 26-001 --failed 2").out.contains("Until Friday 1 January, 19:00 you may"));
}

#[test]
fn loads_in_one_canner_at_one_time_are_remarked_on() {
    let world = noon();
    let remarks = |times: &str| world.json_of(&format!("{BEANS} {times}"))["remarks"].to_string();
    assert_eq!(remarks("--minutes 20 --out 10:00"), "[]");
    let again = "Load 26-001/1 was in W at that time";
    assert!(remarks("--minutes 20 --out 10:00").contains(again));
    assert!(remarks("--minutes 20 --out 09:50").contains("Load 26-002/1 was in W at that time"));
    // 20 min up to 10:20 begin as the other came out, and those up to 09:30 are over before any began.
    assert_eq!(remarks("--minutes 20 --out 10:20"), "[]");
    assert_eq!(remarks("--minutes 20 --out 09:30"), "[]");
    let two = "--load jars=pint:1,minutes=20,out=11:40 --load jars=pint:1,minutes=20,out=11:30";
    let answer = world.json_of(&format!("{} {two}", BEANS.replace("--jars pint:2", "")));
    assert!(answer["remarks"].to_string().contains("Two loads from one canner overlap"), "{answer}");
}

/// Eastern time as POSIX.1-2024, Base Definitions, 8.3, TZ, has it: back at 02:00 on 1 November 2026, forward at
/// 02:00 on 8 March 2026.
const EASTERN: &str = "EST5EDT,M3.2.0,M11.1.0";

// USDA AIB 539, Guide 5, Strips, cubes, or chunks of meat: pints 75 min. The runs by hand, by the faces given.
#[test]
fn a_run_over_a_change_of_the_clocks_counts_the_fewer_minutes() {
    let mut world = noon();
    for ((today, times, kept, verdict), batch) in [
        // 75 and 134 min by the faces, 15 and 74 by the instants; then 135 and 75.
        ("2026-03-08T12:00", "01:50 03:05 03:10", "03-08T02:50:00-04:00 03-08T03:05:00-04:00", "deviates"),
        ("2026-03-08T12:00", "01:50 04:04 04:10", "03-08T02:50:00-04:00 03-08T04:04:00-04:00", "deviates"),
        ("2026-03-08T12:00", "01:50 04:05 04:10", "03-08T02:50:00-04:00 03-08T04:05:00-04:00", "meets"),
        // 35 min by the clock's first 01:25, 95 by its second: said which, the instants are kept.
        (
            "2026-11-01T12:00",
            "00:50 2026-11-01T01:25-04:00 02:10",
            "10-31T23:50:00-05:00 11-01T00:25:00-05:00",
            "deviates",
        ),
        (
            "2026-11-01T12:00",
            "00:50 2026-11-01T01:25-05:00 02:10",
            "10-31T23:50:00-05:00 11-01T01:25:00-05:00",
            "meets",
        ),
        // 74 min by the faces and 134 by the instants; then 75 and 135.
        ("2026-11-01T12:00", "00:50 02:04 02:10", "11-01T00:50:00-05:00 11-01T02:04:00-05:00", "deviates"),
        ("2026-11-01T12:00", "00:50 02:05 02:10", "11-01T00:50:00-05:00 11-01T02:05:00-05:00", "meets"),
    ]
    .into_iter()
    .zip(1..)
    {
        world.on(today);
        let eastern = |line: &str| {
            let args: Vec<&str> = line.split_whitespace().chain(["--json"]).collect();
            let output = world.command(&args).env("TZ", EASTERN).output().unwrap();
            assert!(output.status.success(), "{line}: {output:?}");
            serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap()
        };
        let meat =
            "--product Meat --food meat-chunks --pack hot --jars pint:2 --canner W --pressure 10 --vent 10";
        let [reached, ended, out] = times.split(' ').collect::<Vec<_>>()[..] else { panic!("{times}") };
        let load =
            &eastern(&format!("putup {meat} --reached {reached} --ended {ended} --out {out}"))["loads"][0];
        assert_eq!(load["verdict"], verdict, "{times}: {load}");
        let kept: Vec<String> = kept.split(' ').map(|at| format!("2026-{at}")).collect();
        assert_eq!(
            (&load["reached_at"], &load["ended_at"]),
            (&kept[0].as_str().into(), &kept[1].as_str().into())
        );
        // Given anew in a correction, it counts no more.
        let code = format!("26-{batch:03}");
        eastern(&format!("correct load {code}/1 --reached unknown --ended unknown --reason slip"));
        eastern(&format!("correct load {code}/1 --reached {reached} --ended {ended} --reason slip"));
        let load = &eastern(&format!("batch {code}"))["loads"][0];
        assert_eq!(load["verdict"], verdict, "{times}: {load}");
        assert_eq!(
            (&load["reached_at"], &load["ended_at"]),
            (&kept[0].as_str().into(), &kept[1].as_str().into())
        );
    }
}
