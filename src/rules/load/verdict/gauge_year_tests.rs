//! Twenty loads on three canners at two altitudes, before and after a gauge is found 2 psi high.

use chrono::NaiveDate;

use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::gauge::gauge_history::{error_in_force, is_untested, uncredited_by};
use crate::rules::load::verdict::tests::{psi, run_time};
use crate::rules::load::verdict::*;
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::values::kinds::method::Pack;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

/// One row of the fixture, which gives the arithmetic beside it.
#[derive(Debug, serde::Deserialize)]
struct Load {
    load: u32,
    canner: char,
    method: Method,
    altitude_ft: i64,
    day: String,
    food: String,
    jar: JarSize,
    owed_min: Option<u32>,
    owed_psi: Option<String>,
    reading_psi: String,
    minutes: Option<u32>,
    clock: String,
    drops: String,
    vent_min: u32,
    verdict_before: Verdict,
    verdict_after: Verdict,
}

fn loads() -> Vec<Load> {
    let text = include_str!("../../../../fixtures/gauge_year.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

/// The process in the tables, which must be the one the fixture was worked by.
fn owed(load: &Load) -> Vec<TestedProcess> {
    let question = ProcessQuestion {
        food: load.food.parse().unwrap(),
        pack: Pack::Hot,
        size: load.jar,
        method: load.method,
        altitude: Altitude::from_feet(load.altitude_ft),
    };
    let options = look_up(&question, &[]).options;
    let by_hand = load.owed_min.map(|minutes| (minutes, load.owed_psi.as_deref().map(psi)));
    let in_tables: Vec<_> = options.iter().map(|row| (row.minutes, row.psi)).collect();
    assert_eq!(in_tables, by_hand.into_iter().collect::<Vec<_>>(), "load {}", load.load);
    options
}

fn test_of(on: &str, reads: [i64; 3], truly: [i64; 3]) -> GaugeTest {
    GaugeTest::new(on.parse().unwrap(), false, &reads.map(Pressure::from_psi), &truly.map(Pressure::from_psi))
        .unwrap()
}

fn judged(load: &Load, tests: &[GaugeTest]) -> Judgement {
    let (day, reading): (NaiveDate, _) = (load.day.parse().unwrap(), load.reading_psi.parse().unwrap());
    let record = RunRecord {
        method: load.method,
        pressure: Some(reading),
        gauge_error: error_in_force(tests, day, reading),
        gauge_uncredited: uncredited_by(tests, day),
        gauge_tested_elsewhere: false,
        gauge_untested: is_untested(tests, day),
        vent_min: Some(load.vent_min),
        time: run_time(load.minutes, &load.clock, &load.drops),
        acid: None,
        trouble_noted: false,
    };
    let options = owed(load);
    judge(&record, &[Owed { size: load.jar, options: &options, absence: "nothing is tested" }])
}

#[test]
fn the_right_loads_and_only_those_change_when_a_gauge_is_found_two_psi_high() {
    let a_before = [test_of("2025-05-10", [5, 10, 15], [5, 10, 15])];
    let a_after = [a_before[0].clone(), test_of("2026-05-12", [5, 10, 15], [3, 8, 13])];
    let b = [test_of("2025-05-10", [6, 11, 16], [5, 10, 15])];
    let loads = loads();
    assert_eq!(loads.len(), 20);
    let mut changed = Vec::new();
    for load in &loads {
        let (before, after): (&[_], &[_]) = match load.canner {
            'A' => (&a_before, &a_after),
            'B' => (&b, &b),
            _ => (&[], &[]),
        };
        let (before, after) = (judged(load, before), judged(load, after));
        assert_eq!(before.verdict, load.verdict_before, "load {} before", load.load);
        assert_eq!(after.verdict, load.verdict_after, "load {} after", load.load);
        if before.verdict != after.verdict {
            changed.push(load.load);
        }
    }
    // Canner A, run below a reading of 13, between its two tests or on the day of the second or after it.
    assert_eq!(changed, [2, 3, 5, 7, 10, 11, 13]);
}
