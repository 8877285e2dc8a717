//! Green beans in quarts on a weighted gauge at 500 ft: 25 min at 10 psi, vent 10 min (USDA AIB 539, Guide 4).

use rusqlite::params;
use tempfile::TempDir;
use uuid::Uuid;

use chrono::DateTime;

use crate::ledger::batch::judging::*;
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::batch::put_up::{NewBatch, NewLoad};
use crate::ledger::check::scope::Scope;
use crate::ledger::jar::event::Particulars;
use crate::ledger::kitchen::canner::NewCanner;
use crate::rules::jar::jar_state::Act;
use crate::rules::load::finding::FindingCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::pressure::Pressure;
use crate::values::time::clock::Clock;

fn clock() -> Clock {
    Clock { now: DateTime::parse_from_rfc3339("2026-08-14T18:00:00-05:00").unwrap() }
}

fn kitchen() -> (TempDir, Ledger) {
    let folder = TempDir::new().unwrap();
    let ledger = Ledger::create(&folder.path().join("kitchen"), Uuid::nil(), clock()).unwrap();
    let canner = NewCanner {
        name: "weights".parse().unwrap(),
        method: Method::PressureWeighted,
        holds: BTreeMap::from([(JarSize::Quart, 7)]),
        holds_together: Vec::new(),
    };
    ledger
        .write("canner add", clock(), |write| Ok((write.add_canner(&canner)?, "canner".to_owned())))
        .unwrap();
    (folder, ledger)
}

fn load(minutes: u32) -> NewLoad {
    NewLoad {
        run: None,
        canner: Some("weights".parse().unwrap()),
        facts: LoadFacts {
            altitude: Some("500ft".parse().unwrap()),
            pressure: Some(Pressure::from_psi(10)),
            pressure_entered: Some("10".to_owned()),
            minutes: Some(minutes),
            vent_min: Some(10),
            ..LoadFacts::out(clock().now)
        },
        lid_lot: None,
        jars: vec![(JarSize::Quart, 2)],
    }
}

fn beans(loads: Vec<NewLoad>) -> NewBatch {
    NewBatch {
        product: "beans".parse().unwrap(),
        food: Some("green-beans".parse().unwrap()),
        acidity: Some(Acidity::LowAcid),
        pack: Some(Pack::Hot),
        put_up: clock().today(),
        quality_months: None,
        place: None,
        ingredient_lots: Vec::new(),
        note: None,
        name_reason: None,
        recipe: None,
        loads,
    }
}

fn put_up(ledger: &Ledger, loads: Vec<NewLoad>) -> (Vec<LoadCode>, Vec<Judging>) {
    let batch = beans(loads);
    let written = ledger.write("putup", clock(), |write| {
        let logged = write.put_up(&batch)?;
        let judged = logged.loads.iter().map(|&load| write.judge_load(load)).collect::<Result<_, _>>()?;
        Ok(((logged.loads, judged), "beans".to_owned()))
    });
    written.unwrap().outcome
}

#[test]
fn a_load_is_judged_before_saving_as_it_is_after() {
    let (_folder, ledger) = kitchen();
    let with = |load: NewLoad, change: fn(&mut LoadFacts)| {
        let mut facts = load.facts.clone();
        change(&mut facts);
        NewLoad { facts, ..load }
    };
    let in_kpa = |entered: &str| {
        let pressure = entered.parse().ok();
        let facts = LoadFacts { pressure, pressure_entered: Some(entered.to_owned()), ..load(25).facts };
        NewLoad { facts, ..load(25) }
    };
    // 69 kPa is the 10 psi weight, 55 kPa is none; a drop at minute 20 leaves 20 of the 40 minutes.
    let loads = vec![
        load(25),
        load(24),
        in_kpa("69kPa"),
        in_kpa("55kPa"),
        with(load(25), |facts| (facts.pressure, facts.vent_min) = (None, None)),
        with(load(40), |facts| facts.drops = vec!["20m-21m".parse().unwrap()]),
        NewLoad { jars: vec![(JarSize::HalfGallon, 1), (JarSize::Pint, 1)], ..load(25) },
        NewLoad {
            canner: None,
            ..with(load(25), |facts| {
                facts.altitude = None;
                facts.went_wrong = Some("a lid buckled".to_owned());
            })
        },
    ];
    let before = ledger.judge_before_saving(&beans(loads.clone())).unwrap();
    assert_eq!(before[0].verdict, Verdict::Meets);
    assert_eq!(before[1].verdict, Verdict::Deviates);
    let (_, after) = put_up(&ledger, loads);
    for (before, after) in before.iter().zip(&after) {
        assert_eq!((before.verdict, &before.findings), (after.judged.verdict, &after.judged.findings));
    }
}

