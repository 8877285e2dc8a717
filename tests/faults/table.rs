//! The table of faults in `README.md` here is that of the tests.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Names of the tests of faults in the Rust files under a folder, and of tests there in all.
fn tests_under(folder: &Path, found: &mut BTreeSet<String>, unnamed: &mut Vec<String>) {
    for file in fs::read_dir(folder).unwrap() {
        let file = file.unwrap().path();
        if file.is_dir() {
            tests_under(&file, found, unnamed);
        } else if file.extension().is_some_and(|end| end == "rs") {
            let mut marked = false;
            for line in fs::read_to_string(&file).unwrap().lines().map(str::trim) {
                if let Some(name) = line.strip_prefix("fn ").and_then(|rest| rest.split('(').next()) {
                    if name.starts_with("fault_") {
                        found.insert(name.to_owned());
                    } else if marked {
                        unnamed.push(format!("{}: {name}", file.display()));
                    }
                    marked = false;
                }
                marked |= line == "#[test]";
            }
        }
    }
}

#[test]
fn the_table_of_faults_names_every_fault_and_every_test_of_one() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (mut tests, mut unnamed) = (BTreeSet::new(), Vec::new());
    tests_under(&root.join("tests/faults"), &mut tests, &mut unnamed);
    unnamed.retain(|test| !test.contains("table.rs"));
    assert_eq!(unnamed, [""; 0], "tests of no fault");
    tests_under(&root.join("src"), &mut tests, &mut Vec::new());

    let page = fs::read_to_string(root.join("tests/faults/README.md")).unwrap();
    let table = page.split("<!-- faults: written by .ci/faults -->").nth(1).unwrap();
    let table = table.split("<!-- faults: end -->").next().unwrap();
    let mut numbers = Vec::new();
    let mut listed = BTreeSet::new();
    for row in table.lines().filter(|line| line.starts_with("| ") && !line.starts_with("| #")) {
        let Ok(number) = row[1..].split('|').next().unwrap().trim().parse::<u32>() else { continue };
        numbers.push(number);
        let names: Vec<&str> =
            row.split('`').skip(1).step_by(2).filter(|word| word.starts_with("fault_")).collect();
        assert!(!names.is_empty(), "fault {number} has no test");
        for name in names {
            assert!(name.starts_with(&format!("fault_{number:02}_")), "{name} stands at fault {number}");
            listed.insert(name.to_owned());
        }
    }
    assert_eq!(numbers, (1..=51).collect::<Vec<_>>());
    assert_eq!(listed, tests, "run .ci/faults to write the table anew");
}
