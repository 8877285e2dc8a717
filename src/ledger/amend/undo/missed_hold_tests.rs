use crate::ledger::entry::write::EntryId;
use crate::ledger::tests::household::{Household, refusal};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::kinds::jar_size::JarSize;

const PEARS: (&str, &str) = ("Pears", "pears");

fn put_up(household: &Household, named: (&str, &str), canner: &str, jars: u32) {
    let mut load = household.load(canner, 20, &[(JarSize::Pint, jars)]);
    load.lid_lot = Some("A7".parse().unwrap());
    household.put_up(&household.batch(named, vec![load]));
}

/// Two pears under lids of lot A7, 26-001, of which the first was given away last; the entry that gave it.
fn under_one_lid_lot() -> (Household, EntryId) {
    let mut household = Household::at("2026-08-14T14:05");
    put_up(&household, PEARS, "Kettle", 2);
    household.on("2026-08-15T09:00").check_seals("26-001", &[], true).unwrap();
    household.give("26-001", 1, "Ida");
    let given = household.last_entry();
    (household, given)
}

/// One jar more under such a lid, 26-002, out of another canner.
fn plums(household: &Household) {
    put_up(household, ("Plums", "plums"), "Big dial", 1);
}

fn of_lids() -> TraceQuery {
    TraceQuery { lid_lots: vec!["A7".parse().unwrap()], ..TraceQuery::default() }
}

fn on_hold(household: &Household) -> usize {
    household.ledger.trace(&of_lids()).unwrap().on_hold()
}

#[test]
fn no_undo_brings_a_jar_home_past_a_trace_that_holds_its_like() {
    let (household, given) = under_one_lid_lot();
    plums(&household);
    household.trace_to_hold(&of_lids(), "bad lids");
    let traced = household.last_entry();
    let refused = refusal(household.undo(given));
    for part in [
        format!("without the hold of entry {} (", traced.0),
        format!(
            "first `jarledger undo {}`, then `jarledger undo {}`, then hold or trace again",
            traced.0, given.0
        ),
    ] {
        assert!(refused.contains(&part), "{part} in {refused}");
    }
    // As advised.
    household.undo(traced).unwrap();
    let undone = household.last_entry();
    household.undo(given).unwrap();
    // Brought back, the trace would hold what it held, and not what came home meanwhile.
    let refused = refusal(household.undo(undone));
    assert!(refused.contains("trace again with --hold"), "{refused}");
    household.trace_to_hold(&of_lids(), "bad lids");
    assert_eq!(on_hold(&household), 3);
}

#[test]
fn a_trace_whose_jars_were_released_stops_no_undo() {
    let (household, given) = under_one_lid_lot();
    plums(&household);
    let late = TraceQuery { from: "2026-08-15".parse().ok(), ..of_lids() };
    assert_eq!(household.trace_to_hold(&late, "odd smell"), 1);
    household.undo(given).unwrap_err();
    household.release("26-002", &[1], "it was the cellar").unwrap();
    let released = household.last_entry();
    household.undo(given).unwrap();
    // Nor is the release taken back now, which would hold the one and not the other.
    household.undo(released).unwrap_err();
}

#[test]
fn no_batch_is_brought_back_past_a_trace_that_holds_its_like() {
    let (household, _) = under_one_lid_lot();
    plums(&household);
    household.undo_last();
    let undo = household.last_entry();
    household.trace_to_hold(&of_lids(), "bad lids");
    let refused = refusal(household.undo(undo));
    assert!(refused.contains("cannot be brought back: its jars would come home"), "{refused}");
    household.undo_last();
    household.undo(undo).unwrap();
    household.trace_to_hold(&of_lids(), "bad lids");
    // The one that was given is gone.
    assert_eq!((on_hold(&household), household.states("26-001")[0]), (2, JarState::Given));
}

#[test]
fn a_jar_given_away_before_its_sisters_were_held_by_hand_does_not_come_back_free() {
    let (household, given) = under_one_lid_lot();
    household.hold("26-001", &[2], "a sister was swollen").unwrap();
    let held = household.last_entry();
    let refused = refusal(household.undo(given));
    assert!(refused.contains(&format!("jarledger undo {}", held.0)), "{refused}");
    household.undo(held).unwrap();
    household.undo(given).unwrap();
    assert_eq!(household.states("26-001"), [JarState::Sealed; 2]);
    // A jar that was opened stands in the house all along, so its opening is no leaving.
    household.act("26-001", &[1], Act::Open).unwrap();
    let opened = household.last_entry();
    household.hold("26-001", &[2], "a sister was swollen").unwrap();
    household.undo(opened).unwrap();
}
