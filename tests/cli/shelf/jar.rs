//! `jar` and `batch`: what is on record, and only what is in force.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, shelve};
use crate::common::world::World;

/// Three pints of green beans, out at 14:05 on Friday 14 August 2026.
///
/// USDA AIB 539, Guide 4, Beans, snap and Italian: hot pack, dial gauge to 2,000 ft, 11 psi, pints 20 min.
fn beans() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T15:00");
    world.json_of(
        "putup --product Green_beans --food green-beans --pack hot --canner Big_dial --jars pint:3 --minutes 20 \
         --vent 10 --pressure 76kPa --out 14:05 --lid-lot B7 --place Cellar --ingredient beans=row_4 --note dry_year",
    );
    world.on("2026-08-15T07:00");
    world.json_of("seal 26-001 --failed 3 --tap 1");
    world
}

#[test]
fn a_jar_is_shown_with_its_load_and_everything_that_happened() {
    let world = beans();
    insta::assert_snapshot!(world.line("jar 26-001-03-6"), @r"
    26-001-03-6  Green beans, pint
    Not sealed, Cellar
    Put up Friday 14 August 2026.
    green-beans, hot pack, low-acid
    Note: dry year
    Until Saturday 15 August, 14:05 you may
    - reprocess: check the rim for nicks and change the jar if needed, reheat the
      food, use a new lid and give it the full time of the tested hot-pack process
      again (without a tested hot pack, chill or freeze instead)
    - chill: keep it in the refrigerator and use it within 2 days
    - freeze: leave 1 1/2 in of headspace and put it in the freezer

    Load 26-001/1: 3 pints, Big dial
      76kPa (11.02 psi), 20 min, vented 10 min, lids B7, at 500ft, out Friday 14
      August, 14:05
      Meets the tested process for Beans, snap and Italian, pieces (hot pack, pints,
      dial-gauge pressure).
      - caution: the dial gauge had no test in the year before this load; one is
        required every year
    Lid lot B7

    2026-08-15 07:00  did not seal (press)
    -- exit 0 --
    ");
    let jar = world.json_of("jar 26-001-01-0");
    assert_eq!(
        (&jar["batch"], &jar["state"], &jar["hold"]),
        (&"26-001".into(), &"sealed".into(), &serde_json::Value::Null)
    );
    assert_eq!(jar["load"]["load"], "26-001/1");
    // 76 kPa / 6.894757 = 11.02 psi (NIST SP 811, Appendix B), kept as typed beside it.
    assert_eq!((&jar["load"]["psi"], &jar["load"]["pressure_entered"]), (&11.02.into(), &"76kPa".into()));
    assert_eq!(jar["seal_checks"][0]["test"], "tap");
    assert_eq!(jar["events"][0]["event"], "check-sealed");
    assert_eq!(jar["lid_lot"], "B7");
}

#[test]
fn a_code_misread_is_answered_with_the_nearest_real_ones() {
    let world = beans();
    // What words name is held by src/ledger/jar/tests/words.rs; here is how each kind of answer ends.
    for (typed, code, message) in [
        ("26-001-01-7", 3, "did you mean 26-001-01-0"),
        ("26-001 4", 3, "batch 26-001 has no jar 4; it has jars 1-3"),
        ("26-001", 4, "add their numbers: 26-001 3,5-7"),
        ("26-009", 3, "there is no batch 26-009"),
        ("beans", 3, "may be any of"),
        ("quinces", 3, "there is no product"),
    ] {
        let ran = world.line(&format!("jar {typed}"));
        assert_eq!(ran.code, code, "{typed}: {ran}");
        assert!(ran.err.contains(message), "{typed}: {ran}");
    }
    let answer = world.json_of("jar 26-001-03-6 26-001-01-0 26-001 3");
    let jars: Vec<&str> =
        answer["jars"].as_array().unwrap().iter().map(|jar| jar["jar"].as_str().unwrap()).collect();
    assert_eq!(jars, ["26-001-03-6", "26-001-01-0"]);
    assert_eq!(world.line("jar").code, 2);
}

#[test]
fn a_batch_is_shown_with_its_loads_and_ingredients() {
    let world = beans();
    insta::assert_snapshot!(world.line("batch 26-001"), @r"
    26-001  Green beans: 3 pints, put up Friday 14 August 2026.
    green-beans, hot pack, low-acid
    beans: lot row 4
    Note: dry year

    Load 26-001/1: 3 pints, Big dial
      76kPa (11.02 psi), 20 min, vented 10 min, lids B7, at 500ft, out Friday 14
      August, 14:05
      Meets the tested process for Beans, snap and Italian, pieces (hot pack, pints,
      dial-gauge pressure).
      - caution: the dial gauge had no test in the year before this load; one is
        required every year

    Jar          Size  State     Place   Best by
    26-001-01-0  pint  sealed    Cellar  2027-08-14
    26-001-02-8  pint  sealed    Cellar  2027-08-14
    26-001-03-6  pint  unsealed  Cellar  decide
    -- exit 0 --
    ");
    let listed = &world.json_of("batch")["batches"][0];
    assert_eq!((&listed["jars"], &listed["verdict"]), (&3.into(), &"meets".into()));
    assert_eq!(listed["states"], serde_json::json!({"sealed": 2, "unsealed": 1}));
}

#[test]
fn a_jar_in_the_refrigerator_shows_its_last_day_there_and_not_its_best_by() {
    let mut world = World::at_500_ft();
    let beans =
        shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 2), "2026-08-14T08:00", "Cellar");
    act(&world, beans, &[1], Act::Open, "2026-08-30T18:00");
    // Opened low-acid food keeps 4 days (USDA FSIS, at second hand): 30 August and 4 is 3 September.
    let shown = world.ok(&["jar", "26-001", "1"]);
    assert!(shown.contains("eat by 2026-09-03") && !shown.contains("best by"), "{shown}");
    assert_eq!(world.json(&["jar", "26-001", "1"])["use_by"], "2026-09-03");
    assert!(world.ok(&["batch", "26-001"]).contains("eat by 2026-09-03"));
    world.on("2026-09-04T08:00");
    assert!(world.ok(&["jar", "26-001", "1"]).contains("Discard it: do not eat it"));
    assert!(world.ok(&["jar", "26-001", "2"]).contains("best by 2027-08-14"));
}
