//! `putup` by flags: loads, verdicts, codes and the seal window.

use crate::common::world::World;

/// Out at 14:05 on Friday 14 August 2026.
const BEANS: &str = "putup --product Green_beans --food green-beans --pack hot --canner big_dial --vent 10 \
                     --pressure 11 --out 14:05";

fn friday() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world
}

// USDA AIB 539, Guide 4, Beans, snap and Italian: hot pack, dial gauge to 2,000 ft, 11 psi, pints 20 min.
// Check digits of 2600101 and on by ISO/IEC 7064 MOD 11,10 (python-stdnum, iso7064.mod_11_10).
#[test]
fn a_batch_is_split_into_loads_and_shown_with_its_seal_window() {
    let world = friday();
    insta::assert_snapshot!(world.line(&format!("{BEANS} --jars pint:14 --minutes 20 --come-up 12")), @"
    26-001  Green beans: 14 pints, put up Friday 14 August 2026.
    Load 26-001/1: 9 pints, Big dial, 11 psi, 20 min, vented 10 min, came up in 12
    min, at 500ft, out Friday 14 August, 14:05. Jars 26-001-01-0 to 26-001-09-3.
    Load 26-001/2: 5 pints, Big dial, 11 psi, 20 min, vented 10 min, came up in 12
    min, at 500ft, out Friday 14 August, 14:05. Jars 26-001-10-8 to 26-001-14-9.
    Check the seals from Saturday 15 August, 02:05 to Saturday 15 August, 14:05.
    Note: Two loads from one canner came out at the same time; `--load out=…` gives
    each its own.

    Meets the tested process for Beans, snap and Italian, pieces (hot pack, pints,
    dial-gauge pressure).
      - caution: the dial gauge had no test in the year before this load; one is
        required every year
    -- stderr --
    next: after 12 hours `jarledger seal 26-001 --sealed`, or `jarledger seal 26-001 --failed 3,7`
    -- exit 0 --
    ");
}

#[test]
fn the_answer_for_other_programs_has_what_was_promised() {
    let world = friday();
    let answer = world.json_of(&format!("{BEANS} --jars pint:2 --minutes 20"));
    assert_eq!(answer["batch"], "26-001");
    assert_eq!(answer["jars"], serde_json::json!(["26-001-01-0", "26-001-02-8"]));
    assert_eq!(answer["loads"][0]["verdict"], "meets");
    assert_eq!(answer["loads"][0]["findings"][0]["code"], "gauge-untested");
    // 12 and 24 h after 14:05, by hand.
    assert_eq!(answer["seal_check_from"], "2026-08-15T02:05:00Z");
    assert_eq!(answer["seal_check_to"], "2026-08-15T14:05:00Z");
}

// Same guide: quarts 25 min. The run from 13:30 to 14:00 with a drop at 13:50 is 20 min and then 8, by hand.
#[test]
fn a_load_that_falls_short_is_held_with_what_may_still_be_done() {
    let world = friday();
    let load = "jars=quart:2,minutes=30,reached=13:30,ended=14:00,drop=13:50-13:52";
    insta::assert_snapshot!(world.line(&format!("{BEANS} --load {load}")), @r"
    26-001  Green beans: 2 quarts, put up Friday 14 August 2026.
    Load 26-001/1: 2 quarts, Big dial, 11 psi, 30 min, vented 10 min, reached 13:30,
    ended 14:00, drop 13:50-13:52, at 500ft, out Friday 14 August, 14:05. Jars
    26-001-01-0 to 26-001-02-8.

    Does not meet the tested process for Beans, snap and Italian, pieces (hot pack,
    quarts, dial-gauge pressure).
      - 20 min unbroken at pressure, as a drop starts the full time again; 25 min is
        required
      - caution: the dial gauge had no test in the year before this load; one is
        required every year
    On hold: all 2 jars. Mistyped? `jarledger correct load 26-001/1`
    Until 16:05: reprocess (new lids, full hot-pack time), refrigerate (use within 2
    days), or freeze (1 1/2 in of headspace). Extension services say 2 hours or 24
    (ask yours); this program uses 2.
    Never taste food to decide: botulism toxin can be there with little or no sign.
    -- stderr --
    next: `jarledger freeze 26-001 1-2` (or `chill`, or `putup --reprocess`)
    -- exit 0 --
    ");
    let answer = world.json_of(&format!("{BEANS} --load {load}"));
    assert_eq!(answer["on_hold"].as_array().unwrap().len(), 2);
    // Two hours after 14:05, the shorter of the two figures.
    assert_eq!(answer["loads"][0]["rescue"]["until"], "2026-08-14T16:05:00Z");
}

#[test]
fn loads_may_differ_and_must_add_up() {
    let world = friday();
    let one = "--minutes 30 --load jars=pint:9,minutes=20,lid-lot=B7,out=12:10";
    let two = "--load canner=kettle,jars=pint:2,quart:3,minutes=25,out=2026-08-14T13:40,altitude=305m";
    let beans = "putup --product Beans --food green-beans --pack hot --canner big_dial --vent 10";
    let answer = world.json_of(&format!("{beans} {one} {two} --jars pint:11,quart:3"));
    let loads = &answer["loads"];
    assert_eq!((&loads[0]["canner"], &loads[1]["canner"]), (&"Big dial".into(), &"Kettle".into()));
    assert_eq!((&loads[0]["altitude"], &loads[1]["altitude"]), (&"500ft".into(), &"305m".into()));
    assert_eq!((&loads[0]["minutes"], &loads[0]["lid_lots"]), (&20.into(), &serde_json::json!(["B7"])));
    assert_eq!(loads[0]["verdict"], "not-recorded");
    assert_eq!(loads[1]["verdict"], "no-tested-process");
    // All may be looked at 12 h after the last came out, and must be 24 h after the first.
    assert_eq!(answer["seal_check_from"], "2026-08-15T01:40:00Z");
    assert_eq!(answer["seal_check_to"], "2026-08-15T12:10:00Z");
    insta::assert_snapshot!(world.line(&format!("{beans} {one} {two} --jars pint:12")), @r"
    -- stderr --
    error: --jars says 12 pints, and the loads hold 11 pints and 3 quarts; nothing was saved
    hint: leave --jars out, or make the loads add up to it
    -- exit 2 --
    ");
}

#[test]
fn what_is_missing_is_named_and_nothing_is_saved() {
    let world = friday();
    for (given, flag) in [
        ("putup", "--product NAME"),
        ("putup --product Pears", "--food FOOD"),
        ("putup --product Pears --food pears", "--pack hot|raw"),
        ("putup --product Pears --food pears --pack hot", "--jars SIZE:JARS"),
        ("putup --product Pears --food pears --pack hot --jars pint:3", "--canner NAME"),
        (
            "putup --product Pears --food pears --pack hot --jars pint:3 --canner Kettle --on yesterday",
            "--out TIME",
        ),
        ("putup --product T --food tomatoes-crushed --pack hot --jars pint:3 --canner Kettle", "--acid"),
    ] {
        let ran = world.line(given);
        assert_eq!(ran.code, 2, "{given}: {ran}");
        assert!(ran.err.contains(&format!("error: {flag} is missing")) || flag == "--acid", "{ran}");
        assert!(ran.err.contains(flag), "{ran}");
    }
    assert!(world.line("batch").out.contains("No batch"));
}

#[test]
fn only_a_known_food_is_taken() {
    let world = friday();
    let ran = world.line("putup --product Beans --food beans --pack hot --jars pint:3 --canner Kettle");
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("green-beans ("), "{ran}");
    assert!(ran.err.contains("--food none and --acidity"), "{ran}");
    let ran = world
        .line("putup --product B --food green-beans --acidity acid --pack hot --jars pint:3 --canner Kettle");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("green-beans is low-acid in the tables"), "{ran}");
}

#[test]
fn food_of_the_tables_is_not_put_up_as_food_no_table_knows() {
    let world = friday();
    for product in ["Green_beans", "greenbeans", "String_bean"] {
        let ran = world.line(&format!(
            "putup --product {product} --food none --acidity acid --jars pint:3 --canner Kettle --minutes 10"
        ));
        assert_eq!(ran.code, 4, "{ran}");
        assert!(ran.err.contains("is a food of the process tables: green-beans (Beans, snap"), "{ran}");
        assert!(ran.err.contains("give --food green-beans; if it is another food"), "{ran}");
    }
    assert_eq!(world.json_of("batch")["batches"], serde_json::json!([]));
}

// Which food needs what: USDA AIB 539; the names are common usage.
#[test]
fn a_name_that_names_food_needing_more_is_refused_unless_somebody_says_why() {
    let world = friday();
    let line =
        "putup --product Green_beans --food peaches --pack hot --jars quart:2 --canner Kettle --minutes 25";
    let ran = world.line(line);
    assert_eq!(ran.code, 4, "{ran}");
    assert!(
        ran.err.contains("Green beans cannot be peaches: it names green-beans, which is low-acid food"),
        "{ran}"
    );
    assert!(ran.err.contains("--name-reason"), "{ran}");
    assert_eq!(world.line("batch 26-001").code, 3, "nothing was logged");
    let answer = world.json_of(&format!("{line} --name-reason the_children_call_them_so"));
    assert_eq!(answer["loads"][0]["verdict"], "meets");
    let findings = answer["loads"][0]["findings"].as_array().unwrap();
    let doubted = findings.iter().find(|finding| finding["code"] == "name-doubted").unwrap();
    assert!(doubted["message"].as_str().unwrap().ends_with("the children call them so"), "{doubted}");
    assert_eq!(world.json_of("batch 26-001")["name_reason"], "the children call them so");
    // A correction is doubted like a new batch, and takes a reason too.
    world.json_of(
        "putup --product Peaches --food peaches --pack hot --jars quart:2 --canner Kettle --minutes 25",
    );
    let renamed = world.line("correct batch 26-002 --product Chicken_soup --reason misread");
    assert_eq!((renamed.code, renamed.err.contains("nothing was changed")), (4, true), "{renamed}");
    world.json_of("correct batch 26-002 --product Chicken_soup --name-reason a_joke --reason misread");
}

// USDA AIB 539, Guide 3, Tomatoes, crushed: boiling water, quarts 45 min to 1,000 ft (from memory).
#[test]
fn acid_is_read_as_it_is_given() {
    let world = friday();
    let line = "putup --product Tomatoes --food tomatoes-crushed --pack hot --jars quart:1 --canner Kettle --minutes 45";
    for (acid, verdict) in [
        ("lemon-juice", "meets"),
        ("citric-acid:short", "deviates"),
        ("none", "deviates"),
        ("unknown", "not-recorded"),
    ] {
        assert_eq!(world.json_of(&format!("{line} --acid {acid}"))["loads"][0]["verdict"], verdict, "{acid}");
    }
}

#[test]
fn a_time_still_to_come_or_a_wrong_size_is_refused() {
    let mut world = friday();
    world.on("2026-08-14T12:00");
    let ran = world.line(&format!("{BEANS} --jars pint:3"));
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("Friday 14 August, 14:05 is still to come"), "{ran}");
    assert!(ran.err.contains("--on yesterday"), "{ran}");
    let ran = world.line(&format!("{BEANS} --jars half-gallon:3 --on yesterday"));
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("how many half-gallons this canner takes is not on record"), "{ran}");
    let ran = world.line(&format!("{BEANS} --jars pint:3 --on 2026-08-15"));
    assert!(ran.err.contains("is still to come"), "{ran}");
    let ran = world.line(&format!("{BEANS} --jars pint:3 --on 02/03/04"));
    assert!(ran.err.contains("2 March 2004"), "{ran}");
    let ran =
        world.line("putup --product P --food pears --pack hot --jars pint:3 --canner Kettle --pressure 5");
    assert!(ran.err.contains("has no pressure"), "{ran}");
    let ran = world.line("putup --product P --food pears --pack hot --jars pint:3 --canner Pot");
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("there is Big dial, Kettle"), "{ran}");
}

