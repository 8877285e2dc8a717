//! Each finding is provoked by changing the file behind the ledger's back.

use std::collections::BTreeSet;

use rusqlite::Connection;

use crate::ledger::amend::correct::Corrected;
use crate::ledger::check::report::Kind;
use crate::ledger::kitchen::canner::NewCanner;
use crate::ledger::tests::household::Household;
use crate::rules::load::verdict::Verdict;
use crate::rules::process::household::HouseholdProcess;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::pressure::Pressure;

/// Changes the file as no command can, triggers and constraints aside.
fn tamper(household: &Household, sql: &str) {
    let conn = Connection::open(&household.ledger.path).unwrap();
    let triggers: Vec<(String, String)> = conn
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    conn.execute_batch(
        "PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; BEGIN",
    )
    .unwrap();
    for (name, _) in &triggers {
        conn.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    conn.execute_batch(sql).unwrap();
    for (_, text) in &triggers {
        conn.execute_batch(text).unwrap();
    }
    conn.execute_batch("COMMIT").unwrap();
}

/// A ledger with two jars on a shelf, one of them eaten; the canner is of entry 2.
fn stocked() -> Household {
    let household = Household::with_canners("2026-09-01T12:00", &[]);
    let canner = NewCanner {
        name: "Big dial".parse().unwrap(),
        method: Method::PressureDial,
        holds: [(JarSize::Quart, 7), (JarSize::Pint, 16)].into(),
        holds_together: Vec::new(),
    };
    household.entry(|write| write.add_canner(&canner).map(drop)).unwrap();
    tamper(
        &household,
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
    assert_eq!(household.problems(), []);
    household
}

/// A load on record as deviating, by the last judgement, of which nothing else is known.
const JUDGED: &str = "
    INSERT INTO load (id, batch_id, number, out_at, out_offset, verdict, findings)
        VALUES (1, 1, 1, 1788100000, 0, 'deviates', '[]');
    INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (1, 1, 'deviates', '[]');";

/// A run in the canner; steps and when they were are to follow.
const RUN: &str = "
    INSERT INTO run (id, entry_id, canner_id, food, pack, size, altitude, minutes, pressure, vent_min)
        VALUES (1, 2, 1, 'pears', 'hot', 'pint', '500ft', 20, 1100, 10);
    INSERT INTO run_step (run_id, entry_id, step, at, at_offset) SELECT 1, 2, column1, column2, 0 FROM (VALUES";

const OTHER_BATCH: &str = "
    INSERT INTO batch (id, entry_id, year, number, product_id, put_up, origin)
        VALUES (2, 1, 26, 42, 1, '2026-08-30', 'import');";

/// A third entry, taken back by a fourth.
const UNDONE: &str = "
    INSERT INTO entry (id, uuid, command, summary, at, at_offset, on_date, effective)
        VALUES (3, 'c', 'putup', 'a batch', 1788200000, 0, '2026-08-31', 0);
    INSERT INTO entry (id, uuid, command, summary, at, at_offset, on_date, reverses)
        VALUES (4, 'd', 'undo', 'of it', 1788200000, 0, '2026-08-31', 3);";

const CORRECTED: &str = "
    INSERT INTO correction (subject, subject_id, field, old_value, new_value, reason, entry_id) VALUES";

fn kinds(household: &Household) -> Vec<Kind> {
    household.problems().iter().map(|problem| problem.code).collect()
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
        ("value", "UPDATE jar SET best_by = '6027-08-30' WHERE id = 1"),
        ("value", "UPDATE batch SET put_up = '0026-08-30' WHERE id = 1"),
        ("value", "UPDATE event SET act = 'vanish' WHERE id = 1"),
        ("page", "UPDATE jar SET held = 7 WHERE id = 1"),
        ("seal", "UPDATE event SET act = 'check-sealed' WHERE id = 1"),
        ("lacking", "DELETE FROM canner_capacity"),
        ("lacking", "UPDATE setting SET key = 'day-order', value = 'day-month-year' WHERE key = 'altitude'"),
        ("value", "INSERT INTO setting (key, value, entry_id) VALUES ('altitudo', '500ft', 1)"),
        ("value", "INSERT INTO setting (key, value, entry_id) VALUES ('quality-months/plums', '18', 1)"),
        ("value", "INSERT INTO setting (key, value, entry_id) VALUES ('quality-months/pears', '121', 1)"),
        (
            "standing",
            "INSERT INTO canner (entry_id, name, name_key, method) SELECT 1, name, name_key, method FROM canner",
        ),
        ("run", &format!("{RUN} ('steam', 1788200000))")),
        ("run", &format!("{RUN} ('heat', 1788200060), ('steam', 1788200000))")),
        // Put up before its jars were out.
        (
            "run",
            &format!(
                "{RUN} ('heat', 1788200000)); {JUDGED} UPDATE load SET run_id = 1; UPDATE batch SET entry_id = 2"
            ),
        ),
        ("times", &format!("{JUDGED} UPDATE batch SET put_up = '2026-09-02'")),
        ("times", &format!("{JUDGED} UPDATE load SET reached_at = out_at - 600, minutes = 11")),
        // Given before the batch was put up.
        ("standing", &format!("{JUDGED} UPDATE batch SET entry_id = 2")),
        (
            "standing",
            &format!(
                "{CORRECTED} ('batch', 1, 'note', 'a', NULL, 'misread', 1); UPDATE batch SET entry_id = 2"
            ),
        ),
        ("misplaced", "UPDATE jar SET number = 9 WHERE id = 2"),
        ("misplaced", "UPDATE batch SET origin = 'own'"),
        (
            "misplaced",
            &format!("{JUDGED} {OTHER_BATCH} UPDATE load SET batch_id = 2; UPDATE jar SET load_id = 1"),
        ),
        (
            "standing",
            &format!(
                "{OTHER_BATCH} {UNDONE} UPDATE batch SET entry_id = 3 WHERE id = 2;
                      UPDATE event SET act = 'use'; INSERT INTO jar_use VALUES (1, 2, 2)"
            ),
        ),
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
    assert_eq!(covered, Kind::ALL.iter().map(|kind| kind.as_str()).collect());
    for (code, sql) in tampering {
        let household = stocked();
        tamper(&household, sql);
        let before = std::fs::read(&household.ledger.path).unwrap();
        assert!(
            kinds(&household).iter().any(|kind| kind.as_str() == code),
            "{sql}: {:?}",
            household.problems()
        );
        assert!(std::fs::read(&household.ledger.path).unwrap() == before, "{sql}: check changed the file");
    }
}

#[test]
fn a_verdict_that_the_rules_do_not_give_is_found() {
    let household = stocked();
    tamper(
        &household,
        "INSERT INTO load (id, batch_id, number, out_at, out_offset, verdict, findings)
             VALUES (1, 1, 1, 1788100000, 0, 'meets', '[]');
         INSERT INTO judgement (load_id, entry_id, verdict, findings) VALUES (1, 1, 'meets', '[]');",
    );
    let found = |household: &Household, what: &str| {
        let problems = household.problems();
        assert!(problems.iter().any(|problem| problem.what.starts_with(what)), "{problems:?}");
    };
    found(&household, "load 26-041/1: on record as meets");
    tamper(&household, "UPDATE load SET verdict = 'deviates'");
    found(&household, "load 26-041/1: its verdict is not the last one given");
}

#[test]
fn of_many_findings_the_first_are_kept_and_the_rest_counted() {
    let household = stocked();
    tamper(
        &household,
        "WITH RECURSIVE n(x) AS (SELECT 3 UNION ALL SELECT x + 1 FROM n WHERE x < 502)
         INSERT INTO jar (id, batch_id, number, size, best_by, born, state)
         SELECT x, 1, x, 'pint', '2027-08-30', 'sealed', 'given' FROM n",
    );
    let report = household.ledger.check().unwrap();
    assert_eq!((report.problems.len(), report.more), (100, 400));
}

// The verdict on a load by a process of the household's own, as a release left it that did not tell those apart.
#[test]
fn a_verdict_of_before_own_processes_stood_apart_is_noticed_and_given_again() {
    let household = Household::at("2026-08-20T10:00");
    let process = HouseholdProcess {
        food: "turnips".parse().unwrap(),
        acidity: Acidity::LowAcid,
        pack: Pack::Hot,
        size: JarSize::Pint,
        method: Method::PressureDial,
        altitude_min_ft: 0,
        altitude_max_ft: Some(2_000),
        minutes: 30,
        psi: Some(Pressure::from_psi(11)),
        vent_min: 10,
        headspace_hundredths_in: 100,
        publication: "Invented Bulletin".to_owned(),
        page: "4".to_owned(),
        published_on: "2020-01-01".parse().unwrap(),
        entered_on: "2026-08-20".parse().unwrap(),
    };
    household.entry(|write| write.add_household_process(&process).map(drop)).unwrap();
    let judged = household.pints(("Turnips", "turnips"), 3, 30);
    assert_eq!(judged[0].judged.verdict, Verdict::MeetsOwn);
    tamper(
        &household,
        "UPDATE load SET verdict = 'meets', findings = '[]'; UPDATE judgement SET verdict = 'meets', findings = '[]'",
    );
    let problems = household.problems();
    let noticed = "load 26-001/1: on record as meets, and the rules give meets-own";
    assert!(problems.iter().any(|problem| problem.what.starts_with(noticed)), "{problems:?}");
    let load = Corrected::Load("26-001/1".parse().unwrap());
    let again = household.entry(|write| write.correct(load, &[], "newer rules")).unwrap();
    assert_eq!(again[0].judged.verdict, Verdict::MeetsOwn);
    assert_eq!(household.problems(), []);
}

#[test]
fn label_sheets_and_recipes_are_found_by_their_names() {
    for wrong in [
        "INSERT INTO label_sheet (entry_id, name, name_key, definition) VALUES (2, 'Mine', 'other', '{}')",
        "INSERT INTO recipe (entry_id, name, name_key, version, definition) VALUES (2, 'Pears', 'other', 1, '{}')",
    ] {
        let household = stocked();
        tamper(&household, wrong);
        assert!(kinds(&household).contains(&Kind::Name), "{wrong}");
    }
}
