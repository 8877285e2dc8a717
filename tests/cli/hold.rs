//! `hold` and `release`: green beans in quarts on a weighted gauge at 500 ft are owed 25 min at 10 psi
//! (USDA AIB 539, Guide 4).

use jarledger::ledger::batch::load_facts::LoadFacts;
use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::Pack;

use super::kitchen::{act, entry, instant, shelve};
use super::world::World;

/// Three quarts of beans that had `minutes`, on the shelf as 26-001.
fn beans(minutes: u32) -> World {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Weights", "--method", "pressure-weighted", "--holds", "quart:7"]);
    let load = NewLoad {
        run: None,
        canner: Some("Weights".parse().unwrap()),
        lid_lot: None,
        jars: vec![(JarSize::Quart, 3)],
        facts: LoadFacts {
            altitude: Some("500ft".parse().unwrap()),
            pressure: Some("10".parse().unwrap()),
            pressure_entered: Some("10".to_owned()),
            minutes: Some(minutes),
            vent_min: Some(10),
            ..LoadFacts::out(instant("2026-08-20T12:00"))
        },
    };
    let batch = NewBatch {
        product: "Green beans".parse().unwrap(),
        food: Some("green-beans".parse().unwrap()),
        acidity: None,
        pack: Some(Pack::Hot),
        put_up: "2026-08-20".parse().unwrap(),
        quality_months: None,
        place: Some("Cellar".parse().unwrap()),
        ingredient_lots: Vec::new(),
        note: None,
        name_reason: None,
        recipe: None,
        loads: vec![load],
    };
    entry(&world, "putup", "2026-08-20T13:00", |write| {
        let logged = write.put_up(&batch)?;
        write.judge_load(logged.loads[0])
    });
    act(&world, "26-001".parse().unwrap(), &[1, 2, 3], Act::CheckSealed, "2026-08-21T08:00");
    world
}

fn on_hold(world: &World) -> Vec<bool> {
    let told = world.json(&["trace", "26-001"]);
    told["jars"].as_array().unwrap().iter().map(|jar| jar["on_hold"] == true).collect()
}