#[test]
fn an_old_batch_needs_no_hour_and_says_so() {
    let world = friday();
    let answer =
        world.json_of("putup --product Pears --food pears --pack hot --jars pint:3 --canner Kettle --on -3d");
    assert_eq!(answer["loads"][0]["out_at"], "2026-08-11T23:59:00Z");
    assert!(answer["remarks"][0].as_str().unwrap().contains("the end of that day"));
}

// Unicode Standard Annex #15: n and U+0303 are one with U+00F1; a CJK character takes two columns.
#[test]
fn names_in_any_script_are_one_name_in_each_spelling() {
    let world = friday();
    let rest = "--food none --acidity acid --canner Kettle";
    world.json_of(&format!("putup --product Pi\u{f1}ata --jars pint:1 --place Ja\u{301}n {rest}"));
    world.json_of(&format!("putup --product pin\u{303}ata --jars pint:1 {rest}"));
    world.json_of(&format!("putup --product 梅干し --jars pint:1 {rest}"));
    world.json_of(&format!("putup --product Żurek --jars pint:1 {rest}"));
    insta::assert_snapshot!(world.line("batch"), @"
    Batch   Put up      Product  Jars  Where they stand      Process
    26-004  2026-08-14  Żurek       1  1 cooling, 1 on hold  no-tested-process
    26-003  2026-08-14  梅干し      1  1 cooling, 1 on hold  no-tested-process
    26-002  2026-08-14  Piñata      1  1 cooling, 1 on hold  no-tested-process
    26-001  2026-08-14  Piñata      1  1 cooling, 1 on hold  no-tested-process
    -- exit 0 --
    ");
    let shelf = world.json_of("shelf --product PI\u{d1}ATA");
    assert_eq!(shelf["total"], 2);
    let refused = world.run(&["putup", "--product", "a\u{1b}[2J"]);
    assert_eq!(refused.code, 2);
    assert!(!refused.err.contains('\u{1b}'), "{refused}");
}

#[test]
fn what_looks_odd_is_remarked_on_and_saved_all_the_same() {
    let world = friday();
    let beans = "putup --product Beans --food green-beans --pack hot --canner Big_dial";
    let answer = world.json_of(&format!("{beans} --load jars=pint:10 --out 15:01"));
    let remarks = answer["remarks"].to_string();
    assert!(remarks.contains("10 pints in load 1 is more than Big dial holds on record."), "{remarks}");
    assert!(remarks.contains("Friday 14 August, 15:01 is later than now."), "{remarks}");
    assert_eq!(
        world.json_of(&format!("{beans} --load jars=pint:9 --out 15:00"))["remarks"],
        serde_json::json!([])
    );
}

// A process from a publication of the household's own is held against the same figures, and never called tested.
#[test]
fn a_food_of_the_household_s_own_table_is_known() {
    let world = friday();
    world.ok(&[
        "process",
        "add",
        "--food",
        "turnips",
        "--acidity",
        "low-acid",
        "--pack",
        "hot",
        "--jar",
        "pint",
        "--method",
        "pressure-dial",
        "--to",
        "2000ft",
        "--minutes",
        "30",
        "--pressure",
        "11psi",
        "--headspace",
        "1in",
        "--publication",
        "County bulletin 7",
        "--page",
        "12",
        "--published",
        "2019-05-01",
    ]);
    let turnips = "putup --product Turnips --food turnips --pack hot --canner Big_dial --jars pint:2 --vent 10 --pressure 11";
    let met = world.json_of(&format!("{turnips} --minutes 30"));
    assert_eq!(met["loads"][0]["verdict"], "meets-own");
    assert_eq!(met["on_hold"], serde_json::json!([]));
    let shown = world.line("batch 26-001").out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        shown.contains("Meets your own process from County bulletin 7, page 12 (2019-05-01); no table here"),
        "{shown}"
    );
    assert!(!shown.contains("tested process"), "{shown}");
    assert_eq!(world.json_of(&format!("{turnips} --minutes 29"))["loads"][0]["verdict"], "deviates");
    let batch = world.json_of("batch 26-001");
    assert_eq!((&batch["food"], &batch["acidity"]), (&"turnips".into(), &"low-acid".into()));
}

