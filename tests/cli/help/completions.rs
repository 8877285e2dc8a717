//! What a shell is offered while somebody types.

use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, shelve};
use crate::common::readers;
use crate::common::world::{Ran, World};

/// Two batches of green beans, of which one jar is open, and one of pears.
fn shelf() -> World {
    let world = World::with_canners();
    let beans = shelve(&world, "Green beans", None, (JarSize::Pint, 4), "2026-08-14T12:00", "Cellar, left");
    shelve(&world, "Pears", None, (JarSize::Quart, 2), "2026-08-20T12:00", "Pantry");
    shelve(&world, "Green beans", None, (JarSize::Pint, 1), "2026-08-21T12:00", "Pantry");
    act(&world, beans, &[2], Act::Open, "2026-08-30T18:00");
    world
}

/// Asks as the shell's own script does about the last of these words.
fn ask(world: &World, shell: &str, words: &[&str]) -> Ran {
    let output = world
        .command(&[])
        .env("COMPLETE", shell)
        .env("_CLAP_COMPLETE_INDEX", words.len().to_string())
        .env("_CLAP_IFS", "\n")
        .args(["--", "jarledger"])
        .args(words)
        .output()
        .unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    Ran { out: text(&output.stdout), err: text(&output.stderr), code: output.status.code().unwrap() }
}

/// What is offered apart from options.
fn offered(world: &World, words: &[&str]) -> Vec<String> {
    let ran = ask(world, "bash", words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{ran}");
    ran.out.lines().filter(|line| !line.starts_with('-')).map(str::to_owned).collect()
}

#[test]
fn jars_are_offered_that_the_command_can_take() {
    let world = shelf();
    assert_eq!(offered(&world, &["open", "26"]), ["26-003", "26-002", "26-001"]);
    // Check digits of 2600101, 2600103, 2600104 and 2600201 by ISO/IEC 7064 MOD 11,10, as python-stdnum gives them.
    assert_eq!(offered(&world, &["open", "26-001"]), ["26-001", "26-001-01-0", "26-001-03-6", "26-001-04-4"]);
    assert_eq!(offered(&world, &["open", "26-001-03"]), ["26-001-03-6"]);
    assert_eq!(offered(&world, &["finish", ""]), ["26-001", "26-001-02-8"]);
    assert_eq!(offered(&world, &["jar", "26-001-0"]).len(), 4);
    assert_eq!(offered(&world, &["release", ""]), [""; 0]);
}

#[test]
fn numbers_are_offered_after_a_batch() {
    let world = shelf();
    assert_eq!(offered(&world, &["open", "26-001", ""]), ["1", "3", "4"]);
    assert_eq!(offered(&world, &["open", "26-001", "3,"]), ["3,1", "3,4"]);
    assert_eq!(offered(&world, &["move", "26-001", "1-"]), ["1-2", "1-3", "1-4"]);
    // A whole code closes the batch before it.
    assert_eq!(offered(&world, &["open", "26-001-01-0", ""]), ["26-003", "26-002", "26-001"]);
}

#[test]
fn names_are_offered_where_they_belong() {
    let world = shelf();
    assert_eq!(offered(&world, &["shelf", "--product", ""]), ["Green beans", "Pears"]);
    assert_eq!(offered(&world, &["shelf", "--product", "gre"]), ["Green beans"]);
    assert_eq!(offered(&world, &["shelf", "--product", "Green\\ b"]), ["Green beans"]);
    assert_eq!(offered(&world, &["plan", "P"]), ["Pears"]);
    assert_eq!(offered(&world, &["move", "26-001", "1", "--to", ""]), ["Cellar, left", "Pantry"]);
    assert_eq!(offered(&world, &["gauge", ""]), ["Big dial", "Kettle"]);
    assert_eq!(offered(&world, &["putup", "--canner", "k"]), ["Kettle"]);
    assert_eq!(offered(&world, &["putup", "--food", "green-b"]), ["green-beans"]);
    assert_eq!(offered(&world, &["correct", "load", "26-001/"]), ["26-001/1"]);
    assert_eq!(offered(&world, &["trace", "26-002"]).first().unwrap(), "26-002");
    world.ok(&["give", "26-002", "1", "--to", "the neighbors"]);
    assert_eq!(offered(&world, &["give", "26-002", "2", "--to", ""]), ["the neighbors"]);
    world.ok(&["undo"]);
    assert_eq!(offered(&world, &["give", "26-002", "2", "--to", ""]), [""; 0]);
    // The other shells show what a word stands for.
    assert_eq!(ask(&world, "fish", &["open", "26-002-01"]).out, "26-002-01-2\tPears (quart), Pantry\n");
}

#[test]
fn bash_is_offered_nothing_that_it_would_run() {
    let world = World::with_canners();
    let names = ["Jam `touch here`", "Jam $(touch here)", "Jam, plain", "Jam! done"];
    for name in names {
        shelve(&world, name, None, (JarSize::Pint, 1), "2026-08-14T12:00", "Shed");
    }
    assert_eq!(offered(&world, &["shelf", "--product", "Jam"]), ["Jam, plain"]);
    // The others put a name into the line as one word.
    assert_eq!(ask(&world, "fish", &["shelf", "--product", "Jam"]).out.lines().count(), names.len());
}

#[test]
fn the_ledger_named_on_the_line_is_asked() {
    let (world, other) = (shelf(), World::with_canners());
    shelve(&other, "Sauerkraut", None, (JarSize::Pint, 1), "2026-08-20T12:00", "Shed");
    let ledger = other.ledger().display().to_string();
    let joined = format!("--ledger={ledger}");
    for named in [vec!["--ledger", &ledger], vec!["--ledger", "=", &ledger], vec![&joined]] {
        let words: Vec<&str> = named.into_iter().chain(["shelf", "--product", ""]).collect();
        assert_eq!(offered(&world, &words), ["Sauerkraut"], "{words:?}");
    }
}

#[test]
fn asking_changes_nothing() {
    let world = shelf();
    let look = || {
        let about = std::fs::metadata(world.ledger()).unwrap();
        let names = std::fs::read_dir(world.home()).unwrap().count();
        (std::fs::read(world.ledger()).unwrap(), about.modified().unwrap(), names)
    };
    let before = look();
    for words in
        [&["open", ""][..], &["shelf", "--place", ""], &["trace", "--lid-lot", ""], &["correct", "load", ""]]
    {
        let _ = ask(&world, "zsh", words);
    }
    assert!(look() == before);
}

#[test]
fn a_ledger_that_cannot_be_read_offers_nothing_and_says_nothing() {
    let silent = |world: &World| {
        for words in [&["shelf", "--product", ""][..], &["shelf", "--batch", ""], &["putup", "--canner", "B"]]
        {
            let ran = ask(world, "bash", words);
            assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "", ""), "{words:?}");
        }
    };
    silent(&World::new());
    let world = shelf();
    let whole = std::fs::read(world.ledger()).unwrap();

    let lock = rusqlite::Connection::open(world.ledger()).unwrap();
    lock.execute_batch("BEGIN EXCLUSIVE").unwrap();
    silent(&world);
    drop(lock);

    std::fs::write(world.ledger(), &whole[..whole.len() / 3]).unwrap();
    silent(&world);
    let mut torn = whole.clone();
    torn[4096..].fill(0xa5);
    std::fs::write(world.ledger(), torn).unwrap();
    silent(&world);
    std::fs::write(world.ledger(), "a letter to a friend").unwrap();
    silent(&world);
    std::fs::remove_file(world.ledger()).unwrap();
    std::fs::create_dir(world.ledger()).unwrap();
    silent(&world);
    assert_eq!(std::fs::read_dir(world.home()).unwrap().count(), 1);
}

