//! `plan`: jars, loads, lids, produce and hours of a batch to come.

use crate::common::world::World;

fn kitchen() -> World {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big", "--method", "pressure-dial", "--holds", "quart:7,pint:9"]);
    world
}

#[test]
fn produce_becomes_jars_loads_lids_and_hours() {
    // USDA AIB 539, Guide 4, snap beans: 14 lb for 7 quarts, so 24 lb fill 12; 7 in a load.
    insta::assert_snapshot!(kitchen().run(&["plan", "green-beans", "--from-pounds", "24", "--jar", "quart", "--pack", "raw"]), @"
    green-beans: 12 quarts of green-beans, raw pack, Big at 500 ft (152 m)
      2 loads: 7, 5; 12 new lids
      24 lb (10.9 kg) of produce as bought, from USDA Complete Guide to Home Canning
      (AIB 539, 2015), Guide 4, Vegetables and Vegetable Products

    Each load, 25 minutes at 11 psi (75.9 kPa):
        its gauge was never tested: have it tested before you rely on it
      vent: 10 minutes; USDA Complete Guide to Home Canning (AIB 539, 1994), Guide
      1, Using Pressure Canners
      come up to pressure: not known yet (The guide's 3 to 5 minutes count from the
      closed vent only; your own loads will show.)
      process: 25 minutes; USDA Complete Guide to Home Canning (AIB 539, 2015),
      Guide 4, Vegetables and Vegetable Products
      let the pressure fall by itself: 45 minutes; Pacific Northwest Extension PNW
      421, Using and Caring for Your Pressure Canner (For older heavy canners; a
      thin-walled one is done when its vent lock drops.)
      wait, then take off the lid: 10 minutes; USDA Complete Guide to Home Canning
      (AIB 539, 1994), Guide 1, Using Pressure Canners (not seen in print: ask your
      extension service)
      together at least 1 h 30 min a load, at least 3 h for all, one after another

    Then let the jars stand 12 to 24 h before the seals are checked (USDA Complete
    Guide to Home Canning (AIB 539, 1994), Guide 1, Testing Jar Seals).
    [caution: figures only]
    [caution: ask]
    -- exit 0 --
    ");
}

#[test]
fn a_plan_for_other_programs_carries_each_figure_with_its_source() {
    let plan = kitchen().json(&["plan", "beets", "--jars", "10", "--jar", "pint", "--pack", "hot"]);
    assert_eq!(plan["loads"], serde_json::json!([9, 1]));
    assert_eq!(plan["lids"], 10);
    // USDA AIB 539, Guide 4, beets: 13.5 lb for 9 pints is 1.5 lb a pint.
    assert_eq!(plan["produce"][0]["pounds"], 15.0);
    // 10 vent + 30 process + 30 until an old canner of pints is down + 10 wait, by hand; twice.
    assert_eq!(plan["options"][0]["all_loads"], serde_json::json!({"minutes": 160, "at_least": true}));
    for step in plan["options"][0]["steps"].as_array().unwrap() {
        assert!(!step["source"].as_str().unwrap().is_empty(), "{step}");
    }
}

#[test]
fn alternatives_are_planned_as_whole_pairs_with_the_acid() {
    let text =
        kitchen().ok(&["plan", "tomatoes-whole-water", "--jars", "9", "--jar", "pint", "--pack", "hot"]);
    // USDA AIB 539, Guide 3: 15 minutes at 6 psi or 10 at 11 by dial gauge up to 2,000 ft.
    assert!(
        text.contains("Each load, 15 minutes at 6 psi") && text.contains("Each load, 10 minutes at 11 psi")
    );
    assert!(text.contains("1 tablespoon of bottled lemon juice"), "{text}");
}

#[test]
fn where_the_guide_gives_no_weight_or_several_the_question_goes_back() {
    let world = kitchen();
    let ask = |args: &[&str]| {
        let ran = world.run(args);
        assert_eq!(ran.code, 2, "{ran}");
        ran.err
    };
    let none = ask(&["plan", "soup", "--from-pounds", "24", "--jar", "pint", "--pack", "hot"]);
    assert!(none.contains("no weight of produce for soup in pints"), "{none}");
    let base = ["plan", "tomato-sauce-standard", "--from-pounds", "42", "--jar", "pint", "--pack", "hot"];
    let styles = ask(&base);
    assert!(styles.contains("thin sauce, thick sauce"), "{styles}");
    let thin: Vec<&str> = base.into_iter().chain(["--style", "thin sauce"]).collect();
    // USDA AIB 539, Guide 3: 21 lb of thin sauce for 9 pints.
    assert_eq!(world.json(&thin)["jars"], 18);
    let little = ask(&["plan", "beets", "--from-pounds", "1", "--jar", "quart", "--pack", "hot"]);
    assert!(little.contains("does not fill one jar"), "{little}");
    assert!(ask(&["plan", "beets", "--jar", "quart", "--pack", "hot"]).contains("neither produce nor jars"));
}

#[test]
fn without_a_tested_process_there_is_no_timetable() {
    let world = kitchen();
    insta::assert_snapshot!(world.run(&["plan", "chile-con-carne", "--jars", "9", "--jar", "quart", "--pack", "hot"]), @"
    No tested process. Chile con carne has no tested process in quarts: a smaller
    jar may take the process of a larger one listed, never the other way round, and
    no time is scaled. Tested instead: pints, hot pack, in a dial-gauge pressure
    canner.
    chile-con-carne: 9 quarts of chile-con-carne, hot pack, Big at 500 ft (152 m)
    [caution: botulism]
    [caution: ask]
    -- exit 0 --
    ");
    let unknown = world.run(&["plan", "Deer", "--jars", "9", "--jar", "quart", "--pack", "hot"]);
    assert_eq!(unknown.code, 3, "{unknown}");
    assert!(unknown.err.contains("meat-chunks"));
    let named = ["plan", "Deer", "--food", "meat-chunks", "--jars", "9", "--jar", "quart", "--pack", "hot"];
    assert_eq!(world.json(&named)["options"][0]["minutes"], 90);
}

#[test]
fn a_plan_aims_the_dial_as_the_process_does() {
    let world = kitchen();
    let plan = ["plan", "green-beans", "--jars", "7", "--jar", "pint", "--pack", "hot"];
    let process = ["process", "--food", "green-beans", "--pack", "hot", "--jar", "pint", "--canner", "Big"];
    assert!(world.ok(&plan).contains("its gauge was never tested"));
    world.ok(&["gauge", "Big", "--reads", "5,10,15", "--true", "6,9,15"]);
    // 11 psi owed; at 10 the dial reads 1 psi high, at 15 true, so 0.2 less for each psi: by hand r - 1 + 0.2 (r - 10) = 11
    // gives 11.67. The target is common practice, no source.
    let shown = world.ok(&plan);
    assert!(shown.contains("aim at a reading of 11.67 psi ("), "{shown}");
    let (planned, owed) = (world.json(&plan), world.json(&process));
    assert_eq!(planned["options"][0]["dial_target_psi"], 11.67);
    assert_eq!(planned["options"][0]["dial_target_psi"], owed["options"][0]["dial_target_psi"]);
    // Extension dial-gauge guidance: more than 2 psi off means a new gauge.
    world.ok(&["gauge", "Big", "--reads", "10", "--true", "7"]);
    assert!(world.ok(&plan).contains("too far off to be corrected: replace it"));
}

#[test]
fn a_plan_without_a_tested_process_says_so_first_and_counts_nothing_up() {
    let world = kitchen();
    world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "quart:7,pint:9"]);
    // USDA AIB 539, Guide 1: low-acid food is canned under pressure alone; Guide 4 ends at 8,000 ft by dial.
    for more in [["--canner", "Kettle"].as_slice(), &["--canner", "Big", "--altitude", "9000ft"]] {
        let plan = ["plan", "green-beans", "--jars", "7", "--jar", "pint", "--pack", "hot"];
        let shown = world.ok(&[&plan, more].concat());
        assert!(shown.starts_with("No tested process. "), "{shown}");
        assert!(!shown.contains("load") && !shown.contains(" lb "), "{shown}");
        assert!(
            shown.contains("botulism toxin") && shown.contains("This is a record, not advice."),
            "{shown}"
        );
    }
}