/// Judges a load after its minutes were amended.
fn amend(ledger: &Ledger, load: LoadCode, minutes: Option<u32>) -> Judging {
    let written = ledger.write("correct", clock(), |write| {
        let id = write.load_id(load)?;
        write.conn.execute("UPDATE load SET minutes = ?2 WHERE id = ?1", params![id, minutes])?;
        Ok((write.judge_load(load)?, "amended".to_owned()))
    });
    written.unwrap().outcome
}

fn count(ledger: &Ledger, sql: &str) -> i64 {
    ledger.conn.query_row(sql, [], |row| row.get(0)).unwrap()
}

fn held(ledger: &Ledger, load: LoadCode) -> Vec<bool> {
    let id = ledger.load_id(load).unwrap();
    ledger.jars_of_load(id).unwrap().iter().map(|jar| jar.on_hold).collect()
}

#[test]
fn a_short_load_holds_its_own_jars_and_no_other_s() {
    let (_folder, ledger) = kitchen();
    let (codes, judged) = put_up(&ledger, vec![load(25), load(24)]);
    assert_eq!((judged[0].judged.verdict, judged[0].judged.was), (Verdict::Meets, None));
    assert_eq!(judged[1].judged.verdict, Verdict::Deviates);
    assert_eq!(judged[1].withheld, Some(LoadHold::ProcessNotMet));
    assert_eq!(judged[1].judged.findings[0].code, FindingCode::TimeShort);
    let numbers: Vec<u32> = judged[1].held.iter().map(|jar| jar.code.number).collect();
    assert_eq!(numbers, [3, 4]);
    assert_eq!((held(&ledger, codes[0]), held(&ledger, codes[1])), (vec![false; 2], vec![true; 2]));
}

#[test]
fn judging_again_writes_nothing_new() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(24)]);
    let again = amend(&ledger, codes[0], Some(24));
    assert_eq!((again.judged.was, again.judged.verdict), (Some(Verdict::Deviates), Verdict::Deviates));
    assert!(again.held.is_empty());
    assert_eq!(count(&ledger, "SELECT count(*) FROM judgement"), 1);
    assert_eq!(count(&ledger, "SELECT count(*) FROM hold"), 2);
    // Other findings under the same verdict are written down.
    amend(&ledger, codes[0], Some(23));
    assert_eq!(count(&ledger, "SELECT count(*) FROM judgement"), 2);
    assert_eq!(count(&ledger, "SELECT count(*) FROM hold"), 2);
}

#[test]
fn a_load_that_now_meets_lets_its_jars_go_but_not_from_other_holds() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(24)]);
    ledger
        .write("hold", clock(), |write| {
            let jars = write.jars_of_load(write.load_id(codes[0])?)?;
            Ok((write.hold(&jars[0], HoldCause::ByHand, "smelt odd")?, "held".to_owned()))
        })
        .unwrap();
    let amended = amend(&ledger, codes[0], Some(25));
    assert_eq!((amended.judged.was, amended.judged.verdict), (Some(Verdict::Deviates), Verdict::Meets));
    let freed: Vec<u32> = amended.released.iter().map(|jar| jar.code.number).collect();
    assert_eq!(freed, [2]);
    assert_eq!(held(&ledger, codes[0]), [true, false]);
}

#[test]
fn a_record_that_lacks_a_fact_keeps_its_holds() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(24)]);
    let amended = amend(&ledger, codes[0], None);
    assert_eq!(amended.judged.verdict, Verdict::NotRecorded);
    assert!(amended.released.is_empty());
    assert_eq!(held(&ledger, codes[0]), [true, true]);
}

