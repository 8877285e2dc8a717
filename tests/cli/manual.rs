//! `man` and `completions`.

use super::world::World;

#[test]
fn every_command_has_a_page_and_is_completed() {
    let world = World::new();
    world.ok(&["man", "--into", "man1"]);
    let script = world.ok(&["completions", "bash"]);
    let help = world.ok(&["--help"]);
    let listed =
        help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let names: Vec<&str> = listed
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(names.len() > 25, "{names:?}");
    for name in names {
        assert!(world.home().join(format!("man1/jarledger-{name}.1")).exists(), "no page for {name}");
        assert!(script.contains(name), "{name} is not completed");
    }
    assert!(world.ok(&["man"]).starts_with(".ie"), "the manual is not in troff");
}
