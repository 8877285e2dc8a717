//! `season`.

use jarledger::ledger::batch::load_facts::LoadFacts;
use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::Pack;

use crate::common::kitchen::{act, entry, instant, shelve, tall_canner};
use crate::common::world::World;

/// A year of green beans in pints, 10 of 14 eaten, and a month of pears.
fn household() -> World {
    let world = World::at_500_ft();
    tall_canner(&world, "2025-08-30T08:00");
    let out = "2025-09-01T15:00";
    let load = |jars| NewLoad {
        run: None,
        canner: Some("Tall canner".parse().unwrap()),
        lid_lot: None,
        jars: vec![(JarSize::Pint, jars)],
        facts: LoadFacts {
            altitude: Some("500ft".parse().unwrap()),
            minutes: Some(20),
            vent_min: Some(10),
            come_up_min: Some(15),
            ..LoadFacts::out(instant(out))
        },
    };
    let beans = NewBatch {
        product: "Green beans".parse().unwrap(),
        food: "green-beans".parse().ok(),
        acidity: None,
        pack: Some(Pack::Hot),
        put_up: "2025-09-01".parse().unwrap(),
        quality_months: None,
        place: None,
        ingredient_lots: Vec::new(),
        note: None,
        name_reason: None,
        recipe: None,
        loads: vec![load(9), load(5)],
    };
    let batch = entry(&world, "putup", out, |write| write.put_up(&beans)).batch;
    act(&world, batch, &(1..=14).collect::<Vec<_>>(), Act::CheckSealed, "2025-09-02T08:00");
    for (number, month) in (1..=10).zip([
        "2025-10", "2025-11", "2025-12", "2026-01", "2026-02", "2026-03", "2026-04", "2026-05", "2026-06",
        "2026-07",
    ]) {
        act(&world, batch, &[number], Act::Open, &format!("{month}-05T18:00"));
    }
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry shelf");
    world
}

