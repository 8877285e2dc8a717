//! A made-up process from a made-up bulletin: figures serve the storing, not any jar.

use chrono::DateTime;
use tempfile::TempDir;
use uuid::Uuid;

use crate::ledger::batch::judging::Judged;
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::write::{EntryId, Written};
use crate::ledger::kitchen::canner::NewCanner;
use crate::ledger::kitchen::household_process::*;
use crate::rules::load::verdict::Verdict;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::time::clock::Clock;

fn clock() -> Clock {
    Clock { now: DateTime::parse_from_rfc3339("2026-08-14T18:00:00-05:00").unwrap() }
}

fn ledger() -> (TempDir, Ledger) {
    let folder = TempDir::new().unwrap();
    let ledger = Ledger::create(&folder.path().join("kitchen"), Uuid::nil(), clock()).unwrap();
    (folder, ledger)
}

fn own() -> HouseholdProcess {
    HouseholdProcess {
        food: "nettle-stew".parse().unwrap(),
        acidity: Acidity::LowAcid,
        pack: Pack::Hot,
        size: JarSize::Pint,
        method: Method::PressureWeighted,
        altitude_min_ft: 0,
        altitude_max_ft: Some(1_000),
        minutes: 30,
        psi: Some(Pressure::from_psi(15)),
        vent_min: 11,
        headspace_hundredths_in: 115,
        publication: "County bulletin 7".to_owned(),
        page: "p. 3".to_owned(),
        published_on: "2020-01-31".parse().unwrap(),
        entered_on: clock().today(),
    }
}

fn add(ledger: &Ledger, new: &HouseholdProcess) -> Result<Written<Rejudged>, LedgerError> {
    ledger.write("process add", clock(), |write| {
        Ok((write.add_household_process(new)?, "own process".to_owned()))
    })
}

fn rejudged(ledger: &Ledger, entry: EntryId) -> Vec<Judged> {
    let mut all = Vec::new();
    let taken = ledger.each_rejudged(entry, |judged| {
        all.push(judged);
        Ok::<(), LedgerError>(())
    });
    taken.unwrap();
    all
}

#[test]
fn a_process_reads_back_as_it_was_entered() {
    let (_folder, ledger) = ledger();
    let pickles = HouseholdProcess {
        food: "pickled-nettles".parse().unwrap(),
        acidity: Acidity::Acidified,
        pack: Pack::Raw,
        size: JarSize::HalfPint,
        method: Method::BoilingWater,
        altitude_min_ft: 1_001,
        altitude_max_ft: None,
        psi: None,
        vent_min: 0,
        headspace_hundredths_in: 57,
        ..own()
    };
    add(&ledger, &own()).unwrap();
    add(&ledger, &pickles).unwrap();
    assert_eq!(ledger.household_processes().unwrap(), [own(), pickles]);
    ledger.conn.execute("UPDATE entry SET effective = 0 WHERE id = 2", []).unwrap();
    assert_eq!(ledger.household_processes().unwrap(), [own()]);
}

#[test]
fn every_headspace_that_may_be_entered_reads_back() {
    let (_folder, ledger) = ledger();
    let all: Vec<HouseholdProcess> = (25..=300)
        .map(|headspace_hundredths_in| HouseholdProcess { headspace_hundredths_in, ..own() })
        .collect();
    ledger
        .write("process add", clock(), |write| {
            for process in &all {
                write.add_household_process(process)?;
            }
            Ok(((), "many".to_owned()))
        })
        .unwrap();
    assert_eq!(ledger.household_processes().unwrap(), all);
}

#[test]
fn what_the_rules_refuse_or_is_there_already_is_not_recorded() {
    let (_folder, ledger) = ledger();
    let nameless = HouseholdProcess { publication: " ".to_owned(), ..own() };
    let refused = add(&ledger, &nameless).unwrap_err();
    assert!(refused.to_string().contains("needs the publication"), "{refused}");
    // Entered a day before it is published.
    let early = HouseholdProcess { published_on: "2026-08-15".parse().unwrap(), ..own() };
    assert!(add(&ledger, &early).is_err());
    add(&ledger, &own()).unwrap();
    let twice = add(&ledger, &own()).unwrap_err();
    assert!(twice.to_string().contains("on record already"), "{twice}");
    assert_eq!(ledger.household_processes().unwrap().len(), 1);
}

