//! The calendar as an independent parser of RFC 5545 reads it.

use chrono::{DateTime, NaiveDate};
use jarledger::paper::calendar::{Calendar, Date, Task, render};
use jarledger::paper::text::lines::{MonthLine, MonthProduct, ShelfJar};
use jarledger::rules::jar::jar_state::JarState;
use jarledger::values::codes::jar_code::JarCode;
use uuid::Uuid;

use crate::common::readers::{content, node, python};

const HOSTILE: &str = "a\\b;c,d\r\nBEGIN:VEVENT\nEND:VCALENDAR\u{1b}[2J \u{202e}\"";

fn jar(number: u32) -> JarCode {
    JarCode { batch: "26-041".parse().unwrap(), number }
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn shelf(number: u32, product: &str) -> ShelfJar {
    ShelfJar {
        jar: jar(number),
        product: product.to_owned(),
        best_by: day("2027-08-14"),
        place: Some("Cellar, shelf 2; left".to_owned()),
        process: Default::default(),
    }
}

fn calendar(dates: Vec<(Task, bool)>) -> Calendar {
    Calendar {
        ledger: Uuid::from_u128(0x6a72_6c64_0000_4000_8000_0000_0000_0001),
        stamp: DateTime::parse_from_rfc3339("2026-11-25T09:30:00Z").unwrap().to_utc(),
        dates: dates.into_iter().map(|(task, is_settled)| Date { task, is_settled }).collect(),
    }
}

fn seal_check(product: &str) -> Task {
    Task::SealCheck {
        batch: "26-041".parse().unwrap(),
        load: 2,
        product: product.to_owned(),
        jars: 7,
        opens: DateTime::parse_from_rfc3339("2026-11-25T18:40:00-05:00").unwrap(),
        due: DateTime::parse_from_rfc3339("2026-11-26T06:40:00-05:00").unwrap(),
    }
}

fn eat_first(jars: u32) -> Task {
    let products = if jars == 0 {
        vec![]
    } else {
        vec![MonthProduct { product: "Żurek".to_owned(), jars: jars.into() }]
    };
    Task::EatFirst {
        month: MonthLine { month: "2026-12".parse().unwrap(), products },
        jars: (1..=jars).map(|number| shelf(number, "Żurek")).collect(),
    }
}

fn gauge_test(name: &str, last: Option<&str>, on: &str) -> Task {
    Task::GaugeTest { canner: 3, name: name.to_owned(), last: last.map(day), day: day(on) }
}

/// Reads a calendar back with the icalendar package; none where it is missing.
fn read_back(calendar: &Calendar) -> Option<Vec<serde_json::Value>> {
    let mut reader = python("calendar.py")?;
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), render(calendar)).unwrap();
    reader.arg(file.path());
    Some(serde_json::from_str(&content(reader)).unwrap())
}

/// Reads a calendar back with ical.js; none where it is missing.
fn read_by_script(calendar: &Calendar) -> Option<serde_json::Value> {
    let mut reader = node("calendar.mjs", &["ical.js"])?;
    let file = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(file.path(), render(calendar)).unwrap();
    reader.arg(file.path());
    Some(serde_json::from_str(&content(reader)).unwrap())
}

#[test]
fn every_date_is_read_back_as_it_was_meant() {
    let use_up = Task::UseUp {
        jar: jar(7),
        product: "Jalapeño \u{1f336}".repeat(40),
        state: JarState::Opened,
        place: None,
        day: day("2026-11-28"),
        is_withheld: false,
        process: Default::default(),
    };
    let dates = vec![
        (seal_check(HOSTILE), false),
        (eat_first(31), false),
        (use_up, true),
        (gauge_test("Tall dial canner", None, "2027-03-01"), false),
    ];
    let Some(events) = read_back(&calendar(dates)) else { return };
    let each = |key: &str| events.iter().map(|event| event[key].as_str().unwrap()).collect::<Vec<_>>();
    // 18:40 at five hours behind UTC is 23:40; the other entries are whole days, which end where the next begins.
    assert_eq!(each("first"), ["2026-11-25T23:40:00+00:00", "2026-12-01", "2026-11-28", "2027-03-01"]);
    assert_eq!(each("after"), ["2026-11-26T11:40:00+00:00", "2026-12-02", "2026-11-29", "2027-03-02"]);
    assert_eq!(each("status"), ["CONFIRMED", "CONFIRMED", "CANCELLED", "CONFIRMED"]);
    // A carriage return, an escape and a reversal show as what they are; all else comes back untouched.
    let shown = "a\\b;c,d\\u{d}\nBEGIN:VEVENT\nEND:VCALENDAR\\u{1b}[2J \\u{202e}\"";
    assert_eq!(each("title")[0], format!("Check seals: 7 jars of {shown}, batch 26-041"));
    assert_eq!(
        each("title")[2],
        format!("Settled: Last day for opened {}, jar {}", "Jalapeño \u{1f336}".repeat(40), jar(7))
    );
    assert!(
        each("notes")[0]
            .starts_with("Load 2. From Wednesday 25 November, 18:40 to Thursday 26 November, 06:40.")
    );
    assert!(each("notes")[1].contains("26-041-01-"));
    assert!(each("notes")[1].contains("Żurek, best by 14 Aug 2027, Cellar, shelf 2; left\n"));
    assert!(each("notes")[1].contains("and 1 jar more"));
    assert_eq!(each("stamp"), ["2026-11-25T09:30:00+00:00"; 4]);
}

