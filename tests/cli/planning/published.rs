//! Every published row through the program, held against `fixtures/process_grid/compiled.csv`, the rows as they were
//! compiled from the publications (`PROVENANCE.md` there).
//!
//! The look-up itself is asked every food, pack, jar, canner and both ends of every band beside it, in
//! `src/rules/process/published_tests.rs`; here is what reaches the screen of it.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::common::world::World;

/// Food, pack, jar, headspace, canner, band, minutes, psi and basis.
type Compiled = (String, String, String, f64, String, i64, Option<i64>, u64, Option<u64>, String);

fn compiled() -> Vec<Compiled> {
    let text = include_str!("../../../fixtures/process_grid/compiled.csv");
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// One place in each stretch between the bounds that any table has: 1,000, 2,000, 3,000, 4,000, 6,000 and 8,000 ft.
const HEIGHTS: [i64; 7] = [500, 1_500, 2_500, 3_500, 5_000, 7_000, 9_000];

/// Pack, jar, canner, minutes, psi, and headspace in hundredths of an inch.
type Line = (String, String, String, u64, Option<u64>, i64);

fn line_of(row: &Value) -> Line {
    let text = |field: &str| row[field].as_str().unwrap().to_owned();
    let headspace = (row["headspace_in"].as_f64().unwrap() * 100.0).round() as i64;
    (
        text("pack"),
        text("jar"),
        text("method"),
        row["minutes"].as_u64().unwrap(),
        row["psi"].as_u64(),
        headspace,
    )
}

fn line_compiled(row: &Compiled) -> Line {
    let headspace = (row.3 * 100.0).round() as i64;
    (row.1.clone(), row.2.clone(), row.4.clone(), row.7, row.8, headspace)
}

const fn covers(row: &Compiled, feet: i64) -> bool {
    row.5 <= feet && (row.6.is_none() || matches!(row.6, Some(top) if feet <= top))
}

#[test]
fn the_whole_table_is_shown_as_it_was_compiled() {
    let rows = compiled();
    let shown = World::new().json(&["process", "--all"]);
    let shown: BTreeSet<(String, i64, Option<i64>, Line)> = shown["processes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            let food = row["food"].as_str().unwrap().to_owned();
            (food, row["altitude_min_ft"].as_i64().unwrap(), row["altitude_max_ft"].as_i64(), line_of(row))
        })
        .collect();
    let wanted: BTreeSet<_> =
        rows.iter().map(|row| (row.0.clone(), row.5, row.6, line_compiled(row))).collect();
    assert_eq!(wanted.len(), 1_748);
    let differing: Vec<_> = shown.symmetric_difference(&wanted).take(5).collect();
    assert!(differing.is_empty(), "{differing:?}");
}

/// The last foot of each band of a food, and the foot after it: together they lie in every band.
fn edges(of_food: &[&Compiled]) -> BTreeSet<i64> {
    let tops = of_food.iter().filter_map(|row| row.6);
    let edges: BTreeSet<i64> = tops.flat_map(|top| [top, top + 1]).collect();
    for row in of_food {
        assert!(edges.iter().any(|&feet| covers(row, feet)), "{row:?}");
    }
    edges
}

/// Asks the program for all that is tested of a food at a height, and holds it against the compiled rows.
fn ask(world: &World, food: &str, of_food: &[&Compiled], feet: i64) {
    let answer = world.json(&["process", "--food", food, "--altitude", &format!("{feet}ft")]);
    let mut shown: Vec<Line> = answer["options"].as_array().unwrap().iter().map(line_of).collect();
    let mut wanted: Vec<Line> =
        of_food.iter().filter(|row| covers(row, feet)).map(|row| line_compiled(row)).collect();
    shown.sort_unstable();
    wanted.sort_unstable();
    assert_eq!(shown, wanted, "{food} at {feet} ft");
    assert_eq!(answer["food"], food);
    let because = if wanted.is_empty() { Value::from("altitude") } else { Value::Null };
    assert_eq!(answer["none_because"], because, "{food} at {feet} ft");
}

#[test]
fn a_food_is_answered_with_its_own_rows_and_no_others() {
    let rows = compiled();
    let mut foods: BTreeMap<&str, Vec<&Compiled>> = BTreeMap::new();
    for row in &rows {
        foods.entry(&row.0).or_default().push(row);
    }
    assert_eq!(foods.len(), 149);
    let world = World::new();
    // The program is begun for each, so some foods, each at another edge of its bands.
    for (at, (food, of_food)) in foods.iter().enumerate().step_by(7) {
        let edges: Vec<i64> = edges(of_food).into_iter().collect();
        ask(&world, food, of_food, edges[at / 7 % edges.len()]);
    }
}

// USDA AIB 539, Guides 2 to 5. Worked out by hand: beets have pints and quarts, hot pack, by pressure alone; peaches
// both packs, in boiling water and by pressure; half-pints of neither are listed and take the pint's.
#[test]
fn whole_questions_are_answered_row_for_row() {
    let world = World::new();
    let rows = compiled();
    let mut asked = 0;
    // Each pair of a food and a method comes up, each pair of pack and jar with every method, and every height.
    for (food, at) in
        ["beets", "peaches", "tomato-juice", "fish", "jam-jelly", "green-beans"].into_iter().zip(0..)
    {
        for ((pack, jar), kind) in
            [("hot", "pint"), ("raw", "quart"), ("hot", "half-pint")].into_iter().zip(0..)
        {
            let method = ["pressure-dial", "pressure-weighted", "boiling-water"][(at + kind) % 3];
            let feet = HEIGHTS[asked % 7];
            let altitude = format!("{feet}ft");
            let answer = world.json(&[
                "process",
                "--food",
                food,
                "--pack",
                pack,
                "--jar",
                jar,
                "--method",
                method,
                "--altitude",
                &altitude,
            ]);
            let fits = |row: &&Compiled| row.0 == food && row.1 == pack && row.4 == method;
            // A half-pint that is not listed takes the pint's, the next larger listed one of these foods.
            let is_listed = rows.iter().filter(fits).any(|row| row.2 == jar);
            let listed = if is_listed || jar != "half-pint" { jar } else { "pint" };
            let here = rows.iter().filter(fits).filter(|row| row.2 == listed && covers(row, feet));
            let mut wanted: Vec<(u64, Option<u64>)> = here.map(|row| (row.7, row.8)).collect();
            let options = answer["options"].as_array().unwrap();
            let mut shown: Vec<(u64, Option<u64>)> =
                options.iter().map(|row| (row["minutes"].as_u64().unwrap(), row["psi"].as_u64())).collect();
            wanted.sort_unstable();
            shown.sort_unstable();
            assert_eq!(shown, wanted, "{food}, {pack}, {jar}, {method}, {feet} ft");
            assert_eq!(answer["none_because"].is_null(), !wanted.is_empty());
            asked += 1;
        }
    }
    assert_eq!(asked, 18);
}
