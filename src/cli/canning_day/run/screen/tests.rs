//! The screen as it is seen, and that it agrees with the judge.

use chrono::{DateTime, TimeDelta};
use proptest::prelude::*;

use crate::cli::canning_day::run::screen::alarm::Reminders;
use crate::cli::canning_day::run::screen::frame::{Scene, Size, frame};
use crate::cli::canning_day::run::screen::plain::ChangeLines;
use crate::ledger::entry::write::EntryId;
use crate::ledger::kitchen::run::Run;
use crate::paper::text::mark::Mark;
use crate::rules::canning_day::run::{Aim, BootTime, Instant, Taken, facts, next_steps};
use crate::rules::gauge::dial::Dial;
use crate::rules::gauge::dial_gauge::GaugeError;
use crate::rules::load::load_times::clock_time;
use crate::rules::load::run_time::RunTime;
use crate::rules::load::verdict::record::{Owed, RunRecord};
use crate::rules::load::verdict::{Verdict, judge};
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::kinds::run_step::RunStep;
use crate::values::measures::pressure::Pressure;

const WIDE: Size = Size { columns: 80, rows: 24 };
const NARROW: Size = Size { columns: 40, rows: 24 };

/// A moment so many seconds after the heat was turned on, at 14:00.
fn at(seconds: i64) -> Instant {
    let start = DateTime::parse_from_rfc3339("2026-08-14T14:00:00-05:00").unwrap();
    let boot = BootTime { boot: "a".to_owned(), ms: 5_000_000 + seconds as u64 * 1_000 };
    Instant { at: start + TimeDelta::seconds(seconds), boot: Some(boot) }
}

fn run(id: i64, canner: &str, food: &str, aim: Aim, steps: &[(RunStep, i64)]) -> Run {
    Run {
        id,
        begun: at(0).at,
        canner: canner.to_owned(),
        food: food.parse().unwrap(),
        pack: Pack::Raw,
        size: JarSize::Pint,
        altitude: "500ft".parse().unwrap(),
        aim,
        recipe: None,
        taken: steps.iter().map(|&(step, seconds)| Taken { step, when: at(seconds) }).collect(),
        said_by: vec![None; steps.len()],
        last_entry: steps.last().map(|_| EntryId(steps.len() as i64)),
        last_name: String::new(),
    }
}

fn beans(steps: &[(RunStep, i64)]) -> Run {
    let psi = Some(Pressure::from_psi(11));
    run(
        3,
        "Big dial",
        "green-beans",
        Aim { method: Method::PressureDial, minutes: 20, psi, vent_min: 10, dial: Dial::AtItsWord },
        steps,
    )
}

fn pears(steps: &[(RunStep, i64)]) -> Run {
    run(
        4,
        "Kettle",
        "pears",
        Aim { method: Method::BoilingWater, minutes: 25, psi: None, vent_min: 0, dial: Dial::AtItsWord },
        steps,
    )
}

/// Heat at 14:00, steam at 14:05, vent closed at 14:15, pressure at 14:20.
const AT_PRESSURE: [(RunStep, i64); 4] =
    [(RunStep::Heat, 0), (RunStep::Steam, 300), (RunStep::Closed, 900), (RunStep::Reached, 1_200)];

fn shown(runs: &[Run], now: &Instant, chosen: usize, note: Option<&str>, size: Size) -> String {
    let lines = frame(&Scene { runs, now, chosen, note }, size);
    assert!(lines.len() <= size.rows);
    let texts = lines.iter().map(|line| line.iter().map(|span| span.text.as_str()).collect::<String>());
    texts.map(|text| text.trim_end().to_owned() + "\n").collect()
}

// The screens here are drawn by hand, from the phases and figures of the run: pints of green beans, raw pack, 20 min at
// 11 psi (USDA AIB 539, Guide 4), and pears, 25 min in boiling water.

