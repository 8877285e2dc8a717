//! Verdicts worked by hand from the rules at the head of `verdict/mod.rs`.

use crate::rules::gauge::dial_gauge::GaugeError;
use crate::rules::load::finding::Bearing;
use crate::rules::load::finding::FindingCode as Code;
use crate::rules::load::run_time::RunTime;
use crate::rules::load::verdict::*;
use crate::rules::process::tested::TestedProcess;
use crate::values::kinds::acid::{Acid, AcidRecord};
use crate::values::kinds::basis::Basis;
use crate::values::measures::pressure::Pressure;
use proptest::prelude::*;

const NOTHING: &str = "nothing is tested for this";

pub(super) fn psi(text: &str) -> Pressure {
    text.parse().unwrap()
}

/// A low-acid process of a pressure canner.
pub(super) fn process(minutes: u32, psi: &str) -> TestedProcess {
    TestedProcess {
        minutes,
        psi: Some(psi.parse().unwrap()),
        vent_min: 10,
        headspace_in: 1.0,
        as_jar: None,
        needs_acid: false,
        acid_kinds: Vec::new(),
        source: "an invented row".to_owned(),
        basis: Basis::Reprint,
        acid: Vec::new(),
        notes: Vec::new(),
        conditions: Vec::new(),
        not_held: Vec::new(),
    }
}

pub(super) fn run_time(minutes: Option<u32>, clock: &str, drops: &str) -> RunTime {
    let (reached, ended) = clock.split_once('-').unwrap_or(("", ""));
    RunTime {
        minutes,
        reached_at: reached.parse().ok(),
        ended_at: ended.parse().ok(),
        drops: drops.split_whitespace().map(|drop| drop.parse().unwrap()).collect(),
    }
}

/// A run that meets 75 min at 11 psi with nothing to spare.
fn dial_run() -> RunRecord {
    RunRecord {
        method: Method::PressureDial,
        pressure: Some(psi("11")),
        gauge_error: Some(GaugeError::NONE),
        gauge_uncredited: None,
        gauge_tested_elsewhere: false,
        gauge_untested: false,
        vent_min: Some(10),
        time: run_time(Some(75), "", ""),
        acid: None,
        trouble_noted: false,
    }
}

fn of_pints(record: &RunRecord, options: &[TestedProcess]) -> Judgement {
    judge(record, &[Owed { size: JarSize::Pint, options, absence: NOTHING }])
}

/// The verdict and the codes found, against 75 min at 11 psi.
fn judged(record: &RunRecord) -> (Verdict, Vec<Code>) {
    let judged = of_pints(record, &[process(75, "11")]);
    (judged.verdict, judged.findings.iter().map(|finding| finding.code).collect())
}

fn message(record: &RunRecord, options: &[TestedProcess]) -> String {
    let judged = of_pints(record, options);
    let messages: Vec<_> = judged.findings.into_iter().map(|finding| finding.message).collect();
    messages.join("\n")
}

#[test]
fn a_run_with_nothing_to_spare_meets_its_process() {
    assert_eq!(judged(&dial_run()), (Verdict::Meets, vec![]));
}

#[test]
fn one_unit_less_of_anything_deviates_and_says_both_numbers() {
    let rows = [process(75, "11")];
    let run = RunRecord { vent_min: Some(9), ..dial_run() };
    assert_eq!(judged(&run), (Verdict::Deviates, vec![Code::VentShort]));
    assert_eq!(message(&run, &rows), "vented for 9 min; 10 min is owed");

    let run = RunRecord { pressure: Some(psi("10.99")), ..dial_run() };
    assert_eq!(judged(&run), (Verdict::Deviates, vec![Code::PressureLow]));
    assert_eq!(message(&run, &rows), "held 10.99 psi; 11 psi is owed");

    let run = RunRecord { time: run_time(Some(74), "", ""), ..dial_run() };
    assert_eq!(judged(&run), (Verdict::Deviates, vec![Code::TimeShort]));
    assert_eq!(message(&run, &rows), "74 min unbroken at pressure; 75 min is owed");
}