#[test]
fn a_season_ends_in_jars_loads_produce_lids_and_hours() {
    // A jar on the 5th of each month: fixtures/make_season_forecasts.py, which uses scipy, has 9, 10 and 11 for the
    // record called monthly.
    // 11 pints: 2 loads of 9; AIB 539, Guide 4: 9 lb for 9 pints, so 11 lb; a load: 10 + 15 + 20 + 30 + 10 = 85 min, by
    // hand. The four pints left have their best by today, and cannot all be eaten today.
    insta::assert_snapshot!(household().run(&["season"]), @"
    To last until 2027-09-01 (365 days) in about 90 % of seasons:
    Product             Used  Months  Likely     Needed  Will keep  To can
    Green beans, pints    10    12.0  10 (9-11)      11     0 of 4      11
    Months: with stock. Likely: 1 season in 10 uses less, 1 in 10 uses more.
    Will keep: jars on the shelf that will be used by their best by.

    Jars  To can                           Loads  Produce         At the canner
      11  Green beans, pints, Tall canner      2  11 lb (5.0 kg)  2 h 50 min

    In all: 11 pints; 11 new lids; 2 loads; 11 lb (5.0 kg) of produce; 2 h 50 min at
    the canner.
    Too little history to plan Pears in quarts: 0 used in 0.4 months with stock. A
    plan takes 5 jars used or 60 days with stock.
    -- stderr --
    next: `jarledger plan` works out one batch; `jarledger process` finds its tested process
    -- exit 0 --
    ");
}

#[test]
fn one_product_is_answered_in_three_lines() {
    let world = household();
    // The four pints left have their best by today; the figures are those of the season above.
    insta::assert_snapshot!(world.run(&["season", "green", "BEAN", "--until", "2027-09-01"]), @"
    Green beans, until 2027-09-01: no, not enough.
    On the shelf: 4 jars, of which 0 will keep. Needed: 11. To can: 11.
    10 used in 12.0 months with stock; by then likely 10, from 9 to 11.
    -- stderr --
    next: `jarledger season` plans every product
    -- exit 0 --
    ");
    let answer = world.json(&["season", "beans"]);
    assert_eq!(answer["product"]["product"], "Green beans");
    assert_eq!(answer["lines"].as_array().unwrap().len(), 1);
    insta::assert_snapshot!(world.run(&["season", "pears"]), @"
    Pears: too little history to say whether it lasts until 2027-09-01.
    On the shelf: 3 jars.
    0 used in 0.4 months with stock. An answer takes 5 jars used or 60 days with
    stock.
    -- exit 0 --
    ");
    // What is on hold stands there and does not count.
    let jar = world.json(&["shelf", "pears", "--jars"])["jars"][0]["jar"].as_str().unwrap().to_owned();
    world.json(&["hold", &jar[..6], "1-3", "--reason", "a cloudy jar"]);
    let held = world.run(&["season", "pears"]).to_string();
    assert!(held.contains("On the shelf: 0 jars; not counted: 3 on hold."), "{held}");
    insta::assert_snapshot!(world.run(&["season", "quinces"]), @"
    -- stderr --
    error: no product is called “quinces”
    hint: `jarledger season` shows every product
    -- exit 3 --
    ");
    shelve(&world, "Black beans", None, (JarSize::Quart, 1), "2026-08-20T11:00", "Pantry shelf");
    insta::assert_snapshot!(world.run(&["season", "beans"]), @"
    -- stderr --
    error: “beans” may be Black beans, or Green beans
    hint: write out which one, such as 'Black beans'
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["shelf", "beans"]), @"
    Jars  Product      Size   State            Place         Best by     Past
                                                                         best by
       1  Black beans  quart  sealed, process  Pantry shelf  2027-08-20
                              not on record
       4  Green beans  pint   sealed, process  -             2026-09-01
                              not on record
      10  Green beans  pint   opened, process  refrigerator  discard          10
                              not on record
    15 jars (14 pints, 1 quart): 5 sealed, 10 opened.
    -- stderr --
    next: `jarledger eat` says what to take first
    -- exit 0 --
    ");
}

#[test]
fn more_appetite_and_counted_jars_and_lids_change_the_list() {
    let world = household();
    let plan = world.json(&["season", "--what-if", "green BEANS=+20%", "--on-hand", "pint:12,lids:50"]);
    // The same record with a fifth more.
    assert_eq!(plan["lines"][0]["expected"], serde_json::json!({"low": 10, "middle": 12, "enough": 14}));
    assert_eq!(plan["lines"][0]["what_if"], "+20%");
    assert_eq!(plan["totals"]["jars_to_get"]["pint"], 2);
    assert_eq!(plan["totals"]["lids_to_get"], 0);
    assert_eq!(plan["lines"][1]["too_little_history"], true);
    assert_eq!(plan["lines"][1]["put_up"], serde_json::Value::Null);
}

#[test]
fn what_cannot_be_planned_is_refused_with_a_way_out() {
    let world = household();
    insta::assert_snapshot!(world.run(&["season", "--what-if", "Quinces=+20%"]), @r"
    -- stderr --
    error: no product “Quinces” was ever put up
    hint: there is Green beans, Pears
    -- exit 3 --
    ");
    insta::assert_snapshot!(world.run(&["season", "--until", "2026-08-01"]), @r"
    -- stderr --
    error: 2026-08-01 is not within the five years after 2026-09-01
    hint: give the day the next season's jars are there, such as --until 2027-08-01
    -- exit 2 --
    ");
    insta::assert_snapshot!(World::at_500_ft().run(&["season"]), @r"
    No jar was put up yet, so there is nothing to plan by.
    -- stderr --
    next: `jarledger putup` logs a batch
    -- exit 0 --
    ");
    assert_eq!(world.run(&["season", "--sure", "1"]).code, 2);
    assert_eq!(world.run(&["season", "--on-hand", "pot:3"]).code, 2);
    assert_eq!(world.run(&["season", "--what-if", "Pears=20"]).code, 2);
}

#[test]
fn jars_used_in_a_batch_and_given_count_and_missing_ones_are_named() {
    let world = World::at_500_ft();
    let juice = shelve(&world, "Tomato juice", None, (JarSize::Quart, 12), "2026-06-01T08:00", "Cellar");
    act(&world, juice, &[1, 2, 3], Act::Open, "2026-06-20T18:00");
    act(&world, juice, &[4, 5], Act::Use, "2026-07-10T18:00");
    act(&world, juice, &[6], Act::Give, "2026-07-20T18:00");
    act(&world, juice, &[7], Act::Miss, "2026-07-25T18:00");
    act(&world, juice, &[8], Act::Discard, "2026-07-25T18:00");
    act(&world, juice, &[9, 10, 11, 12], Act::Give, "2026-07-26T18:00");
    let line = &world.json(&["season", "--until", "2026-12-01"])["lines"][0];
    for (field, jars) in
        [("eaten", 3), ("used_in_batches", 2), ("given", 5), ("missing", 1), ("most_used", 10)]
    {
        assert_eq!(line[field], jars, "{field}");
    }
    // 1 June to 26 July are 56 days: no sixty, and yet more than five jars. The rest of the time there were none:
    // 93 days from 1 June to 1 September, so for more than a third of it.
    assert_eq!(
        (line["too_little_history"].as_bool(), line["seldom_in_stock"].as_bool()),
        (Some(false), Some(false))
    );
    insta::assert_snapshot!(world.run(&["season", "juice", "--until", "2026-12-01"]), @"
    Tomato juice, until 2026-12-01: no, not enough.
    On the shelf: none. Needed: 31. To can: 31.
    5 used and 5 given in 1.8 months with stock; 1 missing; by then likely 17, from
    8 to 31. Less than a year on record: every month counts alike.
    -- stderr --
    next: `jarledger season` plans every product
    -- exit 0 --
    ");
    // On 1 December 56 of 184 days are less than a third, 61.3; nothing beyond the ten jars was ever seen.
    insta::assert_snapshot!(world.run(&["season", "--today", "2026-12-01"]), @"
    To last until 2027-12-01 (365 days) in about 90 % of seasons:
    Product               Used  Months  Likely       Needed  Will keep  To can
    Tomato juice, quarts     5     1.8  70 (38-115)     115          0     115
    Months: with stock. Likely: 1 season in 10 uses less, 1 in 10 uses more.
    Will keep: jars on the shelf that will be used by their best by.
    Given away besides: Tomato juice, quarts 5.
    Missing, used or not: Tomato juice, quarts 1.
    Tomato juice, quarts. On the shelf for only 1.8 of 6.0 months; 115 is more than
    the 10 ever used in so long a time.
    Less than a year on record, so every month counts alike: Tomato juice, quarts.

    Jars  To can                Loads  Produce    At the canner
     115  Tomato juice, quarts      ?  no figure  the canner is not on record

    In all: 115 quarts; 115 new lids.
    -- stderr --
    next: `jarledger plan` works out one batch; `jarledger process` finds its tested process
    -- exit 0 --
    ");
    insta::assert_snapshot!(world.run(&["season", "juice", "--today", "2026-12-01", "--sure", "0.8"]), @"
    Tomato juice, until 2027-12-01: no, not enough.
    On the shelf: none. Needed: 98. To can: 98.
    5 used and 5 given in 1.8 months with stock; 1 missing; by then likely 70, from
    47 to 98. On the shelf for only 1.8 of 6.0 months; 98 is more than the 10 ever
    used in so long a time. Less than a year on record: every month counts alike.
    -- stderr --
    next: `jarledger season` plans every product
    -- exit 0 --
    ");
}
