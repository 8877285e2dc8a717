//! Faults 30 to 33: clocks that are wrong, zones, numbers without end, and units.

use std::process::Command;

use chrono::{Days, NaiveDate};
use serde_json::Value;

use crate::inject::skip;
use crate::lab::{Lab, ended};
use crate::world::World;

fn json(lab: &Lab, args: &[&str]) -> Value {
    let ended = lab.run(args);
    assert_eq!(ended.code, Some(0), "{args:?}: {}", ended.err);
    serde_json::from_str(&ended.out).unwrap()
}

#[test]
fn fault_30_a_wrong_clock_is_said_and_refuses_no_read() {
    let mut lab = Lab::with_shelf();
    let jars = json(&lab, &["export", "--json"])["jar"].as_array().unwrap().len();
    for today in ["1970-01-01", "2026-08-31", "2038-01-20", "2106-02-08", "2199-12-31"] {
        lab.world.on(today);
        for args in [&["shelf"][..], &["eat"], &["history"], &["season"], &["check"], &["backup"], &[]] {
            let ended = lab.run(args);
            ended.assert_calm(today);
            assert_eq!(ended.code, Some(0), "{today} {args:?}: {}", ended.err);
        }
        let doctor = json(&lab, &["doctor", "--json"]);
        let shown = doctor["warnings"].as_array().unwrap().iter().any(|warning| warning["code"] == "clock");
        assert_eq!(shown, today < "2026-09-01", "{today}: {doctor}");
    }
    // Entries count by their number, whatever the clock said.
    lab.world.on("1999-05-05");
    lab.world.ok(&["setup", "--altitude", "900ft"]);
    lab.world.on("2026-09-02");
    let history = json(&lab, &["history", "--json"]);
    assert_eq!(history["entries"][0]["entry"], 3, "{history}");
    assert_eq!(json(&lab, &["export", "--json"])["jar"].as_array().unwrap().len(), jars);
    assert_eq!(lab.run(&["check"]).code, Some(0));
}

/// The machine's own clock set to another year.
#[test]
fn fault_48_a_clock_of_no_possible_year_is_said_and_writes_nothing() {
    if Command::new("faketime").arg("--version").output().is_err() {
        return skip("clocks of another year (faketime is missing)");
    }
    let lab = Lab::with_shelf();
    let before = lab.contents();
    let path = std::env::var_os("PATH").unwrap();
    for day in ["1965-06-01", "2250-06-01"] {
        let run = |args: &[&str]| {
            let mut command = Command::new("faketime");
            command.env_clear().env("PATH", &path).env("TZ", "UTC").env("HOME", lab.world.home());
            command.env("JARLEDGER_FILE", lab.ledger()).current_dir(lab.world.home());
            let set = format!("{day} 12:00:00");
            command.args(["-f", &set, env!("CARGO_BIN_EXE_jarledger")]).args(args);
            ended(&command.output().unwrap())
        };
        let shown = format!("the machine's clock shows {day}");
        for args in [&["shelf"][..], &["eat"], &["history"], &["season"], &["check"], &["doctor"], &[]] {
            let read = run(args);
            read.assert_calm(day);
            assert_eq!(read.code, Some(0), "{day} {args:?}: {}", read.err);
            assert!(args == ["doctor"] || read.err.contains(&shown), "{day} {args:?}: {}", read.err);
        }
        let altitude = ["setup", "--altitude", "900ft"];
        for args in
            [&altitude[..], &["--ledger", "new", "setup", "--altitude", "900ft"], &["open", "26-001-1"]]
        {
            let refused = run(args);
            assert_eq!(refused.code, Some(4), "{day} {args:?}: {}", refused.err);
            assert!(
                refused.err.contains(&shown) && refused.err.contains("--today"),
                "{day}: {}",
                refused.err
            );
        }
        assert_eq!(run(&["check", "--today", "2026-09-02"]).code, Some(0));
    }
    assert_eq!(lab.contents(), before);
    assert!(!lab.world.home().join("new").exists());
}

