//! Faults 4, 19, 21 and 22: backups and restores, killed, raced and regretted.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;

use crate::inject::{can_trace, counted, hit};
use crate::lab::{Lab, contents};

const CALLS: [&str; 8] = ["pwrite64", "fdatasync", "fsync", "unlink", "linkat", "link", "rename", "renameat"];

fn backups(lab: &Lab) -> Vec<PathBuf> {
    let Ok(names) = fs::read_dir(lab.world.home().join("ledger-backups")) else { return Vec::new() };
    names.map(|found| found.unwrap().path()).filter(|file| file.extension().is_some()).collect()
}

/// Names that no command gives.
fn strays(folder: &Path) -> Vec<PathBuf> {
    let Ok(names) = fs::read_dir(folder) else { return Vec::new() };
    names
        .map(|found| found.unwrap().path())
        .filter(|file| file.file_name().unwrap().to_string_lossy().starts_with('.'))
        .collect()
}

#[test]
fn fault_04_a_backup_killed_at_any_call_is_whole_or_not_there() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let whole = lab.contents();
    let folder = lab.world.home().join("ledger-backups");
    for call in CALLS {
        for nth in 1.. {
            let _ = fs::remove_dir_all(&folder);
            let hit = hit(&lab, call, "signal=KILL", nth, &["backup"]);
            for backup in backups(&lab) {
                assert_eq!(contents(&backup), whole, "{}", hit.when);
            }
            assert_eq!(lab.contents(), whole, "{}", hit.when);
            if !hit.injected {
                assert_eq!(hit.ended.code, Some(0), "{}: {}", hit.when, hit.ended.err);
                assert_eq!(backups(&lab).len(), 1);
                break;
            }
            let again = lab.run(&["backup"]);
            assert_eq!(again.code, Some(0), "{}: {}", hit.when, again.err);
            assert_eq!(strays(&folder), [""; 0].map(PathBuf::from), "{}", hit.when);
        }
    }
}

#[test]
fn fault_04_a_restore_killed_at_any_call_leaves_the_old_ledger_or_the_new_one() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    lab.world.ok(&["backup", "early"]);
    let new = contents(&lab.world.home().join("early"));
    lab.world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"]);
    let lab = Lab::of(lab.world);
    let old = lab.contents();
    for call in CALLS {
        for nth in 1.. {
            lab.reset();
            for kept in kept(&lab) {
                fs::remove_file(kept).unwrap();
            }
            let hit = hit(&lab, call, "signal=KILL", nth, &["restore", "early", "--yes"]);
            let now = lab.contents();
            assert!(now == old || now == new, "{}: {now}", hit.when);
            if now == new {
                let kept = kept(&lab);
                assert_eq!(kept.len(), 1, "{}", hit.when);
                assert_eq!(contents(&kept[0]), old, "{}", hit.when);
            }
            if !hit.injected {
                assert_eq!((hit.ended.code, now == new), (Some(0), true), "{}: {}", hit.when, hit.ended.err);
                break;
            }
            let again = lab.run(&["restore", "early", "--yes"]);
            assert_eq!(again.code, Some(0), "{}: {}", hit.when, again.err);
            assert_eq!(lab.contents(), new, "{}", hit.when);
            assert_eq!(strays(lab.world.home()), [""; 0].map(PathBuf::from), "{}", hit.when);
        }
    }
}

/// What stands at a path: a file's bytes, or those of every file of a folder; none: nothing.
fn standing(path: &Path) -> Option<Vec<(String, Vec<u8>)>> {
    if path.is_file() {
        return Some(vec![(String::new(), fs::read(path).unwrap())]);
    }
    let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(path)
        .ok()?
        .map(|found| found.unwrap())
        .map(|found| (found.file_name().to_string_lossy().into_owned(), fs::read(found.path()).unwrap()))
        .collect();
    files.sort();
    Some(files)
}

