//! Faults 18, 20 and 40: where the ledger lies, and what becomes of the way there.

use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::process::Command;
use std::thread;
use std::time::Duration;

use crate::inject::{Disk, can_trace, hit};
use crate::lab::{Lab, contents, ended};
use crate::world::World;

const WRITE: &[&str] = &["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"];

#[test]
fn fault_18_odd_names_work() {
    let lab = Lab::new();
    let names = [
        &b"with a space"[..],
        "Weck-Gl\u{e4}ser \u{1f95f}".as_bytes(),
        b"not \xff utf-8",
        b"-dash",
        b"file:x?mode=memory",
        b":memory:",
        b"100%",
    ];
    for name in names {
        let folder = lab.world.home().join(OsStr::from_bytes(name));
        fs::create_dir(&folder).unwrap();
        let ledger = folder.join(OsStr::from_bytes(name));
        for args in [&["setup", "--altitude", "500ft"][..], WRITE, &["backup"], &["check"]] {
            let mut command = lab.command(args);
            command.env("JARLEDGER_FILE", &ledger);
            let ended = ended(&command.output().unwrap());
            assert_eq!(ended.code, Some(0), "{ledger:?} {args:?}: {}", ended.err);
        }
        assert!(contents(&ledger).contains("Kettle"), "{ledger:?}");
    }
}

#[test]
fn fault_18_the_journal_stands_beside_the_file_a_link_leads_to() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let real = lab.world.home().join("real");
    fs::create_dir(&real).unwrap();
    fs::rename(lab.ledger(), real.join("r.jarledger")).unwrap();
    symlink(real.join("r.jarledger"), lab.ledger()).unwrap();
    let before = contents(&real.join("r.jarledger"));
    // Killed with pages half written: through the link, and by its own name, the file recovers.
    let hit = hit(&lab, "fsync", "signal=KILL", 4, WRITE);
    assert!(hit.injected);
    assert!(real.join("r.jarledger-journal").exists());
    assert!(!lab.journal().exists());
    let read = lab.run(&["canner", "list", "--quiet"]);
    assert_eq!((read.code, read.err.as_str()), (Some(0), ""));
    assert_eq!(contents(&real.join("r.jarledger")), before);
    // Backups differ by the file, so by the link and by its own name they are the same.
    lab.world.ok(&["backup"]);
    let by_link = lab.world.json(&["doctor"]);
    let by_name = lab.world.json(&["doctor", "--ledger", real.join("r.jarledger").to_str().unwrap()]);
    assert!(by_link["newest_backup"].is_string(), "{by_link}");
    assert_eq!(by_link["newest_backup"], by_name["newest_backup"]);
    // A restore replaces the file, not the link.
    lab.world.ok(&["backup", "copy"]);
    lab.world.ok(&["restore", "copy", "--yes"]);
    assert!(lab.ledger().symlink_metadata().unwrap().is_symlink());
    let nowhere = lab.world.home().join("nowhere.jarledger");
    symlink("gone", &nowhere).unwrap();
    let ended = lab.run(&["setup", "--altitude", "500ft", "--ledger", nowhere.to_str().unwrap()]);
    assert_eq!(ended.code, Some(3), "{}", ended.err);
    assert!(nowhere.symlink_metadata().unwrap().is_symlink());
}

#[test]
fn fault_18_a_file_system_without_locks_is_refused_in_words() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let before = lab.contents();
    for error in ["ENOSYS", "EOPNOTSUPP"] {
        for args in [&["canner", "list"][..], WRITE] {
            let hit = hit(&lab, "fcntl", &format!("error={error}+"), 1, args);
            assert_eq!(hit.ended.code, Some(10), "{}: {}", hit.when, hit.ended.err);
            assert!(hit.ended.err.contains("locking it failed"), "{}: {}", hit.when, hit.ended.err);
            assert_eq!(lab.contents(), before, "{}", hit.when);
        }
    }
}

#[test]
fn fault_18_a_file_system_without_hard_links_holds_ledgers_and_backups() {
    if !can_trace() {
        return;
    }
    // As vfat and some shares answer.
    let lab = Lab::before_any(World::new());
    for call in ["linkat", "link"] {
        for (args, file) in
            [(&["setup", "--altitude", "500ft"][..], "ledger.jarledger"), (&["backup", "copy"], "copy")]
        {
            let _ = fs::remove_file(lab.world.home().join(file));
            let hit = hit(&lab, call, "error=EPERM+", 1, args);
            assert_eq!(hit.ended.code, Some(0), "{}: {}", hit.when, hit.ended.err);
            lab.assert_whole(&hit.when);
            assert!(!contents(&lab.world.home().join(file)).is_empty());
        }
    }
}