#[test]
fn at_pressure_the_time_left_fills_the_screen() {
    // 14:20 and 20 min are 14:40; at 14:32:10 there are 7 min 50 s left.
    let expected = "\
Run 3, Big dial
green-beans, raw pack, pints, 20 min at 11 psi

████████████        ████████████  ████████████
████████████        ████████████  ████████████
        ████  ████  ████          ████    ████
        ████  ████  ████          ████    ████
        ████        ████████████  ████    ████
        ████        ████████████  ████    ████
        ████  ████          ████  ████    ████
        ████  ████          ████  ████    ████
        ████        ████████████  ████████████
        ████        ████████████  ████████████

20 min at 11 psi: 7 min 50 s left, until 14:40. If it falls below, press lost at
once.

o  heat off, when the time is up
l  pressure lost: full time again

So far: heat 14:00, steam 14:05, closed 14:15, reached 14:20


q  leave; the time runs on   b  take back “pressure reached”   14:32
";
    assert_eq!(shown(&[beans(&AT_PRESSURE)], &at(1_930), 0, None, WIDE), expected);
}

#[test]
fn two_canners_stand_side_by_side() {
    // The kettle boils from 14:31, until 14:56.
    let kettle = pears(&[(RunStep::Heat, 1_500), (RunStep::Reached, 1_860)]);
    let expected = "
  1  Big dial                            > 2  Kettle
run 3: green-beans, raw pack, pints, 20  run 4: pears, raw pack, pints, 25 min
min at 11 psi
                                         ██████ ██████    ██████ ██████
██████    ██████ ██████                      ██     ██ ██ ██     ██  ██
    ██ ██ ██     ██  ██                  ██████ ██████    ██████ ██  ██
    ██    ██████ ██  ██                  ██         ██ ██     ██ ██  ██
    ██ ██     ██ ██  ██                  ██████ ██████    ██████ ██████
    ██    ██████ ██████
                                         25 min at a full boil: 24 min left,
20 min at 11 psi: 7 min 50 s left,       until 14:56. If it falls below, press
until 14:40. If it falls below, press    lost at once.
lost at once.
                                         o  heat off, when the time is up
1 o  heat off, when the time is up       l  boil lost: full time again
1 l  pressure lost: full time again
                                         So far: heat 14:25, reached 14:31
So far: heat 14:00, steam 14:05, closed
14:15, reached 14:20



The disk is full; nothing was saved.
1-2  choose   q  leave   b  take back “full boil reached”   14:32
";
    let note = "The disk is full; nothing was saved.";
    let text = shown(&[beans(&AT_PRESSURE), kettle], &at(1_930), 1, Some(note), WIDE);
    assert_eq!(text, expected[1..]);
}

#[test]
fn on_forty_columns_two_canners_stand_one_below_the_other() {
    let kettle = pears(&[(RunStep::Heat, 1_500), (RunStep::Reached, 1_860)]);
    let expected = "\
> 1  Big dial
██████    ██████ ██████
    ██ ██ ██     ██  ██
    ██    ██████ ██  ██
    ██ ██     ██ ██  ██
    ██    ██████ ██████
20 min at 11 psi: 7 min 50 s left, until
14:40. If it falls below, press lost at
once.
o  heat off, when the time is up
l  pressure lost: full time again
  2  Kettle
██████ ██████    ██████ ██████
    ██     ██ ██ ██     ██  ██
██████ ██████    ██████ ██  ██
██         ██ ██     ██ ██  ██
██████ ██████    ██████ ██████
25 min at a full boil: 24 min left,
until 14:56. If it falls below, press
lost at once.
2 o  heat off, when the time is up
2 l  boil lost: full time again
1-2  choose   q  leave
b  take back “pressure reached”   14:32
";
    let runs = [beans(&AT_PRESSURE), kettle];
    assert_eq!(shown(&runs, &at(1_930), 0, None, NARROW), expected);
    // With a note above the keys the digits stay and the words go, which the keys say as well.
    let noted = shown(&runs, &at(1_930), 0, Some("The disk is full; nothing was saved."), NARROW);
    assert!(noted.contains("██████    ██████ ██████\n") && noted.contains("l  pressure lost"), "{noted}");
}