fn remove(path: &Path) {
    let _ = fs::remove_file(path);
    let _ = fs::remove_dir_all(path);
}

#[test]
fn fault_04_an_export_killed_at_any_call_is_whole_or_not_there() {
    if !can_trace() {
        return;
    }
    let lab = Lab::with_shelf();
    let target = lab.world.home().join("out");
    // The last replaces a file that is there.
    let commands: [(&[&str], Option<&str>); 4] = [
        (&["export", "jar", "--out", "out"], None),
        (&["export", "--json", "--out", "out"], None),
        (&["export", "--out", "out"], None),
        (&["calendar", "--out", "out", "--force"], Some("another file")),
    ];
    for (args, old) in commands {
        let put_old = || {
            remove(&target);
            old.inspect(|old| fs::write(&target, old).unwrap());
        };
        put_old();
        let before = standing(&target);
        lab.world.ok(args);
        let after = standing(&target);
        assert_ne!(before, after);
        for call in ["write", "mkdir", "fsync", "linkat", "link", "rename", "renameat", "unlink"] {
            for nth in 1.. {
                put_old();
                let hit = hit(&lab, call, "signal=KILL", nth, args);
                let now = standing(&target);
                assert!(now == before || now == after, "{}: {now:?}", hit.when);
                if !hit.injected {
                    assert_eq!(
                        (hit.ended.code, now == after),
                        (Some(0), true),
                        "{}: {}",
                        hit.when,
                        hit.ended.err
                    );
                    break;
                }
                put_old();
                let again = lab.run(args);
                assert_eq!(again.code, Some(0), "{}: {}", hit.when, again.err);
                assert_eq!(standing(&target), after, "{}", hit.when);
                assert_eq!(strays(lab.world.home()), [""; 0].map(PathBuf::from), "{}", hit.when);
            }
        }
        remove(&target);
    }
}

/// Ledgers that were replaced.
fn kept(lab: &Lab) -> Vec<PathBuf> {
    fs::read_dir(lab.world.home())
        .unwrap()
        .map(|found| found.unwrap().path())
        .filter(|file| file.file_name().unwrap().to_string_lossy().starts_with("ledger-replaced-"))
        .collect()
}

#[test]
fn fault_21_backups_made_while_another_program_writes_are_whole_moments() {
    let lab = Lab::new();
    thread::scope(|scope| {
        let lab = &lab;
        scope.spawn(move || {
            for number in 0..40 {
                let name = format!("Canner {number}");
                let args = ["canner", "add", &name, "--method", "boiling-water", "--holds", "pint:7"];
                let ended = lab.run(&args);
                assert_eq!(ended.code, Some(0), "{}", ended.err);
            }
        });
        for _ in 0..10 {
            let ended = lab.run(&["backup", "--keep", "100"]);
            assert_eq!(ended.code, Some(0), "{}", ended.err);
        }
    });
    let backups = backups(&lab);
    assert_eq!(backups.len(), 10);
    counted(backups.len(), "backups beside a writer");
    for backup in backups {
        let ended = lab.run(&["check", "--ledger", backup.to_str().unwrap()]);
        assert_eq!(ended.code, Some(0), "{}{}", ended.out, ended.err);
        // Each entry is one canner: a moment between the two would show.
        let text = contents(&backup);
        let entries = text.matches("\tcanner add\t").count();
        let canners = text.matches("\tboiling-water").count() + text.matches("\tpressure-dial").count();
        assert_eq!(entries, canners);
    }
}

