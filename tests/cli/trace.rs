//! `trace`: a year's kitchen laid out by hand.
//!
//! | batch | load | canner | lid lot | put up | ingredient lots | jars |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | 26-001 beans | 1 | Kettle | L1 | 2026-06-01 | beans B7 | 1, 2 in the cellar |
//! | 26-001 beans | 2 | Drum | L2 | 2026-06-01 | beans B7 | 3, 4 in the cellar |
//! | 26-002 soup | 1 | Kettle | L2 | 2026-07-01 | beans B7, salt S1 | 1 to 3 in the attic |
//! | 26-003 pears | 1 | Drum | L1 | 2026-08-01 | none | 1, 2 nowhere in particular |

use jarledger::ledger::batch::load_facts::LoadFacts;
use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::ledger::jar::event::Particulars;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::Pack;
use jarledger::values::names::name::Name;

use super::kitchen::{act, entry, instant};
use super::world::World;

fn name(text: &str) -> Name {
    text.parse().unwrap()
}

fn load(canner: &str, lids: &str, count: u32, day: &str) -> NewLoad {
    NewLoad {
        run: None,
        canner: Some(name(canner)),
        lid_lot: Some(name(lids)),
        jars: vec![(JarSize::Pint, count)],
        facts: LoadFacts {
            altitude: Some("500ft".parse().unwrap()),
            ..LoadFacts::out(instant(&format!("{day}T12:00")))
        },
    }
}

fn put_up(world: &World, product: &str, place: Option<&str>, lots: &[(&str, &str)], loads: Vec<NewLoad>) {
    let put_up = loads[0].facts.out_at.date_naive();
    let jars: u32 = loads.iter().flat_map(|load| &load.jars).map(|(_, count)| count).sum();
    let batch = NewBatch {
        product: name(product),
        food: None,
        acidity: None,
        pack: Some(Pack::Hot),
        put_up,
        quality_months: None,
        place: place.map(name),
        ingredient_lots: lots.iter().map(|(what, lot)| (name(what), name(lot))).collect(),
        note: None,
        name_reason: None,
        recipe: None,
        loads,
    };
    let code = entry(world, "putup", &format!("{put_up}T13:00"), |write| write.put_up(&batch)).batch;
    let numbers: Vec<u32> = (1..=jars).collect();
    act(world, code, &numbers, Act::CheckSealed, &format!("{}T08:00", put_up.succ_opt().unwrap()));
}

fn kitchen() -> World {
    let mut world = World::at_500_ft();
    world.ok(&["canner", "add", "Kettle", "--method", "pressure-dial", "--holds", "pint:9"]);
    world.ok(&["canner", "add", "Drum", "--method", "pressure-dial", "--holds", "pint:9"]);
    let both = vec![load("Kettle", "L1", 2, "2026-06-01"), load("Drum", "L2", 2, "2026-06-01")];
    put_up(&world, "Beans", Some("Cellar"), &[("beans", "B7")], both);
    let kettle = vec![load("Kettle", "L2", 3, "2026-07-01")];
    put_up(&world, "Soup", Some("Attic"), &[("beans", "B7"), ("salt", "S1")], kettle);
    put_up(&world, "Pears", None, &[], vec![load("Drum", "L1", 2, "2026-08-01")]);
    world.on("2026-09-01");
    world
}

/// Batch and jar numbers found, in the order told.
fn found(world: &World, args: &[&str]) -> Vec<String> {
    let mut command = vec!["trace"];
    command.extend(args);
    let told = world.json(&command);
    let short = |jar: &serde_json::Value| {
        let code = jar["jar"].as_str().unwrap();
        // 26-001-02-8 is told as 1.2 here.
        format!("{}.{}", code[3..6].parse::<u32>().unwrap(), code[7..9].parse::<u32>().unwrap())
    };
    told["jars"].as_array().unwrap().iter().map(short).collect()
}

