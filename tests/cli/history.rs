//! `undo` and `history`.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use super::kitchen::{act, put_up, shelve};
use super::world::World;

#[test]
fn undo_takes_back_the_newest_entry_and_then_the_one_before() {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "quart:7"]);
    let pears = shelve(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    act(&world, pears, &[2], Act::Open, "2026-08-30T09:00");
    insta::assert_snapshot!(world.run(&["undo"]), @r"
    Undid entry 5, open: open.
    -- stderr --
    next: `jarledger undo 6` reverses this
    -- exit 0 --
    ");
    assert_eq!(world.json(&["shelf"])["stock"][0]["state"], "sealed");
    world.ok(&["undo"]);
    world.ok(&["undo"]);
    assert_eq!(world.json(&["shelf"])["total"], 0);
    insta::assert_snapshot!(world.run(&["history"]), @r"
    Entry  When              Command       What                            Undone
        8  2026-09-01 12:00  undo          entry 3 taken back: putup
        7  2026-09-01 12:00  undo          entry 4 taken back:
                                           check-sealed
        6  2026-09-01 12:00  undo          entry 5 taken back: open
        5  2026-08-30 09:00  open          open                            by 6
        4  2026-08-21 03:00  check-sealed  check-sealed                    by 7
        3  2026-08-20 11:00  putup         putup                           by 8
        2  2026-09-01 12:00  canner add    canner Big dial, pressure-dial
        1  2026-09-01 12:00  setup         kitchen at 500ft
    -- stderr --
    next: `jarledger undo ENTRY` takes one back; `jarledger history --entry ENTRY` shows its facts
    -- exit 0 --
    ");
}

#[test]
fn an_undo_is_undone_by_turns() {
    let world = World::at_500_ft();
    shelve(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    let state = || world.json(&["shelf"])["stock"][0]["state"].clone();
    world.ok(&["undo", "3"]);
    assert_eq!(state(), "cooling");
    assert_eq!(world.json(&["undo", "4"])["in_force"], true);
    assert_eq!(state(), "sealed");
    // Entry 3 counts again, so it can be taken back again, through the undo that brought it back.
    assert_eq!(world.json(&["undo", "3"])["facts_of"], 3);
    assert_eq!(state(), "cooling");
    insta::assert_snapshot!(world.run(&["undo", "3"]), @r"
    -- stderr --
    error: entry 3 (check-sealed: check-sealed) is undone already; nothing was changed
    hint: `jarledger undo 6` brings it back
    -- exit 4 --
    ");
}

#[test]
fn what_later_entries_build_on_is_not_undone_before_them() {
    let world = World::at_500_ft();
    let pears = shelve(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    act(&world, pears, &[2], Act::Open, "2026-08-30T09:00");
    act(&world, pears, &[2], Act::Finish, "2026-08-31T09:00");
    insta::assert_snapshot!(world.run(&["undo", "2"]), @r"
    -- stderr --
    error: entry 2 (putup: putup) cannot be taken back while later entries build on it: entry 5 (finish: finish), entry 4 (open: open), entry 3 (check-sealed: check-sealed) (26-001-01-0: event 1, check-sealed, is of a jar that was not put up); nothing was changed
    hint: first `jarledger undo 5`, then `jarledger undo 4`, then `jarledger undo 3`
    -- exit 4 --
    ");
    insta::assert_snapshot!(world.run(&["undo", "1"]), @r"
    -- stderr --
    error: without that entry the ledger would know no altitude; nothing was changed
    hint: `jarledger setup --altitude HEIGHT` changes it
    -- exit 4 --
    ");
    insta::assert_snapshot!(world.run(&["undo", "77"]), @r"
    -- stderr --
    error: there is no entry 77 in this ledger
    -- exit 3 --
    ");
}

#[test]
fn a_batch_put_up_by_mistake_is_gone_and_comes_back_whole() {
    let world = World::at_500_ft();
    put_up(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    let before = world.ok(&["shelf", "--jars"]);
    world.ok(&["undo"]);
    assert_eq!(world.json(&["shelf"])["total"], 0);
    world.ok(&["undo", "3"]);
    assert_eq!(world.ok(&["shelf", "--jars"]), before);
    insta::assert_snapshot!(world.run(&["history", "--entry", "2"]), @r"
    Entry 2, putup, 2026-08-20 11:00: putup.
    Fact   About   What
    batch  26-001  Pears, put up 2026-08-20
    -- exit 0 --
    ");
}

#[test]
fn a_jar_given_away_before_its_sisters_were_held_does_not_come_back_free() {
    let world = World::at_500_ft();
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    world.ok(&["give", "26-001", "1", "--to", "Choir"]);
    world.ok(&["hold", "26-001", "2,3", "--reason", "a sister was swollen"]);
    let refused = world.run(&["undo", "4"]);
    assert_eq!(refused.code, 4, "{refused}");
    assert!(refused.err.contains("jarledger undo 5"), "{refused}");
    world.ok(&["undo", "5"]);
    world.ok(&["undo", "4"]);
    assert_eq!(world.json(&["shelf"])["stock"][0]["jars"], 3);
}

#[test]
fn rows_imported_anew_after_an_undo_do_not_come_back_twice() {
    let world = World::at_500_ft();
    std::fs::write(world.home().join("old.csv"), "product,put_up,jar\nPears,2026-01-09,quart\n").unwrap();
    world.ok(&["import", "old.csv"]);
    world.ok(&["undo"]);
    // With nothing else in between, the rows come back as they were.
    world.ok(&["undo", "3"]);
    world.ok(&["undo", "2"]);
    assert_eq!(world.json(&["shelf"])["total"], 0);
    world.ok(&["import", "old.csv"]);
    let refused = world.run(&["undo", "5"]);
    assert_eq!(refused.code, 4, "{refused}");
    assert!(refused.err.contains("cannot be brought back"), "{refused}");
    assert_eq!(world.json(&["shelf"])["total"], 1);
}

/// Two pears under lids of lot A7, 26-001, of which the first was given away last.
fn under_one_lid_lot() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world.json_of(
        "putup --product Pears --food pears --pack hot --canner Kettle --jars quart:2 --minutes 25 --out 14:05 \
         --lid-lot A7",
    );
    world.on("2026-08-15T09:00");
    world.json_of("seal 26-001 --sealed");
    world.json_of("give 26-001 1 --to Ida");
    world
}

/// One jar more under such a lid, 26-002, out of another canner.
fn plums(world: &World) {
    world.json_of(
        "putup --product Plums --food plums --pack hot --canner Big_dial --jars pint:1 --minutes 10 --pressure 6 \
         --vent 10 --out 08:00 --lid-lot A7",
    );
}

fn on_hold(world: &World) -> Vec<bool> {
    let told = world.json_of("trace --lid-lot A7");
    told["jars"].as_array().unwrap().iter().map(|jar| jar["on_hold"] == true).collect()
}

#[test]
fn no_undo_brings_a_jar_home_past_a_trace_that_holds_its_like() {
    let world = under_one_lid_lot();
    let entry = |told: &serde_json::Value| told["hold"]["entry"].as_i64().unwrap();
    let given = world.json_of("history")["entries"][0]["entry"].as_i64().unwrap();
    plums(&world);
    let traced = entry(&world.json_of("trace --lid-lot A7 --hold bad_lids"));
    let ran = world.line(&format!("undo {given}"));
    assert_eq!(ran.code, 4, "{ran}");
    for told in [
        format!("without the hold of entry {traced} (trace: "),
        format!("first `jarledger undo {traced}`, then `jarledger undo {given}`, then hold or trace again"),
    ] {
        assert!(ran.err.contains(&told), "{told} in {ran}");
    }
    // As told.
    let undone = world.json_of(&format!("undo {traced}"))["entry"].as_i64().unwrap();
    world.ok(&["undo", &given.to_string()]);
    // Brought back, the trace would hold what it held, and not what came home meanwhile.
    let ran = world.line(&format!("undo {undone}"));
    assert_eq!(ran.code, 4, "{ran}");
    assert!(ran.err.contains("trace again with --hold"), "{ran}");
    world.json_of("trace --lid-lot A7 --hold bad_lids");
    assert_eq!(on_hold(&world), [true; 3]);
}

#[test]
fn a_trace_whose_jars_were_released_stops_no_undo() {
    let world = under_one_lid_lot();
    let given = world.json_of("history")["entries"][0]["entry"].as_i64().unwrap();
    plums(&world);
    world.json_of("trace --lid-lot A7 --from 2026-08-15 --hold odd_smell");
    let ran = world.line(&format!("undo {given}"));
    assert_eq!(ran.code, 4, "{ran}");
    let released = world.json_of("release 26-002-01-2 --reason it_was_the_cellar")["entry"].as_i64().unwrap();
    world.ok(&["undo", &given.to_string()]);
    // Nor is the release taken back now, which would hold the one and not the other.
    let ran = world.line(&format!("undo {released}"));
    assert_eq!(ran.code, 4, "{ran}");
}

#[test]
fn no_batch_is_brought_back_past_a_trace_that_holds_its_like() {
    let world = under_one_lid_lot();
    plums(&world);
    world.ok(&["undo"]);
    let undo = world.json_of("history")["entries"][0]["entry"].as_i64().unwrap();
    world.json_of("trace --lid-lot A7 --hold bad_lids");
    let ran = world.line(&format!("undo {undo}"));
    assert_eq!(ran.code, 4, "{ran}");
    assert!(ran.err.contains("cannot be brought back: its jars would come home"), "{ran}");
    world.ok(&["undo"]);
    world.ok(&["undo", &undo.to_string()]);
    world.json_of("trace --lid-lot A7 --hold bad_lids");
    assert_eq!(on_hold(&world), [true, true, false]);
}

// Taken back or brought back, what an entry withheld is told with the people who have a jar of it.
#[test]
fn undoing_and_restoring_say_which_jars_are_let_go_or_held_and_whom_to_call() {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world.json_of(
        "putup --product Pears --food pears --pack hot --canner Kettle --jars quart:3 --minutes 25 --out 14:05",
    );
    world.on("2026-08-15T07:00");
    world.json_of("seal 26-001 --sealed");
    world.json_of("give 26-001 2 --to the_neighbour");
    world.json_of("backup before.jarledger");
    world.json_of("correct load 26-001/1 --minutes 12 --reason misread");
    let undone = world.json_of("undo");
    let both = serde_json::json!(["26-001-01-0", "26-001-03-6"]);
    assert_eq!((&undone["let_go"], &undone["put_on_hold"]), (&both, &serde_json::json!([])));
    assert_eq!(undone["pull"], serde_json::json!([]));
    // Brought back, the load is withheld again, with the jar that was given.
    let redone = world.json_of("undo 8");
    assert_eq!((&redone["put_on_hold"], &redone["to_tell"]), (&both, &serde_json::json!(["the neighbour"])));
    assert_eq!(redone["pull"].as_array().unwrap().len(), 3);
    world.json_of("undo 7");
    let told = world.line("undo 10");
    assert!(told.out.contains("On hold now: 26-001-01-0 26-001-03-6"), "{told}");
    assert!(told.out.contains("the neighbour"), "{told}");
    world.ok(&["undo", "11"]);
    world.json_of("correct load 26-001/1 --minutes 12 --reason misread");
    let restored = world.json_of("restore before.jarledger --yes");
    assert_eq!(restored["let_go"], both);
    let back = world.line(&format!(
        "restore {} --yes",
        restored["replaced"].as_str().unwrap().trim_start_matches("HOME/")
    ));
    assert!(back.out.contains("On hold now: 26-001-01-0") && back.out.contains("the neighbour"), "{back}");
}
