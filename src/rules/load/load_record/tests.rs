//! Expectations worked by hand from USDA AIB 539, Guide 4: green beans, quarts 25 min and pints 20 min, hot and raw
//! alike; dial 11 psi to 2,000 ft and 14 psi from 6,001 to 8,000 ft; weighted 10 psi to 1,000 ft, 15 psi above; vent 10 min.

use crate::rules::load::load_record::*;

/// A full record that meets its process, to be spoilt one fact at a time.
fn beans() -> LoadRecord {
    LoadRecord {
        food: Some("green-beans".parse().unwrap()),
        acidity: None,
        pack: Some(Pack::Hot),
        sizes: vec![JarSize::Quart],
        method: Some(Method::PressureWeighted),
        altitude: Some(Altitude::from_feet(500)),
        day: "2026-08-14".parse().unwrap(),
        pressure: Some(Pressure::from_psi(10)),
        vent_min: Some(10),
        time: RunTime { minutes: Some(25), ..RunTime::default() },
        acid: None,
        trouble_noted: false,
        name_reason: None,
    }
}

fn held(psi: i64, minutes: u32) -> LoadRecord {
    let time = RunTime { minutes: Some(minutes), ..RunTime::default() };
    LoadRecord { pressure: Some(Pressure::from_psi(psi)), time, ..beans() }
}

fn judged(record: &LoadRecord) -> (Verdict, Vec<FindingCode>) {
    let judgement = record.judge(&[], &[]);
    (judgement.verdict, judgement.findings.iter().map(|finding| finding.code).collect())
}

#[test]
fn a_full_record_is_held_against_its_one_process() {
    assert_eq!(judged(&beans()), (Verdict::Meets, vec![]));
    assert_eq!(judged(&held(10, 24)), (Verdict::Deviates, vec![FindingCode::TimeShort]));
    assert_eq!(judged(&held(5, 25)), (Verdict::Deviates, vec![FindingCode::PressureLow]));
    let higher = LoadRecord { altitude: Some(Altitude::from_feet(1_001)), ..beans() };
    assert_eq!(judged(&higher), (Verdict::Deviates, vec![FindingCode::PressureLow]));
    let unvented = LoadRecord { vent_min: Some(9), trouble_noted: true, ..beans() };
    assert_eq!(
        judged(&unvented),
        (Verdict::Deviates, vec![FindingCode::VentShort, FindingCode::TroubleNoted])
    );
}

#[test]
fn a_load_of_two_sizes_is_owed_the_longer_time() {
    let both = |minutes| LoadRecord { sizes: vec![JarSize::Pint, JarSize::Quart], ..held(10, minutes) };
    assert_eq!(judged(&both(25)).0, Verdict::Meets);
    assert_eq!(judged(&both(20)), (Verdict::Deviates, vec![FindingCode::TimeShort]));
    // A half-pint takes the pint's time (National Center for Home Food Preservation, on jar sizes).
    let half_pint = LoadRecord { sizes: vec![JarSize::HalfPint], ..beans() };
    assert_eq!(judged(&half_pint).0, Verdict::Meets);
    let half_gallon = LoadRecord { sizes: vec![JarSize::HalfGallon, JarSize::Quart], ..beans() };
    assert_eq!(judged(&half_gallon), (Verdict::NoTestedProcess, vec![FindingCode::NoTestedProcess]));
}

#[test]
fn a_product_of_no_published_food_has_no_tested_process() {
    let stew = LoadRecord { food: None, ..beans() };
    assert_eq!(judged(&stew), (Verdict::NoTestedProcess, vec![FindingCode::NoTestedProcess]));
    let nowhere = LoadRecord { food: None, method: None, ..beans() };
    assert_eq!(judged(&nowhere).0, Verdict::NoTestedProcess);
}