// Read off the table at the head of this file; the attic comes before the cellar, and no place last.
#[test]
fn jars_are_found_by_whatever_they_share() {
    let world = kitchen();
    for (args, jars) in [
        (&["26-001"][..], "1.1 1.2 1.3 1.4"),
        (&["26-001/2"], "1.3 1.4"),
        (&["26-003-01-5"], "3.1 3.2"),
        (&["26-001/1", "26-003"], "1.1 1.2 3.1 3.2"),
        (&["26-002", "2"], "2.1 2.2 2.3"),
        (&["--lid-lot", "l1"], "1.1 1.2 3.1 3.2"),
        (&["--lid-lot", "L2"], "2.1 2.2 2.3 1.3 1.4"),
        (&["--lid-lot", "L1", "--lid-lot", "L2"], "2.1 2.2 2.3 1.1 1.2 1.3 1.4 3.1 3.2"),
        (&["--canner", "kettle"], "2.1 2.2 2.3 1.1 1.2"),
        (&["--canner", "Drum"], "1.3 1.4 3.1 3.2"),
        (&["--ingredient-lot", "b7"], "2.1 2.2 2.3 1.1 1.2 1.3 1.4"),
        (&["--ingredient-lot", "S1"], "2.1 2.2 2.3"),
        (&["--from", "2026-07-01"], "2.1 2.2 2.3 3.1 3.2"),
        (&["--to", "2026-07-01"], "2.1 2.2 2.3 1.1 1.2 1.3 1.4"),
        (&["--from", "2026-06-02", "--to", "2026-07-31"], "2.1 2.2 2.3"),
        (&["--from", "2026-06-02", "--to", "2026-06-30"], ""),
        (&["--canner", "Kettle", "--lid-lot", "L2"], "2.1 2.2 2.3"),
        (&["--canner", "Drum", "--ingredient-lot", "B7"], "1.3 1.4"),
        (&["26-001", "--lid-lot", "L1", "--canner", "Drum"], ""),
        (&["--lid-lot", "L1", "--to", "2026-06-30"], "1.1 1.2"),
    ] {
        let jars: Vec<&str> = jars.split_whitespace().collect();
        assert_eq!(found(&world, args), jars, "{args:?}");
    }
}

#[test]
fn a_gauge_test_leads_to_the_loads_it_speaks_for() {
    let world = kitchen();
    let test = |canner, on| world.ok(&["gauge", canner, "--reads", "10", "--true", "10", "--on", on]);
    test("Kettle", "2026-06-15");
    test("Kettle", "2026-08-15");
    test("Drum", "2026-06-15");
    // Kettle: 1 June lies before its first test, 1 July between the two. Drum has one test for everything.
    assert_eq!(found(&world, &["--gauge-test", "2026-08-15"]), ["2.1", "2.2", "2.3"]);
    let all = ["2.1", "2.2", "2.3", "1.1", "1.2", "1.3", "1.4", "3.1", "3.2"];
    assert_eq!(found(&world, &["--gauge-test", "2026-06-15"]), all);
    assert_eq!(found(&world, &["--gauge-test", "2026-06-15", "--canner", "Kettle"]), &all[..5]);
    let reason = &world.json(&["trace", "--gauge-test", "2026-08-15"])["jars"][0]["reason"];
    assert_eq!(reason, "gauge test of 2026-08-15");
}

#[test]
fn the_reason_says_what_each_jar_shares() {
    let world = kitchen();
    let reasons = |args: &[&str]| -> Vec<String> {
        let told = world.json(args);
        let reason = |jar: &serde_json::Value| jar["reason"].as_str().unwrap().to_owned();
        told["jars"].as_array().unwrap().iter().map(reason).collect()
    };
    assert_eq!(reasons(&["trace", "26-003-01-5"]), ["the jar itself", "same batch as 26-003-01-5"]);
    assert_eq!(
        reasons(&["trace", "26-001/2", "26-003", "--canner", "Drum"]),
        [
            "load 26-001/2; canner Drum",
            "load 26-001/2; canner Drum",
            "batch 26-003; canner Drum",
            "batch 26-003; canner Drum"
        ]
    );
    assert_eq!(
        reasons(&["trace", "--lid-lot", "L1", "--ingredient-lot", "B7", "--from", "2026-06-01"])[0],
        "lid lot L1; ingredient lot B7; put up on or after 2026-06-01"
    );
    assert_eq!(reasons(&["trace", "--from", "2026-08-01", "--to", "2026-08-01"])[0], "put up on 2026-08-01");
    assert_eq!(reasons(&["trace", "--from", "-31d", "--to", "today"])[0], "put up 2026-08-01 to 2026-09-01");
    assert_eq!(reasons(&["trace", "--to", "2026-06-01"])[0], "put up on or before 2026-06-01");
}

