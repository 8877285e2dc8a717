//! Every example of the help runs in the household that `demo` makes.

use std::process::Command;

use crate::common::world::World;

const TEXT: &str = include_str!("../../../src/cli/help/examples.txt");

/// The morning the examples are of: the grape juice of the day before is still cooling.
const MORNING: &str = "2026-11-25T08:00";

/// What must have happened in the household before an example makes sense.
const BEFORE: [(&str, &str); 9] = [
    ("jarledger missing 26-014-02-1 --found", "jarledger missing 26-014-02-1"),
    ("jarledger release 26-009 5-7", "jarledger hold 26-009 5-7 --reason 'a sister jar spurted'"),
    ("jarledger chill", "jarledger seal 26-019 --failed 3"),
    ("jarledger freeze", "jarledger seal 26-019 --failed 3"),
    ("jarledger recipe \"", "jarledger recipe add --from pears.toml"),
    ("jarledger recipe edit", "jarledger recipe add --from pears.toml; export EDITOR=true"),
    ("jarledger recipe remove", "jarledger recipe add --from pears.toml"),
    ("jarledger restore", "jarledger backup before-holidays.jarledger"),
    ("jarledger calendar --out shelf-2", "jarledger calendar --out shelf.ics"),
];

/// Files that examples read.
const FILES: [(&str, &str); 6] = [
    ("seen.txt", "26-002 2-8\n26-014 1-5\n26-017 2-7\n"),
    ("shelf.csv", "product,put_up,jar,count\nRhubarb sauce,2026-05-20,pint,6\n"),
    ("old-list.csv", "what,when,jar,count\nRhubarb sauce,2026-05-20,pint,6\n"),
    (
        "kitchen-list.csv",
        "Item,Qty,Size,Location,Date Canned\nRhubarb sauce,6,pint,Pantry low,\"May 20, 2026\"\n",
    ),
    (
        "pears.toml",
        "name = \"Hillside pears\"\nfood = \"pears\"\npack = \"hot\"\nmakes = \"pint:9\"\n\n[[ingredient]]\nwhat = \
         \"Pears\"\namount = \"11 lb\"\n",
    ),
    (
        "stove.toml",
        "product = \"Green beans\"\nfood = \"green-beans\"\npack = \"raw\"\ncanner = \"Hearth dial\"\n\
         vent = 10\n\n[[load]]\njars = { pint = 9 }\npressure = \"12\"\nminutes = 20\nout = \"07:30\"\n",
    ),
];

/// A shell with somebody's home, in which `jarledger` runs on the morning; `man` and the stick are stand-ins.
const SHELL: &str = "
    set -euo pipefail
    jarledger() {
        case \"$*\" in
            # It goes on until it is stopped, on a port that nobody has taken.
            'serve --lan'*) set -- \"$@\" --port 0 ;;
            'serve --port '*) set -- serve --port 0 ;;
        esac
        case \"$*\" in
            'serve --'*) timeout --preserve-status 2 jarledger --today \"$MORNING\" \"$@\" || [ $? = 143 ] ;;
            'run --plain') timeout --preserve-status 2 jarledger --today \"$MORNING\" \"$@\" || [ $? = 130 ] ;;
            *) command jarledger --today \"$MORNING\" \"$@\" ;;
        esac
    }
    man() { cat >/dev/null; }
";

fn shell(world: &World, script: &str) -> std::process::Output {
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_jarledger"));
    Command::new("bash")
        .env_clear()
        .env("PATH", format!("{}:/usr/bin:/bin", program.parent().unwrap().display()))
        .env("HOME", world.home())
        .env("TZ", "UTC")
        .env("COLUMNS", "80")
        .env("MORNING", MORNING)
        .env("JARLEDGER_FILE", world.ledger())
        .current_dir(world.home())
        .args(["-c", &format!("{SHELL}\n{script}")])
        .output()
        .unwrap()
}

/// Each heading is followed by a command line and what it does, by turns.
fn command_lines() -> impl Iterator<Item = &'static str> {
    let mut since_heading = 0;
    TEXT.lines().filter(|line| !line.is_empty() && !line.starts_with('#')).filter(move |line| {
        since_heading = if line.starts_with('[') { 0 } else { since_heading + 1 };
        since_heading % 2 == 1
    })
}

#[test]
fn every_example_of_the_help_runs() {
    let mut household = World::new();
    household.on(MORNING).ok(&["demo"]);
    let (mut ran, mut failed) = (std::collections::BTreeSet::new(), Vec::new());
    for line in command_lines() {
        if !ran.insert(line) {
            continue;
        }
        let world = World::new();
        std::fs::copy(household.ledger(), world.ledger()).unwrap();
        for (name, text) in FILES {
            std::fs::write(world.home().join(name), text).unwrap();
        }
        let before =
            BEFORE.iter().find(|(example, _)| line.starts_with(example)).map_or("", |(_, said)| said);
        let stick = world.home().join("stick");
        std::fs::create_dir(&stick).unwrap();
        let line = line.replace("/media/stick", stick.to_str().unwrap());
        let output = shell(&world, &format!("{before}\n{line}"));
        if !output.status.success() {
            failed.push(format!("{line}\n{}", String::from_utf8_lossy(&output.stderr)));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert!(ran.len() > 60, "{} examples", ran.len());
}

#[test]
fn help_begins_with_examples_that_fit_the_terminal() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&["finish", "-h"]), @"
    Examples:
      jarledger finish 26-005-03-5
        an opened jar is eaten up

    Note that jars are eaten up; sealed ones count as opened too

    Usage: jarledger finish [OPTIONS] [JAR]...

    Arguments:
      [JAR]...  Jars: codes such as 26-041-03-3, a batch and its jars such as 26-041
                3,5-7, or words for what is in it

    Options:
          --on <WHEN>  When it happened, if not now: a day (yesterday, -3d,
                       2026-08-14), a time (14:05), or both
      -h, --help       Print help
      -V, --version    Print version

    Every command:
          --ledger <FILE>  The ledger file [default: $JARLEDGER_FILE, else
                           jarledger/ledger.jarledger in the XDG data directory]
          --json           Answer in JSON
          --today <DATE>   The day it is, as YYYY-MM-DD or YYYY-MM-DDTHH:MM, instead
                           of the clock's
      -q, --quiet          Hide the lines about what to do next
          --tsv            Tables with a tab between their cells, for another
                           program
          --color <WHEN>   Color what catches the eye; NO_COLOR turns it off
                           [default: auto] [possible values: auto, always, never]
          --no-pager       Write long answers straight to the terminal, not through
                           $PAGER
    -- exit 0 --
    ");
    assert_eq!(world.ok(&["help", "canner", "add"]), world.ok(&["canner", "add", "--help"]));
    for width in ["40", "80"] {
        for words in
            [&["putup", "--help"][..], &["canner", "add", "-h"], &["process", "add", "--help"], &["--help"]]
        {
            let output = world.command(words).env("COLUMNS", width).output().unwrap();
            let said = String::from_utf8(output.stdout).unwrap();
            assert!(said.starts_with("Examples:\n  jarledger"), "{said}");
            for line in said.lines() {
                let wide = line.chars().count() > width.parse().unwrap();
                // A word without room stands by itself; usage is one line; a note's TOML stands as it is typed.
                let may = line.starts_with("Usage:") || line.contains(" = ") || !line.trim().contains(' ');
                assert!(!wide || may, "{width}: {line}");
            }
        }
    }
}
