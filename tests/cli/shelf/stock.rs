//! `shelf`.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, put_up, shelve};
use crate::common::world::World;

fn stocked() -> World {
    let world = World::at_500_ft();
    shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 5), "2025-08-14T16:40", "Cellar");
    let pears = shelve(&world, "Pears", None, (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry shelf");
    act(&world, pears, &[2], Act::Open, "2026-08-30T09:00");
    put_up(&world, "Pears", None, (JarSize::Pint, 2), "2026-09-01T08:00", "Pantry shelf");
    world
}

#[test]
fn the_stock_is_counted_by_product_size_state_and_place() {
    insta::assert_snapshot!(stocked().run(&["shelf"]), @"
    Jars  Product      Size   State           Place         Best by     Past
                                                                        best by
       5  Green beans  pint   sealed,         Cellar        2026-08-14        5
                              process not on
                              record
       2  Pears        pint   cooling,        Pantry shelf  2027-09-01
                              process not on
                              record
       2  Pears        quart  sealed,         Pantry shelf  2027-08-20
                              process not on
                              record
       1  Pears        quart  opened,         refrigerator  eat by
                              process not on                2026-09-06
                              record
    10 jars: 2 cooling, 7 sealed, 1 opened.
    -- stderr --
    next: `jarledger eat` says what to take first
    -- exit 0 --
    ");
}

#[test]
fn jars_are_listed_with_code_and_best_by_and_filters_narrow_them() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["shelf", "--jars", "--place", "pantry SHELF", "-q"]), @"
    Jar          Product  Size   State             Place         Best by
    26-001-01-0  Pears    quart  sealed, process   Pantry shelf  2027-08-20
                                 not on record
    26-001-02-8  Pears    quart  opened, process   refrigerator  eat by
                                 not on record                   2026-09-06
    26-001-03-6  Pears    quart  sealed, process   Pantry shelf  2027-08-20
                                 not on record
    26-002-01-2  Pears    pint   cooling, process  Pantry shelf  2027-09-01
                                 not on record
    26-002-02-9  Pears    pint   cooling, process  Pantry shelf  2027-09-01
                                 not on record
    5 jars (2 pints, 3 quarts): 2 cooling, 2 sealed, 1 opened.
    -- exit 0 --
    ");
    let beans = world.json(&["shelf", "--jars", "--batch", "25-001"]);
    assert_eq!(beans["total"], 5);
    assert_eq!(beans["stock"][0]["jars"], 5);
    assert_eq!(beans["stock"][0]["past_best"], 5);
    assert_eq!(beans["jars"][4]["past_best"], true);
    insta::assert_snapshot!(world.run(&["shelf", "--product", "Quinces", "-q"]), @r"
    -- stderr --
    error: no product is called “Quinces”
    hint: `jarledger shelf` lists what is there
    -- exit 3 --
    ");
    // Everyday words, in any case, for a product or a place.
    let total = |line: &str| world.json_of(line)["total"].as_u64().unwrap();
    assert_eq!(total("shelf BEANS"), 5);
    assert_eq!(total("shelf green bean"), 5);
    assert_eq!(total("shelf 25-001"), 5);
    assert_eq!(total("shelf pear"), total("shelf --product Pears"));
    assert_eq!(total("shelf cell"), total("shelf --place Cellar"));
}
