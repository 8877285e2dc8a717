//! A year's kitchen laid out by hand:
//!
//! | batch | load | canner | lid lot | put up | ingredient lots | jars |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | 26-001 beans | 1 | Big dial | L1 | 2026-06-01 | beans B7 | 1, 2 in the cellar |
//! | 26-001 beans | 2 | Small dial | L2 | 2026-06-01 | beans B7 | 3, 4 in the cellar |
//! | 26-002 soup | 1 | Big dial | L2 | 2026-07-01 | beans B7, salt S1 | 1 to 3 in the attic |
//! | 26-003 pears | 1 | Small dial | L1 | 2026-08-01 | none | 1, 2 nowhere in particular |

use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::entry::correct_field::Field;
use crate::ledger::error::LedgerError;
use crate::ledger::tests::household::{Household, refusal};
use crate::ledger::trace::query::TraceQuery;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

fn names(lots: &[(&str, &str)]) -> Vec<(Name, Name)> {
    lots.iter().map(|(what, lot)| (what.parse().unwrap(), lot.parse().unwrap())).collect()
}

fn load(household: &Household, canner: &str, lids: &str, jars: u32) -> NewLoad {
    NewLoad {
        canner: Some(canner.parse().unwrap()),
        lid_lot: Some(lids.parse().unwrap()),
        ..household.unrecorded(JarSize::Pint, jars)
    }
}

fn kitchen() -> Household {
    let mut household = Household::new();
    for (moment, product, place, lots, loads) in [
        (
            "2026-06-01",
            ("Beans", "green-beans"),
            Some("Cellar"),
            [("beans", "B7")].as_slice(),
            [("Big dial", "L1", 2), ("Small dial", "L2", 2)].as_slice(),
        ),
        (
            "2026-07-01",
            ("Soup", "soup"),
            Some("Attic"),
            &[("beans", "B7"), ("salt", "S1")],
            &[("Big dial", "L2", 3)],
        ),
        ("2026-08-01", ("Pears", "pears"), None, &[], &[("Small dial", "L1", 2)]),
    ] {
        household.on(&format!("{moment}T12:00"));
        let loads = loads.iter().map(|(canner, lids, jars)| load(&household, canner, lids, *jars)).collect();
        let batch = NewBatch {
            place: place.map(|place| place.parse().unwrap()),
            ingredient_lots: names(lots),
            ..household.batch(product, loads)
        };
        let code = household.entry(|write| write.put_up(&batch)).unwrap().batch.to_string();
        household.on(&format!("{}2T08:00", &moment[..9]));
        household.check_seals(&code, &[], true).unwrap();
    }
    household.on("2026-09-01T12:00");
    household
}

/// What is asked, as kinds and names.
fn query(asked: &[(&str, &str)]) -> TraceQuery {
    let mut query = TraceQuery::default();
    for (kind, name) in asked {
        match *kind {
            "jar" => query.jars.push(name.parse().unwrap()),
            "batch" => query.batches.push(name.parse().unwrap()),
            "load" => query.loads.push(name.parse().unwrap()),
            "lids" => query.lid_lots.push(name.parse().unwrap()),
            "canner" => query.canners.push(name.parse().unwrap()),
            "test" => query.gauge_tests.push(name.parse().unwrap()),
            "lot" => query.ingredient_lots.push(name.parse().unwrap()),
            "from" => query.from = Some(name.parse().unwrap()),
            "to" => query.to = Some(name.parse().unwrap()),
            other => panic!("{other}"),
        }
    }
    query
}

/// Batch and jar numbers found, in their order: 26-001-02-8 is 1.2 here.
fn found(household: &Household, asked: &[(&str, &str)]) -> String {
    let jars = household.trace(&query(asked)).unwrap();
    let short = jars.iter().map(|found| format!("{}.{}", found.jar.code.batch.number, found.jar.code.number));
    short.collect::<Vec<_>>().join(" ")
}