#[test]
fn an_own_process_lifts_no_hold_that_was_there_before_it() {
    let (_folder, ledger) = ledger();
    let said = |write: &Write<'_>| Ok((write.set_altitude("500ft".parse().unwrap())?, "setup".to_owned()));
    ledger.write("setup", clock(), said).unwrap();
    let canner = NewCanner {
        name: "weights".parse().unwrap(),
        method: Method::PressureWeighted,
        holds: std::collections::BTreeMap::from([(JarSize::Pint, 9)]),
        holds_together: Vec::new(),
    };
    ledger
        .write("canner add", clock(), |write| Ok((write.add_canner(&canner)?, "canner".to_owned())))
        .unwrap();
    assert_eq!(put_up_in(&ledger, "nettle-stew", Some("weights")), Verdict::NoTestedProcess);
    let held =
        |number| ledger.jar(JarCode { batch: BatchCode { year: 26, number }, number: 1 }).unwrap().on_hold;
    assert!(held(1));
    let added = add(&ledger, &own()).unwrap();
    assert_eq!(rejudged(&ledger, added.entry)[0].verdict, Verdict::MeetsOwn);
    assert_eq!(added.outcome.released, []);
    assert!(held(1));
    // Put up after it was entered, the load is held against it, and nothing withholds its jar.
    assert_eq!(put_up_in(&ledger, "nettle-stew", Some("weights")), Verdict::MeetsOwn);
    assert!(!held(2));
    assert!(ledger.check().unwrap().problems.is_empty());
}

/// One pint of a food, 30 min at 15 psi on a weighted gauge nobody named, so the canner is open.
fn put_up(ledger: &Ledger, food: &str) -> Verdict {
    put_up_in(ledger, food, None)
}

fn put_up_in(ledger: &Ledger, food: &str, canner: Option<&str>) -> Verdict {
    let load = NewLoad {
        run: None,
        canner: canner.map(|canner| canner.parse().unwrap()),
        facts: LoadFacts {
            altitude: Some("500ft".parse().unwrap()),
            pressure: Some(Pressure::from_psi(15)),
            pressure_entered: Some("15".to_owned()),
            minutes: Some(30),
            vent_min: Some(11),
            ..LoadFacts::out(clock().now)
        },
        lid_lot: None,
        jars: vec![(JarSize::Pint, 1)],
    };
    let batch = NewBatch {
        product: food.parse().unwrap(),
        food: Some(food.parse().unwrap()),
        acidity: Some(Acidity::LowAcid),
        pack: Some(Pack::Hot),
        put_up: clock().today(),
        quality_months: None,
        place: None,
        ingredient_lots: Vec::new(),
        note: None,
        name_reason: None,
        recipe: None,
        loads: vec![load],
    };
    let written = ledger.write("putup", clock(), |write| {
        let logged = write.put_up(&batch)?;
        Ok((write.judge_load(logged.loads[0])?.judged.verdict, "put up".to_owned()))
    });
    written.unwrap().outcome
}

#[test]
fn loads_of_its_food_are_judged_anew_and_no_others() {
    let (_folder, ledger) = ledger();
    assert_eq!(put_up(&ledger, "nettle-stew"), Verdict::NoTestedProcess);
    assert_eq!(put_up(&ledger, "another-stew"), Verdict::NoTestedProcess);
    let added = add(&ledger, &own()).unwrap();
    assert_eq!((added.outcome.loads, added.outcome.verdicts_changed), (1, 1));
    let changed = rejudged(&ledger, added.entry);
    assert_eq!(changed.len(), 1);
    // The canner was left open: the process might have been met, so the verdict stays open.
    assert_eq!((changed[0].was, changed[0].verdict), (Some(Verdict::NoTestedProcess), Verdict::NotRecorded));
    assert_eq!(ledger.verdicts_that_differ(&Scope::ALL.loads(&ledger.conn).unwrap()).unwrap(), []);
    // A second process that changes no verdict names no load: longer at a lower pressure, it stands beside the first.
    let gentler = HouseholdProcess { minutes: 40, psi: Some(Pressure::from_psi(10)), ..own() };
    let added = add(&ledger, &gentler).unwrap();
    assert_eq!((added.outcome.loads, added.outcome.verdicts_changed), (1, 0));
    assert_eq!(rejudged(&ledger, added.entry), []);
}
