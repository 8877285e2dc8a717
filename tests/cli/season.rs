//! `season`.

use std::collections::BTreeMap;

use jarledger::ledger::batch::put_up::{NewBatch, NewLoad};
use jarledger::ledger::file::open::Ledger;
use jarledger::ledger::jar::hold::HoldCause;
use jarledger::ledger::kitchen::canner::NewCanner;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::kinds::method::{Method, Pack};

use super::kitchen::{act, entry, instant, jars, shelve};
use super::world::World;

/// A year of green beans in pints, 10 of 14 eaten, and a month of pears.
fn household() -> World {
    let world = World::at_500_ft();
    let canner = NewCanner {
        name: "Tall canner".parse().unwrap(),
        method: Method::PressureDial,
        holds: BTreeMap::from([(JarSize::Pint, 9)]),
    };
    entry(&world, "canner add", "2025-08-30T08:00", |write| write.add_canner(&canner));
    let out = "2025-09-01T15:00";
    let load = |jars| NewLoad {
        run: None,
        canner: Some("Tall canner".parse().unwrap()),
        altitude: Some("500ft".parse().unwrap()),
        pressure: None,
        minutes: Some(20),
        vent_min: Some(10),
        come_up_min: Some(15),
        acid: None,
        reached_at: None,
        ended_at: None,
        drops: Vec::new(),
        out_at: instant(out),
        went_wrong: None,
        lid_lot: None,
        jars: vec![(JarSize::Pint, jars)],
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
    // 10 eaten in 366 days with stock, 365 to come: scipy 1.17.1, nbinom(11, 366/731).ppf([.1, .5, .9]) = 5, 10, 17.
    // 17 pints: 2 loads of 9; AIB 539, Guide 4: 9 lb for 9 pints; a load: 10 + 15 + 20 + 30 + 10 = 85 min, by hand.
    // The four pints left have their best by today, and cannot all be eaten today.
    insta::assert_snapshot!(household().run(&["season"]), @r"
    To last until 2027-09-01 (365 days) in 90 % of seasons:
    Product       Evidence     Will be eaten  Enough  Still good  Put up
    Green beans,  10 eaten in  10, between 5      17      0 of 4      17
    pints         12.0 months  and 17
                  with stock
    The lower end and the upper are each passed in 10 % of seasons.

    Jars  To put up                        Loads  Produce  At the canner
      17  Green beans, pints, Tall canner      2  17 lb    2 h 50 min

    In all: 17 pints; 17 new lids; 2 loads; 17 lb of produce; 2 h 50 min at the
    canner.
    Too little history to plan Pears in quarts: 0 eaten in 0.4 months with stock. A
    plan takes 91 days with stock.
    -- stderr --
    next: `jarledger plan` works out one batch; `jarledger process` finds its tested process
    -- exit 0 --
    ");
}

#[test]
fn more_appetite_and_counted_jars_and_lids_change_the_list() {
    let world = household();
    let plan = world.json(&["season", "--what-if", "green BEANS=+20%", "--on-hand", "pint:12,lids:50"]);
    // scipy 1.17.1: nbinom(11, 366/(366 + 365 * 1.2)).ppf([.1, .5, .9]).
    assert_eq!(plan["lines"][0]["expected"], serde_json::json!({"low": 7, "middle": 13, "enough": 20}));
    assert_eq!(plan["lines"][0]["what_if"], "+20%");
    assert_eq!(plan["totals"]["jars_to_get"]["pint"], 8);
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

/// Jars of a product eaten, and its days with stock, until 1 September 2026.
fn past(world: &World, product: &str) -> Option<(u32, u32)> {
    let appetites = Ledger::open(&world.ledger()).unwrap().appetites("2026-09-01".parse().unwrap()).unwrap();
    appetites.iter().find(|of| of.product == product).map(|of| (of.past.eaten, of.past.days))
}

fn hold(world: &World, batch: &str, numbers: &[u32], moment: &str) {
    entry(world, "hold", moment, |write| {
        for jar in jars(write, batch.parse().unwrap(), numbers) {
            write.hold(&jar, HoldCause::ByHand, "a sister jar spurted")?;
        }
        Ok(())
    });
}

#[test]
fn a_jar_stood_on_the_shelf_until_its_hold_began() {
    let world = World::at_500_ft();
    let beans =
        shelve(&world, "Beans", Some("green-beans"), (JarSize::Pint, 4), "2025-09-01T15:00", "Cellar");
    act(&world, beans, &[1, 2], Act::Open, "2025-10-05T18:00");
    hold(&world, "25-001", &[3, 4], "2026-06-01T09:00");
    // By hand: 30 days of September, 31 of October, 30, 31, 31, 28, 31, 30, 31 of May and 1 of June are 274.
    assert_eq!(past(&world, "Beans"), Some((2, 274)));
    // A jar opened before it was put on hold was eaten of all the same.
    hold(&world, "25-001", &[2], "2026-06-02T09:00");
    assert_eq!(past(&world, "Beans"), Some((2, 274)));
    // Let go, the two stood there all year: 1 September to 1 September, both counted.
    world.ok(&["release", "25-001", "3,4", "--reason", "only the band was scratched"]);
    assert_eq!(past(&world, "Beans"), Some((2, 366)));
    // Held from its first day, a jar never stood there.
    shelve(&world, "Beets", Some("beets"), (JarSize::Pint, 1), "2026-07-01T08:00", "Cellar");
    hold(&world, "26-001", &[1], "2026-07-01T09:00");
    assert_eq!(past(&world, "Beets"), None);
}

#[test]
fn a_jar_thrown_away_on_the_day_it_was_opened_was_not_eaten() {
    let world = World::at_500_ft();
    let beans =
        shelve(&world, "Beans", Some("green-beans"), (JarSize::Pint, 3), "2026-07-01T08:00", "Cellar");
    act(&world, beans, &[1, 2, 3], Act::Open, "2026-08-01T18:00");
    act(&world, beans, &[1], Act::Discard, "2026-08-01T18:05");
    act(&world, beans, &[2], Act::Discard, "2026-08-02T18:00");
    // By hand: 31 days of July and 1 of August; jar 2 was eaten of for a day, jar 3 stands open.
    assert_eq!(past(&world, "Beans"), Some((2, 32)));
}
