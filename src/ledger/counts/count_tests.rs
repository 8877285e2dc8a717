//! Three pints of beans, 26-001, and two quarts of pears, 26-002, in the cellar; a quart of plums, 26-003, in the pantry.

use crate::ledger::counts::count::{Counted, Tally};
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::tests::household::Household;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

fn cellar() -> Household {
    let mut household = Household::at("2026-08-20T11:00");
    for (named, size, jars) in [
        (("Green beans", "green-beans"), JarSize::Pint, 3),
        (("Pears", "pears"), JarSize::Quart, 2),
        (("Plums", "plums"), JarSize::Quart, 1),
    ] {
        household.stand_by(named, size, jars);
    }
    household.on("2026-08-21T08:00");
    for batch in ["26-001", "26-002", "26-003"] {
        household.check_seals(batch, &[], true).unwrap();
    }
    let plums = household.jars("26-003", &[]);
    let pantry = Particulars { place: "Pantry".parse().ok(), ..Particulars::default() };
    household.entry(|write| write.act_on(&plums, Act::Move, When::At(household.clock.now), &pantry)).unwrap();
    household
}

fn place() -> Name {
    "cellar".parse().unwrap()
}

fn count(household: &Household, seen: &[(&str, &[u32])], tallies: &[Tally]) -> Counted {
    let seen: Vec<Jar> = seen.iter().flat_map(|(batch, numbers)| household.jars(batch, numbers)).collect();
    household.ledger.compare_count(&place(), &seen, tallies).unwrap()
}

fn settle(household: &Household, counted: &Counted) -> usize {
    household.entry(|write| write.settle_count(&place(), counted)).unwrap().len()
}

fn codes(jars: &[Jar]) -> Vec<String> {
    jars.iter().map(|jar| format!("{}.{}", jar.code.batch.number, jar.code.number)).collect()
}

#[test]
fn what_differs_is_settled_in_one_entry() {
    let household = cellar();
    // Beans 3 and both pears are not seen.
    let counted = count(&household, &[("26-001", &[1, 2]), ("26-003", &[1])], &[]);
    assert_eq!(
        (codes(&counted.confirmed), codes(&counted.moved)),
        (vec!["1.1".to_owned(), "1.2".to_owned()], vec!["3.1".to_owned()])
    );
    assert_eq!(codes(&counted.missing), ["1.3", "2.1", "2.2"]);
    let before = household.problems();
    assert_eq!(settle(&household, &counted), 4);
    let place_of_plums = || household.jars("26-003", &[1])[0].place.clone();
    assert_eq!(household.states("26-001"), [JarState::Sealed, JarState::Sealed, JarState::Missing]);
    assert_eq!(
        (household.states("26-002"), place_of_plums()),
        (vec![JarState::Missing; 2], Some("Cellar".to_owned()))
    );
    // Of loads that were never judged `check` says so, and no more than that is wrong.
    assert_eq!(household.problems(), before);
    household.undo_last();
    assert_eq!(
        (household.states("26-001"), place_of_plums()),
        (vec![JarState::Sealed; 3], Some("Pantry".to_owned()))
    );
}

#[test]
fn a_missing_jar_is_found_again() {
    let household = cellar();
    settle(&household, &count(&household, &[("26-001", &[1, 2]), ("26-002", &[])], &[]));
    assert_eq!(household.states("26-001")[2], JarState::Missing);
    let again = count(&household, &[("26-001", &[]), ("26-002", &[])], &[]);
    assert_eq!((codes(&again.found), settle(&household, &again)), (vec!["1.3".to_owned()], 1));
    assert_eq!(household.states("26-001")[2], JarState::Sealed);
}

#[test]
fn jars_that_cannot_be_missing_or_are_gone_by_the_ledger_are_left_alone() {
    let household = cellar();
    household.act("26-001", &[1], Act::Open).unwrap();
    household.give("26-002", 1, "the neighbors");
    let counted = count(&household, &[("26-001", &[2, 3]), ("26-002", &[])], &[]);
    // Opened, the first stands in the refrigerator, in no place of the shelf.
    assert_eq!((codes(&counted.gone), codes(&counted.missing)), (vec!["2.1".to_owned()], vec![]));
    assert_eq!(settle(&household, &counted), 0);
    assert_eq!(household.states("26-001")[0], JarState::Opened);
}

#[test]
fn jars_counted_only_on_paper_are_never_written_down_as_missing() {
    let household = cellar();
    let beans = |counted| Tally { product: "green beans".parse().unwrap(), size: JarSize::Pint, counted };
    // Nobody read a code, so nobody can say that the pears are not there.
    let paper = count(&household, &[], &[beans(2)]);
    assert_eq!((paper.to_settle(), paper.tallies[0].counted, paper.tallies[0].on_record), (0, 2, 3));
    // The pears are read by code, the beans tallied: one quart is missing and no pint.
    let mixed = count(&household, &[("26-002", &[1])], &[beans(1)]);
    assert_eq!((codes(&mixed.missing), settle(&household, &mixed)), (vec!["2.2".to_owned()], 1));
    assert_eq!(household.states("26-001"), [JarState::Sealed; 3]);
}