#[test]
fn fault_18_an_overlay_and_a_second_name_hold_one_ledger() {
    let lab = Lab::new();
    fs::hard_link(lab.ledger(), lab.world.home().join("second")).unwrap();
    for name in ["second", "ledger.jarledger"] {
        let canner =
            ["--ledger", name, "canner", "add", name, "--method", "boiling-water", "--holds", "pint:7"];
        lab.world.ok(&canner);
        for other in ["second", "ledger.jarledger"] {
            assert!(contents(&lab.world.home().join(other)).contains(name), "{other}");
        }
    }
    let answer: serde_json::Value = serde_json::from_str(&lab.run(&["doctor", "--json"]).out).unwrap();
    assert!(
        answer["warnings"].as_array().unwrap().iter().any(|warning| warning["code"] == "linked"),
        "{answer}"
    );

    let Some(disk) = Disk::of_kib(4096) else { return };
    for folder in ["lower", "upper", "work", "seen"] {
        fs::create_dir(disk.path().join(folder)).unwrap();
    }
    fs::copy(lab.ledger(), disk.path().join("lower/l.jarledger")).unwrap();
    let Some(overlay) = disk.overlay() else { return };
    let ledger = overlay.path().join("l.jarledger");
    let below = fs::read(disk.path().join("lower/l.jarledger")).unwrap();
    for args in [WRITE, &["check"], &["backup"]] {
        let ended = lab.run(&[&["--ledger", ledger.to_str().unwrap()], args].concat());
        assert_eq!(ended.code, Some(0), "{args:?}: {}", ended.err);
    }
    assert!(contents(&ledger).contains("Kettle"));
    assert!(fs::read(disk.path().join("lower/l.jarledger")).unwrap() == below);
}

#[test]
fn fault_20_a_ledger_moved_away_during_a_write_is_no_success() {
    if !can_trace() {
        return;
    }
    for (call, nth) in [("fsync", 1), ("fsync", 4), ("unlink", 1), ("fsync", 5)] {
        let lab = Lab::new();
        let slow = format!("inject={call}:delay_enter=1500000:when={nth}");
        let writer =
            lab.under(&["strace", "-f", "-qq", "-o", "/dev/null", "-e", &slow], WRITE).spawn().unwrap();
        thread::sleep(Duration::from_millis(700));
        fs::rename(lab.ledger(), lab.world.home().join("elsewhere")).unwrap();
        let ended = ended(&writer.wait_with_output().unwrap());
        ended.assert_calm(call);
        assert_ne!(ended.code, Some(0), "{call} {nth}: {}{}", ended.out, ended.err);
        assert!(!ended.out.contains("Recorded"), "{call} {nth}: {}", ended.out);
        assert!(ended.err.contains("ledger.jarledger"), "{call} {nth}: {}", ended.err);
        assert!(!lab.ledger().exists(), "{call} {nth}: a new ledger was made");
    }
}

#[test]
fn fault_20_a_missing_ledger_is_never_made_by_anything_but_setup() {
    let lab = Lab::before_any(World::new());
    for args in [&["canner", "list"][..], WRITE, &["undo"], &["check"], &["backup"], &["history"], &["shelf"]]
    {
        let ended = lab.run(args);
        assert_eq!(ended.code, Some(3), "{args:?}: {}", ended.err);
        assert!(ended.err.contains(lab.ledger().to_str().unwrap()), "{args:?}: {}", ended.err);
        assert_eq!(fs::read_dir(lab.world.home()).unwrap().count(), 0, "{args:?}");
    }
    let ended = lab.run(&["setup", "--altitude", "500ft", "--ledger", "/proc/none/ledger.jarledger"]);
    assert!(matches!(ended.code, Some(9 | 10)), "{:?} {}", ended.code, ended.err);
}

#[test]
fn fault_40_a_new_ledger_is_its_owners_alone_whatever_the_umask() {
    let lab = Lab::before_any(World::new());
    let script = r#"umask 000; exec "$0" "$@""#;
    let ledger = lab.world.home().join("a/b/ledger.jarledger");
    let mut command = lab.under(&["sh", "-c", script], &["setup", "--altitude", "500ft"]);
    command.env("JARLEDGER_FILE", &ledger);
    assert!(command.output().unwrap().status.success());
    let mut command = lab.under(&["sh", "-c", script], &["backup"]);
    command.env("JARLEDGER_FILE", &ledger);
    assert!(command.output().unwrap().status.success());
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&ledger), 0o600);
    assert_eq!(mode(&lab.world.home().join("a")), 0o700);
    assert_eq!(mode(&lab.world.home().join("a/b")), 0o700);
    let backups = lab.world.home().join("a/b/ledger-backups");
    assert_eq!(mode(&backups), 0o700);
    for backup in fs::read_dir(backups).unwrap() {
        assert_eq!(mode(&backup.unwrap().path()), 0o600);
    }
}