#[test]
fn a_condition_no_ledger_records_stands_beside_the_verdict() {
    // USDA AIB 539, Guide 7, Jams: 5 minutes to 1,000 ft are for jars sterilized beforehand.
    let world = World::with_canners();
    let line = "putup --product Jam --food jam-jelly --pack hot --jars pint:6 --canner Kettle --minutes 5";
    let finding = &world.json_of(line)["loads"][0]["findings"][0];
    assert_eq!((&finding["code"], &finding["bearing"]), (&"process-note".into(), &"caution".into()));
    for view in [["batch", "26-001", "-q"].as_slice(), &["jar", "26-001", "1"]] {
        assert!(world.ok(view).contains("sterilized beforehand"), "{view:?}");
    }
}

#[test]
fn a_product_that_must_not_be_canned_is_refused_whatever_food_is_said_to_be_in_it() {
    let world = World::new();
    world.ok(&["setup", "--altitude", "500ft"]);
    for (product, food) in [("Pumpkin butter", "apple-butter"), ("Pesto", "jam-jelly"), ("Pesto", "none")] {
        let said =
            world.run(&["putup", "--product", product, "--food", food, "--pack", "hot", "--jars", "pint:4"]);
        let said = said.to_string();
        assert!(
            (said.contains("must not be canned") || said.contains("has no tested process"))
                && said.contains("-- exit 4 --"),
            "{said}"
        );
    }
    assert_eq!(world.json(&["check"])["entries"], 1, "only the setup is on record");
}

