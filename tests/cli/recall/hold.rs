//! `hold` and `release`: green beans in quarts on a weighted gauge at 500 ft are owed 25 min at 10 psi
//! (USDA AIB 539, Guide 4).

use jarledger::ledger::batch::load_facts::LoadFacts;
use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::Pack;

use crate::common::kitchen::{act, entry, instant};
use crate::common::world::World;

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
    let answer = world.json(&["trace", "26-001"]);
    answer["jars"].as_array().unwrap().iter().map(|jar| jar["on_hold"] == true).collect()
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
    insta::assert_snapshot!(world.run(&["release", "26-001", "1", "--reason", "looked again, all firm"]), @"
    Released 1 jar: looked again, all firm.
    Place   Jar          Product      State
    Cellar  26-001-01-0  Green beans  sealed
    [caution: on record]
    -- exit 0 --
    ");
    assert_eq!(on_hold(&world), [false, true, true]);
    let answer = world.json(&["release", "26-001", "2-3", "--reason", "firm"]);
    assert_eq!(answer["jars"][1]["jar"], "26-001-03-6");
    assert_eq!(answer["jars"][1]["on_hold"], false);
    assert_eq!(answer["jars"][1]["ended"][0]["cause"], "by-hand");
    assert_eq!(answer["jars"][1]["ended"][0]["reason"], "lid clicks");
}

#[test]
fn the_record_of_a_short_load_withholds_its_jars_from_release() {
    let world = beans(24);
    insta::assert_snapshot!(world.run(&["release", "26-001", "2", "--reason", "looks fine"]), @r"
    -- stderr --
    error: 26-001-02-8 stays on hold until its load is judged to meet a tested process (load 26-001/1: the load did not meet its tested process); nothing was changed
    hint: amend the record with `jarledger correct` if it is wrong, or `jarledger undo 3` if that entry was; if it is right, do not taste the jar: `jarledger discard 26-001-02-8 --why ...`
    -- exit 4 --
    ");
}

#[test]
fn without_a_reason_or_numbers_nothing_is_held_or_released() {
    let world = beans(25);
    assert_eq!(world.run(&["hold", "26-001", "1", "--reason", " "]).code, 2);
    assert_eq!(world.run(&["hold", "26-001", "1"]).code, 2);
    assert_eq!(world.run(&["release", "26-001", "--reason", "firm"]).code, 4);
    assert_eq!(on_hold(&world), [false; 3]);
}
