//! Every schema that was ever released opens, with its rows whole.

use std::fs;

use rusqlite::Connection;

use crate::world::World;

/// Each released schema: a ledger of it, the jars it holds, and how many of them were undone.
const RELEASED: &[(&str, &str, usize, usize)] = &[
    ("1.0", include_str!("../../fixtures/schema/v1.0.sql"), 114, 9),
    ("2.0", include_str!("../../fixtures/schema/v2.0.sql"), 114, 9),
];

/// A world whose ledger is the frozen one.
fn thawed(sql: &str) -> World {
    let mut world = World::new();
    world.on("2026-04-28");
    Connection::open(world.ledger()).unwrap().execute_batch(sql).unwrap();
    world
}

/// The text of everything in the schema.
fn schema(world: &World) -> Vec<(String, String)> {
    let conn = Connection::open(world.ledger()).unwrap();
    let mut statement =
        conn.prepare("SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name").unwrap();
    statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect()
}

#[test]
fn fault_03_every_released_schema_opens_with_its_rows() {
    for (version, sql, jars, undone) in RELEASED {
        let world = thawed(sql);
        assert_eq!(world.run(&["check"]).code, 0, "{version}");
        let answer = world.json(&["export"]);
        let rows = answer["jar"].as_array().unwrap();
        assert_eq!(rows.len(), *jars, "{version}");
        assert_eq!(rows.iter().filter(|jar| jar["state"] == "void").count(), *undone, "{version}");
        // Written to, it is as a fresh one.
        world.ok(&["setup", "--altitude", "600ft"]);
        assert_eq!(schema(&world), schema(&World::at_500_ft()), "{version}");
        assert_eq!(world.run(&["check"]).code, 0, "{version}");
    }
}

#[test]
fn fault_03_reading_the_newest_schema_changes_nothing() {
    let (_, sql, ..) = RELEASED.last().unwrap();
    let world = thawed(sql);
    let before = fs::read(world.ledger()).unwrap();
    world.ok(&["eat"]);
    world.ok(&["shelf"]);
    assert!(before == fs::read(world.ledger()).unwrap());
}
