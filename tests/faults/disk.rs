//! Faults 6, 8 and 9: the disk is full, fails, or may not be written.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::Command;

use crate::inject::{Disk, WRITE, can_trace, counted, skip, sweep};
use crate::lab::{Ended, Lab, contents, ended};

#[test]
fn fault_06_a_disk_full_at_any_write_saves_nothing_and_says_so() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let before = lab.contents();
    for (call, fault) in
        [("pwrite64", "error=ENOSPC+"), ("pwrite64", "error=ENOSPC"), ("pwrite64", "error=EDQUOT+")]
    {
        sweep(&lab, call, fault, WRITE, |hit| {
            assert_eq!(hit.ended.code, Some(10), "{}: {}", hit.when, hit.ended.err);
            assert!(hit.ended.err.contains("nothing was saved"), "{}: {}", hit.when, hit.ended.err);
            if fault.contains("ENOSPC") {
                assert!(hit.ended.err.contains("the disk is full"), "{}: {}", hit.when, hit.ended.err);
            }
            assert_eq!(lab.run(&["canner", "list"]).code, Some(0), "{}", hit.when);
            assert_eq!(lab.contents(), before, "{}", hit.when);
            lab.assert_whole(&hit.when);
        });
    }
}

#[test]
fn fault_06_a_real_full_disk_still_reads() {
    let Some(disk) = Disk::of_kib(512) else { return };
    let lab = Lab::new();
    fs::copy(lab.ledger(), disk.ledger()).unwrap();
    let before = contents(&disk.ledger());
    // Filled to the last byte.
    let _ = fs::write(disk.path().join("filler"), vec![1; 1 << 20]);
    let ledger = disk.ledger();
    let on_disk = |args: &[&str]| -> Ended {
        let mut with: Vec<&str> = vec!["--ledger", ledger.to_str().unwrap()];
        with.extend(args);
        lab.run(&with)
    };
    let ended = on_disk(WRITE);
    ended.assert_calm("a full disk");
    assert_eq!(ended.code, Some(10), "{}", ended.err);
    assert!(ended.err.contains("the disk is full; nothing was saved"), "{}", ended.err);
    assert_eq!(on_disk(&["canner", "list"]).code, Some(0));
    let exported = on_disk(&["export", "--json"]);
    assert!((exported.code, exported.out.contains("Big dial")) == (Some(0), true), "{}", exported.err);
    let elsewhere = lab.world.home().join("whole.json");
    assert_eq!(on_disk(&["export", "--json", "--out", elsewhere.to_str().unwrap()]).code, Some(0));
    assert_eq!(contents(&ledger), before);
    fs::remove_file(disk.path().join("filler")).unwrap();
    assert_eq!(on_disk(WRITE).code, Some(0));
    let names = fs::read_dir(disk.path()).unwrap().count();
    assert_eq!(names, 1, "something was left on the disk");
}

#[test]
fn fault_06_whatever_room_a_real_disk_has_left_all_is_saved_or_nothing() {
    let Some(disk) = Disk::of_kib(1024) else { return };
    let lab = Lab::new();
    let ledger = disk.ledger();
    let before = fs::read(lab.ledger()).unwrap();
    let (mut saved, mut full) = (0, 0);
    let shelf = (0..300).map(|row| format!("Product {row},2026-01-05,pint\n")).collect::<String>();
    fs::write(lab.world.home().join("shelf.csv"), format!("product,put_up,jar\n{shelf}")).unwrap();
    for kib in (0..400).step_by(8) {
        let _ = fs::remove_file(disk.path().join("ledger.jarledger-journal"));
        fs::write(&ledger, &before).unwrap();
        let room = vec![1; kib << 10];
        fs::write(disk.path().join("room"), &room).unwrap();
        let _ = fs::write(disk.path().join("filler"), vec![1; 1 << 20]);
        fs::remove_file(disk.path().join("room")).unwrap();
        let old = contents(&ledger);
        let ended = lab.run(&["--ledger", ledger.to_str().unwrap(), "import", "shelf.csv"]);
        ended.assert_calm("little room");
        match ended.code {
            Some(0) => saved += 1,
            code => {
                assert_eq!(code, Some(10), "{kib} KiB: {}", ended.err);
                assert!(
                    ended.err.contains("the disk is full; nothing was saved"),
                    "{kib} KiB: {}",
                    ended.err
                );
                assert_eq!(contents(&ledger), old, "{kib} KiB");
                full += 1;
            }
        }
        assert_eq!(lab.run(&["--ledger", ledger.to_str().unwrap(), "check"]).code, Some(0), "{kib} KiB");
        fs::remove_file(disk.path().join("filler")).unwrap();
    }
    assert!(saved > 5 && full > 5, "{saved} saved, {full} full");
    counted(saved + full, "disks with so much room");
}

