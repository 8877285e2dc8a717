//! A thousand labels on the default sheet: processor time, memory and bytes a label.
//!
//! Beside it, `benches/labels_reportlab.py` draws the same sheet with ReportLab in the same run, by the Python that
//! `.ci/test --tools` installs, or one named:
//!
//! ```text
//! cargo bench --bench labels
//! PYTHON=venv/bin/python cargo bench --bench labels
//! ```

#![allow(clippy::unwrap_used, reason = "a measurement stops where it cannot go on")]

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use jarledger::paper::label::draw::print::print_labels;
use jarledger::paper::label::sheet::built_in::{DEFAULT_SHEET, built_in_sheet};
use jarledger::paper::label::words::run::{Label, LabelOrder, LabelRun};
use jarledger::rules::jar::keeps::Keeps;
use jarledger::values::codes::jar_code::{BatchCode, JarCode};
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::time::day_words::DayOrder;

const LABELS: u32 = 1_000;
const ROUNDS: usize = 5;
const NAMES: [&str; 5] =
    ["Green beans", "Peaches in light syrup", "Tomato sauce", "Dill pickles", "Żurawina"];

fn label(at: u32) -> Label {
    let (batch, number) = (1 + at / 7, 1 + at % 7);
    let put_up = NaiveDate::from_ymd_opt(2026, 1 + batch % 12, 1 + batch % 28).unwrap();
    Label {
        code: JarCode { batch: BatchCode { year: 26, number: batch }, number },
        contents: NAMES[batch as usize % NAMES.len()].to_owned(),
        put_up,
        keeps: Keeps::BestBy(best_by(put_up)),
        size: JarSize::Pint,
        household: Some("boil 15 min before tasting".to_owned()),
        warning: None,
        because: None,
        process: Default::default(),
        kind: Default::default(),
    }
}

fn best_by(put_up: NaiveDate) -> NaiveDate {
    put_up.checked_add_months(chrono::Months::new(12)).expect("a year after 2026 is in the calendar")
}

/// What the other program draws: the same words and places, in mm from the top left.
fn words(run: &LabelRun) -> serde_json::Value {
    let (width, height) = run.sheet.spec().page.size();
    let labels: Vec<_> = run
        .labels
        .iter()
        .enumerate()
        .map(|(at, label)| {
            let place = run.sheet.label_box(at);
            let day = |day| run.days.write(day);
            serde_json::json!({
                "left": place.left.millimetres(), "top": place.top.millimetres(),
                "code": label.code, "contents": label.contents, "put_up": day(label.put_up),
                "details": [
                    format!("best by {}", day(best_by(label.put_up))),
                    label.size.to_string(),
                    label.household.clone().unwrap_or_default(),
                ],
            })
        })
        .collect();
    serde_json::json!({
        "page": [width.millimetres(), height.millimetres()], "per_page": run.sheet.per_page(),
        "label": [run.sheet.spec().width.millimetres(), run.sheet.spec().height.millimetres()], "labels": labels,
    })
}

/// Processor time used so far, which a busy machine does not stretch as it does the clock's; the clock's where the
/// system does not tell.
fn used(begun: Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let nanoseconds = told.split(' ').next().and_then(|field| field.parse().ok());
    nanoseconds.map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

/// Most memory this process ever held, in MiB, where the system tells.
fn peak() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kib =
        status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.parse().ok());
    kib.map_or_else(|| "?".to_owned(), |kib: u32| format!("{:.1}", f64::from(kib) / 1024.0))
}

fn main() {
    let run = LabelRun {
        labels: (0..LABELS).map(label).collect(),
        sheet: built_in_sheet(DEFAULT_SHEET).unwrap(),
        start: 1,
        copies: 1,
        order: LabelOrder::Asked,
        days: DayOrder::DayMonthYear,
        outline: false,
        fonts: Default::default(),
    };
    let mut times: Vec<Duration> = Vec::new();
    let mut bytes = 0;
    let begun = Instant::now();
    for _ in 0..ROUNDS {
        let before = used(begun);
        bytes = print_labels(&run, None).unwrap().pdf.len();
        times.push(used(begun) - before);
    }
    times.sort();
    let each = |time: Duration| time.as_secs_f64() * 1e6 / f64::from(LABELS);
    println!("{LABELS} labels, {ROUNDS} rounds: microseconds a label (median), bytes a label, peak MiB");
    println!(
        "jarledger {:.1} {:.0} {}",
        each(times[ROUNDS / 2]),
        f64::from(bytes as u32) / f64::from(LABELS),
        peak()
    );
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = std::env::var_os("PYTHON")
        .map_or_else(|| here.join("target/test-tools/python/bin/python"), PathBuf::from);
    if !python.exists() {
        println!(
            "reportlab not measured: `.ci/test --tools` installs it, or name a Python that has it in PYTHON"
        );
        return;
    }
    let sheet = Path::new(env!("CARGO_TARGET_TMPDIR")).join("labels.json");
    std::fs::write(&sheet, words(&run).to_string()).unwrap();
    let script = here.join("benches/labels_reportlab.py");
    let status =
        Command::new(python).arg(script).arg(&sheet).arg(here.join("src/paper/font")).status().unwrap();
    assert!(status.success());
}