// Read off the table above; the attic comes before the cellar, and no place last.
#[test]
fn jars_are_found_by_whatever_they_share() {
    let household = kitchen();
    for (asked, jars) in [
        ([("batch", "26-001")].as_slice(), "1.1 1.2 1.3 1.4"),
        (&[("load", "26-001/2")], "1.3 1.4"),
        (&[("jar", "26-003-01-5")], "3.1 3.2"),
        (&[("load", "26-001/1"), ("batch", "26-003")], "1.1 1.2 3.1 3.2"),
        (&[("jar", "26-002-02-9")], "2.1 2.2 2.3"),
        (&[("lids", "l1")], "1.1 1.2 3.1 3.2"),
        (&[("lids", "L2")], "2.1 2.2 2.3 1.3 1.4"),
        (&[("lids", "L1"), ("lids", "L2")], "2.1 2.2 2.3 1.1 1.2 1.3 1.4 3.1 3.2"),
        (&[("canner", "big dial")], "2.1 2.2 2.3 1.1 1.2"),
        (&[("canner", "Small dial")], "1.3 1.4 3.1 3.2"),
        (&[("lot", "b7")], "2.1 2.2 2.3 1.1 1.2 1.3 1.4"),
        (&[("lot", "S1")], "2.1 2.2 2.3"),
        (&[("from", "2026-07-01")], "2.1 2.2 2.3 3.1 3.2"),
        (&[("to", "2026-07-01")], "2.1 2.2 2.3 1.1 1.2 1.3 1.4"),
        (&[("from", "2026-06-02"), ("to", "2026-07-31")], "2.1 2.2 2.3"),
        (&[("from", "2026-06-02"), ("to", "2026-06-30")], ""),
        (&[("canner", "Big dial"), ("lids", "L2")], "2.1 2.2 2.3"),
        (&[("canner", "Small dial"), ("lot", "B7")], "1.3 1.4"),
        (&[("batch", "26-001"), ("lids", "L1"), ("canner", "Small dial")], ""),
        (&[("lids", "L1"), ("to", "2026-06-30")], "1.1 1.2"),
    ] {
        assert_eq!(found(&household, asked), jars, "{asked:?}");
    }
}

#[test]
fn a_gauge_test_leads_to_the_loads_it_speaks_for() {
    let household = kitchen();
    household.test_gauge("Big dial", "2026-06-15", (10, 10));
    household.test_gauge("Big dial", "2026-08-15", (10, 10));
    household.test_gauge("Small dial", "2026-06-15", (10, 10));
    // Big dial: 1 June lies before its first test, 1 July between the two. Small dial has one test for everything.
    assert_eq!(found(&household, &[("test", "2026-08-15")]), "2.1 2.2 2.3");
    assert_eq!(found(&household, &[("test", "2026-06-15")]), "2.1 2.2 2.3 1.1 1.2 1.3 1.4 3.1 3.2");
    let of_one = [("test", "2026-06-15"), ("canner", "Big dial")];
    assert_eq!(found(&household, &of_one), "2.1 2.2 2.3 1.1 1.2");
    assert_eq!(reasons(&household, &[("test", "2026-08-15")])[0], "gauge test of 2026-08-15");
}

fn reasons(household: &Household, asked: &[(&str, &str)]) -> Vec<String> {
    household.trace(&query(asked)).unwrap().into_iter().map(|found| found.reason).collect()
}

#[test]
fn the_reason_says_what_each_jar_shares() {
    let household = kitchen();
    for (asked, reason) in [
        ([("jar", "26-003-01-5")].as_slice(), ["the jar itself", "same batch as 26-003-01-5"].as_slice()),
        (
            &[("load", "26-001/2"), ("batch", "26-003"), ("canner", "Small dial")],
            &[
                "load 26-001/2; canner Small dial",
                "load 26-001/2; canner Small dial",
                "batch 26-003; canner Small dial",
                "batch 26-003; canner Small dial",
            ],
        ),
        (
            &[("lids", "L1"), ("lot", "B7"), ("from", "2026-06-01")],
            &["lid lot L1; ingredient lot B7; put up on or after 2026-06-01"; 2],
        ),
        (&[("from", "2026-08-01"), ("to", "2026-08-01")], &["put up on 2026-08-01"; 2]),
        (&[("from", "2026-08-01"), ("to", "2026-09-01")], &["put up 2026-08-01 to 2026-09-01"; 2]),
        (&[("to", "2026-06-01")], &["put up on or before 2026-06-01"; 4]),
    ] {
        assert_eq!(reasons(&household, asked), reason, "{asked:?}");
    }
}

