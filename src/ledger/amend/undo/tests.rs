use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::batch::import::{Importer, ShelfRow};
use crate::ledger::batch::put_up::NewBatch;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::entry::write::EntryId;
use crate::ledger::jar::live::Which;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Acidity;

#[test]
fn an_undo_is_undone_by_turns() {
    let mut household = Household::at("2026-08-20T11:00");
    household.stand_by(("Pears", "pears"), JarSize::Quart, 3);
    household.on("2026-08-21T08:00").check_seals("26-001", &[], true).unwrap();
    let sealed = household.last_entry();
    let state = || household.states("26-001")[0];
    let undone = household.undo(sealed).unwrap();
    assert_eq!((state(), undone.in_force), (JarState::Cooling, false));
    let first_undo = household.last_entry();
    assert!(household.undo(first_undo).unwrap().in_force);
    assert_eq!(state(), JarState::Sealed);
    // The entry counts again, so it can be taken back again, through the undo that brought it back.
    assert_eq!(household.undo(sealed).unwrap().facts_of, sealed);
    assert_eq!(state(), JarState::Cooling);
    let last_undo = household.last_entry();
    let refused = refusal(household.undo(sealed));
    assert!(refused.contains("is undone already"), "{refused}");
    assert!(refused.ends_with(&format!("`jarledger undo {}` brings it back", last_undo.0)), "{refused}");
}

#[test]
fn rows_imported_anew_after_an_undo_do_not_come_back_twice() {
    let household = Household::at("2026-09-01T12:00");
    let row = ShelfRow {
        product: "Pears".parse().unwrap(),
        put_up: "2026-01-09".parse().unwrap(),
        size: JarSize::Quart,
        count: None,
        place: None,
        best_by: None,
        food: None,
        pack: None,
        id: None,
        note: None,
        vouched: None,
        name_reason: None,
    };
    let import = || {
        household
            .entry(|write| {
                let mut importer = Importer::new(write)?;
                importer.add(&row)?;
                importer.finish()
            })
            .unwrap();
        household.last_entry()
    };
    let on_shelf = || household.ledger.live_jars(&Which::default()).unwrap().len();
    let first = import();
    household.undo(first).unwrap();
    let undo = household.last_entry();
    // With nothing else in between, the rows come back as they were.
    household.undo(undo).unwrap();
    assert_eq!(on_shelf(), 1);
    household.undo(first).unwrap();
    let undo = household.last_entry();
    assert_eq!(on_shelf(), 0);
    import();
    let refused = refusal(household.undo(undo));
    assert!(refused.contains("cannot be brought back"), "{refused}");
    assert_eq!(on_shelf(), 1);
}

// USDA AIB 539, Guide 2, Pears: pints 20 minutes to 1,000 ft.
#[test]
fn an_undo_names_the_jars_it_lets_go_and_those_it_holds() {
    let mut household = Household::at("2026-08-14T14:05");
    household.pints(("Pears", "pears"), 3, 20);
    household.on("2026-08-15T07:00").check_seals("26-001", &[], true).unwrap();
    household.give("26-001", 2, "the neighbor");
    household.correct_load("26-001/1", Field::Minutes, Some("12")).unwrap();
    let codes = |jars: &[JarCode]| jars.iter().map(ToString::to_string).collect::<Vec<_>>();
    let undone = household.undo_last();
    assert_eq!(codes(&undone.let_go), ["26-001-01-0", "26-001-03-6"]);
    assert!(undone.put_on_hold.is_empty() && undone.pulled.is_none());
    // Brought back, the load is withheld again, with the jar that was given.
    let redone = household.undo(household.last_entry()).unwrap();
    assert_eq!(codes(&redone.put_on_hold), ["26-001-01-0", "26-001-03-6"]);
    let pulled = redone.pulled.unwrap();
    assert_eq!((pulled.len(), pulled.in_house()), (3, 2));
}

/// Pears in pints, at the boil from 10:00 to 10:20 and out at 10:30.
fn timed_pears() -> Household {
    let household = Household::at("2026-08-14T10:30");
    let mut load = household.load("Kettle", 20, &[(JarSize::Pint, 1)]);
    load.facts.reached_at = Some(instant("2026-08-14T10:00"));
    load.facts.ended_at = Some(instant("2026-08-14T10:20"));
    household.put_up(&household.batch(("Pears", "pears"), vec![load]));
    household
}

fn corrected(household: &Household, fields: &[(Field, &str)]) -> EntryId {
    for &(field, value) in fields {
        let amended = [Amendment::new(field, Some(value))];
        let of = match field {
            Field::PutUp | Field::Vouched => Corrected::Batch("26-001".parse().unwrap()),
            _ => Corrected::Load("26-001/1".parse().unwrap()),
        };
        household.entry(|write| write.correct(of, &amended, "misread")).unwrap();
    }
    household.last_entry()
}

