//! Faults 7, 23, 29 and 37: what goes out, and where to.

use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};

use proptest::prelude::*;

use crate::inject::Disk;
use crate::lab::{Lab, contents};

/// A ledger with a shelf in it.
fn stocked() -> Lab {
    let lab = Lab::new();
    fs::write(
        lab.world.home().join("shelf.csv"),
        "product,put_up,jar,count,place,note\n\"'=1+1\",2026-01-05,pint,3,'-Cellar,\"'@SUM(A1)\"\nPears,2026-02-05,quart,2,,'+1\n",
    )
    .unwrap();
    lab.world.ok(&["import", "shelf.csv"]);
    fs::remove_file(lab.world.home().join("shelf.csv")).unwrap();
    Lab::of(lab.world)
}

#[test]
fn fault_07_an_output_that_cannot_be_written_says_so_and_a_closed_pipe_does_not() {
    let lab = stocked();
    for args in
        [&["shelf"][..], &["history"], &["export", "--json"], &["export", "jar"], &["--help"], &["check"]]
    {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = lab.command(args).stdout(full).output().unwrap();
        let ended = crate::lab::ended(&output);
        ended.assert_calm("a full output");
        assert_eq!(ended.code, Some(10), "{args:?}: {}", ended.err);
        assert!(ended.err.contains("could not be written"), "{args:?}: {}", ended.err);

        // Closed before the program begins to write.
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = lab.command(args).stdout(writer).output().unwrap();
        let ended = crate::lab::ended(&output);
        ended.assert_calm("a closed pipe");
        assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""), "{args:?}");
    }
}

#[test]
fn fault_51_a_closed_output_is_no_success_and_what_was_saved_stays_saved() {
    let lab = stocked();
    let closed = |args: &[&str]| {
        let command = lab.command(args);
        let mut shell = std::process::Command::new("sh");
        shell.args(["-c", "exec \"$0\" \"$@\" >&-"]).arg(command.get_program()).args(command.get_args());
        shell.envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
        crate::lab::ended(&shell.current_dir(lab.world.home()).output().unwrap())
    };
    for args in [
        &["shelf"][..],
        &["shelf", "--json"],
        &["export", "--json"],
        &["--help"],
        &["completions", "bash"],
        &["move", "26-001-1", "--to", "Attic", "--new"],
    ] {
        let ended = closed(args);
        ended.assert_calm("a closed output");
        assert_eq!(ended.code, Some(10), "{args:?}: {}", ended.err);
        assert!(ended.err.contains("could not be written"), "{args:?}: {}", ended.err);
        assert!(!ended.err.contains("nothing was"), "{args:?}: {}", ended.err);
    }
    assert_eq!(lab.world.json(&["jar", "26-001-1"])["place"], "Attic");
    // What is thrown away on purpose is no fault.
    assert!(lab.command(&["shelf"]).stdout(std::process::Stdio::null()).status().unwrap().success());
}

#[test]
fn fault_07_a_file_for_which_there_is_no_room_says_so_and_is_not_left_in_part() {
    let Some(disk) = Disk::of_kib(64) else { return };
    let lab = stocked();
    let _ = fs::write(disk.path().join("filler"), vec![1; 1 << 20]);
    let out = disk.path().join("out");
    let out = out.to_str().unwrap();
    for args in [
        &["export", "--json", "--out", out][..],
        &["export", "--out", out],
        &["label", "26-001", "--out", out],
        &["report", "--out", out],
        &["calendar", "--out", out],
        &["backup", out],
    ] {
        let ended = lab.run(args);
        ended.assert_calm("no room");
        assert_eq!(ended.code, Some(10), "{args:?}: {}", ended.err);
        assert!(ended.err.contains(out), "{args:?}: {}", ended.err);
        let left: Vec<_> =
            fs::read_dir(disk.path()).unwrap().map(|found| found.unwrap().file_name()).collect();
        assert_eq!(left, ["filler"], "{args:?}");
    }
    lab.assert_whole("no room for outputs");
}

