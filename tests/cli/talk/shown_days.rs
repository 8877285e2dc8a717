//! Days on screens: in the order the household said, and ISO 8601 wherever a program reads them.

use crate::common::world::World;

/// Commands that show days.
const SCREENS: &[&str] = &[
    "shelf",
    "shelf --jars",
    "eat --month 2027-08",
    "jar 26-001-1",
    "batch",
    "batch 26-001",
    "history",
    "history --entry 5",
    "gauge Big_dial --list",
    "trace 26-001-1",
    "season --until 2027-08-01",
    "season Pears --until 2027-08-01",
    "process --food corn --pack hot --jar pint --canner Big_dial",
    "doctor",
];

/// Pears put up on 3 March 2026, with a gauge tested, a jar on hold and a corrected day.
fn with_pears() -> World {
    let mut world = World::with_canners();
    world.on("2026-03-04T15:00");
    world.json_of(
        "putup --product Pears --food pears --pack hot --jars pint:4 --canner Kettle --minutes 20 --on 2026-03-04 \
         --out 2026-03-04T00:20",
    );
    world.json_of("correct batch 26-001 --put-up 2026-03-03 --reason after_midnight");
    world.json_of("seal 26-001 --sealed");
    world.json_of("gauge Big_dial --reads 5 --true 5 --on 2026-03-03");
    world.json_of("open 26-001-1");
    world.json_of("hold 26-001-2 --reason strange");
    world
}

/// A text without the commands it quotes and the settings, which are shown as they are typed.
fn unquoted(text: &str) -> String {
    let text = text.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    text.lines().filter(|line| !line.starts_with("  today:")).collect::<Vec<_>>().join("\n")
}

fn has_iso(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.windows(10).any(|ten| {
        ten.iter().enumerate().all(
            |(at, byte)| {
                if matches!(at, 4 | 7) { *byte == b'-' } else { byte.is_ascii_digit() }
            },
        )
    })
}

#[test]
fn every_screen_writes_days_in_the_order_that_was_said() {
    let world = with_pears();
    let before = world.ok(&["shelf"]);
    assert!(before.contains("2027-03-03"), "ISO 8601 where nothing was said: {before}");
    assert!(world.ok(&["jar", "26-001-3"]).contains("Put up Tuesday 3 March 2026, best by 2027-03-03."));
    // 3 March 2026 was a Tuesday, 3 March 2027 a Wednesday.
    for (order, listed, sentence, corrected) in [
        ("day-month-year", "3 Mar 2027", "Tuesday 3 March 2026", "was 4 Mar 2026, is 3 Mar 2026"),
        ("month-day-year", "Mar 3, 2027", "Tuesday, March 3, 2026", "was Mar 4, 2026, is Mar 3, 2026"),
        ("year-month-day", "2027 Mar 3", "Tuesday, 2026 March 3", "was 2026 Mar 4, is 2026 Mar 3"),
    ] {
        world.ok(&["setup", "--dates", order]);
        for line in SCREENS {
            let ran = world.line(line);
            assert_eq!(ran.code, 0, "{line}: {ran}");
            let shown = unquoted(&ran.out);
            assert!(!has_iso(&shown), "{order}: {line}: {shown}");
        }
        assert!(world.ok(&["shelf"]).contains(listed), "{order}");
        let jar = world.ok(&["jar", "26-001-3"]).replace("\n  ", " ");
        assert!(jar.contains(&format!("Put up {sentence}, best by {listed}.")), "{jar}");
        assert!(world.ok(&["batch", "26-001"]).replace('\n', " ").contains(corrected), "{order}");
        // A refusal too: 4 February 2026 was a Wednesday.
        let ran = world.line("discard 26-001-3 --why x --on 2026-02-04");
        assert!(!has_iso(&unquoted(&ran.err)) && ran.code != 0, "{ran}");
    }
}

#[test]
fn what_a_program_reads_keeps_iso_days_in_every_order() {
    let world = with_pears();
    // The change of the setting is itself an entry.
    let lines = || SCREENS.iter().filter(|line| !line.starts_with("doctor") && **line != "history");
    let read = || {
        let mut answers = lines().map(|line| world.json_of(line)).collect::<Vec<_>>();
        // Sentences are for people in JSON too.
        answers[2]["decide_now"][0]["what"].take();
        answers
    };
    let before = (read(), world.ok(&["shelf", "--tsv"]), world.ok(&["batch", "--tsv"]));
    assert!(has_iso(&before.1) && has_iso(&before.2), "{}{}", before.1, before.2);
    for order in ["day-month-year", "month-day-year", "year-month-day"] {
        world.ok(&["setup", "--dates", order]);
        for ((line, was), is) in lines().zip(&before.0).zip(read()) {
            assert!(*was == is, "{order}: {line}: {is}");
        }
        assert_eq!(
            (world.ok(&["shelf", "--tsv"]), world.ok(&["batch", "--tsv"])),
            (before.1.clone(), before.2.clone())
        );
    }
}
