//! `check`: each finding is provoked by changing the file behind the ledger's back.

use rusqlite::Connection;

use crate::common::world::World;

/// Changes the file as no command can, triggers and constraints aside.
fn tamper(world: &World, sql: &str) {
    let conn = Connection::open(world.ledger()).unwrap();
    let triggers: Vec<(String, String)> = conn
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    conn.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; BEGIN").unwrap();
    for (name, _) in &triggers {
        conn.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    conn.execute_batch(sql).unwrap();
    for (_, text) in &triggers {
        conn.execute_batch(text).unwrap();
    }
    conn.execute_batch("COMMIT").unwrap();
}

/// A ledger with two jars on a shelf, one of them eaten.
fn stocked() -> World {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "quart:7,pint:16"]);
    tamper(
        &world,
        "INSERT INTO product VALUES (1, 'Pears', 'pears');
         INSERT INTO place VALUES (1, 'Cellar', 'cellar');
         INSERT INTO batch (id, entry_id, year, number, product_id, put_up, origin)
             VALUES (1, 1, 26, 41, 1, '2026-08-30', 'import');
         INSERT INTO jar (id, batch_id, number, size, best_by, born, born_place_id, state, place_id) VALUES
             (1, 1, 1, 'pint', '2027-08-30', 'sealed', 1, 'sealed', 1),
             (2, 1, 2, 'pint', '2027-08-30', 'sealed', 1, 'finished', 1);
         INSERT INTO event (id, jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date) VALUES
             (1, 2, 2, 'open', 'sealed', 'opened', 1788200000, 0, '2026-08-31'),
             (2, 2, 2, 'finish', 'opened', 'finished', 1788200000, 0, '2026-08-31');",
    );
    world.ok(&["check"]);
    world
}

#[test]
fn an_untouched_ledger_fits() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["check"]), @r"
    No problems found: 2 entries, 2 jars, 2 events, 0 loads.
    -- exit 0 --
    ");
}

#[test]
fn many_findings_are_counted() {
    let world = stocked();
    tamper(
        &world,
        "WITH RECURSIVE n(x) AS (SELECT 3 UNION ALL SELECT x + 1 FROM n WHERE x < 502)
         INSERT INTO jar (id, batch_id, number, size, best_by, born, state)
         SELECT x, 1, x, 'pint', '2027-08-30', 'sealed', 'given' FROM n",
    );
    let ran = world.run(&["check"]);
    assert!(ran.out.contains("and 400 more of these kinds"), "{}", ran.out);
    assert!(ran.out.contains("500 problems in"), "{}", ran.out);
    let ran = world.run(&["check", "--json"]);
    assert_eq!(ran.code, 11, "{}", ran.err);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((&answer["ok"], &answer["problems"][0]["code"]), (&false.into(), &"state".into()));
}

#[test]
fn a_verdict_that_the_rules_do_not_give_is_noticed_with_the_way_out() {
    let world = stocked();
    tamper(
        &world,
        "INSERT INTO load (id, batch_id, number, out_at, out_offset, verdict, findings)
             VALUES (1, 1, 1, 1788100000, 0, 'meets', '[]');
         INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (1, 1, 'meets', '[]');",
    );
    let ran = world.run(&["check"]);
    assert_eq!(ran.code, 11, "{ran}");
    assert!(ran.out.contains("verdict: load 26-041/1: on record as meets"), "{ran}");
    // A backup would bring the same back: the way out is another.
    assert!(ran.err.contains("`jarledger correct load LOAD --again --reason TEXT`"), "{ran}");
    world.json_of("correct load 26-041/1 --again --reason newer-rules");
}