/// What a jar shares, and with how many.
fn links(household: &Household, batch: &str, number: u32) -> Vec<(String, u32)> {
    let links = household.ledger.links_of(&household.jars(batch, &[number])[0]).unwrap();
    links.into_iter().map(|link| (link.name, link.jars)).collect()
}

#[test]
fn one_jar_leads_on_to_everything_else_it_shares() {
    let household = kitchen();
    let shared =
        |shared: &[(&str, u32)]| shared.iter().map(|(name, jars)| ((*name).to_owned(), *jars)).collect();
    let of_beans: Vec<_> = shared(&[("L2", 5), ("Small dial", 4), ("B7", 7)]);
    assert_eq!(links(&household, "26-001", 3), of_beans);
    let of_soup: Vec<_> = shared(&[("L2", 5), ("Big dial", 5), ("B7", 7), ("S1", 3)]);
    assert_eq!(links(&household, "26-002", 1), of_soup);
}

#[test]
fn a_hold_pulls_every_jar_in_the_house_and_counts_each_reason_once() {
    let household = kitchen();
    household.act("26-002", &[1], Act::Open).unwrap();
    household.act("26-002", &[2], Act::Miss).unwrap();
    household.give("26-002", 3, "Ida next door");
    household.act("26-001", &[3], Act::Open).unwrap();
    household.act("26-001", &[3], Act::Finish).unwrap();
    let of_lids = query(&[("lids", "L2")]);
    assert_eq!(household.trace_to_hold(&of_lids, "lids of lot L2 let go"), 3);
    let traced = household.ledger.trace(&of_lids).unwrap();
    assert_eq!((traced.len(), traced.in_house(), traced.on_hold()), (5, 3, 3));
    let jars = household.trace(&of_lids).unwrap();
    assert_eq!(jars[0].holds, ["lids of lot L2 let go"]);
    // One opened in the house, one given and one eaten; whom to ask stands with its ending.
    assert_eq!(jars.iter().filter(|found| found.may_have_been_eaten()).count(), 3);
    let given = jars.iter().find(|found| found.jar.state == JarState::Given).unwrap();
    assert_eq!(given.ending.as_ref().unwrap().to.as_deref(), Some("Ida next door"));
    // Pulled once is pulled; another reason is another hold.
    assert_eq!(household.trace_to_hold(&of_lids, "lids of lot L2 let go"), 0);
    household.undo_last();
    assert_eq!(household.trace_to_hold(&of_lids, "cloudy"), 3);
    assert_eq!(household.trace(&of_lids).unwrap()[0].holds, ["lids of lot L2 let go", "cloudy"]);
    // One entry each, so one undo each.
    for on_hold in [3, 0] {
        household.undo_last();
        assert_eq!(household.ledger.trace(&of_lids).unwrap().on_hold(), on_hold);
    }
}

#[test]
fn a_batch_that_was_undone_shares_nothing() {
    let household = kitchen();
    // The seals of the pears, and the pears.
    household.undo_last();
    household.undo_last();
    assert_eq!(found(&household, &[("canner", "Small dial")]), "1.3 1.4");
    assert_eq!(found(&household, &[("lids", "L1")]), "1.1 1.2");
    assert!(matches!(household.trace(&query(&[("load", "26-003/1")])), Err(LedgerError::NotFound(_))));
    assert_eq!(found(&household, &[("from", "2026-08-01")]), "");
    assert_eq!(links(&household, "26-001", 3)[1], ("Small dial".to_owned(), 2));
    household.undo_last();
    household.undo_last();
    assert!(household.trace(&query(&[("lot", "S1")])).is_err());
    let links = links(&household, "26-001", 3);
    assert_eq!((&links[0], &links[2]), (&("L2".to_owned(), 2), &("B7".to_owned(), 4)));
}

#[test]
fn a_gift_that_was_undone_is_no_ending() {
    let household = kitchen();
    household.give("26-002", 1, "Ida");
    let of_soup = query(&[("batch", "26-002")]);
    // Gone, it comes last.
    let given = household.trace(&of_soup).unwrap()[2].ending.clone().unwrap();
    assert_eq!(given.to.as_deref(), Some("Ida"));
    household.undo_last();
    assert_eq!(household.trace(&of_soup).unwrap()[0].ending, None);
}

