//! Faults 38 and 39: a system that gives little, and chains of undo.

use serde_json::Value;

use crate::inject::{can_trace, counted, sweep};
use crate::lab::{Ended, Lab, ended};

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
fn fault_38_memory_that_runs_out_is_said_in_words_before_anything_is_begun() {
    let lab = Lab::new();
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let home = lab.world.home().to_owned();
    let whole = std::fs::read(home.join("demo.jarledger")).unwrap();
    lab.world.ok(&["export", "--json", "--out", "whole.json", "--ledger", "demo.jarledger"]);
    let rows: String = (0..2_000).map(|row| format!("Pears {row},2026-01-05,pint,2\n")).collect();
    std::fs::write(home.join("shelf.csv"), format!("product,put_up,jar,count\n{rows}")).unwrap();
    let commands: [&[&str]; 23] = [
        &["check"],
        &["shelf", "--jars"],
        &["eat"],
        &["season"],
        &["history"],
        &["jar", "26-006-01"],
        &["process", "list"],
        &["export", "--json"],
        &["export", "--out", "new"],
        &["report", "--out", "new"],
        &["label", "26-006", "--out", "new"],
        &["calendar", "--out", "new"],
        &["plan", "--recipe", "Orchard pears", "--jars", "pint:9", "--card", "new"],
        &["backup", "new"],
        &["import", "shelf.csv"],
        &["undo"],
        &["demo", "--ledger", "new"],
        &["import", "whole.json", "--ledger", "new"],
        &["man", "--into", "new"],
        &["man", "kitchen"],
        &["completions", "bash"],
        &["label", "--help"],
        &["shelf", "--no-such-flag"],
    ];
    let under = |kib: u32, args: &[&str]| {
        let script = format!("ulimit -c 0; ulimit -v {kib}; exec \"$0\" \"$@\"");
        let mut command = lab.under(&["sh", "-c", &script], args);
        ended(&command.env("RUST_BACKTRACE", "1").output().unwrap())
    };
    // The loader says when it has no room; a little above, our own words begin.
    let is_ours = |ended: &Ended| ended.code == Some(1) && ended.err.contains("memory to begin");
    let Some(least) = (8_000..400_000).step_by(500).find(|&kib| is_ours(&under(kib, &["--version"]))) else {
        panic!("no limit let the program begin");
    };
    let Some(ample) = (least..400_000).step_by(500).find(|&kib| under(kib, &["--version"]).code == Some(0))
    else {
        panic!("no limit let the program go on");
    };
    let (mut short, mut done) = (0, 0);
    for args in commands {
        let named = if args.contains(&"new") && args.contains(&"--ledger")
            || matches!(args[0], "man" | "completions")
        {
            args.to_vec()
        } else {
            [args, &["--ledger", "demo.jarledger"]].concat()
        };
        let few = (least..ample).step_by(9_000).chain((ample - 2_000..=ample + 3_000).step_by(1_000));
        for kib in few {
            std::fs::write(home.join("demo.jarledger"), &whole).unwrap();
            let _ =
                std::fs::remove_file(home.join("new")).or_else(|_| std::fs::remove_dir_all(home.join("new")));
            let ended = under(kib, &named);
            let when = format!("{kib} KiB, {args:?}: {:?} {}", ended.code, ended.err);
            for lie in ["damaged", "restore FILE", "does not fit", "panicked", "backtrace"] {
                assert!(!ended.err.contains(lie), "{when}");
            }
            if is_ours(&ended) {
                assert!(std::fs::read(home.join("demo.jarledger")).unwrap() == whole, "{when}");
                assert!(!home.join("new").exists(), "{when}");
                short += 1;
            } else {
                let usual = if args.contains(&"--no-such-flag") { 2 } else { 0 };
                assert_eq!(ended.code, Some(usual), "{when}");
                done += 1;
            }
            counted(1, "runs with little");
        }
    }
    assert!(short > 0 && done > 0, "{short} short, {done} done");
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
