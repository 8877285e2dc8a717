//! `correct`: a record amended, checked again, and taken back.

use super::world::World;

/// Three pints of green beans that met their process, sealed; the clock stands half a year later.
///
/// USDA AIB 539, Guide 4, Beans, snap and Italian: hot pack, dial gauge to 2,000 ft, 11 psi, pints 20 min,
/// quarts 25 min.
fn beans() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world.json_of(
        "putup --product Green_beans --food green-beans --pack hot --canner Big_dial --jars pint:3 --minutes 20 \
         --vent 10 --pressure 11 --out 14:05 --place Cellar",
    );
    world.on("2026-08-15T07:00");
    world.json_of("seal 26-001 --sealed");
    world.on("2027-02-01T12:00");
    world
}

#[test]
fn a_load_found_short_is_held_and_its_old_figures_stay_readable() {
    let world = beans();
    insta::assert_snapshot!(world.line("correct load 26-001/1 --minutes 12 --reason misread_the_clock"), @r"
    Corrected 2027-02-01, load 26-001/1: minutes was 20, is 12 (misread the clock)
    Load 26-001/1: Does not meet the tested process for Beans, snap and Italian,
    pieces (hot pack, pints, dial-gauge pressure).
    - 12 min unbroken at pressure; 20 min is required
    - caution: the dial gauge had no test in the year before this load; one is
      required every year
    Put on hold: 26-001-01-0 26-001-02-8 26-001-03-6

    Place   Jar          Product      Size  State            Load
    Cellar  26-001-01-0  Green beans  pint  sealed, on hold  26-001/1
    Cellar  26-001-02-8  Green beans  pint  sealed, on hold  26-001/1
    Cellar  26-001-03-6  Green beans  pint  sealed, on hold  26-001/1
    Low-acid and tomato food that was processed wrongly can contain botulism toxin
    with little or no sign. Never taste food to decide; treat every suspect jar as
    poisonous.
    -- stderr --
    next: `jarledger undo 6` undoes it
    -- exit 0 --
    ");
    insta::assert_snapshot!(world.line("jar 26-001 1"), @r"
    26-001-01-0  Green beans, pint
    Sealed, on hold, Cellar
    Put up Friday 14 August 2026, best by 2027-08-14.
    green-beans, hot pack, low-acid
    On hold since 2027-02-01: load 26-001/1: the load did not meet its tested
    process
    The time to rescue it ended Friday 14 August 2026, 16:05. What is left:
    - discard: do not taste it
    (extension services differ on how long such a load may still be rescued: one
    says 2 hours after the process, another 24 hours; this program uses 2 hours)

    Load 26-001/1: 3 pints, Big dial
      11 psi, 12 min, vented 10 min, at 500ft, out Friday 14 August 2026, 14:05
      Does not meet the tested process for Beans, snap and Italian, pieces (hot
      pack, pints, dial-gauge pressure).
      - 12 min unbroken at pressure; 20 min is required
      - caution: the dial gauge had no test in the year before this load; one is
        required every year
    Corrected 2027-02-01, load: minutes was 20, is 12 (misread the clock)

    2026-08-15 07:00  sealed (press)
    -- exit 0 --
    ");
    world.ok(&["undo"]);
    let jar = world.json_of("jar 26-001 1");
    assert_eq!((&jar["load"]["minutes"], &jar["load"]["verdict"]), (&20.into(), &"meets".into()));
    assert_eq!((&jar["on_hold"], &jar["load"]["corrections"]), (&false.into(), &serde_json::json!([])));
    // Brought back, it is as it was.
    world.ok(&["undo", "7"]);
    let jar = world.json_of("jar 26-001 1");
    assert_eq!((&jar["load"]["minutes"], &jar["on_hold"]), (&12.into(), &true.into()));
}

// Without a tested process, food that no table calls acid is withheld.
#[test]
fn what_newly_withholds_a_load_tells_also_who_was_given_a_jar() {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world.json_of(
        "putup --product Gift --food pears --pack hot --canner Kettle --load jars=half-gallon:2 --minutes 25 \
         --out 14:05 --place Cellar",
    );
    world.on("2026-08-15T07:00");
    world.json_of("seal 26-001 --sealed");
    world.json_of("give 26-001 2 --to the_neighbour");
    let answer = world.json_of("correct batch 26-001 --food none --acidity low-acid --reason no_pears_in_it");
    assert_eq!(answer["put_on_hold"], serde_json::json!(["26-001-01-0"]));
    let pull = answer["pull"].as_array().unwrap();
    let told: Vec<_> = pull.iter().map(|jar| (&jar["jar"], &jar["ending"]["to"])).collect();
    assert_eq!(
        told,
        [(&"26-001-01-0".into(), &serde_json::Value::Null), (&"26-001-02-8".into(), &"the neighbour".into())]
    );
    world.ok(&["undo"]);
    let ran = world.line("correct batch 26-001 --food none --acidity low-acid --reason no_pears_in_it");
    assert!(ran.out.contains("the neighbour") && ran.out.contains("botulism"), "{ran}");
    // Withheld already, it is not told again.
    let answer = world.json_of("correct batch 26-001 --acidity unknown --reason x");
    assert_eq!(answer["pull"], serde_json::json!([]));
}

#[test]
fn a_record_amended_for_the_better_lets_its_jars_go() {
    let world = beans();
    world.json_of("correct load 26-001/1 --vent 5 --reason x");
    assert_eq!(world.json_of("jar 26-001 1")["on_hold"], true);
    let answer = world.json_of("correct load 26-001/1 --vent 12 --reason found_the_notebook");
    assert_eq!(answer["let_go"].as_array().unwrap().len(), 3);
    assert_eq!(answer["corrections"][0]["old"], "5");
    assert_eq!(world.json_of("jar 26-001 1")["on_hold"], false);
    // Of three, the last in force holds.
    world.json_of("correct load 26-001/1 --vent 15 --reason x");
    world.ok(&["undo"]);
    assert_eq!(world.json_of("jar 26-001 1")["load"]["vent_min"], 12);
    // The one before it cannot be taken back first.
    let ran = world.line("undo 6");
    assert_eq!(ran.code, 4, "{ran}");
}

/// Every field of a load that may be amended, with the JSON it is shown in.
#[test]
fn every_field_of_a_load_comes_back_with_undo() {
    let world = beans();
    let before = world.json_of("batch 26-001");
    for fields in [
        "--canner Kettle",
        "--altitude 305m",
        "--altitude unknown",
        "--pressure 12.5",
        "--pressure unknown",
        "--minutes unknown",
        "--vent 11",
        "--come-up 9",
        "--acid vinegar:short",
        "--reached 13:30 --ended 13:51",
        "--out 14:25",
        "--drop 13:40-13:41 --drop 20m-",
        "--went-wrong the_lid_hissed",
        "--lid-lot B7",
    ] {
        let answer = world.json_of(&format!("correct load 26-001/1 {fields} --reason x"));
        assert!(!answer["corrections"].as_array().unwrap().is_empty(), "{fields}");
        let amended = world.json_of("batch 26-001");
        assert_ne!(amended["loads"][0], before["loads"][0], "{fields}");
        if fields != "--lid-lot B7" {
            assert_ne!(amended["loads"][0]["corrections"], before["loads"][0]["corrections"], "{fields}");
        }
        world.ok(&["undo"]);
        assert_eq!(world.json_of("batch 26-001"), before, "{fields}");
    }
}

#[test]
fn a_lid_lot_that_is_on_record_already_is_no_correction() {
    let world = beans();
    world.json_of("correct load 26-001/1 --lid-lot B7 --reason read_the_box");
    let before = std::fs::read(world.ledger()).unwrap();
    // A name is the same in any case of its letters.
    for line in ["load 26-001/1 --lid-lot b7", "jar 26-001-02-8 --lid-lot b7"] {
        let ran = world.line(&format!("correct {line} --reason x"));
        assert_eq!(ran.code, 4, "{line}: {ran}");
        assert!(ran.err.contains("already; nothing was changed"), "{line}: {ran}");
    }
    assert!(std::fs::read(world.ledger()).unwrap() == before);
    world.ok(&["check"]);
}

#[test]
fn every_field_of_a_batch_and_a_jar_comes_back_with_undo() {
    let world = beans();
    let before = (world.json_of("batch 26-001"), world.json_of("jar 26-001 2"));
    for fields in [
        "batch 26-001 --product Żurek",
        "batch 26-001 --food pears --name-reason so_called",
        "batch 26-001 --name-reason so_called",
        "batch 26-001 --product Nettle_relish --food none --acidity acid",
        "batch 26-001 --pack raw",
        "batch 26-001 --put-up 2026-08-13",
        "batch 26-001 --note from_row_4",
        "jar 26-001-02-8 --best-by 2027-06-30",
        "jar 26-001-02-8 --size quart",
        "jar 26-001-02-8 --lid-lot B7",
        "jar 26-001-02-8 --note nicked_rim",
    ] {
        world.json_of(&format!("correct {fields} --reason x"));
        let after = (world.json_of("batch 26-001"), world.json_of("jar 26-001 2"));
        assert_ne!(after, before, "{fields}");
        world.ok(&["undo"]);
        assert_eq!((world.json_of("batch 26-001"), world.json_of("jar 26-001 2")), before, "{fields}");
    }
}

// A quart owes 25 min where a pint owes 20: the load of 20 min falls short for it.
#[test]
fn a_jar_of_another_size_is_owed_another_time() {
    let world = beans();
    let answer = world.json_of("correct jar 26-001-02-8 --size quart --reason looked_again");
    assert_eq!(answer["judged"][0]["verdict"], "deviates");
    assert_eq!(answer["pull"].as_array().unwrap().len(), 3);
}

// Twelve months after the new day, by the calendar; a best-by given by hand stays.
#[test]
fn best_by_goes_along_with_the_day_of_putting_up() {
    let world = beans();
    world.json_of("correct jar 26-001-03-6 --best-by 2027-06-20 --reason x");
    world.json_of("correct batch 26-001 --put-up 2026-08-13 --reason wrong_day");
    let jars = &world.json_of("batch 26-001")["jars"];
    assert_eq!((&jars[0]["put_up"], &jars[0]["best_by"]), (&"2026-08-13".into(), &"2027-08-13".into()));
    assert_eq!(jars[2]["best_by"], "2027-06-20");
}

#[test]
fn what_does_not_fit_is_refused_and_changes_nothing() {
    let world = beans();
    let before = std::fs::read(world.ledger()).unwrap();
    for (line, code, told) in [
        ("load 26-001/1 --minutes 20 --reason x", 4, "minutes says 20 already"),
        ("load 26-001/2 --minutes 20 --reason x", 3, "batch 26-001 has one, 26-001/1"),
        ("load 26-001/1 --reason x", 2, "nothing to correct was given"),
        ("load 26-001/1 --minutes 30", 2, "--reason REASON is missing"),
        ("load 26-001/1 --minutes 1441 --reason x", 2, "0 to 1440"),
        (
            "load 26-001/1 --reached 13:30 --ended 13:20 --reason x",
            2,
            "ended 13:20 is not after reached 13:30",
        ),
        ("load 26-001/1 --out 2027-02-02T10:00 --reason x", 2, "still to come"),
        ("load 26-001/1 --canner Pot --reason x", 3, "there is no canner"),
        ("batch 26-001 --food beans --reason x", 3, "did you mean"),
        (
            "batch 26-001 --food none --acidity acid --reason x",
            4,
            "is a food of the process tables: green-beans",
        ),
        ("batch 26-001 --put-up 2027-02-02 --reason x", 2, "still to come"),
        ("batch 26-009 --note x --reason x", 3, "there is no batch 26-009"),
        ("jar 26-001-09-3 --note x --reason x", 3, "there is no jar 26-001-09-3"),
    ] {
        let ran = world.line(&format!("correct {line}"));
        assert_eq!(ran.code, code, "{line}: {ran}");
        assert!(ran.err.contains(told), "{line}: {ran}");
    }
    assert!(std::fs::read(world.ledger()).unwrap() == before);
}

// Out on 14 August 2026 at 14:05: a batch of that day, or of the 13th with a load past midnight.
#[test]
fn a_batch_and_its_loads_keep_to_one_day_and_the_next() {
    let world = beans();
    for day in ["2026-08-01", "2026-08-12", "2026-08-15"] {
        let ran = world.line(&format!("correct batch 26-001 --put-up {day} --reason slip"));
        assert_eq!(ran.code, 2, "{day}: {ran}");
        assert!(
            ran.err.contains("has no load that came out 2026-08-14 14:05, as load 26-001/1 did"),
            "{ran}"
        );
        assert!(ran.err.contains(&format!("`jarledger correct load 26-001/1 --out {day}T14:05`")), "{ran}");
        assert!(ran.err.contains("nothing was changed") && ran.err.contains("`jarledger undo`"), "{ran}");
    }
    assert_eq!(world.json_of("batch 26-001")["jars"][0]["put_up"], "2026-08-14");
    // Both wrong, by two days: one after the other, a day at a time.
    for line in [
        "batch 26-001 --put-up 2026-08-13",
        "load 26-001/1 --out 2026-08-13T14:05",
        "batch 26-001 --put-up 2026-08-12",
        "load 26-001/1 --out 2026-08-12T14:05",
    ] {
        world.json_of(&format!("correct {line} --reason wrong_day"));
    }
    assert!(world.line("check").out.contains("No problems found"));
}

// Sealed on 15 August at 07:00; USDA AIB 539, Guide 1, Testing jar seals: not before 12 hours, so out by 19:00.
#[test]
fn a_load_came_out_before_anything_happened_to_its_jars() {
    let mut world = beans();
    for (out, told) in [
        ("2026-08-15T07:30", "took \u{201c}check-sealed\u{201d} 2026-08-15 07:00, before that"),
        ("2026-08-14T19:01", "took \u{201c}check-sealed\u{201d} 2026-08-15 07:00, less than 12 hours later"),
    ] {
        let ran = world.line(&format!("correct load 26-001/1 --out {out} --reason slip"));
        assert_eq!(ran.code, 4, "{out}: {ran}");
        assert!(ran.err.contains(&format!("26-001-01-0 {told}")), "{out}: {ran}");
        assert!(ran.err.contains("nothing was changed") && ran.err.contains("`jarledger undo 5`"), "{ran}");
    }
    world.json_of("correct load 26-001/1 --out 2026-08-14T19:00 --reason slip");
    world.json_of("correct load 26-001/1 --out 2026-08-14T14:05 --reason slip");
    // A lid that failed early was looked at early; so it may have been, but not in the canner.
    world.json_of("undo 7");
    world.json_of("undo 6");
    world.json_of("undo 5");
    world.on("2026-08-14T20:00");
    world.json_of("seal 26-001 --early --failed 2");
    world.on("2027-02-01T12:00");
    world.json_of("correct load 26-001/1 --out 2026-08-14T20:00 --reason slip");
    let ran = world.line("correct load 26-001/1 --out 2026-08-14T20:01 --reason slip");
    assert!(ran.code == 4 && ran.err.contains("26-001-02-8 took \u{201c}check-failed\u{201d}"), "{ran}");
}