#[test]
fn one_jar_leads_on_to_everything_else_it_shares() {
    let world = kitchen();
    insta::assert_snapshot!(world.run(&["trace", "26-001-03-6"]), @r"
    4 jars found: 4 in the house, 0 of them on hold.
    Place   Jar          Product  Size  State                          Load
    Cellar  26-001-01-0  Beans    pint  sealed, process not on record  26-001/1
    Cellar  26-001-02-8  Beans    pint  sealed, process not on record  26-001/1
    Cellar  26-001-03-6  Beans    pint  sealed, process not on record  26-001/2
    Cellar  26-001-04-4  Beans    pint  sealed, process not on record  26-001/2
    lid lot L2: 5 jars, see `jarledger trace --lid-lot L2`
    canner Drum: 4 jars, see `jarledger trace --canner Drum`
    ingredient lot B7: 7 jars, see `jarledger trace --ingredient-lot B7`
    -- stderr --
    next: the same with `--hold REASON` puts 4 jars on hold
    -- exit 0 --
    ");
    let shares = &world.json(&["trace", "26-002-01-2"])["shares"];
    assert_eq!(
        *shares,
        serde_json::json!([
            {"kind": "lid-lot", "name": "L2", "jars": 5},
            {"kind": "canner", "name": "Kettle", "jars": 5},
            {"kind": "ingredient-lot", "name": "B7", "jars": 7},
            {"kind": "ingredient-lot", "name": "S1", "jars": 3},
        ])
    );
}

#[test]
fn a_hold_pulls_every_jar_in_the_house_in_one_entry_and_tells_of_the_others() {
    let world = kitchen();
    let soup = "26-002".parse().unwrap();
    act(&world, soup, &[1], Act::Open, "2026-08-20T18:00");
    act(&world, soup, &[2], Act::Miss, "2026-08-21T18:00");
    entry(&world, "give", "2026-08-22T10:00", |write| {
        let to = Particulars { who: Some("Ida next door".to_owned()), ..Particulars::default() };
        write.act(&write.jars_of_batch(soup)?[2], Act::Give, &to)
    });
    let beans = "26-001".parse().unwrap();
    act(&world, beans, &[3], Act::Open, "2026-08-23T18:00");
    act(&world, beans, &[3], Act::Finish, "2026-08-24T18:00");
    insta::assert_snapshot!(world.run(&["trace", "--lid-lot", "L2", "--hold", "lids of lot L2 let go"]), @"
    Put 3 jars on hold: lids of lot L2 let go.
    5 jars found: 3 in the house, 3 of them on hold.
    Place   Jar          Product  Size  State                             Load
    Attic   26-002-01-2  Soup     pint  opened, on hold, process not on   26-002/1
                                        record
    Attic   26-002-02-9  Soup     pint  missing, on hold, process not on  26-002/1
                                        record
    Cellar  26-001-04-4  Beans    pint  sealed, on hold, process not on   26-001/2
                                        record
    2 jars gone already:
    Jar          Product  Outcome                       When        To whom
    26-002-03-7  Soup     given away, process not on    2026-08-22  Ida next door
                          record
    26-001-03-6  Beans    eaten, process not on record  2026-08-24  -
    Low-acid and tomato food that was processed wrongly can contain botulism toxin
    with little or no sign. Never taste food to decide; treat every suspect jar as
    poisonous.
    Tell those who were given a jar not to taste it: Ida next door.
    Double or blurred vision, drooping eyelids, slurred speech, trouble swallowing,
    a dry mouth, weak muscles or trouble breathing, from a few hours to 10 days
    after eating, may be botulism. Nausea, vomiting and cramps may come too.
    That is a medical emergency: call the emergency services or go to a hospital at
    once, do not wait, and say that home-canned food was eaten. Then tell the poison
    control center and the local health department, and keep what is left of the
    food, closed and labeled, for them.
    -- stderr --
    next: `jarledger discard JAR --why ...` shows how to get rid of a jar; `jarledger release` releases one
    -- exit 0 --
    ");
    let told = world.json(&["trace", "--lid-lot", "L2"]);
    assert_eq!(told["in_house"], 3);
    assert_eq!(told["eaten_or_given"].as_array().unwrap().len(), 3);
    assert_eq!(told["to_tell"], serde_json::json!(["Ida next door"]));
    assert_eq!(told["jars"][0]["holds"], serde_json::json!(["lids of lot L2 let go"]));
    // Pulled once is pulled, and no entry is made for nothing; another reason is another hold.
    let again = world.run(&["trace", "--lid-lot", "L2", "--hold", "lids of lot L2 let go", "-q"]);
    assert!(again.out.starts_with("Nothing was left to put on hold.\n5 jars found"), "{again}");
    let again = world.json(&["trace", "--lid-lot", "L2", "--hold", "lids of lot L2 let go"]);
    assert_eq!(
        (&again["hold"]["newly_held"], again["hold"]["entry"].is_null()),
        (&serde_json::json!(0), true)
    );
    let cloudy = world.json(&["trace", "--lid-lot", "L2", "--hold", "cloudy"]);
    assert_eq!(cloudy["hold"]["newly_held"], 3);
    assert_eq!(cloudy["jars"][0]["holds"], serde_json::json!(["lids of lot L2 let go", "cloudy"]));
    // One entry each, so one undo each.
    for on_hold in [3, 0] {
        world.ok(&["undo"]);
        let told = world.json(&["trace", "--lid-lot", "L2"]);
        let held = told["jars"].as_array().unwrap().iter().filter(|jar| jar["on_hold"] == true).count();
        assert_eq!(held, on_hold);
    }
}

#[test]
fn what_is_not_in_the_ledger_is_not_found() {
    let world = kitchen();
    insta::assert_snapshot!(world.run(&["trace", "--lid-lot", "L3"]), @r"
    -- stderr --
    error: there is no lid lot “L3” in this ledger
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "--canner", "Pot"]), @r"
    -- stderr --
    error: there is no canner “Pot”; there is Drum, Kettle
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "--gauge-test", "2026-06-15"]), @r"
    -- stderr --
    error: no gauge was tested on 2026-06-15; days of tests: none is on record
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "--ingredient-lot", "B8"]), @r"
    -- stderr --
    error: there is no ingredient lot “B8” in this ledger
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "26-001/3"]), @r"
    -- stderr --
    error: there is no load 26-001/3 in this ledger
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "26-009"]), @r"
    -- stderr --
    error: there is no batch 26-009 in this ledger
    hint: did you mean 26-003 or 26-002 or 26-001?
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "26-001-03-5"]), @r"
    -- stderr --
    error: the check digit of 26-001-03-5 does not fit: one of its digits is wrong
    hint: did you mean 26-001-03-6 or 26-002-03-7 or 26-001-01-0?
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["trace"]), @r"
    -- stderr --
    error: nothing to trace from was given
    hint: give the code of a jar, batch or load, or --lid-lot, --canner, --gauge-test, --ingredient-lot, --from or --to
    -- exit 2 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "--from", "2026-06-02", "--to", "2026-06-01"]), @r"
    -- stderr --
    error: 2026-06-02 comes after 2026-06-01
    hint: give the earlier day first: --from 2026-06-01 --to 2026-06-02
    -- exit 2 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "26-001/x"]), @"
    -- stderr --
    error: invalid value '26-001/x' for '[JAR|BATCH|LOAD]...': “26-001/x” is not a load; write it like 26-041/2

    hint: `jarledger trace --help` begins with examples
    -- exit 2 --
    ");
    insta::assert_snapshot!(world.run(&["trace", "--from", "02/03/04"]), @r"
    -- stderr --
    error: “02/03/04” could be 2 March 2004 (2004-03-02) or 3 February 2004 (2004-02-03) or 4 March 2002 (2002-03-04); write the one you mean as year-month-day
    -- exit 2 --
    ");
}