/// Beans 26-001 of lot B7; 3 of them failed and went, with salt S1, into 26-002; of that, 1 went into 26-003. Beans
/// 26-004 are of another lot.
///
/// USDA AIB 539, Guide 4, Beans, snap and Italian: hot pack, dial gauge, 11 psi, quarts 25 min.
fn twice_reprocessed() -> Household {
    let mut household = Household::at("2026-08-14T14:00");
    let beans = |household: &Household, jars: u32, lots: &[(&str, &str)]| {
        let load = household.load("Big dial", 25, &[(JarSize::Quart, jars)]);
        NewBatch { ingredient_lots: names(lots), ..household.batch(("Beans", "green-beans"), vec![load]) }
    };
    household.put_up(&beans(&household, 4, &[("beans", "B7")]));
    household.on("2026-08-15T08:00");
    household.check_seals("26-001", &[1, 2, 3], false).unwrap();
    let failed = household.jars("26-001", &[1, 2, 3]);
    let again = beans(&household, 3, &[("salt", "S1")]);
    household.put_up_from(&again, &failed, (Act::Reprocess, "2026-08-15T08:00")).unwrap();
    household.on("2026-08-15T22:00");
    household.check_seals("26-002", &[1], false).unwrap();
    let failed = household.jars("26-002", &[1]);
    household.put_up_from(&beans(&household, 1, &[]), &failed, (Act::Reprocess, "2026-08-15T22:00")).unwrap();
    household.put_up(&beans(&household, 1, &[("beans", "B8")]));
    household
}

#[test]
fn food_is_followed_into_the_batches_it_was_reprocessed_into() {
    let household = twice_reprocessed();
    let live = |asked: &[(&str, &str)]| -> Vec<String> {
        let jars = household.trace(&query(asked)).unwrap().into_iter();
        let live = jars.filter(|found| found.jar.state != JarState::Reprocessed);
        live.map(|found| format!("{}.{}", found.jar.code.batch.number, found.jar.code.number)).collect()
    };
    // The lot of the beans is in all three, that of the salt in the later two.
    assert_eq!(live(&[("lot", "B7")]), ["1.4", "2.2", "2.3", "3.1"]);
    assert_eq!(live(&[("lot", "S1")]), ["2.2", "2.3", "3.1"]);
    assert_eq!(live(&[("lot", "B8")]), ["4.1"]);
    // One cooked lot, from whichever end it is looked at.
    for code in ["26-001", "26-002", "26-003"] {
        assert_eq!(live(&[("batch", code)]), ["1.4", "2.2", "2.3", "3.1"], "{code}");
    }
    assert_eq!(live(&[("batch", "26-004")]), ["4.1"]);
    // The process and the lids of a load are its own.
    assert_eq!(live(&[("load", "26-001/1")]), ["1.4"]);
    let reasons = reasons(&household, &[("batch", "26-003")]);
    assert_eq!(reasons[3], "batch 26-003");
    assert_eq!(reasons[0], "same food as batch 26-003, by reprocessing or use");
    // The reprocessing taken back, the food is where it was.
    household.undo_last();
    household.undo_last();
    assert_eq!(live(&[("batch", "26-001")]), ["1.4", "2.1", "2.2", "2.3"]);
}

/// Pears of which a jar was used in a compote, of which a jar was used in a trifle; all sealed.
///
/// USDA AIB 539, Guide 2, Pears, halved: hot pack, quarts, boiling water, 25 min to 1,000 ft.
fn trifle() -> Household {
    let mut household = Household::at("2026-08-01T12:00");
    let pears = |household: &Household, product: &str, jars: u32| {
        household.batch((product, "pears"), vec![household.load("Kettle", 25, &[(JarSize::Quart, jars)])])
    };
    household.put_up(&pears(&household, "Pears", 3));
    household.on("2026-08-02T08:00");
    household.check_seals("26-001", &[], true).unwrap();
    for (product, jars, used, into, day) in
        [("Compote", 2, "26-001", "26-002", "03"), ("Trifle", 1, "26-002", "26-003", "05")]
    {
        household.on(&format!("2026-08-{day}T12:00"));
        let batch = pears(&household, product, jars);
        let jars = household.jars(used, &[1]);
        let begun = format!("2026-08-{day}T11:35");
        household.put_up_from(&batch, &jars, (Act::Use, &begun)).unwrap();
        household.on(&format!("2026-08-{day}T12:00"));
        household.clock = household.clock.after(chrono::TimeDelta::hours(20));
        household.check_seals(into, &[], true).unwrap();
    }
    household
}