/// New York's clocks go forward at 2:00 on the second Sunday of March and back at 2:00 on the first of November (15 U.S.C.
/// 260a); in 2025 these are the 9th and the 2nd.
#[test]
fn fault_49_a_time_that_the_clocks_skip_or_show_twice_is_refused() {
    let lab = Lab::new();
    std::fs::write(lab.world.home().join("shelf.csv"), "product,put_up,jar,count\nPears,2024-02-29,pint,2\n")
        .unwrap();
    lab.world.ok(&["import", "shelf.csv"]);
    let open = |on: &str| {
        let mut command = lab.command(&["open", "24-001-1", "--on", on]);
        ended(&command.env("TZ", "America/New_York").output().unwrap())
    };
    let skipped = open("2025-03-09T02:30");
    assert_eq!(skipped.code, Some(2), "{}", skipped.out);
    assert!(
        skipped.err.contains("skip 2025-03-09 02:30") && skipped.err.contains("03:30"),
        "{}",
        skipped.err
    );
    let twice = open("2025-11-02T01:30");
    assert_eq!(twice.code, Some(2), "{}", twice.out);
    for which in ["2025-11-02T01:30-04:00 comes first", "then 2025-11-02T01:30-05:00"] {
        assert!(twice.err.contains(which), "{}", twice.err);
    }
    assert_eq!(json(&lab, &["export", "--json"])["event"].as_array().unwrap().len(), 0);
    assert_eq!(open("2025-11-02T01:30-05:00").code, Some(0));
    // 06:30 in UTC, by `date -u -d "2025-11-02 06:30" +%s`.
    assert_eq!(json(&lab, &["export", "--json"])["event"][0]["at"], 1_762_065_000);
}

/// Eastern time goes forward at 02:00 on 9 March 2025 and 14 March 2027, back at 02:00 on 2 November 2025 and 1 November
/// 2026: 15 U.S.C. 260a, the second Sunday of March and the first of November.
#[test]
fn fault_49_whatever_reads_a_time_refuses_one_that_is_no_instant_here() {
    let lab = Lab::new();
    lab.world.ok(&["demo", "--ledger", "demo.jarledger"]);
    let whole = std::fs::read(lab.world.home().join("demo.jarledger")).unwrap();
    let skip = "skip 2025-03-09 02:30";
    let twice = "show 2025-11-02 01:30 twice";
    let elsewhere = "on 2025-07-01 the clocks here stand at -04:00, not at -05:00";
    let past =
        [("2025-03-09T02:30", skip), ("2025-11-02T01:30", twice), ("2025-07-01T14:05-05:00", elsewhere)];
    let ahead = [
        ("2027-03-14T02:30", "skip 2027-03-14 02:30"),
        ("2026-11-01T01:30", "show 2026-11-01 01:30 twice"),
        ("2026-12-24T14:05-04:00", "on 2026-12-24 the clocks here stand at -05:00, not at -04:00"),
    ];
    let plan = ["plan", "--recipe", "Orchard pears", "--jars", "pint:9"];
    let putup =
        ["putup", "--again", "Green beans", "--jars", "pint:16", "--pressure", "12", "--minutes", "20"];
    let cases: [(&[&str], &str, _); 10] = [
        (&["shelf"], "--today", past),
        (&["open", "25-004-1"], "--on", past),
        (&["seal", "25-004"], "--at", past),
        (&["run", "step", "off", "--run", "1"], "--at", past),
        (&putup, "--out", past),
        (&[&putup[..], &["--out", "2025-11-03T12:00"]].concat(), "--ended", past),
        (&["correct", "load", "25-004/1", "--reason", "slip"], "--out", past),
        (&["correct", "load", "25-004/1", "--reason", "slip"], "--reached", past),
        (&plan, "--start", ahead),
        (&plan, "--done-by", ahead),
    ];
    for (args, flag, times) in cases {
        for (time, why) in times {
            let mut command = lab.command(&["--ledger", "demo.jarledger"]);
            let zoned = command.env("TZ", "America/New_York").args(args).args([flag, time]);
            let refused = ended(&zoned.output().unwrap());
            assert_eq!(refused.code, Some(2), "{args:?} {flag} {time}: {}{}", refused.out, refused.err);
            assert!(refused.err.contains(why), "{args:?} {flag} {time}: {}", refused.err);
        }
    }
    assert!(std::fs::read(lab.world.home().join("demo.jarledger")).unwrap() == whole);
    // Said which, it is taken: an hour apart.
    let begins = |start: &str| {
        let mut command = lab.command(&["--ledger", "demo.jarledger", "--json"]);
        let zoned = command.env("TZ", "America/New_York").args(plan).args(["--start", start]);
        let planned: Value = serde_json::from_slice(&zoned.output().unwrap().stdout).unwrap();
        planned.to_string()
    };
    assert!(begins("2026-11-01T01:30-04:00").contains("2026-11-01T01:30:00-04:00"));
    assert!(begins("2026-11-01T01:30-05:00").contains("2026-11-01T01:30:00-05:00"));
    // As TOML writes it, and in UTC, which the clocks there do not show.
    assert!(begins("2026-11-01T01:30:00-05:00").contains("2026-11-01T01:30:00-05:00"));
    let utc = lab.command(&["shelf", "--today", "2026-11-01T06:30Z"]).env("TZ", "America/New_York").output();
    assert!(ended(&utc.unwrap()).err.contains("for that instant 2026-11-01T01:30-05:00"));
}