/// Every command that writes, where the largest file may have so many blocks of 512 bytes.
#[test]
fn fault_06_a_file_that_may_not_grow_is_a_full_disk() {
    let lab = Lab::new();
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let home = lab.world.home().to_owned();
    let whole = fs::read(home.join("demo.jarledger")).unwrap();
    fs::write(home.join("shelf.csv"), "product,put_up,jar\nCorn,2026-01-05,pint\n").unwrap();
    fs::write(home.join("early.jarledger"), &whole).unwrap();
    let names = || {
        let names = fs::read_dir(&home).unwrap().map(|found| found.unwrap().file_name());
        names.collect::<std::collections::BTreeSet<_>>()
    };
    let before = names();
    let commands: [(u32, &[&str]); 15] = [
        (8, &["setup", "--altitude", "900ft"]),
        (200, &["setup", "--altitude", "900ft"]),
        (200, &["import", "shelf.csv"]),
        (200, &["undo"]),
        (200, &["backup", "out"]),
        (200, &["restore", "early.jarledger", "--yes"]),
        (200, &["demo", "--ledger", "out"]),
        (8, &["export", "--json", "--out", "out"]),
        (8, &["export", "--out", "out"]),
        (2, &["export", "jar"]),
        (8, &["report", "--out", "out"]),
        (2, &["label", "26-006", "--out", "out"]),
        (2, &["calendar", "--out", "out"]),
        (2, &["plan", "--recipe", "Orchard pears", "--jars", "pint:9", "--card", "out"]),
        (8, &["man", "--into", "out"]),
    ];
    for (blocks, args) in commands {
        let when = format!("{blocks} blocks, {args:?}");
        let script = format!("ulimit -f {blocks}; exec \"$0\" \"$@\" > answer");
        let named = if args.contains(&"--ledger") || args[0] == "man" {
            args.to_vec()
        } else {
            [args, &["--ledger", "demo.jarledger"]].concat()
        };
        let ended = ended(&lab.under(&["sh", "-c", &script], &named).output().unwrap());
        ended.assert_calm(&when);
        assert_eq!(ended.code, Some(10), "{when}: {}", ended.err);
        assert!(ended.err.contains("no file may grow further, as on a full disk"), "{when}: {}", ended.err);
        assert!(ended.err.contains("ulimit -f"), "{when}: {}", ended.err);
        fs::remove_file(home.join("answer")).unwrap();
        if args[0] == "man" {
            assert!(ended.err.contains("some of its pages may stand there"), "{}", ended.err);
            fs::remove_dir_all(home.join("out")).unwrap();
        }
        // What was begun is taken back by whoever reads next.
        assert_eq!(lab.run(&["check", "--ledger", "demo.jarledger"]).code, Some(0), "{when}");
        assert!(fs::read(home.join("demo.jarledger")).unwrap() == whole, "{when}");
        assert_eq!(names(), before, "{when}");
    }
}