#[test]
fn on_forty_columns_a_time_that_is_over_says_what_to_do() {
    let expected = "\
Run 3, Big dial
green-beans, raw pack, pints, 20 min at
11 psi

██████    ██████ ██████
██  ██ ██ ██  ██ ██  ██
██  ██    ██  ██ ██  ██
██  ██ ██ ██  ██ ██  ██
██████    ██████ ██████

Vented long enough. Close the vent and
press closed.

c  vent closed

So far: heat 14:00, steam 14:05






q  leave; the time runs on
b  take back “steam flows”   14:15
";
    assert_eq!(shown(&[beans(&AT_PRESSURE[..2])], &at(900), 0, None, NARROW), expected);
}

#[test]
fn lost_pressure_and_jars_that_are_out_are_shown() {
    let mut steps = AT_PRESSURE.to_vec();
    steps.push((RunStep::Lost, 1_500));
    let expected = "\
Run 3, Big dial
green-beans, raw pack, pints, 20 min at 11 psi

Lost. Bring it back to 11 psi, then press reached: the full 20 min start again.

r  pressure reached
o  heat off

Lost 1×. So far: heat 14:00, steam 14:05, closed 14:15, reached 14:20, lost
14:25
";
    let text = shown(&[beans(&steps)], &at(1_560), 0, None, WIDE);
    assert_eq!(text.trim_end().rsplit_once("\n\n").unwrap().0.trim_end().to_owned() + "\n", expected);
    let steps = [(RunStep::Heat, 0), (RunStep::Reached, 600), (RunStep::Off, 2_100), (RunStep::Out, 2_400)];
    let text = shown(&[beans(&AT_PRESSURE), pears(&steps)], &at(2_400), 0, None, WIDE);
    assert!(text.contains("The jars are out."), "{text}");
    assert!(text.contains("`jarledger putup --run 4` logs the"), "{text}");
}

#[test]
fn a_wall_clock_that_jumps_changes_nothing_until_the_machine_starts_anew() {
    let runs = [beans(&AT_PRESSURE)];
    let digits = |now: &Instant| -> Vec<String> {
        let text = shown(&runs, now, 0, None, WIDE);
        text.lines().filter(|line| line.contains('█')).map(str::to_owned).collect()
    };
    let here = at(1_930);
    for hours in [-30, -1, 1, 30] {
        let mut jumped = here.clone();
        jumped.at += TimeDelta::hours(hours);
        assert_eq!(digits(&jumped), digits(&here), "{hours}");
    }
    let mut anew = here.clone();
    anew.boot = Some(BootTime { boot: "b".to_owned(), ms: 40_000 });
    assert_eq!(digits(&anew), digits(&here));
    assert!(shown(&runs, &anew, 0, None, WIDE).replace('\n', " ").contains("Timed by the wall clock."));
    // It stands before the last step: 20:00 are left again.
    anew.at -= TimeDelta::hours(2);
    let all = Instant { at: at(1_200).at, boot: at(1_200).boot };
    assert_eq!(digits(&anew), digits(&all));
}

#[test]
fn the_last_minute_and_a_time_that_is_over_are_marked() {
    let marks = |now: i64| {
        let lines =
            frame(&Scene { runs: &[beans(&AT_PRESSURE)], now: &at(now), chosen: 0, note: None }, WIDE);
        let digits = lines.iter().flatten().find(|span| span.text.contains('█'));
        digits.unwrap().mark
    };
    // The time is over at 2,400 s.
    assert_eq!(
        [2_339, 2_340, 2_399, 2_400].map(marks),
        [None, Some(Mark::Due), Some(Mark::Due), Some(Mark::Overdue)]
    );
}

#[test]
fn names_steer_no_terminal_and_no_line_is_wider_or_the_screen_higher_than_there_is_room() {
    let evil = "a\u{1b}[2Jb\u{7}\u{202e}c a long name of a canner that somebody gave it";
    let mut runs: Vec<Run> =
        (0..5).map(|id| run(id, evil, "pears", pears(&[]).aim, &AT_PRESSURE[..1])).collect();
    runs.push(beans(&AT_PRESSURE));
    for count in 1..=runs.len() {
        for (columns, rows) in [(80, 24), (40, 24), (120, 50), (40, 10), (20, 6), (3, 2), (1, 1)] {
            let scene = Scene { runs: &runs[..count], now: &at(1_500), chosen: 0, note: Some(evil) };
            let lines = frame(&scene, Size { columns, rows });
            assert!(lines.len() <= rows, "{count} at {columns}");
            for line in lines {
                let text: String = line.into_iter().map(|span| span.text).collect();
                assert!(
                    unicode_width::UnicodeWidthStr::width(text.trim_end()) <= columns,
                    "{count} at {columns}: {text}"
                );
                assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{text:?}");
            }
        }
    }
}

