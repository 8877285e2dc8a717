//! A whole year of one household, driven through the binary.

use std::collections::BTreeMap;

use crate::common::world::World;

const SCRIPT: &str = include_str!("../../../fixtures/year.script");
const STOCK: &str = include_str!("../../../fixtures/year_stock.csv");

/// Runs the script, and gives back the code of every batch and jar by its name there.
fn live_through(world: &mut World) -> BTreeMap<String, String> {
    let mut codes: BTreeMap<String, String> = BTreeMap::new();
    for line in SCRIPT.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let (moment, rest) = line.split_once(' ').unwrap();
        let (name, rest) = match rest.strip_prefix('@').and_then(|rest| rest.split_once(" = ")) {
            Some((name, rest)) => (Some(name), rest),
            None => (None, rest),
        };
        let (command, typed) = rest.split_once(" < ").unwrap_or((rest, ""));
        let coded = |word: String| match word.strip_suffix("/1").and_then(|batch| codes.get(batch)) {
            Some(batch) => format!("{batch}/1"),
            None => codes.get(&word).cloned().unwrap_or(word),
        };
        let words: Vec<String> = shlex::split(command).unwrap().into_iter().map(coded).collect();
        let typed: Vec<String> = typed
            .split("; ")
            .map(|line| line.split(' ').map(|word| coded(word.to_owned())).collect::<Vec<_>>().join(" "))
            .collect();
        let mut command = world.on(moment).command(&["--json"]);
        let output = command.args(&words).write_stdin(typed.join("\n")).output().unwrap();
        assert!(output.status.success(), "{line}: {}", String::from_utf8_lossy(&output.stderr));
        let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        if let Some(name) = name {
            let batch = answer["batch"].as_str().unwrap();
            codes.insert(format!("@{name}"), batch.to_owned());
            for (jar, number) in answer["jars"].as_array().unwrap().iter().zip(1..) {
                codes.insert(format!("@{name}.{number}"), jar.as_str().unwrap().to_owned());
            }
        }
    }
    codes
}

#[test]
fn a_years_stock_is_what_it_comes_to_by_hand_and_check_finds_nothing() {
    let mut world = World::new();
    let codes = live_through(&mut world);
    world.on("2026-04-28");

    let wanted = |name: &str| name.contains('.') && !name.starts_with("@wrongpears.");
    let named = codes.iter().filter(|(name, _)| wanted(name)).map(|(_, code)| code.as_str());
    let answer = world.json(&[vec!["jar"], named.collect()].concat());
    let mut found: BTreeMap<(String, String, String, String), u64> = BTreeMap::new();
    for jar in answer["jars"].as_array().unwrap() {
        let text = |key: &str| jar[key].as_str().unwrap_or_else(|| panic!("{key} in {jar}")).to_owned();
        let held = if jar["on_hold"].as_bool().unwrap() { "yes" } else { "no" };
        *found.entry((text("product"), text("size"), text("state"), held.to_owned())).or_default() += 1;
    }
    let by_hand: BTreeMap<_, u64> = csv::Reader::from_reader(STOCK.as_bytes())
        .into_records()
        .map(|row| {
            let row = row.unwrap();
            let cell = |at: usize| row[at].to_owned();
            ((cell(0), cell(1), cell(2), cell(3)), row[4].parse().unwrap())
        })
        .collect();
    assert_eq!(found, by_hand);
    let ran = world.run(&["check"]);
    assert_eq!(ran.code, 0, "{ran}");
}