#[test]
fn fault_08_a_disk_that_fails_is_named_and_never_taken_for_success() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let before = lab.contents();
    lab.world.ok(WRITE);
    let after = lab.contents();
    let mut confirmed = 0;
    for call in ["pwrite64", "fdatasync", "fsync", "unlink", "ftruncate", "pread64"] {
        for fault in ["error=EIO", "error=EIO+"] {
            sweep(&lab, call, fault, WRITE, |hit| {
                let now = lab.contents();
                lab.assert_whole(&hit.when);
                if hit.ended.code == Some(0) {
                    // Only what SQLite may leave undone: the command then did what it said.
                    assert_eq!(now, after, "{}", hit.when);
                    confirmed += 1;
                    return;
                }
                assert!(
                    matches!(hit.ended.code, Some(6 | 10)),
                    "{}: {:?} {}",
                    hit.when,
                    hit.ended.code,
                    hit.ended.err
                );
                assert!(hit.ended.err.contains("ledger.jarledger"), "{}: {}", hit.when, hit.ended.err);
                // A single read that fails is to SQLite a page that is not whole.
                let doing = ["reading", "writing", "syncing", "cutting", "removing", "saving", "malformed"];
                assert!(
                    doing.iter().any(|doing| hit.ended.err.contains(doing)),
                    "{}: {}",
                    hit.when,
                    hit.ended.err
                );
                assert!(!hit.ended.out.contains("Recorded"), "{}: {}", hit.when, hit.ended.out);
                if hit.ended.err.contains("nothing was saved") {
                    assert_eq!(now, before, "{}: {}", hit.when, hit.ended.err);
                } else if hit.ended.err.contains("is in it") {
                    assert_eq!(now, after, "{}: {}", hit.when, hit.ended.err);
                } else {
                    assert!(now == before || now == after, "{}", hit.when);
                }
            });
        }
    }
    assert!(confirmed < 8, "{confirmed} faults went unnoticed");
}

#[test]
fn fault_08_a_disk_that_no_longer_reads_is_not_taken_for_a_damaged_ledger() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    for args in [&["canner", "list"][..], WRITE] {
        let hits = sweep(&lab, "pread64,read", "error=EIO+", args, |hit| {
            assert_eq!(hit.ended.code, Some(10), "{}: {}", hit.when, hit.ended.err);
            assert!(hit.ended.err.contains("ledger.jarledger: reading"), "{}: {}", hit.when, hit.ended.err);
        });
        assert!(hits > 3, "only {hits} reads failed");
    }
}

#[test]
fn fault_41_after_the_name_or_the_commit_nothing_says_that_nothing_was_saved() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    lab.world.ok(&["backup", "early"]);
    lab.world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"]);
    let lab = Lab::of(lab.world);
    let before = lab.contents();
    let mut saved = 0;
    let mut must_not_lie = |hit: &crate::inject::Hit, there: Option<String>, before: Option<&str>| {
        let err = &hit.ended.err;
        if hit.ended.code != Some(0) && there.as_deref() != before {
            saved += 1;
            for lie in ["nothing was saved", "not changed", "nothing was changed", "jarledger restore"] {
                assert!(!err.contains(lie), "{}: {err}", hit.when);
            }
            assert!(err.contains("look at"), "{}: {err}", hit.when);
        }
    };
    let faults = [
        ("fsync", "error=EIO"),
        ("fdatasync", "error=EIO"),
        ("fcntl", "error=EIO"),
        ("pread64", "error=EIO+"),
    ];
    for (call, fault) in faults {
        for args in [&["restore", "early", "--yes"][..], WRITE] {
            sweep(&lab, call, fault, args, |hit| must_not_lie(hit, Some(lab.contents()), Some(&before)));
        }
    }
    let new = lab.world.home().join("new.jarledger");
    let make = ["setup", "--altitude", "500ft", "--ledger", "new.jarledger"];
    for call in ["fsync", "fdatasync", "fcntl"] {
        for nth in 1.. {
            let _ = fs::remove_file(&new);
            let hit = crate::inject::hit(&lab, call, "error=EIO", nth, &make);
            if !hit.injected {
                break;
            }
            must_not_lie(&hit, new.exists().then(String::new), None);
            assert!(new.exists() || !hit.ended.err.contains("in it"), "{}: {}", hit.when, hit.ended.err);
        }
    }
    assert!(saved > 20, "only {saved} faults came after the work was saved");
}