// USDA AIB 539, Guide 1, Using pressure canners: vent for 10 min, whatever a row of one's own may say.
#[test]
fn a_pressure_canner_owes_at_least_ten_minutes_of_venting() {
    for (row, vented, verdict) in [
        (0, 9, Verdict::Deviates),
        (0, 10, Verdict::Meets),
        (12, 11, Verdict::Deviates),
        (12, 12, Verdict::Meets),
    ] {
        let row = TestedProcess { vent_min: row, ..process(75, "11") };
        let run = RunRecord { vent_min: Some(vented), ..dial_run() };
        assert_eq!(of_pints(&run, &[row]).verdict, verdict, "{vented}");
    }
}

#[test]
fn a_gauge_that_reads_high_hides_a_pressure_too_low() {
    let high = Some(GaugeError::from_centi_psi(100));
    let run = RunRecord { gauge_error: high, ..dial_run() };
    assert_eq!(judged(&run), (Verdict::Deviates, vec![Code::PressureLow]));
    assert_eq!(
        message(&run, &[process(75, "11")]),
        "held a true 10 psi (read 11 psi on a gauge that reads 1 psi high); 11 psi is owed"
    );
    assert_eq!(judged(&RunRecord { pressure: Some(psi("12")), ..run }), (Verdict::Meets, vec![]));
    let low = Some(GaugeError::from_centi_psi(-100));
    let run = RunRecord { pressure: Some(psi("10")), gauge_error: low, ..dial_run() };
    assert_eq!(judged(&run), (Verdict::Meets, vec![]));
    // Never tested: taken at its word.
    assert_eq!(judged(&RunRecord { gauge_error: None, ..dial_run() }), (Verdict::Meets, vec![]));
}

#[test]
fn what_is_not_on_record_is_named_and_not_assumed() {
    let run = RunRecord { vent_min: None, pressure: None, time: RunTime::default(), ..dial_run() };
    let missing = vec![Code::VentNotRecorded, Code::PressureNotRecorded, Code::TimeNotRecorded];
    assert_eq!(judged(&run), (Verdict::NotRecorded, missing));
    assert_eq!(
        message(&run, &[process(75, "11")]),
        "no venting time is on record; 10 min is owed\nno pressure is on record; 11 psi is owed\n\
         no time at pressure is on record; 75 min is owed"
    );
    // A known failing fact wins, and stands first.
    let run = RunRecord { pressure: Some(psi("10")), ..run };
    let found = vec![Code::PressureLow, Code::VentNotRecorded, Code::TimeNotRecorded];
    assert_eq!(judged(&run), (Verdict::Deviates, found));
    let run = RunRecord { vent_min: None, ..dial_run() };
    assert_eq!(judged(&run), (Verdict::NotRecorded, vec![Code::VentNotRecorded]));
}

// From memory, USDA AIB 539, Guide 1: any drop below the target starts the full time again.
#[test]
fn a_drop_starts_the_clock_again() {
    let run = |clock, drops| RunRecord { time: run_time(None, clock, drops), ..dial_run() };
    // 13:00 to 14:30 with a drop from 13:10 to 13:15: 10 | 75.
    assert_eq!(judged(&run("13:00-14:30", "13:10-13:15")), (Verdict::Meets, vec![Code::ClockRestarted]));
    assert_eq!(
        message(&run("13:00-14:30", "13:10-13:15"), &[process(75, "11")]),
        "a drop is on record; the longest unbroken time at pressure was 75 min and 75 min is owed"
    );
    // One minute later: 11 | 74.
    let late = run("13:00-14:30", "13:11-13:16");
    assert_eq!(judged(&late), (Verdict::Deviates, vec![Code::TimeShort]));
    assert_eq!(
        message(&late, &[process(75, "11")]),
        "74 min unbroken at pressure, as a drop starts the full time again; 75 min is owed"
    );
    // 90 min in all and 7 of them lost: 83 at most, wherever the drop fell.
    let unplaced = RunRecord { time: run_time(Some(90), "", "13:10-13:17"), ..dial_run() };
    assert_eq!(judged(&unplaced), (Verdict::NotRecorded, vec![Code::DropNotPlaced]));
    assert_eq!(
        message(&unplaced, &[process(75, "11")]),
        "at most 83 min unbroken at pressure, but when a drop fell within the run is not on record; 75 min is owed"
    );
    // 80 min in all: 73 at most, so it cannot have been enough.
    let unplaced = RunRecord { time: run_time(Some(80), "", "13:10-13:17"), ..dial_run() };
    assert_eq!(judged(&unplaced), (Verdict::Deviates, vec![Code::TimeShort]));
}

