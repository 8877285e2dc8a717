//! What may happen to jars, and when.

use crate::ledger::error::LedgerError;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::values::kinds::jar_size::JarSize;

/// Three pints of beans in the cellar, sealed.
fn stocked() -> Household {
    let mut household = Household::at("2026-08-14T16:40");
    household.stand_by(("Green beans", "green-beans"), JarSize::Pint, 3);
    household.on("2026-08-15T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-09-01T12:00");
    household
}

#[test]
fn one_jar_refused_means_nothing_happens_to_any() {
    let household = stocked();
    household.act("26-001", &[3], Act::Open).unwrap();
    let before = household.dump();
    assert!(household.act("26-001", &[1, 2, 3], Act::Open).is_err());
    assert!(household.dump() == before);
}

#[test]
fn several_jars_opened_are_one_entry_taken_back_as_one() {
    let household = stocked();
    household.act("26-001", &[1, 2], Act::Open).unwrap();
    household.undo_last();
    assert_eq!(household.states("26-001"), [JarState::Sealed; 3]);
}

#[test]
fn moments_that_do_not_fit_a_jars_story_are_refused() {
    let household = stocked();
    for moment in ["2026-08-13T12:00", "2026-08-14T16:00", "2026-09-02T12:00", "2026-09-01T12:01"] {
        let opened = household.act_at("26-001", &[1], Act::Open, When::At(instant(moment)));
        assert!(matches!(opened, Err(LedgerError::Refused { .. })), "{moment}: {opened:?}");
    }
    assert_eq!(household.states("26-001")[0], JarState::Sealed);
}

#[test]
fn a_jar_that_did_not_seal_is_chilled_or_frozen_within_a_day() {
    let mut household = Household::at("2026-08-31T16:00");
    household.stand_by(("Plums", "plums"), JarSize::Pint, 4);
    household.on("2026-09-01T08:00").check_seals("26-001", &[1, 2, 3], false).unwrap();
    household.act("26-001", &[1], Act::Chill).unwrap();
    household.on("2026-09-01T16:00").act("26-001", &[2], Act::Freeze).unwrap();
    let late = refusal(household.on("2026-09-01T16:01").act("26-001", &[3], Act::Freeze));
    assert_eq!(
        late,
        "26-001-03-6 cannot be frozen: it is too late for that: a jar may be reprocessed, chilled or frozen only within \
         24 hours after its load came out; do not taste it: `jarledger discard 26-001-03-6 --why ...`"
    );
    let in_time = When::At(instant("2026-09-01T15:00"));
    household.act_at("26-001", &[3], Act::Freeze, in_time).unwrap();
    household.act("26-001", &[1], Act::Finish).unwrap();
    let states = [JarState::Finished, JarState::Frozen, JarState::Frozen, JarState::Cooling];
    assert_eq!(household.states("26-001"), states);
}

// A load that fails is rescued within 2 hours, the shorter of the figures.
#[test]
fn a_jar_of_a_failed_load_is_chilled_within_two_hours_and_may_then_be_eaten_up() {
    let mut household = Household::at("2026-09-01T09:00");
    household.pints(("Green beans", "green-beans"), 3, 10);
    household.on("2026-09-01T11:00").act("26-001", &[1], Act::Chill).unwrap();
    let late = refusal(household.on("2026-09-01T11:01").act("26-001", &[2], Act::Chill));
    assert!(late.starts_with("26-001-02-8 cannot be chilled: it is too late for that"), "{late}");
    assert!(late.contains("this program uses 2 hours"), "{late}");
    household.on("2026-09-02T19:00").act("26-001", &[1], Act::Finish).unwrap();
    assert_eq!(household.states("26-001")[0], JarState::Finished);
}

#[test]
fn a_rescue_of_a_day_alone_needs_its_hour_where_the_time_ran_out_that_day() {
    let mut household = Household::at("2026-08-14T11:00");
    household.pints(("Green beans", "green-beans"), 2, 10);
    household.on("2026-08-19T12:00");
    let noon = |day: &str| When::OnDayOfNoon(instant(&format!("2026-08-{day}T12:00")));
    for act in [Act::Chill, Act::Freeze] {
        let refused = refusal(household.act_at("26-001", &[1], act, noon("14")));
        assert!(refused.contains("on 2026-08-14 it was in time until 13:00 only"), "{refused}");
        assert!(refused.contains("--on 2026-08-14T13:00"), "{refused}");
        let refused = refusal(household.act_at("26-001", &[1], act, noon("15")));
        assert!(refused.contains("it is too late for that"), "{refused}");
    }
    assert_eq!(household.states("26-001")[0], JarState::Cooling);
    let chill = |number, moment| household.act_at("26-001", &[number], Act::Chill, When::At(instant(moment)));
    chill(1, "2026-08-14T13:00").unwrap();
    assert!(chill(2, "2026-08-14T13:01").is_err());
}

#[test]
fn a_missing_jar_is_found_again_once() {
    let household = stocked();
    household.act("26-001", &[1], Act::Miss).unwrap();
    assert_eq!(household.states("26-001")[0], JarState::Missing);
    assert!(household.act("26-001", &[1], Act::Miss).is_err());
    household.act("26-001", &[1], Act::Find).unwrap();
    assert_eq!(household.states("26-001")[0], JarState::Sealed);
}

#[test]
fn what_was_taken_back_is_no_part_of_a_jars_story() {
    let household = stocked();
    let code = household.jars("26-001", &[1])[0].code;
    let story = || household.ledger.jar_story(code, household.clock.now);
    assert_eq!((story().unwrap().events.len(), story().unwrap().seal_checks.len()), (1, 1));
    household.undo_last();
    let undone = story().unwrap();
    assert_eq!((undone.jar.state, undone.events.len(), undone.seal_checks.len()), (JarState::Cooling, 0, 0));
    household.undo_last();
    assert!(matches!(story(), Err(LedgerError::NoJar { .. })));
}