#[test]
fn figures_are_read_as_people_say_them() {
    let mut world = World::with_canners();
    world.on("2026-08-14T16:00");
    // USDA Complete Guide (AIB 539, 2015), Guide 2, Pears: quarts, hot pack, 25 minutes up to 1,000 ft.
    let pears = ["putup", "--product", "Pears", "--food", "pears", "--pack", "hot", "--canner", "Kettle"];
    let said = ["--jars", "7 qt", "--minutes", "25 min", "--out", "2:30pm", "--went-wrong", "no"];
    let answer = world.json(&[&pears[..], &said[..]].concat());
    assert_eq!(answer["jars"].as_array().unwrap().len(), 7);
    assert_eq!(answer["loads"][0]["verdict"], "meets");
    let load = &world.json_of("batch 26-001")["loads"][0];
    assert_eq!((&load["minutes"], &load["went_wrong"]), (&serde_json::json!(25), &serde_json::Value::Null));
    let wrong = world.run(&[&pears[..], &["--jars", "7 qt", "--minutes", "a while"]].concat());
    assert!(wrong.code == 2 && wrong.err.contains("75, 75 min or 1 h 15 min"), "{wrong}");
    world.ok(&["correct", "load", "26-001/1", "--went-wrong", "a jar broke", "--reason", "seen later"]);
    let cleared =
        world.ok(&["correct", "load", "26-001/1", "--went-wrong", "none", "--reason", "it did not"]);
    assert!(cleared.contains("went-wrong was a jar broke, is nothing"), "{cleared}");
}

// The pepper is low-acid food with or without its accent: USDA AIB 539, Guide 4, peppers.
#[test]
fn a_food_written_with_its_accent_is_the_same_food() {
    let world = friday();
    for name in ["Jalape\u{f1}o", "jalapen\u{303}o", "Jalapeno"] {
        let ran = world.line(&format!(
            "putup --product {name} --jars pint:1 --food none --acidity acid --canner Kettle"
        ));
        assert!(ran.code == 4 && ran.err.contains("peppers"), "{name}: {ran}");
    }
}
