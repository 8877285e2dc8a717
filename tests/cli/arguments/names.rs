//! The name on a jar against the food it is said to be, by every way in: every line of `fixtures/product_names.csv`.

use std::collections::BTreeSet;

use crate::common::world::World;

const REFUSED_BY_A_RULE: i32 = 4;

/// Product, food, and whether the two may go together.
fn names() -> Vec<(String, String, bool)> {
    let text = include_str!("../../../fixtures/product_names.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| (row[0].to_owned(), row[1].to_owned(), &row[2] == "pass")).collect()
}

#[test]
fn an_import_names_every_row_whose_name_is_doubted_and_no_other() {
    let world = World::at_500_ft();
    let mut csv = csv::Writer::from_path(world.home().join("shelf.csv")).unwrap();
    csv.write_record(["product", "put_up", "jar", "food"]).unwrap();
    for (product, food, _) in names() {
        csv.write_record([&product, "2026-08-01", "pint", &food]).unwrap();
    }
    csv.flush().unwrap();
    let ran = world.run(&["import", "shelf.csv", "--json"]);
    assert_eq!(ran.code, 5, "{}", ran.err);
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let lines = answer["problems"].as_array().unwrap().iter().map(|one| one["line"].as_u64().unwrap());
    // The first line holds the names of the columns.
    let doubted = names().into_iter().zip(2..).filter(|((_, _, may), _)| !may).map(|(_, line)| line);
    assert_eq!(lines.collect::<BTreeSet<u64>>(), doubted.collect());
}

/// Puts a product up without a load, and returns the exit code.
fn put_up(world: &World, product: &str, food: &str) -> i32 {
    let line = ["putup", "--product", product, "--food", food, "--pack", "hot", "--jars", "pint:1"];
    world.run(&[&line[..], &["--canner", "Big dial", "--minutes", "1"]].concat()).code
}

// Every name goes through the rule itself in src/rules/food/name_check.rs; here are a few, which the program is begun for.
#[test]
fn a_doubted_name_is_refused_when_the_batch_is_put_up() {
    let world = World::with_canners();
    for (product, food, may) in names().iter().step_by(40) {
        let code = put_up(&world, product, food);
        assert_eq!(code == REFUSED_BY_A_RULE, !may, "{product} as {food}: exit {code}");
    }
}