#[test]
fn sizes_share_loads_where_the_canner_is_known_to_hold_them_together() {
    let world = kitchen();
    let line = ["plan", "green-beans", "--jars", "pint:5,quart:4", "--pack", "raw", "--canner"];
    let apart = world.json(&[&line[..], &["Big"]].concat());
    assert_eq!(apart["loads"].as_array().unwrap().len(), 2);
    assert!(apart["detail"].as_str().unwrap().contains("nothing on record says"), "{apart}");
    // Snap beans, raw, 500 ft: pints 20, quarts 25 min (AIB 539, Guide 4): no process in common.
    let deep = ["canner", "add", "Deep", "--method", "pressure-dial", "--holds", "quart:7,pint:9"];
    world.ok(&[&deep[..], &["--together", "quart:4,pint:5"]].concat());
    assert_eq!(world.json(&[&line[..], &["Deep"]].concat())["loads"].as_array().unwrap().len(), 2);
    // Apple juice, pints and quarts alike 5 min in boiling water up to 1,000 ft (AIB 539, Guide 2).
    let kettle = ["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "quart:7,pint:9"];
    world.ok(&[&kettle[..], &["--together", "quart:4,pint:5"]].concat());
    let juice = ["plan", "apple-juice", "--jars", "pint:5,quart:4", "--pack", "hot", "--canner", "Kettle"];
    let together = world.json(&juice);
    let load = serde_json::json!([[{"size": "pint", "jars": 5}, {"size": "quart", "jars": 4}]]);
    assert_eq!(together["loads"], load, "{together}");
    assert_eq!(together["plans"].as_array().unwrap().len(), 2);
}

// Hummus: a puree of a low-acid food (USDA AIB 539, Guide 3, Pumpkins and winter squash: "do not mash or puree").
#[test]
fn what_must_not_be_canned_is_not_asked_for_by_another_name() {
    let world = kitchen();
    let ran = world.run(&["plan", "hummus", "--jars", "pint:5", "--canner", "Big"]);
    assert!(ran.code == 3 && ran.err.contains("Do not can"), "{ran}");
    assert!(ran.err.contains("hint: do not can it") && !ran.err.contains("--food"), "{ran}");
}

// Penn State Extension, What not to can: pesto. USDA AIB 539, Guide 4: green beans are low-acid; Guide 2: peaches are acid.
#[test]
fn nothing_is_planned_by_a_name_that_names_another_food() {
    let world = World::with_canners();
    for (product, food, names) in [
        ("Pesto", "jam-jelly", "names pesto, which must not be canned"),
        ("Green beans", "peaches", "names green-beans"),
    ] {
        let line =
            ["plan", product, "--food", food, "--pack", "hot", "--jars", "pint:9", "--canner", "Kettle"];
        let refused = world.run(&line);
        assert_eq!(refused.code, 4, "{refused}");
        assert!(refused.err.contains(names), "{refused}");
    }
    world.ok(&[
        "plan",
        "Peaches in light syrup",
        "--food",
        "peaches",
        "--pack",
        "hot",
        "--jars",
        "pint:9",
        "--canner",
        "Kettle",
    ]);
}