// From memory, USDA AIB 539, Guide 1: weighted gauges regulate at 5, 10 and 15 psi.
#[test]
fn a_weighted_gauge_regulates_at_three_pressures_only() {
    let judged = |reading: &str, owed: &str| {
        let run = RunRecord {
            method: Method::PressureWeighted,
            pressure: Some(psi(reading)),
            // Neither belongs to a weighted gauge, and neither may count.
            gauge_error: Some(GaugeError::from_centi_psi(500)),
            gauge_untested: true,
            ..dial_run()
        };
        let judged = of_pints(&run, &[process(75, owed)]);
        (judged.verdict, judged.findings.iter().map(|finding| finding.code).collect::<Vec<_>>())
    };
    for fits in [("5", "5"), ("10", "10"), ("15", "15"), ("15", "10"), ("10", "5")] {
        assert_eq!(judged(fits.0, fits.1), (Verdict::Meets, vec![]), "{fits:?}");
    }
    for low in [("10", "15"), ("5", "10")] {
        assert_eq!(judged(low.0, low.1), (Verdict::Deviates, vec![Code::PressureLow]), "{low:?}");
    }
    for odd in
        [("11", "10"), ("12", "15"), ("4", "5"), ("0", "5"), ("16", "15"), ("20", "15"), ("10.01", "10")]
    {
        assert_eq!(judged(odd.0, odd.1), (Verdict::Deviates, vec![Code::WeightFigure]), "{odd:?}");
    }
    let run = RunRecord { method: Method::PressureWeighted, pressure: Some(psi("12")), ..dial_run() };
    assert_eq!(
        message(&run, &[process(75, "10")]),
        "12 psi is on record, but a weighted gauge regulates at 5, 10 or 15 psi only; 10 psi is owed"
    );
}

#[test]
fn boiling_water_owes_neither_vent_nor_pressure() {
    let boil = TestedProcess { psi: None, vent_min: 0, ..process(20, "5") };
    let run = RunRecord {
        method: Method::BoilingWater,
        pressure: None,
        vent_min: None,
        gauge_untested: true,
        gauge_error: Some(GaugeError::from_centi_psi(500)),
        time: run_time(Some(20), "", ""),
        ..dial_run()
    };
    let met = Judgement { verdict: Verdict::Meets, findings: vec![] };
    assert_eq!(of_pints(&run, std::slice::from_ref(&boil)), met);
    let short = RunRecord { time: run_time(Some(19), "", ""), ..run.clone() };
    assert_eq!(
        message(&short, std::slice::from_ref(&boil)),
        "19 min unbroken at a full boil; 20 min is owed"
    );
    let unknown = RunRecord { time: RunTime::default(), ..run };
    assert_eq!(message(&unknown, &[boil]), "no time at a full boil is on record; 20 min is owed");
}

#[test]
fn an_acidified_process_counts_only_with_its_acid() {
    let row = TestedProcess { needs_acid: true, ..process(75, "11") };
    let with_acid = |acid| {
        let judged = of_pints(&RunRecord { acid, ..dial_run() }, std::slice::from_ref(&row));
        (judged.verdict, judged.findings.first().map(|finding| finding.code))
    };
    let some = |acid, full_measure| Some(AcidRecord { acid, full_measure });
    assert_eq!(with_acid(None), (Verdict::NotRecorded, Some(Code::AcidNotRecorded)));
    for full in [true, false] {
        assert_eq!(with_acid(some(Acid::Nothing, full)), (Verdict::Deviates, Some(Code::AcidNotAdded)));
    }
    for acid in [Acid::LemonJuice, Acid::CitricAcid, Acid::Vinegar] {
        assert_eq!(with_acid(some(acid, true)), (Verdict::Meets, None));
        assert_eq!(with_acid(some(acid, false)), (Verdict::Deviates, Some(Code::AcidShort)));
    }
    let run = RunRecord { acid: some(Acid::LemonJuice, false), ..dial_run() };
    assert!(message(&run, &[row]).starts_with("less bottled lemon juice than the full measure"));
    // Low-acid and acid rows ask for none.
    assert_eq!(
        judged(&RunRecord { acid: some(Acid::Nothing, false), ..dial_run() }),
        (Verdict::Meets, vec![])
    );
}

