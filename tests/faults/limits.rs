//! Faults 38 and 39: a system that gives little, and chains of undo.

use serde_json::Value;

use crate::inject::{can_trace, counted, sweep};
use crate::lab::{Lab, ended};

const WRITE: &[&str] = &["open", "26-002", "1"];

#[test]
fn fault_38_few_files_and_little_memory_end_cleanly() {
    let lab = Lab::with_shelf();
    let before = lab.contents();
    lab.world.ok(WRITE);
    let after = lab.contents();
    let limits = (3..=16)
        .map(|files| format!("ulimit -n {files}"))
        .chain((1..=12).map(|step| format!("ulimit -v {}", step * 8_000)));
    let mut done = 0;
    for limit in limits {
        for args in [WRITE, &["import", "shelf.csv"], &["backup", "copy"]] {
            lab.reset();
            let _ = std::fs::remove_file(lab.world.home().join("copy"));
            std::fs::write(lab.world.home().join("shelf.csv"), "product,put_up,jar\nCorn,2026-01-05,pint\n")
                .unwrap();
            let script = format!("{limit} 2>/dev/null; exec \"$0\" \"$@\"");
            let ended = ended(&lab.under(&["sh", "-c", &script], args).output().unwrap());
            // Without memory the loader or the allocator may end the program; nothing else may.
            if limit.contains("-n") {
                ended.assert_calm(&limit);
            }
            let now = lab.contents();
            lab.assert_whole(&limit);
            if args == WRITE {
                assert!(now == before || now == after, "{limit}: {now}");
                assert!(ended.code != Some(0) || now == after, "{limit}");
                done += u32::from(ended.code == Some(0));
            }
            counted(1, "runs with little");
        }
    }
    assert!(done > 0, "no limit let the program through");
}

#[test]
fn fault_38_memory_that_runs_out_is_not_taken_for_damage() {
    let lab = Lab::new();
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let home = lab.world.home().to_owned();
    let whole = std::fs::read(home.join("demo.jarledger")).unwrap();
    let commands: [&[&str]; 6] = [
        &["demo", "--ledger", "new.jarledger"],
        &["check", "--ledger", "demo.jarledger"],
        &["shelf", "--ledger", "demo.jarledger"],
        &["history", "--ledger", "demo.jarledger"],
        &["backup", "copy", "--ledger", "demo.jarledger"],
        &["export", "--json", "--ledger", "demo.jarledger"],
    ];
    let under = |kib: u32, args: &[&str]| {
        let script = format!("ulimit -v {kib}; exec \"$0\" \"$@\"");
        ended(&lab.under(&["sh", "-c", &script], args).output().unwrap())
    };
    // What the program takes before it does anything.
    let Some(least) = (8_000..400_000).step_by(500).find(|&kib| under(kib, &["--version"]).code == Some(0))
    else {
        panic!("no limit let the program begin");
    };
    let mut short = 0;
    for args in commands {
        for kib in (least..least + 4_000).step_by(500) {
            for made in ["new.jarledger", "copy"] {
                let _ = std::fs::remove_file(home.join(made));
            }
            let ended = under(kib, args);
            let when = format!("{kib} KiB, {args:?}: {:?} {}", ended.code, ended.err);
            // What the loader says before the program has begun.
            if ended.code == Some(0) || ended.err.is_empty() || ended.err.contains("shared librar") {
                continue;
            }
            for lie in ["damaged", "restore", "does not fit", "panicked"] {
                assert!(!ended.err.contains(lie), "{when}");
            }
            assert_eq!(ended.code, Some(1), "{when}");
            assert!(ended.err.contains("memory"), "{when}");
            short += 1;
            counted(1, "runs with little");
        }
    }
    assert!(short > 0, "memory never ran out");
    assert!(std::fs::read(home.join("demo.jarledger")).unwrap() == whole);
}

fn entries(lab: &Lab) -> Vec<(i64, bool)> {
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let rows = answer["entry"].as_array().unwrap();
    rows.iter().map(|row| (row["id"].as_i64().unwrap(), row["effective"] == 1)).collect()
}

fn state(lab: &Lab, code: &str) -> String {
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let jars = answer["jar"].as_array().unwrap();
    jars.iter().find(|jar| jar["code"] == code).unwrap()["state"].as_str().unwrap().to_owned()
}

#[test]
fn fault_39_an_undo_is_undone_and_done_again() {
    let lab = Lab::with_shelf();
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let code = answer["jar"][2]["code"].as_str().unwrap().to_owned();
    lab.world.ok(&["open", &code]);
    for (undo, expected) in [("3", "sealed"), ("4", "opened"), ("5", "sealed"), ("6", "opened")] {
        lab.world.ok(&["undo", undo]);
        assert_eq!(state(&lab, &code), expected, "undo {undo}");
        assert_eq!(lab.run(&["check"]).code, Some(0));
    }
    // Each is reversed once: the one in force is the last.
    assert_eq!(entries(&lab)[2..], [(3, true), (4, false), (5, true), (6, false), (7, true)]);
    assert_eq!(lab.run(&["undo", "4"]).code, Some(4));
}

#[test]
fn fault_39_what_later_entries_build_on_stays_and_an_import_goes_as_one() {
    let lab = Lab::with_shelf();
    let fresh = lab.contents();
    lab.world.ok(WRITE);
    let refused = lab.run(&["undo", "2"]);
    assert_eq!(refused.code, Some(4), "{}", refused.err);
    assert!(refused.err.contains("while later entries build on it: entry 3"), "{}", refused.err);
    assert_ne!(lab.contents(), fresh);
    lab.world.ok(&["undo"]);
    lab.world.ok(&["undo", "2"]);
    let answer: Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    assert!(answer["jar"].as_array().unwrap().iter().all(|jar| jar["state"] == "void"));
    assert_eq!(lab.run(&["check"]).code, Some(0));
}

#[test]
fn fault_39_an_undo_killed_at_any_call_is_whole_or_was_never() {
    if !can_trace() {
        return;
    }
    let lab = Lab::with_shelf();
    lab.world.ok(WRITE);
    let lab = Lab::of(lab.world);
    let before = lab.contents();
    lab.world.ok(&["undo"]);
    let after = lab.contents();
    for call in ["pwrite64", "fsync", "unlink"] {
        sweep(&lab, call, "signal=KILL", &["undo"], |hit| {
            assert_eq!(lab.run(&["check"]).code, Some(0), "{}", hit.when);
            let now = lab.contents();
            assert!(now == before || now == after, "{}: {now}", hit.when);
        });
    }
}
