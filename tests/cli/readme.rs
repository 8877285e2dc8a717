//! Every command in the README runs and says what the README shows.

use super::world::World;

const README: &str = include_str!("../../README.md");

#[test]
fn every_command_of_the_tour_says_what_the_readme_shows() {
    let mut world = World::new();
    let (mut inside, mut ran) = (false, 0);
    let mut lines = README.lines().peekable();
    while let Some(line) = lines.next() {
        if let Some(moment) = line.strip_prefix("<!-- ").and_then(|line| line.strip_suffix(" -->")) {
            world.on(moment);
        }
        inside = if line == "```console" { true } else { inside && line != "```" };
        let Some(command) = line.strip_prefix("$ ").filter(|_| inside) else { continue };
        let mut command = command.to_owned();
        while command.ends_with('\\') {
            command.pop();
            command.push_str(lines.next().unwrap().strip_prefix('>').unwrap());
        }
        let words = shlex::split(&command).unwrap();
        assert_eq!(words[0], "jarledger");
        let words: Vec<&str> = words[1..].iter().map(String::as_str).collect();
        let said = world.ok(&words).replace("HOME/", "~/");
        let mut shown = String::new();
        while let Some(line) = lines.next_if(|line| !line.starts_with("$ ") && *line != "```") {
            shown.push_str(line);
            shown.push('\n');
        }
        if !shown.is_empty() {
            assert_eq!(said, shown, "{command}");
        }
        ran += 1;
    }
    assert!(ran >= 20, "the tour has {ran} commands");
}
