//! `putup --from FILE`: a note of the session.

use crate::common::world::World;

const NOTE: &str = r#"
# written at the stove
product = "Żurek base"
food = "none"
acidity = "acid"
on = "2026-08-13"
place = "Cellar"
quality-months = 6
canner = "Kettle"
ingredients = { rye = "sack 3" }

[[load]]
jars = { pint = 4 }
minutes = 15
out = "16:40"

[[load]]
jars = "half-pint:2"
out = 2026-08-13T18:05
drop = ["17:50-17:52"]
went-wrong = "the boil stopped"
"#;

fn with_note(note: &str) -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T09:00");
    std::fs::write(world.home().join("note.toml"), note).unwrap();
    world
}

#[test]
fn a_note_is_logged_as_it_stands() {
    let world = with_note(NOTE);
    let answer = world.json_of("putup --from note.toml");
    assert_eq!(answer["loads"][0]["out_at"], "2026-08-13T16:40:00Z");
    assert_eq!(answer["loads"][1]["out_at"], "2026-08-13T18:05:00Z");
    assert_eq!(answer["loads"][1]["drops"], serde_json::json!(["17:50-17:52"]));
    let batch = world.json_of("batch 26-001");
    assert_eq!((&batch["product"], &batch["put_up"]), (&"Żurek base".into(), &"2026-08-13".into()));
    assert_eq!(batch["ingredients"], serde_json::json!([{"ingredient": "rye", "lot": "sack 3"}]));
    // Six months after 13 August 2026.
    assert_eq!(batch["jars"][0]["best_by"], "2027-02-13");
}

#[test]
fn the_note_in_the_help_is_logged_as_it_stands() {
    let help = World::new().run(&["putup", "--help"]).out;
    let after = help.split("What it leaves out, flags may give:").nth(1).unwrap();
    let note: Vec<&str> = after.lines().skip(1).take_while(|line| !line.starts_with("Keys of")).collect();
    let mut world = with_note(&note.join("\n"));
    world.on("2026-08-14T18:00");
    let answer = world.json_of("putup --from note.toml");
    assert_eq!(answer["jars"].as_array().unwrap().len(), 14);
}

#[test]
fn flags_go_before_the_note() {
    let world = with_note(NOTE);
    let answer = world.json_of("putup --from note.toml --product Rye --place Shed");
    let batch = world.json_of("batch 26-001");
    assert_eq!((&answer["product"], &batch["jars"][0]["place"]), (&"Rye".into(), &"Shed".into()));
}

#[test]
fn what_is_wrong_is_named_by_line_column_and_key() {
    let world = with_note(&NOTE.replace("minutes = 15", "minutes = \"a while\""));
    insta::assert_snapshot!(world.line("putup --from note.toml"), @"
    -- stderr --
    error: note.toml: line 14, column 11: minutes: “a while” is not whole minutes, 0 to 1440, such as 75, 75 min or 1 h 15 min; nothing was saved
    hint: see `jarledger putup --help` for how a note is written
    -- exit 5 --
    ");
    assert_eq!(world.json_of("batch")["batches"], serde_json::json!([]));
    let ran = world.line("putup --from missing.toml");
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("missing.toml could not be read: No such file"), "{ran}");
}

#[test]
fn a_note_that_is_no_text_is_bad_input() {
    let world = World::with_canners();
    std::fs::write(world.home().join("note.toml"), b"product = \"\xff\"").unwrap();
    assert_eq!(world.line("putup --from note.toml").code, 5);
}
