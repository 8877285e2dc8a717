//! `undo` and `history`.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, put_up, shelve};
use crate::common::world::World;

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
fn an_entry_is_shown_with_its_facts() {
    let world = World::at_500_ft();
    put_up(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry");
    insta::assert_snapshot!(world.run(&["history", "--entry", "2"]), @r"
    Entry 2, putup, 2026-08-20 11:00: putup.
    Fact   About   What
    batch  26-001  Pears, put up 2026-08-20
    -- exit 0 --
    ");
}

// Taken back or brought back, what an entry withheld is shown with the people who have a jar of it.
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
    assert_eq!((&undone["pull"], &undone["facts_of"]), (&serde_json::json!([]), &7.into()));
    let redone = world.json_of("undo 8");
    assert_eq!((&redone["put_on_hold"], &redone["to_tell"]), (&both, &serde_json::json!(["the neighbour"])));
    assert_eq!((redone["pull"].as_array().unwrap().len(), &redone["in_force"]), (3, &true.into()));
    world.json_of("undo");
    let redone = world.line("undo 10");
    assert!(redone.out.contains("On hold now: 26-001-01-0 26-001-03-6"), "{redone}");
    assert!(redone.out.contains("the neighbour"), "{redone}");
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