#[test]
fn a_time_that_is_over_is_said_at_once_and_each_minute_until_it_is_answered() {
    let mut reminders = Reminders::default();
    // Vented from 300 s, over at 900 s; the screen looks now and then.
    let mut rings = |now: i64, steps: usize| reminders.due(&[beans(&AT_PRESSURE[..steps])], &at(now)).len();
    let looks =
        [(899, 0), (900, 1), (901, 0), (959, 0), (960, 1), (1_019, 0), (1_021, 1), (1_200, 1), (1_201, 0)];
    for (now, rung) in looks {
        assert_eq!(rings(now, 2), rung, "at {now}");
    }
    assert_eq!(rings(1_202, 3), 0, "answered");
    // Taken back: asked for again.
    assert_eq!(rings(1_203, 2), 1);
    assert_eq!((rings(2_399, 4), rings(2_400, 4)), (0, 1));
}

#[test]
fn a_screen_reader_gets_a_line_for_each_change() {
    let mut changes = ChangeLines::default();
    let mut new_lines = |now: i64, steps: usize, due: &[i64], again: bool| {
        let scene = Scene { runs: &[beans(&AT_PRESSURE[..steps])], now: &at(now), chosen: 0, note: None };
        changes.lines(&scene, due, again)
    };
    let venting = [
        "14:05 Big dial: Venting: 10 min left, until 14:15. Leave the vent open.",
        "      Keys: c vent closed, when the time is up.",
    ];
    assert_eq!(new_lines(300, 2, &[], false), venting);
    assert_eq!(new_lines(301, 2, &[], false), [""; 0]);
    let asked = new_lines(600, 2, &[], true);
    assert_eq!(asked[0], "14:10 Big dial: Venting: 5 min left, until 14:15. Leave the vent open.");
    let over = "14:15 Big dial: Vented long enough. Close the vent and press closed.";
    assert_eq!(new_lines(900, 2, &[3], false), [over, "      Keys: c vent closed."]);
    assert_eq!(new_lines(901, 2, &[], false), [""; 0]);
    assert_eq!(new_lines(960, 2, &[3], false).len(), 2);
    let gone = Scene { runs: &[], now: &at(961), chosen: 0, note: Some("Given up.") };
    let lines = ["14:16 Given up.", "14:16 Big dial: its run is no longer under way."];
    assert_eq!(changes.lines(&gone, &[], false), lines);
}

#[test]
fn a_dial_that_reads_high_is_shown_with_what_it_must_show() {
    // It reads 1 psi high, so that 12 psi on the dial are a true 11; common practice, no source.
    let mut runs = [beans(&AT_PRESSURE), pears(&[])];
    runs[0].aim.dial = Dial::High(Pressure::from_psi(12));
    let scene = Scene { runs: &runs, now: &at(1_930), chosen: 0, note: None };
    for size in [WIDE, NARROW] {
        let lines = frame(&scene, size);
        let text: String = lines.iter().flatten().map(|span| span.text.as_str()).collect();
        assert!(text.contains("> 1  Big dial, dial at 12 psi"), "{text}");
        assert!(!text.contains("Kettle, dial"), "{text}");
        assert!(!text.contains("at 11 psi"), "{text}");
    }
    let alone = shown(&runs[..1], &at(1_930), 0, None, WIDE);
    let what = "green-beans, raw pack, pints, 20 min at 12 psi on the dial (it reads high; true\n11 psi)\n";
    assert!(alone.contains(what), "{alone}");
    assert!(alone.contains("20 min at 12 psi on the dial: 7 min 50 s left, until 14:40."), "{alone}");
    let lines = ChangeLines::default().lines(&scene, &[], false);
    assert!(lines[0].starts_with("14:32 1 Big dial, dial at 12 psi: 20 min"), "{lines:?}");
    // Another than the chosen canner is chosen first.
    assert!(lines[1].starts_with("      Keys: o heat off"), "{lines:?}");
    assert_eq!(lines[3], "      Keys: 2 h heat on.");
}