#[test]
fn a_jar_is_withheld_and_let_go_with_reasons() {
    let world = beans(25);
    insta::assert_snapshot!(world.run(&["hold", "26-001", "1,3", "--reason", "lid clicks"]), @r"
    Put 2 jars on hold: lid clicks.
    Place   Jar          Product      State
    Cellar  26-001-01-0  Green beans  sealed, on hold
    Cellar  26-001-03-6  Green beans  sealed, on hold
    -- stderr --
    next: `jarledger release JAR --reason ...` releases a jar; `jarledger trace JAR` finds its sisters
    -- exit 0 --
    ");
    assert_eq!(on_hold(&world), [true, false, true]);
    insta::assert_snapshot!(world.run(&["hold", "26-001", "1-2", "--reason", "lid clicks", "-q"]), @r"
    Put 1 jar on hold: lid clicks.
    1 jar was on hold for this reason already.
    Place   Jar          Product      State
    Cellar  26-001-01-0  Green beans  sealed, on hold
    Cellar  26-001-02-8  Green beans  sealed, on hold
    -- exit 0 --
    ");
    let again = world.json(&["hold", "26-001", "1-2", "--reason", "lid clicks"]);
    assert_eq!((&again["newly_held"], again["entry"].is_null()), (&serde_json::json!(0), true));
    assert_eq!(
        world.ok(&["hold", "26-001", "2-3", "--reason", "lid clicks"]).lines().next(),
        Some("2 jars were on hold for this reason already.")
    );
    insta::assert_snapshot!(world.run(&["release", "26-001", "1", "--reason", "looked again, all firm"]), @r"
    Released 1 jar: looked again, all firm.
    Place   Jar          Product      State
    Cellar  26-001-01-0  Green beans  sealed
    A load that meets the tested process on record is no more than that: the record
    cannot see into the jar.
    -- exit 0 --
    ");
    assert_eq!(on_hold(&world), [false, true, true]);
    let told = world.json(&["release", "26-001", "2-3", "--reason", "firm"]);
    assert_eq!(told["jars"][1]["jar"], "26-001-03-6");
    assert_eq!(told["jars"][1]["on_hold"], false);
    assert_eq!(told["jars"][1]["ended"][0]["cause"], "by-hand");
    assert_eq!(told["jars"][1]["ended"][0]["reason"], "lid clicks");
}

#[test]
fn a_release_ends_every_hold_on_the_jar_and_undo_brings_them_back() {
    let world = beans(25);
    world.ok(&["hold", "26-001", "1", "--reason", "lid clicks"]);
    let told = world.json(&["trace", "26-001", "--hold", "odd smell in the cellar"]);
    assert_eq!(told["hold"]["newly_held"], 3);
    assert_eq!(told["jars"][0]["holds"], serde_json::json!(["lid clicks", "odd smell in the cellar"]));
    let told = world.json(&["release", "26-001", "1", "--reason", "a burst onion"]);
    assert_eq!(told["jars"][0]["ended"].as_array().unwrap().len(), 2);
    assert_eq!(on_hold(&world), [false, true, true]);
    world.ok(&["undo"]);
    assert_eq!(on_hold(&world), [true, true, true]);
    let told = world.json(&["trace", "26-001"]);
    assert_eq!(told["jars"][0]["holds"], serde_json::json!(["lid clicks", "odd smell in the cellar"]));
}

#[test]
fn the_record_of_a_short_load_withholds_its_jars_from_release() {
    let world = beans(24);
    assert_eq!(on_hold(&world), [true, true, true]);
    insta::assert_snapshot!(world.run(&["release", "26-001", "2", "--reason", "looks fine"]), @r"
    -- stderr --
    error: 26-001-02-8 stays on hold until its load is judged to meet a tested process (load 26-001/1: the load did not meet its tested process); nothing was changed
    hint: amend the record with `jarledger correct` if it is wrong, or `jarledger undo 3` if that entry was; if it is right, do not taste the jar: `jarledger discard 26-001-02-8 --why ...`
    -- exit 4 --
    ");
    assert_eq!(on_hold(&world), [true, true, true]);
}

#[test]
fn a_figure_struck_from_the_record_lets_no_jar_be_released() {
    let world = beans(24);
    let told = world.json(&["correct", "load", "26-001/1", "--minutes", "unknown", "--reason", "illegible"]);
    assert_eq!(told["judged"][0]["verdict"], "not-recorded");
    let ran = world.run(&["release", "26-001", "2", "--reason", "looks fine"]);
    assert_eq!(ran.code, 4, "{ran}");
    assert!(ran.err.contains("until its load is judged to meet a tested process"), "{ran}");
    assert_eq!(world.run(&["open", "26-001", "2"]).code, 4);
    assert_eq!(on_hold(&world), [true, true, true]);
    // 25 min is what the table asks.
    world.ok(&["correct", "load", "26-001/1", "--minutes", "25", "--reason", "found the notebook"]);
    assert_eq!(on_hold(&world), [false, false, false]);
}

#[test]
fn food_without_a_tested_process_stays_on_hold_unless_it_is_acid_by_nature() {
    let world = World::at_500_ft();
    let judge = |batch| {
        entry(&world, "judge", "2026-08-22T08:00", |write| {
            write.judge_load(jarledger::values::codes::load_code::LoadCode { batch, number: 1 })
        })
    };
    let stew = shelve(&world, "Stew", None, (JarSize::Pint, 1), "2026-08-20T11:00", "Cellar");
    assert!(judge(stew).withheld.is_some());
    insta::assert_snapshot!(world.run(&["release", "26-001", "1", "--reason", "looks fine"]), @r"
    -- stderr --
    error: 26-001-01-0 stays on hold until its load is judged to meet a tested process (load 26-001/1: there is no tested process on record for this load); nothing was changed
    hint: amend the record with `jarledger correct` if it is wrong, or `jarledger undo 4` if that entry was; if it is right, do not taste the jar: `jarledger discard 26-001-01-0 --why ...`
    -- exit 4 --
    ");
    let pears = shelve(&world, "Pears", Some("pears"), (JarSize::Pint, 1), "2026-08-20T11:00", "Cellar");
    assert_eq!(judge(pears).withheld, None);
    world.ok(&["hold", "26-002", "1", "--reason", "cloudy"]);
    world.ok(&["release", "26-002", "1", "--reason", "only sediment"]);
}

#[test]
fn one_refused_jar_refuses_them_all() {
    let world = beans(25);
    world.ok(&["hold", "26-001", "1", "--reason", "lid clicks"]);
    insta::assert_snapshot!(world.run(&["release", "26-001", "1-2", "--reason", "firm"]), @r"
    -- stderr --
    error: 26-001-02-8 is not on hold; nothing was changed
    hint: see its story with `jarledger jar 26-001-02-8`
    -- exit 4 --
    ");
    assert_eq!(on_hold(&world), [true, false, false]);
    act(&world, "26-001".parse().unwrap(), &[2], Act::Discard, "2026-08-30T08:00");
    insta::assert_snapshot!(world.run(&["hold", "26-001", "--reason", "all of it"]), @r"
    -- stderr --
    error: 26-001-02-8 is discarded: only a jar still in the household can be held; nothing was changed
    hint: `jarledger trace 26-001 --hold REASON` holds what is left of its batch
    -- exit 4 --
    ");
    assert_eq!(on_hold(&world), [true, false, false]);
    assert_eq!(world.run(&["hold", "26-001", "1", "--reason", " "]).code, 2);
    assert_eq!(world.run(&["hold", "26-001", "1"]).code, 2);
    assert_eq!(world.run(&["release", "26-001", "--reason", "firm"]).code, 4);
}

#[test]
fn a_freezing_that_was_in_time_after_all_ends_the_hold_of_the_verdict() {
    let mut world = World::with_canners();
    world.on("2026-08-24T13:30");
    // 19 of the 20 min that pints of pears owe (USDA AIB 539, Guide 2, Pears).
    world.json_of(
        "putup --product Pears --food pears --pack hot --jars pint:2 --canner Kettle --minutes 19 --out 10:00",
    );
    world.json_of("freeze 26-001 1 --on 2026-08-24T12:30");
    let held = |world: &World| {
        let traced = world.json_of("trace 26-001");
        traced["jars"].as_array().unwrap().iter().map(|jar| jar["on_hold"] == true).collect::<Vec<_>>()
    };
    assert_eq!(held(&world), [true, true]);
    // By hand: from 11:00 to 12:30 is within the 2 hours.
    let told = world.json_of("correct load 26-001/1 --out 11:00 --reason misread");
    assert_eq!(told["let_go"].as_array().unwrap().len(), 1);
    let mut now = held(&world);
    now.sort_unstable();
    assert_eq!(now, [false, true]);
    world.ok(&["check"]);
}