#[test]
fn what_is_left_open_makes_a_load_not_recorded_while_it_may_have_met_something() {
    let no_pack = LoadRecord { pack: None, ..beans() };
    assert_eq!(judged(&no_pack), (Verdict::NotRecorded, vec![FindingCode::PackNotRecorded]));
    let no_altitude = LoadRecord { altitude: None, ..beans() };
    assert_eq!(judged(&no_altitude), (Verdict::NotRecorded, vec![FindingCode::AltitudeNotRecorded]));
    // 10 psi meets no dial row, but it may have been a weight.
    let no_canner = LoadRecord { method: None, ..beans() };
    assert_eq!(judged(&no_canner), (Verdict::NotRecorded, vec![FindingCode::CannerNotRecorded]));
    let nothing = LoadRecord { pack: None, altitude: None, method: None, vent_min: None, ..beans() };
    assert_eq!(
        judged(&nothing),
        (
            Verdict::NotRecorded,
            vec![
                FindingCode::CannerNotRecorded,
                FindingCode::PackNotRecorded,
                FindingCode::AltitudeNotRecorded,
                FindingCode::VentNotRecorded
            ]
        )
    );
    let message = &no_altitude.judge(&[], &[]).findings[0].message;
    assert_eq!(message, "the altitude is not on record, so its tested process is not known");
}

#[test]
fn what_could_not_have_met_anything_fails_whatever_is_left_open() {
    // 24 min is short of every quart row; 5 psi of every row.
    for short in [held(15, 24), held(5, 25)] {
        let open = LoadRecord { pack: None, altitude: None, ..short.clone() };
        let (verdict, codes) = judged(&open);
        assert_eq!(verdict, Verdict::Deviates);
        assert_eq!(codes.len(), 3, "{codes:?}");
        assert_eq!(codes[1..], [FindingCode::PackNotRecorded, FindingCode::AltitudeNotRecorded]);
        // Boiling water has no row for it either, and what was tested comes first.
        assert_eq!(judged(&LoadRecord { method: None, ..short }).0, Verdict::Deviates);
    }
    let boiled = LoadRecord { method: Some(Method::BoilingWater), pack: None, ..beans() };
    assert_eq!(judged(&boiled).0, Verdict::NoTestedProcess);
    // Held against the canner by which the fewest facts fail: as a dial only the time fails, as a weight the figure too.
    let no_canner = LoadRecord { method: None, ..held(12, 24) };
    let codes = [FindingCode::TimeShort, FindingCode::CannerNotRecorded, FindingCode::GaugeUntested];
    assert_eq!(judged(&no_canner), (Verdict::Deviates, codes.to_vec()));
    // At its least 11 psi is owed on a dial: 12 psi may have been enough, 10 psi was not.
    let dial = |psi| LoadRecord { method: Some(Method::PressureDial), altitude: None, ..held(psi, 25) };
    assert_eq!(judged(&dial(12)).0, Verdict::NotRecorded);
    let low = judged(&dial(10));
    assert_eq!(low.0, Verdict::Deviates);
    assert_eq!(low.1[0], FindingCode::PressureLow);
    assert!(dial(10).judge(&[], &[]).findings[0].message.contains("11 psi is owed"));
}

#[test]
fn the_gauge_tests_bear_on_the_load_s_own_day_and_reading() {
    let ten = |truly| vec![Pressure::from_psi(truly)];
    let test = GaugeTest::new("2026-06-01".parse().unwrap(), false, &ten(11), &ten(10)).unwrap();
    let dial = LoadRecord { method: Some(Method::PressureDial), ..held(11, 25) };
    assert_eq!(dial.judge(&[], &[]).verdict, Verdict::Meets);
    assert_eq!(judged(&dial).1, [FindingCode::GaugeUntested]);
    // 11 read on a gauge 1 psi high is a true 10: under 11.
    assert_eq!(dial.judge(std::slice::from_ref(&test), &[]).verdict, Verdict::Deviates);
    let twelve = LoadRecord { pressure: Some(Pressure::from_psi(12)), ..dial };
    assert_eq!(twelve.judge(&[test], &[]), Judgement { verdict: Verdict::Meets, findings: vec![] });
}