#[test]
fn a_batch_that_was_undone_shares_nothing() {
    let world = kitchen();
    world.ok(&["undo"]);
    world.ok(&["undo"]);
    assert_eq!(found(&world, &["--canner", "Drum"]), ["1.3", "1.4"]);
    assert_eq!(found(&world, &["--lid-lot", "L1"]), ["1.1", "1.2"]);
    assert_eq!(world.run(&["trace", "26-003/1"]).code, 3);
    assert_eq!(found(&world, &["--from", "2026-08-01"]), [""; 0]);
    let shares = &world.json(&["trace", "26-001-03-6"])["shares"];
    assert_eq!(shares[1], serde_json::json!({"kind": "canner", "name": "Drum", "jars": 2}));
    world.ok(&["undo"]);
    world.ok(&["undo"]);
    assert_eq!(world.run(&["trace", "--ingredient-lot", "S1"]).code, 3);
    let shares = &world.json(&["trace", "26-001-03-6"])["shares"];
    let links = |jars: u32| serde_json::json!({"kind": "ingredient-lot", "name": "B7", "jars": jars});
    assert_eq!((&shares[0]["jars"], &shares[2]), (&serde_json::json!(2), &links(4)));
}

#[test]
fn a_gift_that_was_undone_is_not_told() {
    let world = kitchen();
    world.ok(&["give", "26-002", "1", "--to", "Ida", "--on", "2026-08-22"]);
    let told = world.json(&["trace", "26-002"]);
    // Gone, it is told last.
    assert_eq!(told["jars"][2]["ending"]["to"], "Ida");
    assert_eq!(told["to_tell"], serde_json::json!(["Ida"]));
    world.ok(&["undo"]);
    let told = world.json(&["trace", "26-002"]);
    assert_eq!(
        (&told["jars"][0]["ending"], &told["to_tell"]),
        (&serde_json::Value::Null, &serde_json::json!([]))
    );
}