/// One thing that may happen at the stove, `gap` seconds after the one before.
#[derive(Debug, Clone)]
struct Deed {
    gap: i64,
    /// Which of the steps that fit.
    which: usize,
    /// The machine is started anew before it.
    restart: bool,
    /// The wall clock is set before it.
    jump_s: i64,
    /// The step was pressed by mistake, and is taken back.
    mistake: bool,
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    // Most gaps lie about the ends of venting and process, 600 and 1,200 s.
    let gap = prop_oneof![0_i64..30, 590_i64..610, 1_190_i64..1_210, 0_i64..4_000];
    let jump = prop_oneof![4 => Just(0_i64), 1 => -20_000_i64..20_000];
    let deed = (gap, 0_usize..2, prop::bool::weighted(0.1), jump, prop::bool::weighted(0.2));
    let deed =
        deed.prop_map(|(gap, which, restart, jump_s, mistake)| Deed { gap, which, restart, jump_s, mistake });
    prop::collection::vec(deed, 9..40)
}

proptest! {
    #[test]
    fn what_the_screen_said_and_what_the_judge_says_never_differ(deeds in deeds()) {
        let tested = beans_process();
        let size = Size { columns: 200, rows: 60 };
        let mut run = beans(&[]);
        let (mut wall, mut machine, mut boot) = (0, 0, 0);
        // What the screen showed when a step ended the venting, and the time at pressure.
        let (mut vented, mut held) = (false, false);
        for deed in deeds {
            wall += deed.gap + deed.jump_s;
            machine += deed.gap;
            if deed.restart {
                (boot, machine) = (boot + 1, 5);
            }
            let mut now = at(0);
            now.at += TimeDelta::seconds(wall);
            now.boot = Some(BootTime { boot: boot.to_string(), ms: machine as u64 * 1_000 });
            let next = next_steps(&run.aim, &run.taken);
            if next.is_empty() {
                break;
            }
            let step = next[deed.which % next.len()];
            let text = shown(std::slice::from_ref(&run), &now, 0, None, size);
            if deed.mistake {
                continue;
            }
            vented |= step == RunStep::Closed && text.contains("Vented long enough.");
            held |= matches!(step, RunStep::Lost | RunStep::Off) && text.contains("The time is up.");
            run.taken.push(Taken { step, when: now });
        }
        let Some(facts) = facts(&run.taken) else { return Ok(()) };
        let record = RunRecord {
            method: run.aim.method,
            pressure: run.aim.psi,
            gauge_error: Some(GaugeError::NONE),
            gauge_uncredited: None,
            gauge_tested_elsewhere: false,
            gauge_untested: false,
            vent_min: facts.vent_min,
            // As the load keeps it.
            time: RunTime {
                minutes: facts.minutes,
                reached_at: facts.held.as_ref().map(|held| clock_time(held.reached_at)),
                ended_at: facts.held.as_ref().map(|held| clock_time(held.ended_at)),
                drops: facts.held.map(|held| held.drops).unwrap_or_default(),
            },
            acid: None,
            trouble_noted: false,
        };
        let judged = judge(&record, &[Owed { size: run.size, options: &tested, absence: "" }]);
        prop_assert_eq!(judged.verdict == Verdict::Meets, vented && held, "{:?}", run.taken);
    }
}

/// The process of the beans, from the tables.
fn beans_process() -> Vec<TestedProcess> {
    let run = beans(&[]);
    let (food, pack, size, altitude) = (run.food, run.pack, run.size, run.altitude);
    let answer = look_up(&ProcessQuestion { food, pack, size, method: run.aim.method, altitude }, &[]);
    assert_eq!((answer.options.len(), answer.options[0].minutes), (1, run.aim.minutes));
    answer.options
}
