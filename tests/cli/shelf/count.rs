//! `count`: what was seen in a place, beside the ledger.

use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::shelve;
use crate::common::world::{Ran, World};

/// Three pints of beans, 26-001, and two quarts of pears, 26-002, in the cellar; a quart of plums, 26-003, in
/// the pantry. All are sealed.
fn cellar() -> World {
    let world = World::at_500_ft();
    shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 3), "2026-08-14T16:40", "Cellar");
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 2), "2026-08-20T11:00", "Cellar");
    shelve(&world, "Plums", Some("plums"), (JarSize::Quart, 1), "2026-08-21T11:00", "Pantry");
    world
}

fn count(world: &World, seen: &str, more: &[&str]) -> Ran {
    std::fs::write(world.home().join("seen.txt"), seen).unwrap();
    world.run(&[&["count", "cellar", "seen.txt"], more].concat())
}

fn code(world: &World, batch: &str, number: usize) -> String {
    let jars = world.json(&["shelf", "--jars", "--batch", batch]);
    jars["jars"][number - 1]["jar"].as_str().unwrap().to_owned()
}

fn of_jar(world: &World, batch: &str, number: usize, what: &str) -> serde_json::Value {
    world.json(&["shelf", "--jars", "--batch", batch])["jars"][number - 1][what].clone()
}

#[test]
fn what_differs_is_shown_and_settled_only_after_a_yes() {
    let world = cellar();
    // Beans 1 and 2, and the plums; beans 3 and both pears are not seen.
    let seen = format!("26-001 1,2\n{}\n", code(&world, "26-003", 1));
    let ran = count(&world, &seen, &[]);
    assert_eq!(ran.code, 0, "{ran}");
    assert!(ran.out.starts_with("2 jars confirmed in Cellar.\n"), "{ran}");
    assert_eq!(ran.out.matches(": missing\n").count(), 3, "{ran}");
    assert!(ran.out.contains("Plums (quart): not expected here, kept in Pantry\n"), "{ran}");
    assert!(ran.out.ends_with("Nothing was changed.\n"), "{ran}");
    assert_eq!(of_jar(&world, "26-001", 3, "state"), "sealed");

    let settled = count(&world, &seen, &["--yes"]);
    assert!(settled.out.ends_with("Wrote down 4 jars.\n"), "{settled}");
    assert_eq!(of_jar(&world, "26-001", 3, "state"), "missing");
    let again = count(&world, "26-001 1-3\n26-002 1,2\n", &["--yes"]);
    assert!(again.out.contains(": found again\n"), "{again}");
}

#[test]
fn a_code_that_is_none_is_named_with_its_line_and_the_nearest() {
    let world = cellar();
    let right = code(&world, "26-001", 1);
    let wrong = format!("{}{}", &right[..right.len() - 1], if right.ends_with('9') { '0' } else { '9' });
    let answer = {
        let ran = count(&world, &format!("26-001 1-3\n26-002 1,2\n{wrong}\n26-077 1\nhello\n"), &["--json"]);
        assert_eq!(ran.code, 0, "{ran}");
        serde_json::from_str::<serde_json::Value>(&ran.out).unwrap()
    };
    assert_eq!(answer["unknown"].as_array().unwrap().len(), 3);
    assert_eq!(answer["unknown"][0]["line"], 3);
    assert!(answer["unknown"][0]["near"].as_array().unwrap().contains(&right.into()), "{answer}");
    assert_eq!(answer["confirmed"].as_array().unwrap().len(), 5);
    assert_eq!(answer["entry"], serde_json::Value::Null);
}

#[test]
fn a_paper_tally_is_compared_and_changes_nothing() {
    let world = cellar();
    let ran =
        count(&world, "2 pints green beans\n1 quart pears\n1 quart pears\n3 quarts quinces\n", &["--yes"]);
    insta::assert_snapshot!(ran, @"
    0 jars confirmed in Cellar.
    green beans (pint): 2 counted, 1 fewer than in the ledger
    pears (quart): 2 counted, as in the ledger
    line 4: there is no product quinces in this ledger
    -- exit 0 --
    ");
}

#[test]
fn nothing_is_written_down_while_a_line_is_unread() {
    let world = cellar();
    let shown = count(&world, "26-001 1,2\nhello\n", &["--yes"]);
    assert_eq!(shown.code, 5, "{shown}");
    assert!(shown.err.contains("line 2:") && shown.err.contains("1 line could not be read"), "{shown}");
    assert_eq!(of_jar(&world, "26-001", 3, "state"), "sealed");
    let ran = count(&world, "26-001 1,2\nhello\n", &["--yes", "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(
        (ran.code, &answer["entry"], &answer["unknown"][0]["line"]),
        (5, &serde_json::Value::Null, &2.into())
    );
}

#[test]
fn an_empty_list_and_an_unknown_place_are_refused() {
    let world = cellar();
    // Otherwise every jar would be missing.
    assert_eq!(count(&world, "\n# nothing\n", &["--yes"]).code, 5);
    assert_eq!(world.run(&["count", "attic", "seen.txt"]).code, 3);
    assert_eq!(of_jar(&world, "26-001", 3, "state"), "sealed");
}

#[test]
fn a_scanner_on_stdin_types_a_code_a_line_and_may_read_one_twice() {
    let world = cellar();
    let scanned = format!("{0}\r\n{0}\r\n26-001 2,3\r\n26-002 1,2", code(&world, "26-001", 1));
    let output = world.command(&["count", "Cellar", "-"]).write_stdin(scanned).output().unwrap();
    assert_eq!(String::from_utf8(output.stdout).unwrap(), "5 jars confirmed in Cellar.\n");
}

#[test]
fn jars_that_cannot_be_missing_or_are_gone_by_the_ledger_are_listed_and_left_alone() {
    let mut world = cellar();
    world.ok(&["open", "26-001", "1"]);
    world.ok(&["give", "26-002", "1", "--to", "the neighbors"]);
    world.on("2026-09-02T12:00");
    let seen = count(&world, "26-001 2,3\n26-002 1,2\n", &["--yes"]);
    assert_eq!(seen.code, 0, "{seen}");
    assert!(seen.out.contains("Not looked for here: 1 jar in the refrigerator.\n"), "{seen}");
    assert!(seen.out.contains("Pears (quart): seen here, and given by the ledger; look at it\n"), "{seen}");
    assert!(!seen.out.contains("Wrote down"), "{seen}");
}
