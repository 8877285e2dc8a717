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

use crate::common::kitchen::{act, entry, instant};
use crate::common::world::World;

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

#[test]
fn each_flag_narrows_the_search() {
    let world = kitchen();
    world.ok(&["gauge", "Kettle", "--reads", "10", "--true", "10", "--on", "2026-06-15"]);
    // Jars by the table at the head of this file.
    for (line, jars, reason) in [
        ("26-002 2", 3, "same batch as 26-002-02-9"),
        ("26-001/2 --canner Drum", 2, "load 26-001/2; canner Drum"),
        ("--lid-lot l1 --lid-lot L2 --ingredient-lot b7", 7, "lid lot l1 or L2; ingredient lot b7"),
        ("--gauge-test 2026-06-15 --from -31d --to today", 0, ""),
        (
            "--gauge-test 2026-06-15 --from 2026-07-01",
            3,
            "gauge test of 2026-06-15; put up on or after 2026-07-01",
        ),
    ] {
        let traced = world.json_of(&format!("trace {line}"));
        assert_eq!(traced["jars"].as_array().unwrap().len(), jars, "{line}");
        assert_eq!(traced["jars"][0]["reason"].as_str().unwrap_or_default(), reason, "{line}");
    }
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
fn a_hold_pulls_every_jar_in_the_house_and_lists_the_others() {
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
    [caution: botulism]
    Tell those who were given a jar not to taste it: Ida next door.
    [caution: symptoms]
    [caution: emergency]
    -- stderr --
    next: `jarledger discard JAR --why ...` shows how to get rid of a jar; `jarledger release` releases one
    -- exit 0 --
    ");
    let traced = world.json(&["trace", "--lid-lot", "L2"]);
    assert_eq!(traced["in_house"], 3);
    assert_eq!(traced["eaten_or_given"].as_array().unwrap().len(), 3);
    assert_eq!(traced["to_tell"], serde_json::json!(["Ida next door"]));
    assert_eq!(traced["jars"][0]["holds"], serde_json::json!(["lids of lot L2 let go"]));
    // Pulled once is pulled, and no entry is made for nothing.
    let again = world.run(&["trace", "--lid-lot", "L2", "--hold", "lids of lot L2 let go", "-q"]);
    assert!(again.out.starts_with("Nothing was left to put on hold.\n5 jars found"), "{again}");
    let again = world.json(&["trace", "--lid-lot", "L2", "--hold", "lids of lot L2 let go"]);
    assert_eq!(
        (&again["hold"]["newly_held"], again["hold"]["entry"].is_null()),
        (&serde_json::json!(0), true)
    );
}

#[test]
fn what_cannot_be_traced_is_said() {
    let world = kitchen();
    insta::assert_snapshot!(world.run(&["trace", "--lid-lot", "L3"]), @r"
    -- stderr --
    error: there is no lid lot “L3” in this ledger
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

/// Beans 26-001, of which a jar failed and went into 26-002.
#[test]
fn a_jar_gone_into_another_batch_says_so_wherever_it_shows() {
    let mut world = World::with_canners();
    let beans = "putup --product Beans --food green-beans --pack hot --canner big_dial --vent 10 --pressure 11 \
                 --minutes 25 --place Cellar";
    world.on("2026-08-14T15:00");
    world.json_of(&format!("{beans} --jars quart:2 --out 14:00"));
    world.on("2026-08-15T08:00");
    world.json_of("seal 26-001 --failed 1 --at 07:00");
    world.json_of(&format!("{beans} --jars quart:1 --out 08:00 --reprocess 26-001 1"));
    insta::assert_snapshot!(world.run(&["trace", "26-002", "-q"]), @"
    3 jars found: 2 in the house, 0 of them on hold.
    Place   Jar          Product  Size   State    Load
    Cellar  26-001-02-8  Beans    quart  sealed   26-001/1
    Cellar  26-002-01-2  Beans    quart  cooling  26-002/1
    1 jar gone already:
    Jar          Product  Outcome                        When        To whom
    26-001-01-0  Beans    reprocessed into batch 26-002  2026-08-15  -
    -- exit 0 --
    ");
    let more = beans.replace("--product Beans", "--product More_beans");
    let made = world.json_of(&format!("{more} --jars quart:1 --out 08:00 --used 26-001 2"));
    assert_eq!(made["made_with"], serde_json::json!(["26-001-02-8"]));
    let used = world.line("jar 26-001 2").out;
    assert!(used.contains("Used in another batch") && used.contains("used: into batch 26-003"), "{used}");
    assert!(world.line("batch 26-003").out.contains("Made with 26-001-02-8 Beans"));
    let whole = world.json_of("export");
    assert_eq!(whole["jar_use"].as_array().unwrap().len(), 1);
}