#[test]
fn a_seal_check_rings_when_its_window_opens_and_two_hours_before_its_end() {
    // USDA AIB 539, Guide 1: 12 to 24 hours of cooling, here 18:40 to 06:40 five hours behind UTC. By hand: 23:40 UTC,
    // and 04:40 five hours behind, 09:40 UTC. A check that is done rings no more; nor does a matter of a whole day.
    let dates = [(seal_check("Pears"), false), (seal_check("Plums"), true), (eat_first(4), false)];
    let calendar = calendar(dates.into());
    let says = [
        "From now on: Check seals: 7 jars of Pears, batch 26-041",
        "Two hours left: Check seals: 7 jars of Pears, batch 26-041",
    ];
    if let Some(events) = read_back(&calendar) {
        let rings = ["2026-11-25T23:40:00+00:00", "2026-11-26T09:40:00+00:00"];
        assert_eq!(events[0]["alarms"], serde_json::json!(rings));
        assert_eq!(events[0]["says"], serde_json::json!(says));
        for quiet in &events[1..] {
            assert_eq!(quiet["alarms"], serde_json::json!([]));
        }
    }
    if let Some(read) = read_by_script(&calendar) {
        assert_eq!(read["events"][0]["first"], "2026-11-25T23:40:00Z");
        assert_eq!(read["events"][0]["after"], "2026-11-26T11:40:00Z");
        assert_eq!(
            read["events"][0]["alarms"],
            serde_json::json!(["2026-11-25T23:40:00Z", "2026-11-26T09:40:00Z"])
        );
        assert_eq!(read["events"][0]["says"], serde_json::json!(says));
        assert_eq!(read["events"][1]["alarms"], serde_json::json!([]));
        assert_eq!(
            (&read["events"][2]["first"], &read["events"][2]["after"]),
            (&"2026-12-01".into(), &"2026-12-02".into())
        );
    }
}

#[test]
fn readers_old_and_new_learn_the_name_of_the_calendar() {
    // RFC 7986, 5.1: NAME. X-WR-CALNAME is common practice from before it, without a standard.
    let Some(read) = read_by_script(&calendar(vec![(seal_check(HOSTILE), false)])) else { return };
    assert_eq!(read["names"], serde_json::json!(["Jars", "Jars"]));
    let shown = "a\\b;c,d\\u{d}\nBEGIN:VEVENT\nEND:VCALENDAR\\u{1b}[2J \\u{202e}\"";
    assert_eq!(read["events"].as_array().unwrap().len(), 1);
    assert_eq!(read["events"][0]["title"], format!("Check seals: 7 jars of {shown}, batch 26-041"));
}

#[test]
fn a_later_state_of_the_ledger_has_the_higher_sequence() {
    // RFC 5545, 3.8.7.4: a revision has a higher number, and it is an integer of 31 bits (3.3.8).
    let at = |stamp: &str| Calendar {
        stamp: DateTime::parse_from_rfc3339(stamp).unwrap().to_utc(),
        ..calendar(vec![(eat_first(4), false)])
    };
    let number = |stamp: &str| {
        let text = String::from_utf8(render(&at(stamp))).unwrap();
        text.lines().find_map(|line| line.strip_prefix("SEQUENCE:")).unwrap().parse::<i32>().unwrap()
    };
    let moments =
        ["1969-12-31T00:00:00Z", "2026-11-25T09:30:00Z", "2026-11-25T09:31:00Z", "2500-01-01T00:00:00Z"];
    let numbers = moments.map(number);
    assert!(numbers.is_sorted() && numbers[1] < numbers[2] && numbers[0] >= 0, "{numbers:?}");
    if let (Some(events), Some(read)) = (read_back(&at(moments[1])), read_by_script(&at(moments[1]))) {
        assert_eq!(events[0]["sequence"], numbers[1]);
        assert_eq!(read["events"][0]["sequence"], numbers[1]);
    }
}

#[test]
fn a_later_export_replaces_every_entry_and_doubles_none() {
    let dates = |jars, name: &str, last, on: &str| {
        calendar(vec![
            (seal_check("Pears"), jars == 0),
            (eat_first(jars), false),
            (gauge_test(name, last, on), false),
        ])
    };
    let before = dates(4, "Tall canner", None, "2027-03-01");
    let after = dates(0, "Old canner", Some("2027-02-20"), "2028-02-20");
    assert_eq!(render(&before), render(&before));
    let uids = |calendar: &Calendar| {
        let text = String::from_utf8(render(calendar)).unwrap();
        text.lines().filter_map(|line| line.strip_prefix("UID:").map(str::to_owned)).collect::<Vec<_>>()
    };
    assert_eq!(uids(&before), uids(&after));
    assert_eq!(uids(&before).iter().collect::<std::collections::BTreeSet<_>>().len(), 3);
    let Some(events) = read_back(&after) else { return };
    assert_eq!(events[0]["status"], "CANCELLED");
    assert_eq!(events[1]["title"], "Eat first: none due this month");
    assert_eq!(events[2]["first"], "2028-02-20");
}

#[test]
fn lines_end_and_fold_as_the_standard_says() {
    // RFC 5545, section 3.1: lines end in CR LF and are at most 75 octets, folded between characters here.
    let bytes =
        render(&calendar(vec![(seal_check(&"\u{1f336}Żurek梅 ".repeat(30)), false), (eat_first(5), false)]));
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    for line in text.strip_suffix("\r\n").unwrap().split("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line:?}");
    }
    assert!(text.replace("\r\n ", "").contains(&"\u{1f336}Żurek梅 ".repeat(30)));
}
