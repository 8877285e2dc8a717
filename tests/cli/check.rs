//! `check`: each finding is provoked by changing the file behind the ledger's back.

use std::collections::BTreeSet;

use jarledger::ledger::check::Kind as CheckKind;
use rusqlite::Connection;

use super::world::World;

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

/// A load on record as deviating, by the last judgement, of which nothing else is known.
const JUDGED: &str = "
    INSERT INTO load (id, batch_id, number, out_at, out_offset, verdict, findings)
        VALUES (1, 1, 1, 1788000000, 0, 'deviates', '[]');
    INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (1, 1, 'deviates', '[]');";

const CORRECTED: &str = "
    INSERT INTO correction (subject, subject_id, field, old_value, new_value, reason, entry_id) VALUES";

#[test]
fn an_untouched_ledger_fits() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["check"]), @r"
    No problems found: 2 entries, 2 jars, 2 events, 0 loads.
    -- exit 0 --
    ");
}

#[test]
fn each_kind_of_finding_has_its_code() {
    let tampering = [
        ("reference", "UPDATE jar SET place_id = 9, born_place_id = 9 WHERE id = 1"),
        (
            "entry",
            "DELETE FROM canner; DELETE FROM canner_capacity; UPDATE entry SET id = 7 WHERE id = 2;
                   UPDATE event SET entry_id = 7",
        ),
        ("entry", "UPDATE entry SET uuid = '00000000-0000-0000-0000-000000000000' WHERE id = 2"),
        ("undo", "UPDATE entry SET reverses = 1 WHERE id = 2"),
        ("undo", "UPDATE entry SET effective = 0 WHERE id = 2"),
        ("event", "UPDATE event SET from_state = 'missing' WHERE id = 1"),
        (
            "event",
            "UPDATE event SET to_state = 'given' WHERE id = 2; UPDATE jar SET state = 'given' WHERE id = 2",
        ),
        ("event", "UPDATE event SET act = 'freeze' WHERE id = 1"),
        ("state", "UPDATE jar SET state = 'opened' WHERE id = 2"),
        ("state", "UPDATE jar SET state = 'void' WHERE id = 1"),
        ("place", "UPDATE jar SET place_id = NULL WHERE id = 1"),
        ("hold", "UPDATE jar SET held = 1 WHERE id = 1"),
        (
            "hold",
            "INSERT INTO hold (jar_id, entry_id, cause, reason) VALUES (1, 2, 'by-hand', 'lid looks odd')",
        ),
        (
            "twice",
            "INSERT INTO event (jar_id, entry_id, act, from_state, to_state, at, at_offset, on_date)
                   VALUES (2, 2, 'finish', 'opened', 'finished', 1788200000, 0, '2026-08-31')",
        ),
        ("seal", "INSERT INTO seal_check VALUES (1, 2, 1, 'press', 0)"),
        ("code", "UPDATE batch SET number = 100000000"),
        ("name", "UPDATE product SET name_key = 'pear'"),
        ("value", "UPDATE jar SET best_by = '2027-02-30' WHERE id = 1"),
        ("value", "UPDATE event SET act = 'vanish' WHERE id = 1"),
        ("page", "UPDATE jar SET held = 7 WHERE id = 1"),
        ("seal", "UPDATE event SET act = 'check-sealed' WHERE id = 1"),
        ("lacking", "DELETE FROM canner_capacity"),
        (
            "standing",
            "INSERT INTO canner (entry_id, name, name_key, method) SELECT 1, name, name_key, method FROM canner",
        ),
        ("misplaced", "UPDATE jar SET number = 9 WHERE id = 2"),
        ("verdict", JUDGED),
        ("withheld", &format!("{JUDGED} UPDATE jar SET load_id = 1 WHERE id = 1")),
        ("judgement", &format!("{JUDGED} UPDATE load SET verdict = 'meets'")),
        ("pressure", &format!("{JUDGED} UPDATE load SET pressure = 1100, pressure_entered = '10'")),
        ("pressure", &format!("{JUDGED} UPDATE load SET pressure_entered = '10'")),
        ("correction", &format!("{CORRECTED} ('jar', 1, 'size', 'quart', 'half-pint', 'misread', 2)")),
        ("correction", &format!("{CORRECTED} ('batch', 1, 'put-up', '2026-08-29', NULL, 'misread', 2)")),
        ("reference", &format!("{CORRECTED} ('load', 7, 'minutes', '20', '25', 'misread', 2)")),
    ];
    let covered: BTreeSet<&str> = tampering.iter().map(|(code, _)| *code).collect();
    assert_eq!(covered, CheckKind::ALL.iter().map(|kind| kind.as_str()).collect());
    for (code, sql) in tampering {
        let world = stocked();
        tamper(&world, sql);
        let before = std::fs::read(world.ledger()).unwrap();
        let ran = world.run(&["check", "--json"]);
        assert_eq!(ran.code, 11, "{sql}: {}{}", ran.out, ran.err);
        let told: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(told["ok"], false);
        let codes: Vec<&str> = told["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["code"].as_str().unwrap())
            .collect();
        assert!(codes.contains(&code), "{sql}: {}", ran.out);
        assert!(std::fs::read(world.ledger()).unwrap() == before, "{sql}: check changed the file");
    }
}

#[test]
fn a_verdict_that_the_rules_do_not_give_is_found() {
    let world = stocked();
    tamper(
        &world,
        "INSERT INTO load (id, batch_id, number, out_at, out_offset, verdict, findings)
             VALUES (1, 1, 1, 1788000000, 0, 'meets', '[]');
         INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (1, 1, 'meets', '[]');",
    );
    let ran = world.run(&["check"]);
    assert_eq!(ran.code, 11, "{}", ran.out);
    assert!(ran.out.contains("verdict: load 26-041/1: on record as meets"), "{}", ran.out);
    tamper(&world, "UPDATE load SET verdict = 'deviates'");
    let ran = world.run(&["check"]);
    assert!(
        ran.out.contains("judgement: load 26-041/1: its verdict is not the last one given"),
        "{}",
        ran.out
    );
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
}

#[test]
fn corrections_made_and_taken_back_fit() {
    let mut world = World::with_canners();
    world.on("2026-08-14T18:00");
    world.ok(&[
        "putup",
        "--product",
        "Green beans",
        "--food",
        "green-beans",
        "--pack",
        "hot",
        "--jars",
        "pint:9",
        "--canner",
        "Big dial",
        "--pressure",
        "11",
        "--minutes",
        "20",
        "--vent",
        "10",
        "--out",
        "16:40",
        "--reached",
        "15:50",
        "--place",
        "Cellar",
    ]);
    for line in [
        "correct load 26-001/1 --minutes 25 --reason misread",
        "correct load 26-001/1 --pressure 12 --reason misread",
        "correct load 26-001/1 --reached 15:40 --reason misread",
        "correct batch 26-001 --product Beans --reason misread",
        "correct batch 26-001 --put-up 2026-08-13 --reason misread",
        "correct jar 26-001-01-0 --size quart --reason misread",
        "correct load 26-001/1 --lid-lot L7 --reason misread",
        "undo",
        "undo 3",
        "undo 4",
    ] {
        let ran = world.line(line);
        assert!(matches!(ran.code, 0 | 4), "{line}: {ran}");
        let checked = world.run(&["check"]);
        assert_eq!(checked.code, 0, "{line}: {checked}");
    }
    // In a kitchen of another zone the moments are told in another offset, and are the same.
    let mut command =
        world.command(&["correct", "load", "26-001/1", "--out", "16:45", "--reason", "misread"]);
    command.env("TZ", "EST5").output().unwrap();
    let checked = world.run(&["check"]);
    assert_eq!(checked.code, 0, "{checked}");
}

/// A load by a process of the household's own, on record as an older release left it.
#[test]
fn a_verdict_of_before_own_processes_were_told_apart_is_noticed_and_given_again() {
    let mut world = World::with_canners();
    world.on("2026-08-20T10:00");
    world.json_of(
        "process add --food turnips --acidity low-acid --pack hot --jar pint --method pressure-dial --to 2000ft --minutes 30 \
         --pressure 11psi --headspace 1in --publication Invented-Bulletin --page 4 --published 2020-01-01",
    );
    let turnips = "putup --product Turnips --food turnips --pack hot --jars pint:3 --canner Big_dial --minutes 30 \
                   --vent 10 --pressure 11";
    assert_eq!(world.json_of(turnips)["loads"][0]["verdict"], "meets-own");
    tamper(
        &world,
        "UPDATE load SET verdict = 'meets', findings = '[]'; UPDATE judgement SET verdict = 'meets', findings = '[]'",
    );
    assert!(!world.line("batch 26-001").out.contains("Meets the tested process"));
    let noticed = world.line("check");
    assert_eq!(noticed.code, 11, "{noticed}");
    assert!(
        noticed.out.contains("load 26-001/1: on record as meets, and the rules give meets-own"),
        "{noticed}"
    );
    // A backup would bring the same back: the way out is another.
    assert!(noticed.err.contains("`jarledger correct load LOAD --again --reason TEXT`"), "{noticed}");
    let again = world.json_of("correct load 26-001/1 --again --reason newer-rules");
    assert_eq!(again["judged"][0]["verdict"], "meets-own");
    assert_eq!(world.line("check").code, 0);
}
