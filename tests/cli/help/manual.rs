//! `man`.

use std::process::{Command, Stdio};

use crate::common::readers;
use crate::common::world::World;

/// The names of the commands, as the help lists them.
fn commands(world: &World) -> Vec<String> {
    let help = world.ok(&["--help"]);
    let listed =
        help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    listed
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .filter(|name| name != "help")
        .collect()
}

#[test]
fn every_command_has_a_page() {
    let world = World::new();
    let commands = commands(&world);
    assert!(commands.len() > 25, "{commands:?}");
    world.ok(&["man", "--into", "manual"]);
    for name in commands {
        let page = std::fs::read_to_string(world.home().join(format!("manual/man1/jarledger-{name}.1")));
        assert_eq!(page.unwrap(), world.ok(&["man", &name]), "{name}");
    }
    assert_eq!(
        std::fs::read_to_string(world.home().join("manual/man7/jarledger-kitchen.7")).unwrap(),
        world.ok(&["man", "kitchen"])
    );
    let unknown = world.run(&["man", "pantry"]);
    assert_eq!((unknown.code, unknown.out.as_str()), (3, ""), "{unknown}");
}

/// Sets a page for a terminal of 80 columns; what groff warns of comes second.
fn set(page: &std::path::Path) -> Option<(String, String)> {
    let mut groff: Command = readers::tool("groff")?;
    let output = groff
        .args(["-man", "-Tutf8", "-P-c", "-ww", "-rLL=80n"])
        .arg(page)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    // Bold and italic are letters struck over.
    let mut plain = String::new();
    for c in text.chars() {
        if c == '\u{8}' {
            plain.pop();
        } else {
            plain.push(c);
        }
    }
    Some((plain, String::from_utf8(output.stderr).unwrap()))
}

#[test]
fn every_page_is_set_without_a_warning_within_80_columns() {
    let world = World::new();
    world.ok(&["man", "--into", "manual"]);
    for chapter in ["man1", "man7"] {
        for page in std::fs::read_dir(world.home().join("manual").join(chapter)).unwrap() {
            let page = page.unwrap().path();
            let Some((text, warnings)) = set(&page) else { return };
            assert_eq!(warnings, "", "{}", page.display());
            for line in text.lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", page.display());
            }
            let name = page.file_stem().unwrap().to_str().unwrap();
            assert!(text.contains(&format!("NAME\n       {name} - ")), "{text}");
            assert!(chapter == "man7" || text.contains("\nEXAMPLES\n         "), "{text}");
        }
    }
}

#[test]
fn another_formatter_finds_nothing_wrong_with_a_page() {
    let world = World::new();
    world.ok(&["man", "--into", "manual"]);
    for chapter in ["man1", "man7"] {
        for page in std::fs::read_dir(world.home().join("manual").join(chapter)).unwrap() {
            let Some(mut mandoc) = readers::tool("mandoc") else { return };
            let output =
                mandoc.args(["-T", "lint", "-W", "warning"]).arg(page.unwrap().path()).output().unwrap();
            assert_eq!(String::from_utf8_lossy(&output.stdout), "");
        }
    }
}

#[test]
fn the_program_s_page_lists_the_exit_codes_of_the_readme() {
    let readme = include_str!("../../../README.md");
    let page = World::new().ok(&["man"]).replace("\\-", "-");
    let shown = readme.lines().skip_while(|line| *line != "## Exit codes");
    let rows: Vec<&str> = shown
        .filter_map(|line| line.strip_prefix("| "))
        .filter(|row| row.starts_with(char::is_numeric))
        .collect();
    assert_eq!(rows.len(), 13, "{rows:?}");
    for row in rows {
        let (code, meaning) = row.trim_end_matches(" |").split_once(" | ").unwrap();
        assert!(page.contains(&format!("  {code:<5}{}\n", meaning.replace('`', ""))), "{row}");
    }
}