#[test]
fn fault_31_canning_days_are_civil_days_in_every_zone() {
    for zone in [
        "UTC",
        "Pacific/Kiritimati",
        "Pacific/Pago_Pago",
        "America/St_Johns",
        "Asia/Kathmandu",
        "Europe/Berlin",
    ] {
        let lab = Lab::before_any(World::new());
        let run = |today: &str, args: &[&str]| {
            let mut command = lab.command(&[]);
            command.env("TZ", zone).args(["--today", today]).args(args);
            let mut plain = std::process::Command::new(command.get_program());
            plain.env_clear().envs(command.get_envs().filter_map(|(key, value)| Some((key, value?))));
            plain.current_dir(lab.world.home()).args(["--today", today]).args(args);
            let ended = ended(&plain.output().unwrap());
            assert_eq!(ended.code, Some(0), "{zone} {today} {args:?}: {}", ended.err);
            ended.out
        };
        run("2026-03-28T23:59", &["setup", "--altitude", "500ft"]);
        let canner = ["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:9"];
        run("2026-03-28T23:59", &canner);
        let put_up = run(
            "2026-03-28T23:59",
            &[
                "putup",
                "--product",
                "Pears",
                "--food",
                "pears",
                "--pack",
                "hot",
                "--jars",
                "pint:1",
                "--canner",
                "Kettle",
                "--out",
                "23:58",
                "--json",
            ],
        );
        let put_up: Value = serde_json::from_str(&put_up).unwrap();
        assert_eq!(put_up["batch"], "26-001");
        // An hour that is shown once everywhere, also where clocks go forward from 02:00 that day.
        run("2026-03-29T03:30", &["shelf"]);
        // Twelve hours later by every clock, the night the clocks go forward included: 23:58, 12 h and 1 h are 12:58.
        run("2026-03-29T12:58", &["seal", "26-001", "--sealed"]);
        run("2026-03-30T00:01", &["open", "26-001", "1"]);
        let mut export = lab.command(&["export", "--json"]);
        export.env("TZ", "America/Los_Angeles");
        let answer: Value = serde_json::from_slice(&export.output().unwrap().stdout).unwrap();
        assert_eq!(answer["batch"][0]["put_up"], "2026-03-28", "{zone}");
        assert_eq!(answer["event"][0]["on_date"], "2026-03-29", "{zone}");
        assert_eq!(answer["event"][1]["on_date"], "2026-03-30", "{zone}");
    }
}