#[test]
fn every_shell_has_a_script_that_asks() {
    let world = World::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = world.ok(&["completions", shell]);
        assert!(script.contains("COMPLETE") && script.contains("jarledger"), "{script}");
    }
    // A variable of that name with another meaning is an unknown column.
    let output = world.command(&["completions", "fish"]).env("COMPLETE", "yes").output().unwrap();
    assert!(String::from_utf8(output.stdout).unwrap().starts_with("complete "));
}

#[test]
fn bash_quotes_what_it_puts_into_the_line() {
    let world = shelf();
    let Some(mut reader) = readers::terminal("terminal.py") else { return };
    let dialogue = [
        ("ready>", "source <(jarledger completions bash)\r"),
        ("ready>", "jarledger shelf --product gr\t"),
        ("beans", "\r"),
        ("ready>", "jarledger shelf --product \"Gr\t"),
        ("beans", "\r"),
        ("ready>", "jarledger shelf --product Green\\ b\t"),
        ("beans", "\r"),
        ("ready>", "jarledger jar 26-002-01\t"),
        ("26-002-01-2", "\r"),
        ("ready>", "exit\r"),
    ];
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_jarledger")).parent().unwrap();
    reader
        .env_clear()
        .env("PATH", format!("{}:/usr/bin:/bin", program.display()))
        .env("HOME", world.home())
        .env("TERM", "dumb")
        .env("PS1", "ready>")
        .env("JARLEDGER_FILE", world.ledger())
        .current_dir(world.home())
        .arg(serde_json::to_string(&dialogue).unwrap())
        .args(["/bin/bash", "--norc", "--noprofile", "-i"]);
    let shown = readers::content(reader);
    assert_eq!(shown.matches("Green beans  pint").count(), 9, "{shown}");
    assert!(shown.contains("26-002-01-2  Pears, quart"), "{shown}");
}