#[test]
fn what_was_made_with_a_jar_shares_its_fate_through_any_number_of_batches() {
    let household = trifle();
    assert_eq!(household.states("26-001")[0], JarState::Used);
    // A jar that left the shelf so cannot be used twice.
    let twice =
        household.batch(("Twice", "pears"), vec![household.load("Kettle", 25, &[(JarSize::Quart, 1)])]);
    let used = household.jars("26-001", &[1]);
    let refused = household.put_up_from(&twice, &used, (Act::Use, "2026-08-06T08:00"));
    assert!(matches!(refused, Err(LedgerError::Illegal { .. })), "{refused:?}");
    // Onward and back.
    for asked in [("jar", "26-001-01-0"), ("batch", "26-002"), ("batch", "26-003")] {
        assert_eq!(found(&household, &[asked]).split(' ').count(), 6, "{asked:?}");
    }
    // Traced by something else than the batch, what was made with a jar comes along, and says why.
    let by_load = household.trace(&query(&[("load", "26-001/1")])).unwrap();
    let trifle = by_load.iter().find(|found| found.jar.code.batch.number == 3).unwrap();
    assert_eq!(trifle.reason, "made with 26-001-01-0");
    assert_eq!(
        household.ledger.used_in("26-003".parse().unwrap()).unwrap()[0].code.to_string(),
        "26-002-01-2"
    );
}

#[test]
fn a_load_found_short_withholds_what_was_made_with_its_jars() {
    let household = trifle();
    let on_hold = || ["26-001", "26-002", "26-003"].map(|batch| household.on_hold(batch));
    let judged = household.correct_load("26-001/1", Field::Minutes, Some("5")).unwrap();
    let mut held: Vec<String> = judged[0].held.iter().map(|jar| jar.code.to_string()).collect();
    held.sort_unstable();
    assert_eq!(held, ["26-001-02-8", "26-001-03-6", "26-002-02-9", "26-003-01-5"]);
    let reason = &household.reasons("26-003", 1)[0];
    assert!(reason.starts_with("made with 26-001-01-0: load 26-001/1: the load did not meet"), "{reason}");
    assert_eq!(household.problems(), []);
    // Each is let go by itself, and undoing lets all of them go.
    household.release("26-003", &[1], "it was another trifle").unwrap();
    assert_eq!(on_hold(), [vec![false, true, true], vec![false, true], vec![false]]);
    household.undo_last();
    household.undo_last();
    assert_eq!(on_hold(), [vec![false; 3], vec![false; 2], vec![false]]);
    // The seal of the trifle and the trifle taken back, its jar of compote stands on the shelf again.
    household.undo_last();
    household.undo_last();
    assert_eq!(household.states("26-002"), [JarState::Sealed; 2]);
    assert_eq!(household.problems(), []);
}

#[test]
fn what_is_not_on_record_is_not_found() {
    let household = kitchen();
    for (asked, message) in [
        (("lids", "L3"), "there is no lid lot \u{201c}L3\u{201d} in this ledger"),
        (("canner", "Pot"), "there is no canner \u{201c}Pot\u{201d}; there is Big dial, Small dial"),
        (("test", "2026-06-15"), "no gauge was tested on 2026-06-15; days of tests: none is on record"),
        (("lot", "B8"), "there is no ingredient lot \u{201c}B8\u{201d} in this ledger"),
        (("load", "26-001/3"), "there is no load 26-001/3 in this ledger"),
        (("batch", "26-009"), "there is no batch 26-009 in this ledger"),
    ] {
        assert_eq!(refusal(household.trace(&query(&[asked]))), message);
    }
}