// Crushed tomatoes in quarts, dial gauge to 2,000 ft: 20 min at 6 psi or 15 min at 11 psi
// (USDA AIB 539, Guide 3, from memory).
#[test]
fn a_pair_is_met_whole_or_not_at_all() {
    let rows = [process(20, "6"), process(15, "11")];
    let run = |reading: &str, minutes| RunRecord {
        pressure: Some(psi(reading)),
        time: run_time(Some(minutes), "", ""),
        ..dial_run()
    };
    for met in [("6", 20), ("11", 15), ("8", 20), ("12", 16)] {
        assert_eq!(of_pints(&run(met.0, met.1), &rows).verdict, Verdict::Meets, "{met:?}");
    }
    // 15 min of one pair with 6 psi of the other. Against 20 min at 6 psi: 5/20 = 0.25 short;
    // against 15 min at 11 psi: 5/11 = 0.45 short. The first is nearer.
    let judged = of_pints(&run("6", 15), &rows);
    assert_eq!(judged.verdict, Verdict::Deviates);
    assert_eq!(
        message(&run("6", 15), &rows),
        "15 min unbroken at pressure; 20 min is owed (against 20 min at 6 psi, the nearest of 2 tested pairs)"
    );
    // 10 psi for 15 min: 5/20 = 0.25 short of the first, 1/11 = 0.09 of the second.
    assert_eq!(
        message(&run("10", 15), &rows),
        "held 10 psi; 11 psi is owed (against 15 min at 11 psi, the nearest of 2 tested pairs)"
    );
    // 5 psi for 19 min fails both facts of the first (1/6 + 1/20), one of the second (6/11): fewer facts win.
    assert_eq!(
        message(&run("5", 19), &rows),
        "held 5 psi; 11 psi is owed (against 15 min at 11 psi, the nearest of 2 tested pairs)"
    );
}

#[test]
fn a_pair_that_may_still_be_met_outweighs_one_that_cannot() {
    let rows = [process(15, "11"), process(20, "6")];
    let run = RunRecord { pressure: Some(psi("6")), time: RunTime::default(), ..dial_run() };
    let judged = of_pints(&run, &rows);
    assert_eq!(judged.verdict, Verdict::NotRecorded);
    assert!(judged.findings[0].message.contains("20 min is owed (against 20 min at 6 psi"));
    // Nothing known: equally far, so the first in the table.
    let run = RunRecord { pressure: None, ..run };
    assert!(
        message(&run, &rows)
            .contains("11 psi is owed (against 15 min at 11 psi, the nearest of 2 tested pairs)")
    );
    // Same number of failing facts: the one with fewer missing. 12 psi is a figure no weight has, so it fails both rows.
    let acidified = TestedProcess { needs_acid: true, ..process(15, "10") };
    let run = RunRecord {
        method: Method::PressureWeighted,
        pressure: Some(psi("12")),
        time: run_time(Some(25), "", ""),
        ..run
    };
    assert!(message(&run, &[acidified, process(20, "15")]).contains("against 20 min at 15 psi"));
}

#[test]
fn a_weight_figure_above_what_is_owed_is_no_head_start() {
    // 12 psi for 18 min. Against 20 min at 5 psi: 2/20 = 0.1 short; against 25 min at 10 psi: 7/25 = 0.28 short.
    let rows = [process(25, "5"), process(20, "10")];
    let run = RunRecord {
        method: Method::PressureWeighted,
        pressure: Some(psi("12")),
        time: run_time(Some(18), "", ""),
        ..dial_run()
    };
    assert!(message(&run, &rows).contains("against 20 min at 10 psi"));
    // Enough time for both: equally near, so the first in the table.
    let run = RunRecord { time: run_time(Some(20), "", ""), ..run };
    assert!(message(&run, &[process(20, "5"), process(20, "10")]).contains("against 20 min at 5 psi"));
}

#[test]
fn a_row_that_owes_no_pressure_is_still_judged() {
    let high = Some(GaugeError::from_centi_psi(100));
    let run = RunRecord { pressure: Some(psi("0")), gauge_error: high, ..dial_run() };
    assert_eq!(of_pints(&run, &[process(75, "0")]).verdict, Verdict::Deviates);
}

