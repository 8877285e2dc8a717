//! Everyday words on the command line: what they mean, and what is said where they mean nothing or too much.

use crate::common::world::World;

/// Two quarts and two pints of pears in the cellar, one pint opened, and a jar of plums in the pantry.
fn with_pears() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T12:00");
    for (product, jars, place) in [
        ("Pears", "quart:2", "Cellar north"),
        ("Pears", "pint:2", "Cellar south"),
        ("Plums", "pint:1", "Pantry"),
    ] {
        let food = product.to_lowercase();
        let (product, place) = (product.replace(' ', "_"), place.replace(' ', "_"));
        world.json_of(&format!(
            "putup --product {product} --food {food} --pack hot --jars {jars} --canner Kettle --minutes 25 --out 09:30 --place {place}"
        ));
    }
    world.on("2026-08-16T15:00");
    for batch in ["26-001", "26-002", "26-003"] {
        world.json_of(&format!("seal {batch} --sealed"));
    }
    world.json_of("open 26-002-2");
    world
}

#[test]
fn to_somebody_or_somewhere_may_stand_behind_the_jars() {
    let world = with_pears();
    assert_eq!(world.json_of("give 26-001-1 to my aunt")["to"], "my aunt");
    world.json_of("move 26-001-2 to cellar south");
    assert_eq!(world.json_of("jar 26-001-2")["place"], "Cellar south");
    world.json_of("move 26-001-2 to shelf 2");
    assert_eq!(world.json_of("jar 26-001-2")["place"], "shelf 2");
}

#[test]
fn codes_are_read_as_they_are_copied() {
    let world = with_pears();
    for code in ["#26-001-2", " 26-001-2 "] {
        assert_eq!(world.json(&["jar", code])["jar"], world.json(&["jar", "26-001-02-8"])["jar"], "{code}");
    }
    assert!(world.line("jar 26 1 2").out.starts_with("26-001-02-"));
    // Nothing that may be something else is guessed.
    for (line, message) in [
        ("jar 26-001/1", "is a load; write a jar of its batch"),
        ("open the pear jam", "did you mean Pears?"),
    ] {
        let ran = world.line(line);
        assert!(ran.code != 0 && ran.err.replace('\n', " ").contains(message), "{line}: {ran}");
    }
}

#[test]
fn a_size_in_the_words_is_the_size_of_the_jar() {
    let world = with_pears();
    // Both quarts, and neither pint.
    let ran = world.line("open a quart of pears");
    assert!(
        ran.err.contains("26-001-01") && ran.err.contains("26-001-02") && !ran.err.contains("26-002"),
        "{ran}"
    );
    assert_eq!(world.json_of("shelf pears pt")["total"], 2);
    assert_eq!(world.json_of("shelf pears in the cellar")["total"], 4);
    let none = world.line("shelf plums quarts");
    assert!(none.out.contains("Looked for: Plums, quarts."), "{none}");
}

#[test]
fn an_opened_jar_is_the_first_to_be_eaten_up() {
    let world = with_pears();
    let ran = world.line("finish pears");
    assert!(ran.err.contains("name it by its code: 26-002-02"), "{ran}");
    let ran = world.line("open pears");
    assert!(ran.err.contains("name it by its code: 26-001-01"), "{ran}");
}

#[test]
fn a_time_that_may_be_of_either_half_of_the_day_is_not_guessed() {
    let world = with_pears();
    let putup =
        "putup --product Plums --food plums --pack hot --jars pint:1 --canner Kettle --minutes 25 --out";
    for line in [
        format!("{putup} 2:30"),
        "discard 26-001-1 --why x --on 2:30".to_owned(),
        "seal 26-001 --lost --at 2:30".to_owned(),
    ] {
        let ran = world.line(&line);
        assert_eq!(ran.code, 2, "{line}: {ran}");
        assert!(ran.err.contains("hint: write 2:30am or 2:30pm"), "{line}: {ran}");
    }
    assert_eq!(world.json_of(&format!("{putup} 2.30_pm"))["seal_check_from"], "2026-08-17T02:30:00Z");
    // 21:15 is still to come.
    assert_eq!(world.json_of(&format!("{putup} 9:15"))["seal_check_from"], "2026-08-16T21:15:00Z");
}

#[test]
fn a_question_leads_to_the_shelf_and_a_wrong_argument_to_examples() {
    let world = with_pears();
    for (line, message) in [
        (&["what", "pears", "do", "I", "have"][..], "`jarledger shelf pears do I have`"),
        (&["how many pears are left?"], "`jarledger shelf many pears are left`"),
        (&["eat", "peaches"], "`jarledger eat --help` begins with examples"),
        (&["canner", "list", "all"], "`jarledger canner list --help` begins with examples"),
        (&["stocktake", "Pantry"], "`jarledger count Pantry`"),
    ] {
        let ran = world.run(line);
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.contains(&format!("hint: {message}")), "{ran}");
    }
}

#[test]
fn sizes_packs_and_canners_among_the_words_of_a_process_are_its_options() {
    let world = World::with_canners();
    let shown = |line: &str| {
        let mut answer = world.json_of(line);
        answer["options"].take()
    };
    let asked = shown("process --food corn-whole-kernel --pack raw --jar quart --method pressure-dial");
    assert!(!asked.as_array().unwrap().is_empty());
    assert_eq!(shown("process whole kernel corn raw pack quarts dial gauge"), asked);
    assert_eq!(shown("process whole kernel corn raw packed quarts dial pressure"), asked);
    assert_eq!(shown("process corn-whole-kernel --pack raw --jar qts --method pressure-dial"), asked);
}

#[test]
fn a_jar_not_found_is_missing_in_the_history_too() {
    let world = with_pears();
    world.json_of("missing 26-001-1");
    world.json_of("missing 26-001-1 --found");
    let shown = world.ok(&["history", "--limit", "2"]);
    assert!(
        shown.contains("  missing  ") && shown.contains("  missing --found  ") && !shown.contains("  miss  "),
        "{shown}"
    );
    let entry = world.json(&["history", "--limit", "2"])["entries"][1]["entry"].to_string();
    let facts = world.ok(&["history", "--entry", &entry]);
    assert!(facts.contains("missing  26-001-01-"), "{facts}");
}

#[test]
fn orders_of_dates_go_by_their_letters_too() {
    let world = with_pears();
    for (letters, name) in [("dmy", "day-month-year"), ("MDY", "month-day-year"), ("ymd", "year-month-day")] {
        world.ok(&["setup", "--dates", letters]);
        assert!(world.ok(&["setup", "--list"]).contains(&format!("dates on screens: {name}")));
    }
}