#[test]
fn fault_50_a_restored_ledger_stays_with_those_who_shared_it() {
    let lab = Lab::new();
    lab.world.ok(&["backup", "copy.jarledger"]);
    // A group of the one who tests; the superuser may give a file to any.
    let groups = Command::new("id").arg("-G").output().unwrap();
    let groups = String::from_utf8(groups.stdout).unwrap();
    let group: u32 = groups.split_whitespace().last().unwrap().parse().unwrap();
    let group = if group == 0 { 4_242 } else { group };
    std::os::unix::fs::chown(lab.ledger(), None, Some(group)).unwrap();
    fs::set_permissions(lab.ledger(), fs::Permissions::from_mode(0o660)).unwrap();
    lab.world.ok(&["restore", "copy.jarledger", "--yes"]);
    let about = fs::metadata(lab.ledger()).unwrap();
    assert_eq!((about.gid(), about.mode() & 0o777), (group, 0o660));
}

#[test]
fn fault_40_the_default_path_follows_the_base_directory_rules() {
    // XDG Base Directory Specification: relative paths in these variables are invalid and ignored.
    let run = |home: Option<&str>, data: Option<&str>| {
        let lab = Lab::before_any(World::new());
        let mut command = lab.command(&["doctor", "--json"]);
        command.env_remove("JARLEDGER_FILE").env_remove("HOME");
        if let Some(home) = home {
            command.env("HOME", home);
        }
        if let Some(data) = data {
            command.env("XDG_DATA_HOME", data);
        }
        let answer: serde_json::Value = serde_json::from_slice(&command.output().unwrap().stdout).unwrap();
        answer["ledger_file"].as_str().map(str::to_owned)
    };
    let usual = "/h/.local/share/jarledger/ledger.jarledger";
    assert_eq!(run(Some("/h"), None).as_deref(), Some(usual));
    assert_eq!(run(Some("/h"), Some("relative/data")).as_deref(), Some(usual));
    assert_eq!(run(Some("/h"), Some("/data")).as_deref(), Some("/data/jarledger/ledger.jarledger"));
    assert_eq!(run(None, Some("/data")).as_deref(), Some("/data/jarledger/ledger.jarledger"));
    assert_eq!(run(None, None), None);
    assert_eq!(run(Some("a/relative/home"), None), None);
}

#[test]
fn fault_20_what_a_vanished_ledger_left_beside_it_is_never_taken_into_a_new_one() {
    let lab = Lab::with_shelf();
    let home = lab.world.home().to_owned();
    lab.world.ok(&["backup", "early"]);
    lab.world.ok(&["export", "--json", "--out", "whole.json"]);
    // A whole journal of another file: SQLite rolls it back into whatever has the name.
    let journal = fs::read(lab.ledger()).unwrap();
    for ending in ["-wal", "-shm", "-journal"] {
        for left in [&journal[..], b"anything", b""] {
            let beside = home.join(format!("gone.jarledger{ending}"));
            fs::write(&beside, left).unwrap();
            for args in [
                &["setup", "--altitude", "500ft"][..],
                &["demo"],
                &["restore", "early", "--yes"],
                &["import", "whole.json"],
            ] {
                let refused = lab.run(&[args, &["--ledger", "gone.jarledger"]].concat());
                assert_eq!(refused.code, Some(4), "{ending} {args:?}: {}", refused.err);
                assert!(refused.err.contains("was left behind by another file"), "{args:?}: {}", refused.err);
            }
            assert_eq!(lab.run(&["shelf", "--ledger", "gone.jarledger"]).code, Some(3));
            assert!(!home.join("gone.jarledger").exists() && fs::read(&beside).unwrap() == left);
            fs::remove_file(&beside).unwrap();
        }
    }
    assert_eq!(lab.run(&["setup", "--altitude", "500ft", "--ledger", "gone.jarledger"]).code, Some(0));
}

#[test]
fn fault_18_a_path_that_no_file_can_have_leads_to_no_ledger() {
    let lab = Lab::new();
    let before = fs::read(lab.ledger()).unwrap();
    let long = "a".repeat(300);
    for path in ["ledger.jarledger/below", "ledger.jarledger/", long.as_str()] {
        let read = lab.run(&["shelf", "--ledger", path]);
        assert_eq!(read.code, Some(3), "{path}: {}", read.err);
        assert!(read.err.contains("there is no ledger at"), "{path}: {}", read.err);
    }
    let made = lab.run(&["setup", "--altitude", "500ft", "--ledger", "ledger.jarledger/below"]);
    assert_eq!(made.code, Some(4), "{}", made.err);
    assert!(made.err.contains("a file has that name; nothing was changed"), "{}", made.err);
    assert!(fs::read(lab.ledger()).unwrap() == before);
}
