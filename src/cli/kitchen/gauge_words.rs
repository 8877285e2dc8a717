//! What a gauge test found, in words and in JSON.

use chrono::NaiveDate;

use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::gauge::RecordedTest;
use crate::paper::text::table::Table;
use crate::rules::gauge::dial_gauge::{GaugeAdvice, GaugeTest};
use crate::tables::processes;
use crate::values::kinds::method::Method;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

/// A test in JSON.
#[derive(serde::Serialize)]
pub(in crate::cli) struct TestShown {
    on: NaiveDate,
    new_gauge: bool,
    points: Vec<Point>,
    worst: String,
    advice: GaugeAdvice,
    advice_detail: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    stricter: Option<&'static str>,
    targets: Vec<Target>,
    note: Option<String>,
}

#[derive(serde::Serialize)]
struct Point {
    reads: Pressure,
    #[serde(rename = "true")]
    truly: Pressure,
    error_psi: f64,
}

/// What to read on the dial for a process's pressure.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(in crate::cli) struct Target {
    required: Pressure,
    read: Option<Pressure>,
}

impl TestShown {
    pub(in crate::cli) fn new(recorded: &RecordedTest, targets: Vec<Target>) -> Self {
        let test = &recorded.test;
        let points = test.points().iter().map(|point| Point {
            reads: point.reads,
            truly: point.truly,
            error_psi: point.error().centi_psi() as f64 / 100.0,
        });
        Self {
            on: test.date(),
            new_gauge: test.is_of_new_gauge(),
            points: points.collect(),
            worst: test.worst().to_string(),
            advice: test.advice(),
            advice_detail: advice_in_words(test),
            stricter: test.stricter_advice(),
            targets,
            note: recorded.note.clone(),
        }
    }
}

/// What the dial must read for each pressure the tables ask of a dial gauge at an altitude.
pub(in crate::cli) fn targets(test: &GaugeTest, altitude: Altitude) -> Vec<Target> {
    let mut asked: Vec<Pressure> = processes::all()
        .iter()
        .filter(|row| row.method == Method::PressureDial && row.covers(altitude))
        .filter_map(|row| row.psi.map(Pressure::from_psi))
        .collect();
    asked.sort_unstable();
    asked.dedup();
    asked.into_iter().map(|required| Target { required, read: test.target(required) }).collect()
}

/// What to do with the gauge.
pub(in crate::cli) fn advice_in_words(test: &GaugeTest) -> String {
    match test.advice() {
        GaugeAdvice::Keep => {
            "It reads true wherever it was tested: nothing to correct. Test it again in a year."
        }
        GaugeAdvice::Correct => {
            "It is off by no more than 2 psi: correct for it as below, and test it again in a year."
        }
        GaugeAdvice::Replace => {
            "It is off by more than 2 psi: fit a new gauge before the next load, and test the new one before \
             its first use (`--new-gauge`)."
        }
    }
    .to_owned()
}

pub(in crate::cli) fn show_points(test: &GaugeTest, screen: &mut Screen) {
    let mut table = Table::new(["Dial reads", "True pressure", "Error"]).number(0).number(1);
    for point in test.points() {
        table.row([point.reads.to_string(), point.truly.to_string(), point.error().to_string()]);
    }
    screen.table(&table);
}

pub(in crate::cli) fn show_targets(targets: &[Target], altitude: Altitude, screen: &mut Screen) {
    let readings: Vec<String> = targets
        .iter()
        .filter_map(|target| Some(format!("{} for a true {}", target.read?, target.required)))
        .collect();
    if !readings.is_empty() {
        screen.say(format!(
            "At {altitude}, read on this dial: {} (the error is added to what the table requires: common practice, no \
             source).",
            readings.join(", ")
        ));
    }
}