/// Made up for this test: okra and tomatoes in pints.
fn own(food: &str, from_ft: i64) -> HouseholdProcess {
    HouseholdProcess {
        food: food.parse().unwrap(),
        acidity: Acidity::LowAcid,
        pack: Pack::Hot,
        size: JarSize::Pint,
        method: Method::PressureWeighted,
        altitude_min_ft: from_ft,
        altitude_max_ft: None,
        minutes: 30,
        psi: Some(Pressure::from_psi(15)),
        vent_min: 10,
        headspace_hundredths_in: 100,
        publication: "County bulletin 7".to_owned(),
        page: "p. 3".to_owned(),
        published_on: "2020-01-01".parse().unwrap(),
        entered_on: "2020-06-01".parse().unwrap(),
    }
}

#[test]
fn a_process_of_the_household_s_own_is_judged_the_same_way() {
    let stew = |psi, minutes| LoadRecord {
        food: Some("nettle-stew".parse().unwrap()),
        sizes: vec![JarSize::Pint],
        ..held(psi, minutes)
    };
    let own = [own("nettle-stew", 0)];
    assert_eq!(stew(15, 30).judge(&[], &[]).verdict, Verdict::NoTestedProcess);
    let met = stew(15, 30).judge(&[], &own);
    assert_eq!(met.verdict, Verdict::MeetsOwn);
    assert!(
        met.findings[0].message.contains("County bulletin 7")
            && met.findings[0].message.contains("no table here")
    );
    // It counts for loads put up from the day it was entered.
    let entered = |day: &str| [HouseholdProcess { entered_on: day.parse().unwrap(), ..own[0].clone() }];
    let run = stew(15, 30);
    let the_day_after = run.day.succ_opt().unwrap().to_string();
    assert_eq!(run.judge(&[], &entered(&run.day.to_string())).verdict, Verdict::MeetsOwn);
    assert_eq!(run.judge(&[], &entered(&the_day_after)).verdict, Verdict::NoTestedProcess);
    assert_eq!(stew(15, 29).judge(&[], &own).verdict, Verdict::Deviates);
    assert_eq!(stew(10, 30).judge(&[], &own).verdict, Verdict::Deviates);
}

#[test]
fn bands_of_the_household_s_own_count_where_the_altitude_is_open() {
    let stew = LoadRecord {
        food: Some("nettle-stew".parse().unwrap()),
        sizes: vec![JarSize::Pint],
        altitude: None,
        ..held(15, 30)
    };
    assert_eq!(stew.judge(&[], &[own("nettle-stew", 3_001)]).verdict, Verdict::NotRecorded);
    assert_eq!(stew.judge(&[], &[own("another-stew", 3_001)]).verdict, Verdict::NoTestedProcess);
}

// A load without a tested process is withheld unless a table says that its food is acid, and it is no tomato.
#[test]
fn the_table_s_acidity_decides_what_is_withheld_before_the_household_s_word() {
    let food = |key: Option<&str>, acidity| LoadRecord {
        food: key.map(|key| key.parse().unwrap()),
        acidity,
        ..beans()
    };
    for (record, held) in [
        (food(Some("green-beans"), Some(Acidity::Acid)), true),
        (food(Some("tomatoes-crushed"), None), true),
        (food(Some("pears"), None), false),
        (food(Some("pears"), Some(Acidity::LowAcid)), false),
        (food(None, None), true),
        (food(None, Some(Acidity::LowAcid)), true),
        (food(None, Some(Acidity::Acid)), true),
        (food(Some("nettle-stew"), Some(Acidity::Acid)), true),
    ] {
        assert_eq!(record.withheld(Verdict::NoTestedProcess).is_some(), held, "{record:?}");
        assert!(record.withheld(Verdict::Deviates).is_some());
        assert_eq!(record.withheld(Verdict::Meets), None);
    }
}
