//! `process`: the look-up, the whole table, and the household's own.

use crate::common::world::World;

const BEANS: [&str; 9] =
    ["process", "--food", "green-beans", "--pack", "raw", "--jar", "quart", "--altitude", "500ft"];

fn words(line: &str) -> Vec<&str> {
    line.split_whitespace().collect()
}

fn with<'a>(base: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    base.iter().chain(more).copied().collect()
}

#[test]
fn a_process_is_found_without_a_ledger_and_shown_in_both_units() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&with(&BEANS, &["--method", "pressure-dial"])), @"
    Beans, snap and Italian, pieces (green and wax)
    raw pack, quarts, in a dial-gauge pressure canner, at 500 ft (152 m)
      25 minutes at 11 psi (75.9 kPa)
        vent 10 minutes before; headspace 1 in (2.5 cm)
        from USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 4,
        Vegetables and Vegetable Products

    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
    assert!(!world.ledger().exists());
}

#[test]
fn the_answer_to_other_programs_has_the_agreed_fields() {
    // USDA AIB 539, Guide 4, snap beans, raw pack, quarts by dial gauge up to 2,000 ft: 25 minutes at 11 psi.
    let answer = World::new().json(&with(&BEANS, &["--method", "pressure-dial"]));
    assert_eq!(answer["schema"], 1);
    assert!(answer["none_because"].is_null());
    let options = answer["options"].as_array().unwrap();
    assert_eq!(options.len(), 1);
    for (field, value) in [
        ("minutes", serde_json::json!(25)),
        ("psi", serde_json::json!(11)),
        ("vent_min", serde_json::json!(10)),
        ("headspace_in", serde_json::json!(1.0)),
        ("basis", serde_json::json!("reprint")),
    ] {
        assert_eq!(options[0][field], value, "{field}");
    }
    assert!(options[0]["source"].as_str().unwrap().contains("Guide 4"));
}