/// Beans 26-001 of lot B7; 3 of them failed and went, with salt S1, into 26-002; of that, 1 went into 26-003.
fn twice_reprocessed() -> World {
    let mut world = World::with_canners();
    let beans = |jars: u32, more: &str, world: &World| {
        world.json_of(&format!(
            "putup --product Beans --food green-beans --pack hot --canner big_dial --vent 10 --pressure 11 \
             --minutes 25 --jars quart:{jars} --place Cellar {more}"
        ))
    };
    world.on("2026-08-14T15:00");
    beans(4, "--out 14:00 --ingredient beans=B7", &world);
    world.on("2026-08-15T08:00");
    act(&world, "26-001".parse().unwrap(), &[1, 2, 3], Act::CheckFailed, "2026-08-15T07:00");
    beans(3, "--out 08:00 --ingredient salt=S1 --reprocess 26-001 1-3", &world);
    world.on("2026-08-15T22:00");
    act(&world, "26-002".parse().unwrap(), &[1], Act::CheckFailed, "2026-08-15T21:00");
    beans(1, "--out 22:00 --reprocess 26-002 1", &world);
    beans(1, "--out 22:00 --ingredient beans=B8", &world);
    world
}

#[test]
fn food_is_followed_into_the_batches_it_was_reprocessed_into() {
    let world = twice_reprocessed();
    let live = |args: &[&str]| -> Vec<String> {
        let mut command = vec!["trace"];
        command.extend(args);
        let told = world.json(&command);
        let live = told["jars"].as_array().unwrap().iter().filter(|jar| jar["state"] != "reprocessed");
        live.map(|jar| jar["jar"].as_str().unwrap()[..9].to_owned()).collect()
    };
    // The lot of the beans is in all three, that of the salt in the later two.
    assert_eq!(live(&["--ingredient-lot", "B7"]), ["26-001-04", "26-002-02", "26-002-03", "26-003-01"]);
    assert_eq!(live(&["--ingredient-lot", "S1"]), ["26-002-02", "26-002-03", "26-003-01"]);
    assert_eq!(live(&["--ingredient-lot", "B8"]), ["26-004-01"]);
    // One cooked lot, from whichever end it is looked at.
    for code in ["26-001", "26-002", "26-003"] {
        assert_eq!(live(&[code]), ["26-001-04", "26-002-02", "26-002-03", "26-003-01"], "{code}");
    }
    assert_eq!(live(&["26-004"]), ["26-004-01"]);
    // The process and the lids of a load are its own.
    assert_eq!(live(&["26-001/1"]), ["26-001-04"]);
    let told = world.json(&["trace", "26-003"]);
    assert_eq!(told["jars"][3]["reason"], "batch 26-003");
    assert_eq!(told["jars"][0]["reason"], "same food as batch 26-003, by reprocessing or use");
    insta::assert_snapshot!(world.run(&["trace", "26-003", "-q"]), @"
    8 jars found: 4 in the house, 0 of them on hold.
    Place   Jar          Product  Size   State    Load
    Cellar  26-001-04-4  Beans    quart  cooling  26-001/1
    Cellar  26-002-02-9  Beans    quart  cooling  26-002/1
    Cellar  26-002-03-7  Beans    quart  cooling  26-002/1
    Cellar  26-003-01-5  Beans    quart  cooling  26-003/1
    4 jars gone already:
    Jar          Product  Outcome                        When        To whom
    26-001-01-0  Beans    reprocessed into batch 26-002  2026-08-15  -
    26-001-02-8  Beans    reprocessed into batch 26-002  2026-08-15  -
    26-001-03-6  Beans    reprocessed into batch 26-002  2026-08-15  -
    26-002-01-2  Beans    reprocessed into batch 26-003  2026-08-15  -
    -- exit 0 --
    ");
    // The reprocessing taken back, the food is where it was.
    world.ok(&["undo"]);
    world.ok(&["undo"]);
    assert_eq!(live(&["26-001"]), ["26-001-04", "26-002-01", "26-002-02", "26-002-03"]);
}

// USDA AIB 539, Guide 2, Pears, halved: hot pack, quarts, boiling water, 25 min to 1,000 ft.
#[test]
fn what_was_made_with_a_jar_shares_its_fate_through_any_number_of_batches() {
    let mut world = World::with_canners();
    let line = "putup --food pears --pack hot --canner Kettle --minutes 25 --jars";
    world.on("2026-08-01T12:00");
    world.json_of(&format!("{line} quart:3 --product Pears"));
    world.on("2026-08-02T08:00");
    world.json_of("seal 26-001 --sealed");
    world.on("2026-08-03T12:00");
    let made = world.json_of(&format!("{line} quart:2 --product Compote --used 26-001 1"));
    assert_eq!(made["made_with"], serde_json::json!(["26-001-01-0"]));
    world.on("2026-08-04T08:00");
    world.json_of("seal 26-002 --sealed");
    world.on("2026-08-05T12:00");
    world.json_of(&format!("{line} quart:1 --product Trifle --used 26-002 1"));
    world.on("2026-08-06T08:00");
    world.json_of("seal 26-003 --sealed");
    let used = world.line("jar 26-001 1").out;
    assert!(used.contains("Used in another batch") && used.contains("used: into batch 26-002"), "{used}");
    assert!(world.line("batch 26-003").out.contains("Made with 26-002-01-2 Compote"));
    // A jar that left the shelf so cannot be used twice.
    assert_eq!(world.line(&format!("{line} quart:1 --product Twice --used 26-001 1")).code, 4);
    let batches = |told: &serde_json::Value| {
        let jars = told["jars"].as_array().unwrap().iter();
        jars.map(|jar| jar["jar"].as_str().unwrap()[..6].to_owned())
            .collect::<std::collections::BTreeSet<_>>()
    };
    // Onward and back.
    for from in ["26-001 1", "26-002", "26-003"] {
        assert_eq!(batches(&world.json_of(&format!("trace {from}"))).len(), 3, "{from}");
    }
    // Traced by something else than the batch, what was made with a jar comes along, and says why.
    let by_load = world.json_of("trace 26-001/1");
    let jar = by_load["jars"].as_array().unwrap().iter().find(|jar| jar["jar"] == "26-003-01-5").unwrap();
    assert_eq!(jar["reason"], "made with 26-001-01-0");
    // A load found short withholds what was made with its jars.
    let short = world.json_of("correct load 26-001/1 --minutes 5 --reason misread");
    let held: Vec<_> =
        short["put_on_hold"].as_array().unwrap().iter().map(|jar| jar.as_str().unwrap()).collect();
    assert_eq!(held, ["26-001-02-8", "26-001-03-6", "26-002-02-9", "26-003-01-5"]);
    let held = world.line("jar 26-003 1").out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(held.contains("made with 26-001-01-0: load 26-001/1: the load did not meet"), "{held}");
    assert!(world.line("check").out.contains("No problems found"), "{}", world.line("check"));
    // Each is let go by itself, and undoing lets all of them go.
    world.json_of("release 26-003 1 --reason it_was_another_trifle");
    assert_eq!(world.json_of("jar 26-002 2")["on_hold"], true);
    world.json_of("undo");
    world.json_of("undo");
    for jar in ["26-001 2", "26-002 2", "26-003 1"] {
        assert_eq!(world.json_of(&format!("jar {jar}"))["on_hold"], false, "{jar}");
    }
    // Taken back, the last batch gives its jar back.
    world.json_of("undo 9");
    world.json_of("undo 8");
    assert_eq!(world.json_of("jar 26-002 1")["state"], "sealed");
    assert!(world.line("check").out.contains("No problems found"), "{}", world.line("check"));
    // The whole export knows what was made with what.
    let whole = world.json_of("export");
    assert_eq!(whole["jar_use"].as_array().unwrap().len(), 2);
}