#[test]
fn a_vent_too_short_counts_in_the_distance() {
    // Vent 5 of 10 = 0.5, and 10 of 20 min = 0.5: 1.0 short; 11 - 6 = 5 of 11 = 0.45 and vent: 0.95 short.
    let rows = [process(20, "6"), process(10, "11")];
    let run = RunRecord {
        vent_min: Some(5),
        pressure: Some(psi("6")),
        time: run_time(Some(10), "", ""),
        ..dial_run()
    };
    assert!(message(&run, &rows).contains("against 10 min at 11 psi"));
}

#[test]
fn no_row_means_no_tested_process_whatever_the_run_was() {
    let judged = of_pints(&dial_run(), &[]);
    assert_eq!(judged.verdict, Verdict::NoTestedProcess);
    assert_eq!(judged.findings.len(), 1);
    assert_eq!(judged.findings[0].code, Code::NoTestedProcess);
    assert_eq!(judged.findings[0].bearing, Bearing::Fails);
    assert_eq!(judge(&dial_run(), &[]).verdict, Verdict::NoTestedProcess);
}

#[test]
fn cautions_are_reported_and_change_no_verdict() {
    let run = RunRecord {
        gauge_untested: true,
        gauge_error: Some(GaugeError::from_centi_psi(201)),
        pressure: Some(psi("14")),
        trouble_noted: true,
        ..dial_run()
    };
    let cautions = vec![Code::GaugeUntested, Code::GaugeToReplace, Code::TroubleNoted];
    assert_eq!(judged(&run), (Verdict::Meets, cautions.clone()));
    assert_eq!(
        judged(&RunRecord { gauge_error: Some(GaugeError::from_centi_psi(200)), ..run.clone() }).1.len(),
        2
    );
    let none = of_pints(&run, &[]);
    assert_eq!(none.findings.iter().map(|finding| finding.code).skip(1).collect::<Vec<_>>(), cautions);
    assert!(
        message(&run, &[process(75, "11")]).contains("the dial gauge reads 2.01 psi high; more than 2 psi")
    );
    let memory = TestedProcess { basis: Basis::Memory, ..process(75, "11") };
    let judged = of_pints(&dial_run(), &[memory]);
    assert_eq!((judged.verdict, judged.findings[0].code), (Verdict::Meets, Code::ProcessUnconfirmed));
    assert!(judged.findings[0].message.contains("not seen in print"));
}

#[test]
fn every_code_bears_on_the_verdict_as_its_name_says() {
    for &code in Code::ALL {
        let expected = match code.as_str() {
            name if name.ends_with("-not-recorded")
                || matches!(name, "drop-not-placed" | "process-not-held") =>
            {
                Bearing::Missing
            }
            "clock-restarted"
            | "gauge-untested"
            | "gauge-to-replace"
            | "gauge-tested-elsewhere"
            | "process-unconfirmed"
            | "process-note"
            | "own-process"
            | "name-doubted"
            | "trouble-noted" => Bearing::Caution,
            _ => Bearing::Fails,
        };
        assert_eq!(code.bearing(), expected, "{code}");
    }
}