#[test]
fn what_is_not_tested_is_said_and_nothing_else_is_offered_in_its_place() {
    let world = World::new();
    let none = world.json(&with(&BEANS, &["--method", "boiling-water"]));
    assert_eq!(none["options"], serde_json::json!([]));
    assert_eq!(none["none_because"], "method");
    insta::assert_snapshot!(world.run(&with(&BEANS, &["--method", "boiling-water"])), @"
    Beans, snap and Italian, pieces (green and wax) is low-acid food: it has no
    process in a boiling-water canner and needs a pressure canner. Tested instead:
    quarts, raw pack, in a dial-gauge pressure canner; quarts, raw pack, in a
    weighted-gauge pressure canner.
    Tested at 500 ft (152 m) instead:
    Pack  Jar    Canner             Min  psi   kPa  Headspace      Notes
    raw   quart  pressure-dial       25   11  75.9  1 in (2.5 cm)  1
    raw   quart  pressure-weighted   25   10  69.0  1 in (2.5 cm)  1
    hot   quart  pressure-dial       25   11  75.9  1 in (2.5 cm)  1
    hot   quart  pressure-weighted   25   10  69.0  1 in (2.5 cm)  1
    raw   pint   pressure-dial       20   11  75.9  1 in (2.5 cm)  1
    raw   pint   pressure-weighted   20   10  69.0  1 in (2.5 cm)  1
    hot   pint   pressure-dial       20   11  75.9  1 in (2.5 cm)  1
    hot   pint   pressure-weighted   20   10  69.0  1 in (2.5 cm)  1
    1: vent 10 minutes before
    from USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 4, Vegetables
    and Vegetable Products

    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
    let high = world
        .json(&words("process --food pears --pack hot --jar pint --method boiling-water --altitude 9000ft"));
    assert!(high["options"][0]["psi"].is_null());
    assert_eq!(high["options"][0]["vent_min"], 0);
    assert!(high["options"][0]["notes"][0].as_str().unwrap().contains("8,001 to 10,000 ft"));
    let metres = world.json(&words(
        "process --food beets --pack hot --jar pint --method pressure-weighted --altitude 305m",
    ));
    // 305 m is above 1,000 ft (304.8 m): 15 psi.
    assert_eq!(metres["options"][0]["psi"], 15);
}

#[test]
fn below_sea_level_the_lowest_band_is_taken_and_the_answer_says_so() {
    let below = World::new()
        .json(&words("process --food beets --pack hot --jar pint --method pressure-dial --altitude -20m"));
    // USDA AIB 539, Guide 4, beets: 30 minutes at 11 psi from 0 ft.
    assert_eq!((&below["options"][0]["minutes"], &below["options"][0]["psi"]), (&30.into(), &11.into()));
    assert!(below["options"][0]["notes"][0].as_str().unwrap().contains("No page speaks of places below it"));
}

#[test]
fn everyday_words_for_one_food_are_answered_and_for_several_listed() {
    let world = World::new();
    let answer = world.json(&["process", "--food", "string beans", "--altitude", "500ft"]);
    assert_eq!(answer["food"], "green-beans");
    let answer = world.json(&["process", "--food", "venison", "--altitude", "500ft"]);
    assert_eq!(answer["none_because"], "food");
    assert_eq!(answer["options"], serde_json::json!([]));
    assert_eq!(answer["suggestions"], serde_json::json!(["meat-chunks", "ground-meat"]));
    let unknown = world.run(&words("process --food turnips --altitude 500ft"));
    insta::assert_snapshot!(unknown, @r"
    No tested process is on record for “turnips”: ask your extension service before
    canning it.
    -- exit 0 --
    ");
}

#[test]
fn an_open_question_lists_all_that_is_tested() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&words("process --food fish --jar quart --altitude 0ft")), @"
    Fish (blue, mackerel, salmon, steelhead, trout and other fatty fish except tuna)
    Each line is a whole process: never the minutes of one with the pressure of
    another.
    Pack  Jar    Canner             Min  psi   kPa  Headspace      Notes
    raw   quart  pressure-dial      160   11  75.9  1 in (2.5 cm)  1, 2, 3
    raw   quart  pressure-weighted  160   10  69.0  1 in (2.5 cm)  1, 2, 3
    1: not seen in print: ask your extension service
    2: Quarts of fish need a longer way of venting and timing, which is not held
    here: get it from your extension service before you start. (not seen in print:
    ask your extension service)
    3: Smoked fish has a process of its own, which is not held here: this one is for
    fish that is not smoked.
    from USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 5, Poultry, Red
    Meats and Seafoods

    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
}

#[test]
fn the_whole_table_fits_the_screen_and_has_every_row() {
    let world = World::new();
    let text = world.ok(&words("process --all"));
    let wide: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
    assert_eq!(wide, [""; 0]);
    assert!(!text.contains('*'), "{text}");
    for note in [": vent 10 minutes before", ": not seen in print: ask your extension service"] {
        assert_eq!(text.matches(note).count(), 1, "{note}");
    }
    // As many rows as were counted when the pages were read.
    assert_eq!(world.json(&words("process --all"))["processes"].as_array().unwrap().len(), 1_748);
    let few = world.json(&words("process --all --food beets --method pressure-weighted"));
    assert_eq!(few["processes"].as_array().unwrap().len(), 4);
}

#[test]
fn a_missing_flag_is_named_where_there_is_nobody_to_ask() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&words("process --altitude 500ft")), @r"
    -- stderr --
    error: --food FOOD is missing, and there is no terminal to ask on
    hint: add --food FOOD: its key or everyday words, such as green-beans or venison
    -- exit 2 --
    ");
    insta::assert_snapshot!(world.run(&words("process --food beets")), @r"
    -- stderr --
    error: --altitude HEIGHT is missing, and there is no terminal to ask on
    hint: add --altitude HEIGHT: with its unit, such as 850ft or 260m
    -- exit 2 --
    ");
}

