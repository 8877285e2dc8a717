//! Faults 45 and 46: the program is killed at the stove, and clocks that jump while jars are in the canner.

use std::path::Path;
use std::process::{Command, Stdio};

use crate::inject::{can_trace, counted, skip, sweep};
use crate::lab::{Lab, ended};
use crate::world::World;

/// A kettle of pears whose heat is on.
fn heating() -> Lab {
    let world = World::with_canners();
    world.ok(&["run", "begin", "--canner", "Kettle", "--food", "pears", "--pack", "hot", "--jar", "pint"]);
    world.ok(&["run", "step", "heat"]);
    Lab::of(world)
}

/// Where the one run under way stands, read silently.
fn phase(lab: &Lab, when: &str) -> String {
    let shown = lab.run(&["run", "show", "--json"]);
    assert_eq!((shown.code, shown.err.as_str()), (Some(0), ""), "{when}");
    let shown: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
    shown["runs"][0]["phase"].as_str().unwrap().to_owned()
}

/// The run stands before the step or after it, and goes on from there.
fn goes_on(lab: &Lab, when: &str) {
    let next = match phase(lab, when).as_str() {
        "heating" => "reached",
        "at-pressure" => "off",
        other => panic!("{when}: {other}"),
    };
    assert_eq!(lab.run(&["check"]).code, Some(0), "{when}");
    assert_eq!(lab.run(&["run", "step", next]).code, Some(0), "{when}");
    lab.assert_whole(when);
}

const CALLS: [&str; 5] = ["pwrite64", "fdatasync", "fsync", "unlink", "openat"];

#[test]
fn fault_45_a_step_killed_at_any_call_is_whole_or_was_never_and_the_run_goes_on() {
    if !can_trace() {
        return;
    }
    let lab = heating();
    let mut hits = 0;
    for call in CALLS {
        hits += sweep(&lab, call, "signal=KILL", &["run", "step", "reached"], |hit| {
            let said = hit.ended.out.contains("at a full boil");
            assert!(!said || phase(&lab, &hit.when) == "at-pressure", "{}", hit.when);
            goes_on(&lab, &hit.when);
        });
    }
    assert!(hits > 15, "only {hits} calls were hit");
}

#[test]
fn fault_45_a_screen_killed_as_a_key_is_written_loses_nothing_but_the_key() {
    let python = Path::new("/usr/bin/python3");
    if !can_trace() {
        return;
    }
    if !python.exists() {
        return skip("terminals (python3 is missing)");
    }
    let lab = heating();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/readers/terminal.py");
    let keys = r#"[["r  full boil reached", "r"], ["l  boil lost", "q"]]"#;
    let mut hits = 0;
    for call in ["pwrite64", "fdatasync", "unlink"] {
        for nth in 1.. {
            lab.reset();
            let when = format!("{call} {nth} at the screen");
            let inject = format!("inject={call}:signal=KILL:when={nth}");
            let trace = format!("trace={call}");
            let script = script.to_str().unwrap();
            let wrapper = [
                "/usr/bin/python3",
                script,
                keys,
                "strace",
                "-qq",
                "-o",
                "/dev/null",
                "-e",
                &trace,
                "-e",
                &inject,
            ];
            let output =
                lab.under(&wrapper, &["run"]).env("TERM", "xterm").env("SIZE", "24x80").output().unwrap();
            if output.status.success() {
                assert_eq!(phase(&lab, &when), "at-pressure", "{when}");
                break;
            }
            hits += 1;
            goes_on(&lab, &when);
        }
    }
    assert!(hits > 5, "only {hits} calls were hit");
    counted(hits, "kill points");
}

#[test]
fn fault_46_a_machine_that_slept_has_that_time_on_its_clock() {
    let lab = Lab::of(World::with_canners());
    // Without a moment given, so that the machine's own clock counts.
    let under = |wrapper: &[&str], args: &[&str]| {
        let mut words: Vec<&str> = wrapper.to_vec();
        words.push(env!("CARGO_BIN_EXE_jarledger"));
        words.extend(args);
        let mut command = Command::new(words[0]);
        command.args(&words[1..]).env_clear().env("PATH", std::env::var_os("PATH").unwrap());
        command.env("HOME", lab.world.home()).env("JARLEDGER_FILE", lab.ledger()).stdin(Stdio::null());
        ended(&command.output().unwrap())
    };
    let slept = |seconds: &str| {
        let ways: [&[&str]; 2] =
            [&["unshare", "--time"], &["unshare", "--user", "--map-root-user", "--time"]];
        let can = |way: &&[&str]| {
            let tried = Command::new(way[0]).args(&way[1..]).args(["--boottime", "1", "true"]).output();
            tried.is_ok_and(|tried| tried.status.success())
        };
        let way = ways.into_iter().find(can)?;
        let shown = under(&[way, &["--boottime", seconds]].concat(), &["run", "show", "--json"]);
        assert_eq!(shown.code, Some(0), "{}", shown.err);
        let shown: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
        Some(shown["runs"][0].clone())
    };
    let step = |args: &[&str]| assert_eq!(under(&[], args).code, Some(0), "{args:?}");
    step(&["run", "begin", "--canner", "Kettle", "--food", "pears", "--pack", "hot", "--jar", "pint"]);
    step(&["run", "step", "heat"]);
    step(&["run", "step", "reached"]);
    // Pears, hot pack, pints: 20 min to 1,000 ft (USDA AIB 539, Guide 2), of which the machine sleeps 10 and then 20.
    let Some(half) = slept("600") else { return skip("clocks that jump (no namespace for time is allowed)") };
    let left = half["left_s"].as_u64().unwrap();
    assert!((1..=600).contains(&left), "{half}");
    assert_eq!((&half["phase"], &half["by_wall_clock"]), (&"at-pressure".into(), &false.into()));
    let over = slept("1200").unwrap();
    assert_eq!((&over["phase"], &over["left_s"]), (&"time-up".into(), &0.into()));
}