#[test]
fn fault_21_a_ledger_that_is_not_whole_makes_no_backup() {
    let lab = Lab::new();
    // An index page, not the schema's: the ledger still opens.
    let page: usize = rusqlite::Connection::open(lab.ledger())
        .unwrap()
        .query_row("SELECT rootpage FROM sqlite_schema WHERE name = 'event_by_jar'", [], |row| {
            row.get::<_, i64>(0)
        })
        .unwrap()
        .try_into()
        .unwrap();
    let mut bytes = fs::read(lab.ledger()).unwrap();
    bytes[(page - 1) * 4096..page * 4096].fill(0xff);
    fs::write(lab.ledger(), &bytes).unwrap();
    let ended = lab.run(&["backup"]);
    assert_eq!(ended.code, Some(6), "{}", ended.err);
    assert!(backups(&lab).is_empty());
    assert_eq!(lab.run(&["check"]).code, Some(11));
}

#[test]
fn fault_22_a_backup_with_less_in_it_is_shown_and_the_newer_ledger_is_kept() {
    let lab = Lab::new();
    lab.world.ok(&["backup", "early"]);
    lab.world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"]);
    let newer = lab.contents();
    let asked = lab.run(&["restore", "early"]);
    assert_eq!(asked.code, Some(2), "no terminal, no question: {}", asked.err);
    assert_eq!(lab.contents(), newer);
    let ended = lab.run(&["restore", "early", "--yes"]);
    assert!(ended.out.replace('\n', " ").contains("1 entry is not in the backup"), "{}", ended.out);
    let kept = kept(&lab);
    assert_eq!(kept.len(), 1);
    assert_eq!(lab.run(&["restore", kept[0].to_str().unwrap(), "--yes"]).code, Some(0));
    assert_eq!(lab.contents(), newer);
}

#[test]
fn fault_22_a_writer_that_waits_through_a_restore_is_not_lost_in_silence() {
    let lab = Lab::new();
    lab.world.ok(&["backup", "early"]);
    let slow = ["strace", "-f", "-qq", "-o", "/dev/null", "-e", "inject=fsync:delay_enter=1500000:when=1"];
    if !can_trace() {
        return;
    }
    let writer = lab
        .under(&slow, &["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"])
        .spawn()
        .unwrap();
    thread::sleep(std::time::Duration::from_millis(700));
    let restored = lab.run(&["restore", "early", "--yes"]);
    let written = crate::lab::ended(&writer.wait_with_output().unwrap());
    written.assert_calm("a restore during a write");
    // Either order is a history; what is reported as saved is in the ledger or in the one kept.
    assert_eq!((restored.code, written.code), (Some(0), Some(0)), "{} {}", restored.err, written.err);
    let kept = kept(&lab);
    assert!(contents(&kept[0]).contains("Kettle") || lab.contents().contains("Kettle"));
    lab.assert_whole("a restore during a write");
}

#[test]
fn fault_19_a_live_file_copied_without_its_journal_is_found_out() {
    if !can_trace() {
        return;
    }
    // Stopped where the journal is synced and some pages of the ledger are written.
    const WRITE: &[&str] = &["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"];
    let lab = Lab::new();
    let before = lab.contents();
    lab.world.ok(WRITE);
    let after = lab.contents();
    let mut found = 0;
    for nth in 1.. {
        lab.reset();
        let hit = hit(&lab, "pwrite64", "signal=KILL", nth, WRITE);
        if !hit.injected {
            break;
        }
        let torn = lab.world.home().join("torn.jarledger");
        fs::copy(lab.ledger(), &torn).unwrap();
        let checked = lab.run(&["check", "--ledger", torn.to_str().unwrap()]);
        checked.assert_calm(&hit.when);
        assert!(matches!(checked.code, Some(0 | 6 | 11)), "{}: {}", hit.when, checked.err);
        if checked.code != Some(0) {
            found += 1;
        } else {
            // Then it is the ledger before, or the one after: nothing of the write, or all of it.
            let text = contents(&torn);
            assert!(text == before || text == after, "{}: {text}", hit.when);
        }
        // With its journal it is whole again.
        assert_eq!(lab.run(&["check"]).code, Some(0), "{}", hit.when);
    }
    assert!(found > 0, "no torn copy was found out");
}