#[test]
fn fault_31_a_year_after_29_february_is_28_february() {
    let lab = Lab::new();
    std::fs::write(lab.world.home().join("shelf.csv"), "product,put_up,jar\nPears,2024-02-29,pint\n")
        .unwrap();
    lab.world.ok(&["import", "shelf.csv"]);
    let answer = json(&lab, &["export", "--json"]);
    assert_eq!(answer["jar"][0]["best_by"], "2025-02-28");
    // The day itself still counts, the day after does not.
    let leap = NaiveDate::from_ymd_opt(2025, 2, 28).unwrap();
    for (day, past) in [(leap, false), (leap.checked_add_days(Days::new(1)).unwrap(), true)] {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_jarledger"));
        command.env_clear().env("JARLEDGER_FILE", lab.ledger()).env("TZ", "UTC").args([
            "--today",
            &day.to_string(),
            "shelf",
            "--jars",
            "--json",
        ]);
        let answer: Value = serde_json::from_slice(&command.output().unwrap().stdout).unwrap();
        assert_eq!(answer["jars"][0]["past_best"], past, "{day}: {answer}");
    }
}

/// Every option that takes a number, and what its refusal says of the range.
fn numbers(number: &str) -> Vec<(Vec<String>, &'static str)> {
    [
        ("canner add X --method boiling-water --holds pint:N", "a count is 1 to 999"),
        (
            "putup --product X --food pears --pack hot --canner Kettle --minutes 20 --jars pint:N",
            "a count is 1 to 9999",
        ),
        ("putup --product X --food pears --pack hot --canner Kettle --jars pint:1 --minutes N", "0 to 1440"),
        ("backup --keep N", "1 to 10000"),
        ("eat --ahead N", "0 to 1200"),
        ("open 26-001 N", "is not a jar code"),
    ]
    .map(|(line, range)| (line.replace('N', number).split(' ').map(str::to_owned).collect(), range))
    .into()
}

#[test]
fn fault_32_numbers_out_of_range_are_refused_with_the_range() {
    let lab = Lab::with_shelf();
    lab.world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"]);
    let before = lab.contents();
    let run = |args: &[String]| lab.run(&args.iter().map(String::as_str).collect::<Vec<_>>());
    for number in [
        "1000000000",
        "2147483648",
        "9223372036854775808",
        "-1",
        "-5",
        "99999999999999999999999",
        "1e3",
        "0x10",
        "٣",
    ] {
        for (args, range) in numbers(number) {
            let ended = run(&args);
            ended.assert_calm(number);
            // `open 26-001 -1` asks for an option nobody knows.
            let is_option = number.starts_with('-') && args[0] == "open";
            assert_eq!(ended.code, Some(2), "{args:?}: {}{}", ended.out, ended.err);
            assert!(is_option || ended.err.contains(range), "{args:?}: {}", ended.err);
        }
        let height = lab.run(&["setup", "--altitude", &format!("{number}99999ft")]);
        height.assert_calm(number);
        assert!(height.err.contains("-1,500 ft to 30,000 ft"), "{number}: {}", height.err);
        let undone = lab.run(&["undo", number]);
        undone.assert_calm(number);
        assert!(matches!(undone.code, Some(2 | 3)), "{number}: {}", undone.err);
        let ran = lab.run(&["history", "--limit", number]);
        ran.assert_calm(number);
        assert!(matches!(ran.code, Some(0 | 2)), "{number}: {}", ran.err);
    }
    assert_eq!(lab.contents(), before);
    // The same lines with a number that fits are done: it was the number that was refused.
    for (args, _) in numbers("1") {
        let ended = run(&args);
        assert_eq!(ended.code, Some(0), "{args:?}: {}", ended.err);
    }
}

#[test]
fn fault_33_what_is_entered_is_what_is_kept_whatever_the_unit() {
    let lab = Lab::with_shelf();
    for round in 0..20 {
        let height = if round % 2 == 0 { "260m" } else { "853ft" };
        lab.world.ok(&["setup", "--altitude", height]);
        let answer = json(&lab, &["export", "--json"]);
        let kept: Vec<&str> =
            answer["setting"].as_array().unwrap().iter().map(|row| row["value"].as_str().unwrap()).collect();
        assert_eq!(kept.last(), Some(&height));
    }
    let answer = json(&lab, &["export", "--json"]);
    let metres = answer["setting"].as_array().unwrap().iter().filter(|row| row["value"] == "260m").count();
    assert_eq!(metres, 10);
}