#[test]
fn a_load_of_several_sizes_is_as_good_as_its_worst() {
    let (pints, quarts) = ([process(75, "11")], [process(90, "11")]);
    let owed = [
        Owed { size: JarSize::Pint, options: &pints, absence: NOTHING },
        Owed { size: JarSize::Quart, options: &quarts, absence: NOTHING },
    ];
    let judged = judge(&RunRecord { vent_min: Some(9), ..dial_run() }, &owed);
    assert_eq!(judged.verdict, Verdict::Deviates);
    let codes: Vec<_> =
        judged.findings.iter().map(|finding| (finding.message.as_str(), finding.jars.as_slice())).collect();
    assert_eq!(
        codes,
        [
            ("vented for 9 min; 10 min is owed", &[JarSize::Pint, JarSize::Quart][..]),
            ("quarts: 75 min unbroken at pressure; 90 min is owed", &[JarSize::Quart][..]),
        ]
    );
    assert_eq!(judge(&dial_run(), &owed[..1]).verdict, Verdict::Meets);

    // Both sizes short, each of its own time: two findings.
    let both = judge(&RunRecord { time: run_time(Some(60), "", ""), ..dial_run() }, &owed);
    let messages: Vec<_> = both.findings.iter().map(|finding| finding.message.as_str()).collect();
    assert_eq!(
        messages,
        [
            "pints: 60 min unbroken at pressure; 75 min is owed",
            "quarts: 60 min unbroken at pressure; 90 min is owed"
        ]
    );

    // Worst first: deviates, no tested process, not recorded, meets.
    let half_pints = Owed { size: JarSize::HalfPint, options: &[], absence: NOTHING };
    assert_eq!(judge(&dial_run(), &[owed[0], half_pints]).verdict, Verdict::NoTestedProcess);
    assert_eq!(judge(&dial_run(), &[half_pints, owed[1]]).verdict, Verdict::Deviates);
    let untimed = RunRecord { time: RunTime::default(), ..dial_run() };
    assert_eq!(judge(&untimed, &[half_pints, owed[1]]).verdict, Verdict::NoTestedProcess);
    let three = [owed[0], owed[1], half_pints];
    let untimed = judge(&untimed, &three);
    assert!(
        untimed.findings.iter().any(|finding| finding.message.starts_with("half-pints: nothing is tested"))
    );
}

#[test]
fn a_judgement_has_a_fixed_form_for_other_programs() {
    let judged = of_pints(&RunRecord { vent_min: Some(9), ..dial_run() }, &[process(75, "11")]);
    assert_eq!(
        serde_json::to_value(judged).unwrap(),
        serde_json::json!({
            "verdict": "deviates",
            "findings": [{
                "code": "vent-short",
                "bearing": "fails",
                "message": "vented for 9 min; 10 min is owed",
                "jars": ["pint"],
            }],
        })
    );
}

proptest! {
    /// More pressure, more time and a longer vent never turn a met process into a failed one.
    #[test]
    fn more_of_everything_never_makes_a_verdict_worse(
        vent in 0_u32..20, reading in 0_i64..2_000, minutes in 0_u32..120, error in -300_i64..300,
        more in (0_u32..10, 0_i64..500, 0_u32..60),
    ) {
        let rows = [process(20, "6"), process(15, "11")];
        let run = |vent, reading, minutes| RunRecord {
            vent_min: Some(vent),
            pressure: Some(Pressure::from_centi_psi(reading)),
            gauge_error: Some(GaugeError::from_centi_psi(error)),
            time: run_time(Some(minutes), "", ""),
            ..dial_run()
        };
        let less = of_pints(&run(vent, reading, minutes), &rows);
        let more = of_pints(&run(vent + more.0, reading + more.1, minutes + more.2), &rows);
        prop_assert!(more.verdict <= less.verdict);
    }

    /// No record, however odd, makes the judge panic, and a load is met only without a failing or missing fact.
    #[test]
    fn a_load_is_met_exactly_when_nothing_fails_and_nothing_is_missing(
        vent in proptest::option::of(any::<u32>()),
        reading in proptest::option::of(any::<i32>()),
        minutes in proptest::option::of(any::<u32>()),
        error in proptest::option::of(any::<i32>()),
        owed in (any::<u32>(), 0_i64..3_000),
        drop in proptest::option::of((any::<u32>(), proptest::option::of(any::<u32>()))),
    ) {
        let drops = drop.map(|(lost, regained)| crate::rules::load::run_time::Drop::After { lost, regained });
        let run = RunRecord {
            vent_min: vent,
            pressure: reading.map(|reading| Pressure::from_centi_psi(reading.into())),
            gauge_error: error.map(|error| GaugeError::from_centi_psi(error.into())),
            time: RunTime { minutes, drops: drops.into_iter().collect(), ..RunTime::default() },
            ..dial_run()
        };
        let row = TestedProcess { minutes: owed.0, psi: Some(Pressure::from_centi_psi(owed.1)), ..process(1, "1") };
        let judged = of_pints(&run, &[row]);
        let clean = judged.findings.iter().all(|finding| finding.bearing == Bearing::Caution);
        prop_assert_eq!(judged.verdict == Verdict::Meets, clean);
    }
}