#[test]
fn only_jars_still_in_the_household_are_held() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(25)]);
    ledger
        .write("discard", clock(), |write| {
            let jars = write.jars_of_load(write.load_id(codes[0])?)?;
            Ok((write.act(&jars[0], Act::Discard, &Particulars::default())?, "gone".to_owned()))
        })
        .unwrap();
    let short = amend(&ledger, codes[0], Some(20));
    let numbers: Vec<u32> = short.held.iter().map(|jar| jar.code.number).collect();
    assert_eq!(numbers, [2]);
}

#[test]
fn drops_acid_and_clock_times_come_back_as_they_were_put_down() {
    let (_folder, ledger) = kitchen();
    let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap();
    let facts = LoadFacts {
        minutes: None,
        reached_at: Some(at("2026-08-14T13:30:00-05:00")),
        ended_at: Some(at("2026-08-14T14:05:00-05:00")),
        drops: vec!["13:40-13:41".parse().unwrap(), "20m-21m".parse().unwrap()],
        acid: Some("vinegar:short".parse().unwrap()),
        went_wrong: Some("  ".to_owned()),
        ..load(0).facts
    };
    let run = NewLoad { facts, ..load(0) };
    let (codes, judged) = put_up(&ledger, vec![run]);
    let record = ledger.gather_load(ledger.load_id(codes[0]).unwrap()).unwrap().record;
    assert_eq!(record.time.reached_at, "13:30".parse().ok());
    assert_eq!(record.time.ended_at, "14:05".parse().ok());
    assert_eq!(record.time.drops, ["13:40-13:41".parse().unwrap(), "20m-21m".parse().unwrap()]);
    assert_eq!(record.acid, "vinegar:short".parse().ok());
    assert!(!record.trouble_noted);
    // By hand: 10, then 9, then 14 min unbroken of the 25 owed.
    assert_eq!(judged[0].judged.verdict, Verdict::Deviates);
    assert!(
        judged[0].judged.findings[0].message.starts_with("14 min unbroken"),
        "{:?}",
        judged[0].judged.findings
    );
}

#[test]
fn the_rules_run_again_agree_with_what_is_written_until_the_record_is_touched() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(25), load(24)]);
    assert_eq!(ledger.verdicts_that_differ(&Scope::ALL.loads(&ledger.conn).unwrap()).unwrap(), []);
    ledger.conn.execute("UPDATE load SET minutes = 1 WHERE number = 1", []).unwrap();
    let differ = ledger.verdicts_that_differ(&Scope::ALL.loads(&ledger.conn).unwrap()).unwrap();
    assert_eq!(differ.len(), 1);
    assert_eq!(
        (differ[0].load, differ[0].stored, differ[0].anew.verdict),
        (codes[0], Some(Verdict::Meets), Verdict::Deviates)
    );
    assert!(!ledger.judge_anew(codes[0]).unwrap().same);
    assert!(ledger.judge_anew(codes[1]).unwrap().same);
    let nowhere = ledger.judge_anew(LoadCode { number: 3, ..codes[0] }).unwrap_err();
    assert!(nowhere.to_string().contains("there is no load 26-001/3"), "{nowhere}");
}

#[test]
fn an_undone_entry_takes_its_verdicts_and_holds_with_it() {
    let (_folder, ledger) = kitchen();
    let (codes, _) = put_up(&ledger, vec![load(25)]);
    amend(&ledger, codes[0], Some(20));
    assert_eq!(held(&ledger, codes[0]), [true, true]);
    // The amendment was entry 3; its figure is put back as an undo would.
    ledger.conn.execute("UPDATE load SET minutes = 25", []).unwrap();
    ledger.conn.execute("UPDATE entry SET effective = 0 WHERE id = 3", []).unwrap();
    assert_eq!(held(&ledger, codes[0]), [false, false]);
    assert!(ledger.judge_anew(codes[0]).unwrap().same);
    // Short once more: the holds undone do not count as standing.
    assert_eq!(amend(&ledger, codes[0], Some(20)).held.len(), 2);
    // A batch that was undone is judged by nobody.
    ledger.conn.execute("UPDATE entry SET effective = 0 WHERE id = 2", []).unwrap();
    assert!(ledger.judge_anew(codes[0]).is_err());
    assert_eq!(ledger.verdicts_that_differ(&Scope::ALL.loads(&ledger.conn).unwrap()).unwrap(), []);
}