const TURNIPS: &str = "process add --food turnips --acidity low-acid --pack hot --jar pint --method pressure-dial \
    --to 2000ft --minutes 30 --pressure 11psi --headspace 1in --publication Invented-Bulletin";

#[test]
fn an_own_process_needs_its_source_and_is_shown_as_theirs() {
    let world = World::at_500_ft();
    let refused = world.run(&words(TURNIPS));
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("--page"), "{}", refused.err);
    let whole = with(&words(TURNIPS), &["--page", "4", "--published", "2020-01-01"]);
    insta::assert_snapshot!(world.run(&whole), @r"
    turnips (low-acid), hot pack, pints, in a dial-gauge pressure canner, 0 to 2000
    ft
      30 minutes at 11 psi (75.9 kPa)
        vent 10 minutes before; headspace 1 in (2.5 cm)
        note: your own process; no table here confirms it
        from Invented-Bulletin, page 4 (2020-01-01)
    -- stderr --
    next: `jarledger process --own` lists what you added; `jarledger undo` undoes it
    -- exit 0 --
    ");
    let again = world.run(&whole);
    assert_eq!(again.code, 4, "{again}");
    insta::assert_snapshot!(world.run(&words("process --food turnips --pack hot --jar pint --method pressure-dial")), @"
    hot pack, pints, in a dial-gauge pressure canner, at 500 ft (152 m)
    No tested process is on record for “turnips”: ask your extension service before
    canning it.
    Your own, from publications of yours; no table here confirms them:
      30 minutes at 11 psi (75.9 kPa)
        vent 10 minutes before; headspace 1 in (2.5 cm)
        note: your own process; no table here confirms it
        from Invented-Bulletin, page 4 (2020-01-01)

    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
    let answer = world.json(&words("process --food turnips --jar pint"));
    assert_eq!(answer["options"], serde_json::json!([]));
    assert_eq!(answer["none_because"], "food");
    assert_eq!(answer["household_options"][0]["basis"], "household");
    assert_eq!(world.json(&words("process --own"))["household_processes"][0]["food"], "turnips");
}

#[test]
fn an_own_process_that_a_load_falls_short_of_pulls_its_jars() {
    let mut world = World::with_canners();
    let own = |pack: &str| {
        format!(
            "process add --food pears --pack {pack} --method boiling-water --minutes 60 --jar pint \
             --headspace 0.5in --publication Invented-Bulletin --page 4 --published 2020-01-01"
        )
    };
    assert_eq!(world.line(&own("hot")).code, 0);
    world.on("2026-08-24T15:00");
    let pears =
        "putup --product Pears --food pears --pack raw --load jars=pint:2 --canner Kettle --minutes 30";
    let verdict = |answer: &serde_json::Value| answer["loads"][0]["verdict"].clone();
    // Nothing was tested for its pack, and food that is acid by the tables then goes free.
    assert_eq!(verdict(&world.json_of(pears)), "no-tested-process");
    insta::assert_snapshot!(world.line(&own("raw")), @"
    pears (acid), raw pack, pints, in a boiling-water canner, from 0 ft up
      1 h at a full boil
        headspace 0.5 in (1.3 cm)
        note: your own process; no table here confirms it
        from Invented-Bulletin, page 4 (2020-01-01)
    Checked 1 load again: 1 verdict changed.
      load 26-001/1 deviates (before: no-tested-process): 30 min unbroken at a full
      boil; 60 min is required
    2 jars on hold now.
    Place  Jar          Product  Size  State             Load
    -      26-001-01-0  Pears    pint  cooling, on hold  26-001/1
    -      26-001-02-8  Pears    pint  cooling, on hold  26-001/1
    [caution: botulism]
    -- stderr --
    next: `jarledger process --own` lists what you added; `jarledger undo` undoes it
    -- exit 0 --
    ");
    world.json_of("undo");
    let answer = world.json_of(&own("raw"));
    assert_eq!(answer["rejudged"][0]["was"], "no-tested-process");
    assert_eq!(answer["pull"].as_array().unwrap().len(), 2);
}

// Penn State Extension, Canning with half-gallon jars: a tested process for apple juice and grape juice only. USDA AIB
// 539, Guide 2, apple juice in half-gallons: 10 min to 1,000 ft.
#[test]
fn an_own_process_for_a_half_gallon_is_refused_but_for_the_two_juices() {
    let world = World::at_500_ft();
    let own = |food: &str, minutes: u32| {
        world.line(&format!(
            "process add --food {food} --acidity acid --pack hot --method boiling-water --minutes {minutes} --to 1000ft \
             --jar half-gallon --headspace 0.25in --publication Invented-Bulletin --page 4 --published 2020-01-01"
        ))
    };
    for food in ["pears", "rose-hip-drink"] {
        let refused = own(food, 60);
        assert_eq!(refused.code, 4, "{refused}");
        assert!(
            refused.err.contains("half-gallons: Half-gallon jars have a tested process for apple juice"),
            "{refused}"
        );
        assert!(refused.err.contains("Penn State Extension"), "{refused}");
    }
    assert_eq!(own("apple-juice", 9).code, 4);
    assert_eq!(own("apple-juice", 15).code, 0);
}

// USDA AIB 539, Guide 4, Beans, snap and Italian: raw pack, pints, weighted gauge, 20 min at 10 psi to 1,000 ft.
#[test]
fn an_own_process_under_the_tables_is_refused_and_counts_nowhere() {
    let mut world = World::at_500_ft();
    world.json_of("canner add Weights --method pressure-weighted --holds quart:7");
    let own = "process add --food green-beans --pack raw --jar quart --method pressure-weighted --to 1000ft --minutes 20 \
               --pressure 10psi --headspace 1in --publication Invented_Bulletin --page 4 --published 2020-01-01";
    insta::assert_snapshot!(world.line(own), @r"
    -- stderr --
    error: the tables ask 25 min at 10 psi for green-beans in quarts, 0 to 1000 ft (USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 4, Vegetables and Vegetable Products), and this gives 20 min at 10 psi; nothing was changed
    hint: copy the figures from the publication, or ask your extension service
    -- exit 4 --
    ");
    let asked =
        "process --food green-beans --pack raw --jar quart --method pressure-weighted --altitude 500ft";
    let answer = world.json_of(asked);
    assert_eq!(
        (&answer["options"][0]["minutes"], &answer["household_options"]),
        (&25.into(), &serde_json::json!([]))
    );
    // As much as the table asks, or more, is taken, and stands beside it.
    assert_eq!(world.line(&own.replace("--minutes 20", "--minutes 30")).code, 0);
    assert_eq!(world.json_of(asked)["household_options"][0]["minutes"], 30);
    world.on("2026-08-24T15:00");
    let answer = world.json_of(
        "putup --product Beans --food green-beans --pack raw --jars quart:2 --canner Weights --minutes 10 --vent 10 \
         --pressure 10",
    );
    assert_eq!(answer["loads"][0]["verdict"], "deviates");
}

#[test]
fn of_two_own_processes_the_shorter_is_set_aside_in_whatever_order() {
    let world = World::at_500_ft();
    let own = |minutes: u32| {
        format!(
            "process add --food turnips --acidity low-acid --pack hot --jar pint --method pressure-dial --minutes {minutes} \
             --pressure 11psi --headspace 1in --publication Invented_Bulletin --page {minutes} --published 2020-01-01"
        )
    };
    world.json_of(&own(30));
    assert_eq!(world.json_of(&own(25))["process"]["set_aside_by"][0]["minutes"], 30);
    // The list marks the one that decides nothing.
    let listed = world.json_of("process --own");
    let by: Vec<_> = listed["household_processes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|own| &own["set_aside_by"][0]["minutes"])
        .collect();
    assert_eq!(by, [&serde_json::Value::Null, &30.into()]);
    assert_eq!(world.line("process --own").out.matches("set aside: another process").count(), 1);
    let answer = world.json_of(&own(35));
    let longer: Vec<_> = answer["sets_aside"].as_array().unwrap().iter().map(|own| &own["minutes"]).collect();
    assert_eq!(
        (longer, &answer["process"]["set_aside_by"]),
        (vec![&30.into(), &25.into()], &serde_json::Value::Null)
    );
}

#[test]
fn low_acid_food_is_never_added_to_a_boiling_water_canner() {
    let world = World::at_500_ft();
    let refused = world.run(&words("process add --food beets --pack hot --jar pint --method boiling-water --minutes 90 --headspace 1in --publication Invented-Bulletin --page 4 --published 2020-01-01"));
    insta::assert_snapshot!(refused, @r"
    -- stderr --
    error: beets is low-acid food: there is no tested boiling-water process for low-acid food; nothing was changed
    hint: copy the figures from the publication, or ask your extension service
    -- exit 4 --
    ");
    assert_eq!(world.json(&words("process --own"))["household_processes"], serde_json::json!([]));
}

#[test]
fn low_acid_food_is_not_added_to_a_boiling_water_canner_under_a_near_name() {
    let world = World::at_500_ft();
    let refused = world.run(&words("process add --food greenbeans --acidity acid --pack hot --jar pint --method boiling-water --minutes 90 --headspace 1in --publication Invented-Bulletin --page 4 --published 2020-01-01"));
    insta::assert_snapshot!(refused, @r"
    -- stderr --
    error: greenbeans is a food of the tables under another name, green-beans: a process for it goes by the key of the tables; nothing was changed
    hint: copy the figures from the publication, or ask your extension service
    -- exit 4 --
    ");
}

#[test]
fn a_named_canner_brings_its_kind_and_the_kitchen_its_height() {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big", "--method", "pressure-dial", "--holds", "quart:7,pint:9"]);
    insta::assert_snapshot!(world.run(&words("process --food beets --pack hot --jar pint --canner big")), @"
    Beets, whole, cubed or sliced
    hot pack, pints, in a dial-gauge pressure canner, at 500 ft (152 m)
      30 minutes at 11 psi (75.9 kPa)
        vent 10 minutes before; headspace 1 in (2.5 cm)
        from USDA Complete Guide to Home Canning (AIB 539, 2015), Guide 4,
        Vegetables and Vegetable Products
        its gauge was never tested: have it tested before you rely on it

    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
    assert_eq!(world.run(&words("process --food beets --canner small")).code, 3);
}

#[test]
fn a_table_of_several_processes_shows_the_venting_of_those_under_pressure() {
    // USDA AIB 539, Guide 1, Using Pressure Canners: 10 minutes. Boiling water takes none.
    let shown = World::new().ok(&words("process --food peaches --jar pint --altitude 500ft"));
    assert!(shown.contains("1: vent 10 minutes before"), "{shown}");
    let marked =
        |method: &str| shown.lines().filter(|line| line.contains(method)).all(|line| line.contains("  1"));
    assert!(marked("pressure-dial") && marked("pressure-weighted") && !marked("boiling-water"), "{shown}");
    // Of a fish quart the venting is not held.
    let fish = World::new()
        .ok(&words("process --food fish --pack raw --jar quart --method pressure-dial --altitude 0ft"));
    assert!(!fish.contains("vent 10 minutes") && fish.contains("a longer way of venting"), "{fish}");
}

// Kansas State University Extension: no home canning process for mashed or pureed pumpkin.
#[test]
fn food_that_must_not_be_canned_is_answered_first_and_with_no_other_food() {
    let world = World::new();
    for food in ["pumpkin butter", "Pumpkin butter with spice", "pesto", "zucchini", "white peaches"] {
        let answer = world.json(&["process", "--food", food, "--altitude", "500ft"]);
        assert_eq!(answer["none_because"], "never", "{food}");
        assert_eq!(answer["options"].as_array().unwrap().len(), 0);
        assert_eq!(answer["suggestions"].as_array().unwrap().len(), 0);
        assert!(answer["detail"].as_str().unwrap().starts_with("Do not can"));
    }
}

// The design's word for it: the mark stands wherever the jar shows, with the cautions of low-acid food.
#[test]
fn jars_of_an_own_process_are_marked_wherever_they_show() {
    let mut world = World::with_canners();
    let own = "process add --food turnip-relish --acidity acid --pack hot --jar pint --method boiling-water --minutes 20 \
               --headspace 0.5in --publication Invented-Bulletin --page 4 --published 2020-01-01";
    assert_eq!(world.line(own).code, 0);
    world.on("2026-08-24T15:00");
    let answer = world.json_of(
        "putup --product Relish --food turnip-relish --pack hot --jars pint:3 --canner Kettle --minutes 20 --place Cellar",
    );
    // Put up before the day the process was entered (the first of September), it meets nothing.
    assert_eq!(answer["loads"][0]["verdict"], "no-tested-process");
    world.json_of("undo");
    world.on("2026-09-02T15:00");
    let answer = world.json_of(
        "putup --product Relish --food turnip-relish --pack hot --jars pint:3 --canner Kettle --minutes 20 --place Cellar",
    );
    assert_eq!(answer["loads"][0]["verdict"], "meets-own");
    world.on("2026-09-03T15:00");
    world.json_of("seal 26-002 --sealed");
    let words = |line: &str| world.line(line).out.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in
        ["jar 26-002 1", "batch 26-002", "shelf", "shelf --jars", "trace 26-002", "label 26-002 1 --text"]
    {
        assert!(words(line).contains("own process,"), "{line}: {}", words(line));
    }
    world.ok(&["report", "--out", "shelf.html"]);
    let page = std::fs::read_to_string(world.home().join("shelf.html")).unwrap();
    assert!(page.contains("own process, confirmed by no table"));
    let eat = world.json_of("eat");
    assert_eq!(eat["eat_first"][0]["own_process"], true);
    assert!(eat["cautions"][0].as_str().unwrap().contains("botulism"), "{eat}");
    let opened = world.line("open 26-002 1");
    assert!(opened.out.contains("Its process: own process, confirmed by no table."), "{opened}");
    assert!(opened.out.contains("Boil before tasting"), "{opened}");
    let given = words("give 26-002 2 --to Ida");
    assert!(
        given.contains("Tell whoever gets them: own process, confirmed by no table (1 of 1 jar)."),
        "{given}"
    );
}

#[test]
fn bare_words_ask_for_a_food() {
    let world = World::at_500_ft();
    // The foods' names are those of the tables: USDA Complete Guide (AIB 539, 2015), Guides 4 and 5.
    for (words, food) in [
        ("string beans", "Beans, snap and Italian"),
        ("creamed corn", "Corn, cream style"),
        ("hamburger", "Ground or chopped meat"),
        ("chicken stock", "Meat stock (broth)"),
        ("chili with beans", "Chile con carne"),
        ("peaches", "Peaches, halved or sliced"),
    ] {
        let shown = world.ok(&[&["process"], &*words.split(' ').collect::<Vec<_>>()].concat());
        assert!(shown.starts_with(food), "{words}: {shown}");
    }
    let butter = world.ok(&["process", "pumpkin", "butter"]);
    assert!(butter.starts_with("Do not can \u{201c}pumpkin butter\u{201d}."), "{butter}");
    let both = world.run(&["process", "peaches", "--food", "pears"]);
    assert_eq!(both.code, 2, "{both}");
}

#[test]
fn no_height_is_needed_to_say_that_a_food_must_not_be_canned() {
    let world = World::new();
    let shown = world.ok(&["process", "pesto"]);
    assert!(shown.starts_with("Do not can \u{201c}pesto\u{201d}."), "{shown}");
    assert_eq!(world.json(&["process", "pesto"])["altitude"], serde_json::Value::Null);
    assert_eq!(world.run(&["process", "pears"]).code, 2, "for a tested food it is");
}