#[test]
fn fault_23_no_cell_of_an_export_is_run_by_a_spreadsheet() {
    let lab = stocked();
    lab.world.ok(&["export", "--out", "tables"]);
    for file in fs::read_dir(lab.world.home().join("tables")).unwrap() {
        let file = file.unwrap().path();
        let mut reader = csv::Reader::from_path(&file).unwrap();
        for record in reader.records() {
            for cell in record.unwrap().iter().filter(|cell| cell.parse::<f64>().is_err()) {
                assert!(
                    !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\0', '＝']),
                    "{file:?}: {cell:?}"
                );
            }
        }
    }
    let marked = lab.run(&["export", "product"]).out;
    assert!(marked.contains("'=1+1"), "{marked}");
    let raw = lab.run(&["export", "product", "--raw"]).out;
    assert!(raw.contains(",=1+1,"), "{raw}");
    // Our own negative numbers stay numbers.
    let mut lab = lab;
    lab.world.on("2026-09-01T12:00");
    let mut west = lab.command(&["setup", "--altitude", "900ft"]);
    assert!(west.env("TZ", "EST5").output().unwrap().status.success());
    assert!(lab.run(&["export", "entry"]).out.contains(",-300,"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn fault_23_an_export_read_back_is_the_ledger_byte_for_byte(
        rows in prop::collection::vec((
            "[='@+\\- a-zÀ-ž\u{202e}＝\"]{1,12}",
            "(?s)['=+@\\-\t,\"\n\u{1f95f}x ]{0,10}",
            0_u32..400,
            1_u32..5,
        ), 1..8)
    ) {
        let lab = Lab::new();
        let mut file = csv::Writer::from_path(lab.world.home().join("shelf.csv")).unwrap();
        file.write_record(["product", "note", "put_up", "count", "jar"]).unwrap();
        for (product, note, day, count) in &rows {
            let day = chrono::NaiveDate::from_ymd_opt(2025, 7, 1).unwrap() + chrono::TimeDelta::days(i64::from(*day));
            file.write_record([product, note, &day.to_string(), &count.to_string(), "pint"]).unwrap();
        }
        drop(file);
        let ended = lab.run(&["import", "shelf.csv", "--raw"]);
        prop_assume!(ended.code == Some(0));
        crate::inject::counted(1, "ledgers there and back");
        let whole = contents(&lab.ledger());
        lab.world.ok(&["export", "--json", "--out", "whole.json"]);
        lab.world.ok(&["export", "--out", "whole"]);
        for (from, to) in [("whole.json", "a.jarledger"), ("whole", "b.jarledger")] {
            lab.world.ok(&["import", from, "--ledger", to]);
            prop_assert_eq!(&contents(&lab.world.home().join(to)), &whole);
        }
    }
}

#[test]
fn fault_23_a_mark_before_the_export_is_read_past() {
    let lab = stocked();
    let whole = contents(&lab.ledger());
    lab.world.ok(&["export", "--json", "--out", "whole.json"]);
    let json = fs::read(lab.world.home().join("whole.json")).unwrap();
    fs::write(lab.world.home().join("marked.json"), [&b"\xef\xbb\xbf"[..], &json].concat()).unwrap();
    lab.world.ok(&["import", "marked.json", "--ledger", "new.jarledger"]);
    assert_eq!(contents(&lab.world.home().join("new.jarledger")), whole);
}

#[test]
fn fault_23_an_export_changed_by_hand_is_found_out() {
    let lab = stocked();
    lab.world.ok(&["export", "--json", "--out", "whole.json"]);
    let whole = fs::read_to_string(lab.world.home().join("whole.json")).unwrap();
    for (from, to) in [
        ("\"state\":\"sealed\"", "\"state\":\"opened\""),
        ("\"state\":\"sealed\"", "\"state\":\"eaten\""),
        ("\"batch_id\":1", "\"batch_id\":77"),
        ("\"command\":\"import\"", "\"command\":7"),
        ("\"place\":", "\"places\":"),
        ("jarledger export", "some other thing"),
        ("\"held\":0", "\"held\":0,\"more\":1"),
    ] {
        assert!(whole.contains(from), "{from}");
        fs::write(lab.world.home().join("changed.json"), whole.replace(from, to)).unwrap();
        let ended = lab.run(&["import", "changed.json", "--ledger", "new.jarledger"]);
        ended.assert_calm(to);
        assert_eq!(ended.code, Some(5), "{to}: {}", ended.err);
        assert!(!lab.world.home().join("new.jarledger").exists(), "{to}");
    }
    let over = lab.run(&["import", "whole.json"]);
    assert_eq!(over.code, Some(4), "{}", over.err);
}

#[test]
fn fault_29_outputs_never_land_on_something_else() {
    let lab = stocked();
    let home = lab.world.home();
    fs::write(home.join("mine"), "grocery list").unwrap();
    symlink("mine", home.join("link")).unwrap();
    fs::create_dir(home.join("folder")).unwrap();
    let ledger = lab.ledger();
    for target in ["mine", "link", "folder", ledger.to_str().unwrap()] {
        for args in [&["export", "--json"][..], &["export", "jar"], &["export"], &["backup"]] {
            if args[0] == "backup" && target == "folder" {
                continue;
            }
            let mut args = args.to_vec();
            if args[0] == "export" {
                args.push("--out");
            }
            args.push(target);
            let ended = lab.run(&args);
            assert_eq!(ended.code, Some(4), "{args:?}: {}", ended.err);
        }
    }
    assert_eq!(fs::read_to_string(home.join("mine")).unwrap(), "grocery list");
    assert!(home.join("link").symlink_metadata().unwrap().is_symlink());
    lab.assert_whole("outputs");
    let nowhere = lab.run(&["export", "--json", "--out", "none/x.json"]);
    assert_eq!(nowhere.code, Some(10), "{}", nowhere.err);
}

#[test]
fn fault_29_papers_replace_a_file_only_when_asked_and_the_ledger_never() {
    let lab = stocked();
    let home = lab.world.home();
    fs::create_dir(home.join("folder")).unwrap();
    let ledger = lab.ledger();
    let ledger = ledger.to_str().unwrap();
    for paper in [&["label", "26-001"][..], &["report"], &["calendar"]] {
        let to = |target: &str, force: &[&str]| lab.run(&[paper, &["--out", target], force].concat());
        fs::write(home.join("mine"), "grocery list").unwrap();
        let _ = fs::remove_file(home.join("link"));
        symlink("mine", home.join("link")).unwrap();
        for target in ["mine", "link", "folder", ledger] {
            assert_eq!(to(target, &[]).code, Some(4), "{paper:?} {target}");
        }
        for target in ["folder", ledger] {
            assert_eq!(to(target, &["--force"]).code, Some(4), "{paper:?} {target}");
        }
        assert_eq!(to("mine", &["--force"]).code, Some(0), "{paper:?}");
        assert_ne!(fs::read(home.join("mine")).unwrap(), b"grocery list", "{paper:?}");
    }
    lab.assert_whole("papers");
}

#[test]
fn fault_47_a_link_stays_and_only_a_regular_file_behind_it_is_replaced() {
    let lab = stocked();
    let home = lab.world.home();
    fs::create_dir(home.join("papers")).unwrap();
    fs::write(home.join("papers/mine"), "grocery list").unwrap();
    fs::set_permissions(home.join("papers/mine"), fs::Permissions::from_mode(0o644)).unwrap();
    let links =
        [("good", "papers/mine"), ("dangling", "nowhere"), ("device", "/dev/full"), ("folder", "papers")];
    for (link, target) in links {
        symlink(target, home.join(link)).unwrap();
    }
    for paper in [&["label", "26-001"][..], &["report"], &["calendar"]] {
        let to = |link: &str| lab.run(&[paper, &["--out", link, "--force"]].concat());
        fs::write(home.join("papers/mine"), "grocery list").unwrap();
        assert_eq!(to("good").code, Some(0), "{paper:?}");
        assert_ne!(fs::read(home.join("papers/mine")).unwrap(), b"grocery list", "{paper:?}");
        for link in ["dangling", "device", "folder"] {
            let refused = to(link);
            assert_eq!(refused.code, Some(4), "{paper:?} {link}: {}", refused.err);
            assert!(refused.err.contains("is not a file; nothing was written"), "{}", refused.err);
        }
    }
    for (link, target) in links {
        assert_eq!(fs::read_link(home.join(link)).unwrap(), std::path::Path::new(target));
    }
    assert!(!home.join("nowhere").exists());
    let mode = fs::metadata(home.join("papers/mine")).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o644, "who may read a file may read what replaces it");
}

#[test]
fn fault_44_no_output_takes_a_name_that_a_ledger_keeps_for_itself() {
    let lab = stocked();
    let home = lab.world.home();
    fs::copy(lab.ledger(), home.join("other.jarledger")).unwrap();
    symlink("ledger.jarledger", home.join("link")).unwrap();
    let commands: [&[&str]; 8] = [
        &["man", "--into"],
        &["backup"],
        &["export", "--json", "--out"],
        &["export", "jar", "--out"],
        &["export", "--out"],
        &["label", "26-001", "--out"],
        &["report", "--out"],
        &["calendar", "--out"],
    ];
    for ledger in ["ledger.jarledger", "other.jarledger", "link"] {
        for beside in ["-journal", "-wal", "-shm"] {
            let name = format!("{ledger}{beside}");
            for args in commands {
                let ended = lab.run(&[args, &[&name]].concat());
                assert_eq!(ended.code, Some(4), "{args:?} {name}: {}", ended.err);
                assert!(ended.err.contains("keeps for itself"), "{args:?} {name}: {}", ended.err);
                assert!(!home.join(&name).exists(), "{args:?} {name}");
            }
        }
    }
    let other = fs::read(home.join("other.jarledger")).unwrap();
    for args in &commands[5..] {
        let ended = lab.run(&[args, &["other.jarledger", "--force"][..]].concat());
        assert_eq!(ended.code, Some(4), "{args:?}: {}", ended.err);
        assert!(fs::read(home.join("other.jarledger")).unwrap() == other, "{args:?}");
    }
}

#[test]
fn fault_37_what_is_printed_is_the_same_bytes_wherever_it_is_printed() {
    let lab = stocked();
    let before = fs::read(lab.ledger()).unwrap();
    let papers: [(&[&str], &str); 5] = [
        (&["label", "26-001", "1-3", "--out"], "labels.pdf"),
        (&["report", "--out"], "report.html"),
        (&["calendar", "--out"], "jars.ics"),
        (&["export", "--json", "--out"], "whole.json"),
        (&["export", "jar", "--out"], "jar.csv"),
    ];
    let elsewhere = lab.world.home().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    for (args, name) in papers {
        let here = lab.world.home().join(name);
        let mut command = lab.command(&[args, &[name]].concat());
        let ended = crate::lab::ended(&command.env("SOURCE_DATE_EPOCH", "1770000000").output().unwrap());
        assert_eq!(ended.code, Some(0), "{args:?}: {}", ended.err);
        let there = elsewhere.join(name);
        let mut command = lab.command(&[args, &[there.to_str().unwrap()]].concat());
        command
            .envs([("TZ", "Pacific/Auckland"), ("LC_ALL", "tr_TR.UTF-8"), ("LANG", "tr_TR.UTF-8")])
            .envs([
                ("HOME", elsewhere.to_str().unwrap()),
                ("SOURCE_DATE_EPOCH", "1770000000"),
                ("COLUMNS", "200"),
            ])
            .current_dir(&elsewhere);
        let ended = crate::lab::ended(&command.output().unwrap());
        assert_eq!(ended.code, Some(0), "{args:?}: {}", ended.err);
        let (first, second) = (fs::read(here).unwrap(), fs::read(there).unwrap());
        assert!(!first.is_empty() && first == second, "{name} differs");
    }
    assert!(fs::read(lab.ledger()).unwrap() == before);
    crate::inject::counted(2 * papers.len(), "papers compared");
}

#[test]
fn fault_37_the_same_ledger_gives_the_same_bytes_and_reading_changes_none() {
    let lab = stocked();
    let before = fs::read(lab.ledger()).unwrap();
    let about = fs::metadata(lab.ledger()).unwrap().modified().unwrap();
    let reads: [&[&str]; 9] = [
        &["export", "--json"],
        &["export", "jar"],
        &["shelf"],
        &["history"],
        &["check"],
        &["doctor"],
        &["eat"],
        &["season"],
        &["canner", "list"],
    ];
    for args in reads {
        let first = lab.run(args);
        let mut elsewhere = lab.command(args);
        elsewhere.env("TZ", "Pacific/Auckland").env("LC_ALL", "tr_TR.UTF-8").env("LANG", "tr_TR.UTF-8");
        let second = crate::lab::ended(&elsewhere.output().unwrap());
        assert_eq!((&first.out, first.code), (&second.out, second.code), "{args:?}");
    }
    assert!(fs::read(lab.ledger()).unwrap() == before);
    assert_eq!(fs::metadata(lab.ledger()).unwrap().modified().unwrap(), about);
}
