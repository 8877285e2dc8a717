//! Green beans in pints by the dial at 500 ft: 20 min at 11 psi (USDA AIB 539, Guide 4, Beans, snap and Italian).

use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::rules::load::verdict::Verdict;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Acidity;

const BEANS: (&str, &str) = ("Green beans", "green-beans");
const PEARS: (&str, &str) = ("Pears", "pears");

/// Three pints of beans that had so many minutes, sealed, as 26-001.
fn beans(minutes: u32) -> Household {
    let mut household = Household::at("2026-08-20T12:00");
    household.pints(BEANS, 3, minutes);
    household.on("2026-08-21T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-09-01T12:00");
    household
}

#[test]
fn a_jar_is_held_once_for_each_reason_and_let_go_of_all() {
    let household = beans(20);
    assert_eq!(household.hold("26-001", &[1, 3], "lid clicks").unwrap(), 2);
    assert_eq!(household.on_hold("26-001"), [true, false, true]);
    assert_eq!(household.hold("26-001", &[1, 2], "lid clicks").unwrap(), 1);
    let batch = TraceQuery { batches: vec!["26-001".parse().unwrap()], ..TraceQuery::default() };
    assert_eq!(household.trace_to_hold(&batch, "odd smell in the cellar"), 3);
    assert_eq!(household.reasons("26-001", 1), ["lid clicks", "odd smell in the cellar"]);
    assert_eq!(household.release("26-001", &[1], "a burst onion").unwrap().len(), 2);
    assert_eq!(household.on_hold("26-001"), [false, true, true]);
    // Undone, the release lets none of its holds go.
    household.undo_last();
    assert_eq!(household.on_hold("26-001"), [true; 3]);
    assert_eq!(household.reasons("26-001", 1), ["lid clicks", "odd smell in the cellar"]);
}

#[test]
fn the_record_of_a_short_load_withholds_its_jars_from_release() {
    let household = beans(19);
    assert_eq!(household.on_hold("26-001"), [true; 3]);
    let refused = refusal(household.release("26-001", &[2], "looks fine"));
    assert!(refused.starts_with("26-001-02-8 stays on hold until its load is judged to meet"), "{refused}");
    assert!(refused.contains("(load 26-001/1: the load did not meet its tested process)"), "{refused}");
    assert!(refused.contains("or `jarledger undo 2` if that entry was"), "{refused}");
    assert_eq!(household.on_hold("26-001"), [true; 3]);
}

#[test]
fn a_figure_struck_from_the_record_lets_no_jar_be_released_or_opened() {
    let household = beans(19);
    let judged = household.correct_load("26-001/1", Field::Minutes, None).unwrap();
    assert_eq!(judged[0].judged.verdict, Verdict::NotRecorded);
    let refused = refusal(household.release("26-001", &[2], "looks fine"));
    assert!(refused.contains("until its load is judged to meet a tested process"), "{refused}");
    assert!(household.act("26-001", &[2], Act::Open).is_err());
    assert_eq!(household.on_hold("26-001"), [true; 3]);
    household.correct_load("26-001/1", Field::Minutes, Some("20")).unwrap();
    assert_eq!(household.on_hold("26-001"), [false; 3]);
}

#[test]
fn food_without_a_tested_process_stays_on_hold_unless_it_is_acid_by_nature() {
    let household = Household::at("2026-08-20T12:00");
    // Half-gallons of neither were ever tested.
    for (named, canner) in [(BEANS, "Big dial"), (PEARS, "Kettle")] {
        let load = household.load(canner, 90, &[(JarSize::HalfGallon, 1)]);
        let judged = household.put_up(&household.batch(named, vec![load]));
        assert_eq!(judged[0].judged.verdict, Verdict::NoTestedProcess, "{named:?}");
        assert_eq!(judged[0].withheld.is_some(), named == BEANS, "{named:?}");
        let found = &judged[0].judged.findings[0].message;
        assert!(found.contains("half-gallons") && found.contains("Tested instead"), "{found}");
    }
    let refused = refusal(household.release("26-001", &[1], "looks fine"));
    assert!(refused.contains("there is no tested process on record for this load"), "{refused}");
    household.hold("26-002", &[1], "cloudy").unwrap();
    household.release("26-002", &[1], "only sediment").unwrap();
    // Food of no table is held whatever the household calls it.
    for acidity in [None, Some(Acidity::Acid)] {
        let load = household.load("Kettle", 10, &[(JarSize::Pint, 3)]);
        let hips = NewBatch { food: None, acidity, ..household.batch(("Rose hips", "pears"), vec![load]) };
        let judged = household.put_up(&hips);
        assert_eq!((judged[0].judged.verdict, judged[0].held.len()), (Verdict::NoTestedProcess, 3));
    }
}

#[test]
fn one_refused_jar_refuses_them_all() {
    let household = beans(20);
    household.hold("26-001", &[1], "lid clicks").unwrap();
    let refused = refusal(household.release("26-001", &[1, 2], "firm"));
    assert!(refused.starts_with("26-001-02-8 is not on hold"), "{refused}");
    assert_eq!(household.on_hold("26-001"), [true, false, false]);
    household.act("26-001", &[2], Act::Discard).unwrap();
    let refused = refusal(household.hold("26-001", &[], "all of it"));
    assert!(refused.starts_with("26-001-02-8 is discarded: only a jar still in the household can be held"));
    assert_eq!(household.on_hold("26-001"), [true, false, false]);
}

