//! `correct`: a record amended, checked again, and taken back.

use crate::common::world::World;

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
    insta::assert_snapshot!(world.line("correct load 26-001/1 --minutes 12 --reason misread_the_clock"), @"
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
    [caution: botulism]
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
}

// Without a tested process, food that no table calls acid is withheld.
#[test]
fn what_newly_withholds_a_load_names_also_who_was_given_a_jar() {
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
    let shown: Vec<_> = pull.iter().map(|jar| (&jar["jar"], &jar["ending"]["to"])).collect();
    assert_eq!(
        shown,
        [(&"26-001-01-0".into(), &serde_json::Value::Null), (&"26-001-02-8".into(), &"the neighbour".into())]
    );
    // Withheld already, it is not shown again.
    let answer = world.json_of("correct batch 26-001 --acidity unknown --reason x");
    assert_eq!(answer["pull"], serde_json::json!([]));
}

/// Each flag amends the field of its name; what its word means is read as `putup` reads it.
#[test]
fn every_flag_amends_its_field() {
    let world = beans();
    for (line, fields) in [
        (
            "load 26-001/1 --canner Kettle --altitude 305m --pressure 12.5 --minutes 21 --vent 11 --come-up 9 \
             --acid vinegar:short --reached 13:30 --ended 13:51 --out 14:25 --drop 13:40-13:41 \
             --went-wrong the_lid_hissed --lid-lot B7",
            "canner altitude pressure minutes vent come-up acid went-wrong drops out reached ended lid-lot lid-lot lid-lot",
        ),
        (
            "load 26-001/1 --altitude unknown --pressure unknown --minutes unknown --no-drop",
            "altitude pressure minutes drops",
        ),
        (
            "batch 26-001 --product Nettle_relish --food none --acidity acid --pack raw --put-up 2026-08-13 --note row_4",
            "product acidity food pack best-by best-by best-by put-up note",
        ),
        ("batch 26-001 --name-reason so_called", "name-reason"),
        (
            "jar 26-001-02-8 --best-by 2027-06-30 --size quart --lid-lot B8 --note nicked_rim",
            "best-by size lid-lot jar-note",
        ),
    ] {
        let answer = world.json_of(&format!("correct {line} --reason x"));
        let amended = answer["corrections"].as_array().unwrap().iter();
        let amended: Vec<&str> = amended.map(|one| one["field"].as_str().unwrap()).collect();
        let (mut amended, mut fields): (Vec<_>, Vec<_>) = (amended, fields.split(' ').collect());
        amended.sort_unstable();
        fields.sort_unstable();
        assert_eq!(amended, fields, "{line}");
    }
    let ran = world.line("correct load 26-001/1 --out 2026-08-15T07:30 --reason slip");
    assert_eq!(ran.code, 2, "{ran}");
}

#[test]
fn what_does_not_fit_is_refused_and_changes_nothing() {
    let world = beans();
    let before = std::fs::read(world.ledger()).unwrap();
    for (line, code, message) in [
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
        ("batch 26-001 --food beans --reason x", 3, "did you mean"),
        (
            "batch 26-001 --food none --acidity acid --reason x",
            4,
            "is a food of the process tables: green-beans",
        ),
        ("jar 26-001-09-3 --note x --reason x", 3, "there is no jar 26-001-09-3"),
    ] {
        let ran = world.line(&format!("correct {line}"));
        assert_eq!(ran.code, code, "{line}: {ran}");
        assert!(ran.err.contains(message), "{line}: {ran}");
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
    // Its lids were looked at 15 August, 07:00, 12 hours after 19:00.
    let ran = world.line("correct load 26-001/1 --out 2026-08-14T19:01 --reason slip");
    assert!(ran.code == 4 && ran.err.contains("less than 12 hours later; nothing was changed"), "{ran}");
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