#[test]
fn fault_41_a_ledger_that_has_its_name_is_said_to_be_there() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let new = lab.world.home().join("new.jarledger");
    let (mut there, mut not_there) = (0, 0);
    for nth in 1.. {
        let _ = fs::remove_file(&new);
        let make = ["setup", "--altitude", "500ft", "--ledger", "new.jarledger"];
        let hit = crate::inject::hit(&lab, "fsync", "error=EIO", nth, &make);
        if !hit.injected {
            break;
        }
        // SQLite lets a sync of the journal's name fail; the file itself is synced after it.
        if hit.ended.code == Some(0) {
            assert!(new.exists(), "{}", hit.when);
            continue;
        }
        assert_eq!(hit.ended.code, Some(10), "{}: {}", hit.when, hit.ended.err);
        if new.exists() {
            assert!(
                hit.ended.err.contains("what was to be saved is in it"),
                "{}: {}",
                hit.when,
                hit.ended.err
            );
            assert_eq!(lab.run(&["check", "--ledger", "new.jarledger"]).code, Some(0), "{}", hit.when);
            there += 1;
        } else {
            assert!(hit.ended.err.contains("nothing was saved"), "{}: {}", hit.when, hit.ended.err);
            not_there += 1;
        }
    }
    counted(there + not_there, "failed calls");
    assert!(there > 0 && not_there > 0, "{there} there, {not_there} not");
}

/// The command run by a user without rights.
fn as_nobody(lab: &Lab, args: &[&str]) -> Option<Ended> {
    let wrapper = ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups", "--inh-caps=-all"];
    let able = Command::new(wrapper[0]).args(&wrapper[1..]).arg("true").output();
    if !able.is_ok_and(|output| output.status.success()) {
        skip("another user's rights (setpriv is missing or not allowed)");
        return None;
    }
    Some(ended(&lab.under(&wrapper, args).output().unwrap()))
}

fn set_mode(path: &std::path::Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn fault_09_a_file_or_folder_that_may_not_be_written_still_reads() {
    let lab = Lab::new();
    let whole = fs::read(lab.ledger()).unwrap();
    for (file, folder) in [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)] {
        set_mode(&lab.ledger(), file);
        set_mode(lab.world.home(), folder);
        let when = format!("file {file:o}, folder {folder:o}");
        let Some(read) = as_nobody(&lab, &["canner", "list", "--quiet"]) else { return };
        assert_eq!((read.code, read.err.as_str()), (Some(0), ""), "{when}");
        let write = as_nobody(&lab, WRITE).unwrap();
        assert_eq!(write.code, Some(9), "{when}: {}", write.err);
        assert!(write.err.contains("is read-only"), "{when}: {}", write.err);
        assert!(write.err.contains(lab.ledger().to_str().unwrap()), "{when}: {}", write.err);
        assert!(fs::read(lab.ledger()).unwrap() == whole, "{when}");
        lab.assert_tidy(&when);
    }
    set_mode(&lab.ledger(), 0o000);
    set_mode(lab.world.home(), 0o777);
    let read = as_nobody(&lab, &["canner", "list"]).unwrap();
    assert_eq!(read.code, Some(9), "{}", read.err);
    assert!(read.err.contains("no permission to open"), "{}", read.err);
}

#[test]
fn fault_09_a_disk_mounted_read_only_still_reads() {
    let Some(disk) = Disk::of_kib(512) else { return };
    let lab = Lab::new();
    fs::copy(lab.ledger(), disk.ledger()).unwrap();
    disk.remount("ro");
    let ledger = disk.ledger();
    let ledger = ledger.to_str().unwrap();
    assert_eq!(lab.run(&["--ledger", ledger, "canner", "list"]).code, Some(0));
    let mut args = vec!["--ledger", ledger];
    args.extend(WRITE);
    let write = lab.run(&args);
    assert_eq!(write.code, Some(9), "{}", write.err);
    assert!(write.err.contains("is read-only"), "{}", write.err);
    disk.remount("rw");
}