// Pears of 19 minutes fall short of the 20 that pints owe (USDA AIB 539, Guide 2). Such a load may be rescued for 2 hours:
// from 11:00 to 12:30 is within them.
#[test]
fn a_freezing_that_was_in_time_after_all_ends_the_hold_of_the_verdict() {
    let mut household = Household::at("2026-08-24T10:00");
    let load = household.load("Kettle", 19, &[(JarSize::Pint, 2)]);
    household.on("2026-08-24T13:30");
    household.put_up(&household.batch(PEARS, vec![load]));
    let before_it_was_judged = When::At(instant("2026-08-24T12:30"));
    household.act_at("26-001", &[1], Act::Freeze, before_it_was_judged).unwrap();
    assert_eq!(household.on_hold("26-001"), [true, true]);
    let load = Corrected::Load("26-001/1".parse().unwrap());
    let out = Amendment::moment(Field::Out, Some(instant("2026-08-24T11:00")));
    let judged = household.entry(|write| write.correct(load, &[out], "misread")).unwrap();
    assert_eq!(judged[0].released.len(), 1);
    assert_eq!(household.on_hold("26-001"), [false, true]);
    assert_eq!(household.problems(), []);
}

// Out at 11:00, carrots of 20 minutes fall short of the 25 that pints owe at 11 psi (USDA AIB 539, Guide 4, Carrots);
// rescued until 13:00.
#[test]
fn a_jar_frozen_in_time_is_free_of_the_verdict_and_of_nothing_else() {
    let mut household = Household::at("2026-09-01T11:00");
    let judged = household.pints(("Carrots", "carrots"), 3, 20);
    assert_eq!(judged[0].judged.verdict, Verdict::Deviates);
    household.hold("26-001", &[2], "the jar is chipped").unwrap();
    household.on("2026-09-01T13:00").act("26-001", &[1, 2], Act::Freeze).unwrap();
    let late = refusal(household.on("2026-09-01T13:01").act("26-001", &[3], Act::Freeze));
    assert!(late.contains("too late"), "{late}");
    assert_eq!(household.on_hold("26-001"), [false, true, true]);
    // Judged again, and short for another reason, the first stays free.
    household.correct_load("26-001/1", Field::Vent, Some("5")).unwrap();
    assert_eq!(household.on_hold("26-001"), [false, true, true]);
    assert_eq!(household.problems(), []);
    household.release("26-001", &[2], "it is a scratch").unwrap();
    assert_eq!(household.on_hold("26-001"), [false, false, true]);
    household.act("26-001", &[1], Act::Finish).unwrap();
}

#[test]
fn a_jar_frozen_for_its_lid_is_held_when_its_load_is_found_short_later() {
    let mut household = Household::at("2026-09-01T11:00");
    household.pints(("Carrots", "carrots"), 2, 25);
    household.act("26-001", &[2], Act::Freeze).unwrap();
    // 13 h after it came out.
    household.on("2026-09-02T00:00").check_seals("26-001", &[1], false).unwrap();
    household.act("26-001", &[1], Act::Freeze).unwrap();
    household.on("2027-03-01T12:00");
    household.test_gauge("Big dial", "2027-03-01", (11, 9));
    assert_eq!(household.states("26-001"), [JarState::Frozen; 2]);
    // Frozen within minutes of coming out, the second was never left to the load's process.
    assert_eq!(household.on_hold("26-001"), [true, false]);
    assert_eq!(household.problems(), []);
    // Its freezing cannot be taken back past the verdict that left it out for that.
    let freezing = household.ledger.history(10).unwrap().into_iter().rev().nth(2).unwrap().entry;
    let refused = refusal(household.undo(freezing));
    assert!(refused.contains("while later entries build on it"), "{refused}");
}

#[test]
fn a_hold_lets_a_jar_be_moved_and_discarded_and_what_came_before_it_be_written_down() {
    let mut household = Household::at("2026-08-20T12:00");
    household.stand_by(BEANS, JarSize::Pint, 3);
    household.on("2026-08-21T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-08-30T10:00").hold("26-001", &[], "the gauge read high").unwrap();
    household.on("2026-09-01T12:00").act("26-001", &[], Act::Move).unwrap();
    assert!(household.act("26-001", &[1], Act::Give).is_err());
    let when = |moment| When::At(instant(moment));
    // The move is later than the day given, so that day no longer fits.
    let open = |moment| household.act_at("26-001", &[1], Act::Open, when(moment));
    assert!(open("2026-08-29T12:00").is_err());
    household.undo_last();
    open("2026-08-28T18:00").unwrap();
    household.act_at("26-001", &[1], Act::Finish, when("2026-08-29T12:00")).unwrap();
    household.act("26-001", &[2], Act::Discard).unwrap();
    assert_eq!(household.states("26-001"), [JarState::Finished, JarState::Discarded, JarState::Sealed]);
}