// 30 minutes fit within 10:00 to 10:30 and not within 10:00 to 10:20.
#[test]
fn a_correction_of_the_minutes_forbids_the_undo_of_the_time_they_were_within() {
    let household = timed_pears();
    let minutes =
        corrected(&household, &[(Field::Ended, "2026-08-14T10:30:00+00:00"), (Field::Minutes, "30")]);
    let reached = corrected(&household, &[(Field::Reached, "2026-08-14T09:59:00+00:00")]);
    let ended = EntryId(minutes.0 - 1);
    let before = household.dump();
    let refused = refusal(household.undo(ended));
    assert!(
        refused.contains("30 min is more than the 20 min from reached 10:00 to ended 10:20"),
        "{refused}"
    );
    assert!(refused.contains(&format!("`jarledger undo {}`", minutes.0)), "{refused}");
    assert!(household.dump() == before);
    // In the opposite order all is taken back.
    for entry in [reached, minutes, ended] {
        household.undo(entry).unwrap();
    }
    assert_eq!(household.problems(), []);
}

#[test]
fn a_load_forbids_the_undo_of_the_day_that_it_came_out_on() {
    let household = Household::at("2026-09-01T10:30");
    household.pints(("Pears", "pears"), 1, 20);
    // A day at a time, as `correct` takes it.
    let out = corrected(
        &household,
        &[
            (Field::PutUp, "2026-08-31"),
            (Field::Out, "2026-08-31T10:30:00+00:00"),
            (Field::PutUp, "2026-08-30"),
            (Field::Out, "2026-08-30T10:30:00+00:00"),
        ],
    );
    let refused = refusal(household.undo(EntryId(out.0 - 1)));
    assert!(
        refused.contains("came out 2026-08-30 10:30, and its batch was put up Monday 31 August"),
        "{refused}"
    );
    assert!(refused.ends_with(&format!("first `jarledger undo {}`", out.0)), "{refused}");
    for back in 0..4 {
        household.undo(EntryId(out.0 - back)).unwrap();
    }
    assert_eq!(household.problems(), []);
}

// The ledger keeps why a jar is withheld, not how it was found.
#[test]
fn a_hold_stays_when_the_lot_it_was_traced_by_is_taken_back() {
    let household = Household::at("2026-09-01T10:30");
    household.pints(("Pears", "pears"), 1, 20);
    let load = "26-001/1".parse().unwrap();
    household.entry(|write| write.correct_lid_lot(load, Some(&"A7".parse().unwrap()), "misread")).unwrap();
    let correction = household.last_entry();
    let query = TraceQuery { lid_lots: vec!["A7".parse().unwrap()], ..TraceQuery::default() };
    assert_eq!(household.trace_to_hold(&query, "lids rusted"), 1);
    household.undo(correction).unwrap();
    assert_eq!((household.on_hold("26-001"), household.problems()), (vec![true], vec![]));
    household.release("26-001", &[], "it was no lid of A7").unwrap();
    assert_eq!(household.on_hold("26-001"), [false]);
}

#[test]
fn a_word_for_a_batch_forbids_the_undo_of_the_release_it_was_given_after() {
    let household = Household::at("2026-09-01T12:00");
    household.stand_by(("Pears", "pears"), JarSize::Quart, 2);
    household.hold("26-001", &[2], "an odd lid").unwrap();
    household.release("26-001", &[2], "looked at again").unwrap();
    let release = household.last_entry();
    let vouched = corrected(&household, &[(Field::Vouched, "my aunt was there")]);
    let refused = refusal(household.undo(release));
    assert!(refused.contains("26-001-02-8: was on hold when"), "{refused}");
    assert!(refused.ends_with(&format!("first `jarledger undo {}`", vouched.0)), "{refused}");
    // A jar put on hold after that is nothing that the word was given for.
    household.hold("26-001", &[1], "an odd lid").unwrap();
    assert_eq!(household.problems(), []);
    household.undo(vouched).unwrap();
    household.undo(release).unwrap();
    assert_eq!(household.on_hold("26-001"), [true, true]);
}

// Berry syrup is listed in half-pints and pints alone (USDA AIB 539, Guide 2).
#[test]
fn a_word_for_a_batch_forbids_the_undo_of_the_name_it_was_given_for() {
    let household = Household::at("2026-09-01T12:00");
    let load = household.unrecorded(JarSize::Quart, 1);
    let batch = household.batch(("Garden jars", "pears"), vec![load]);
    household.put_up(&NewBatch { acidity: Some(Acidity::Acid), ..batch });
    let of = Corrected::Batch("26-001".parse().unwrap());
    let food = |food: &str| vec![Amendment::new(Field::Food, Some(food))];
    household.entry(|write| write.correct(of, &food("berry-syrup"), "misread")).unwrap();
    household.entry(|write| write.correct(of, &food("pears"), "misread")).unwrap();
    let food = household.last_entry();
    let vouched = corrected(&household, &[(Field::Vouched, "my aunt was there")]);
    let refused = refusal(household.undo(food));
    assert!(refused.contains("nobody can vouch for 26-001: "), "{refused}");
    assert!(refused.ends_with(&format!("first `jarledger undo {}`", vouched.0)), "{refused}");
    household.undo(vouched).unwrap();
    household.undo(food).unwrap();
    assert_eq!(household.problems(), []);
}
