//! `run` on a terminal: the screen at the stove, its keys, and the terminal after it.

use std::process::{Child, Command};
use std::thread::sleep;
use std::time::Duration;

use crate::common::readers;
use crate::common::world::World;

/// A kettle of pears, begun.
fn kettle() -> World {
    let mut world = World::with_canners();
    world.on("2026-08-14T14:00");
    world.json_of("run begin --canner Kettle --food pears --pack hot --jar pint");
    world
}

/// What a terminal showed, and how the program ended.
fn at_terminal(world: &World, args: &[&str], dialogue: &[(&str, &str)]) -> Option<(i32, String)> {
    let mut reader = readers::at_terminal(world, dialogue)?;
    reader.env("SIZE", "24x80").args(args);
    let output = reader.output().unwrap();
    Some((output.status.code().unwrap(), String::from_utf8(output.stdout).unwrap()))
}

#[test]
fn each_key_is_an_entry_and_with_the_jars_out_the_screen_says_how_to_log_them() {
    let mut world = kettle();
    let dialogue = [
        ("h  heat on", "h"),
        ("r  full boil reached", "r"),
        ("l  boil lost", "l"),
        ("Lost. Bring it back", "b"),
        ("was taken back", "o"),
        ("came 20 min early", "b"),
        ("l  boil lost", "o"),
        ("j  jars out", "j"),
    ];
    let Some((code, shown)) = at_terminal(&world, &["run"], &dialogue) else { return };
    assert_eq!(code, 0, "{shown}");
    let after = shown.rsplit("The jars are out.").next().unwrap();
    let after = after.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        after.contains("`jarledger putup --run 1` logs them and asks for the product and the jars"),
        "{shown}"
    );
    world.on("2026-08-14T16:00");
    let run = &world.json_of("run show")["runs"][0];
    let steps: Vec<&str> =
        run["steps"].as_array().unwrap().iter().map(|step| step["step"].as_str().unwrap()).collect();
    assert_eq!(steps, ["heat", "reached", "off", "out"]);
    let history = world.json_of("history");
    let commands: Vec<&str> =
        history["entries"].as_array().unwrap().iter().filter_map(|entry| entry["command"].as_str()).collect();
    assert_eq!(commands.iter().filter(|command| **command == "run back").count(), 2, "{history}");
    assert_eq!(world.run(&["check"]).code, 0);
}

#[test]
fn a_screen_reader_gets_lines_and_the_same_keys() {
    let world = kettle();
    let dialogue =
        [("Keys: h heat on.", "h"), ("Keys: r full boil reached.", " "), ("15:00 Kettle: Heating.", "q")];
    let Some((code, shown)) = at_terminal(&world, &["run", "--plain"], &dialogue) else { return };
    assert_eq!(code, 0, "{shown}");
    assert!(!shown.contains('█'), "{shown}");
}

#[test]
fn an_alarm_that_could_not_sound_is_refused_at_once() {
    let world = kettle();
    for (alarm, code) in [("no-such-program --loud", 3), ("'", 2), ("", 2)] {
        let Some((ended, shown)) = at_terminal(&world, &["run", "--alarm", alarm], &[]) else { return };
        assert_eq!(ended, code, "{shown}");
        assert!(shown.contains("nothing was changed"), "{shown}");
    }
}

#[test]
fn without_a_terminal_the_runs_are_shown_once() {
    let world = kettle();
    let ran = world.line("run");
    assert!(ran.out.contains("Ready. Press heat when the heat is on."), "{ran}");
    assert_eq!(world.json_of("run")["runs"].as_array().unwrap().len(), 1);
}

/// A real terminal of so many columns, with a shell in it; it goes when this does.
struct Terminal<'w> {
    world: &'w World,
    server: Child,
}

impl<'w> Terminal<'w> {
    fn open(world: &'w World, columns: u32) -> Option<Self> {
        let mut server = readers::tool("tmux")?;
        // Its server is a child of the test, and what runs in it goes when the test does.
        server.arg("-S").arg(world.home().join("tmux")).args(["-f", "/dev/null", "-D"]).env_clear();
        server.env("JARLEDGER_FILE", world.ledger()).env("HOME", world.home()).env("TZ", "UTC");
        server.env("PATH", std::env::var_os("PATH").unwrap()).env("LC_ALL", "C.UTF-8");
        server.env("JARLEDGER_FILE", world.ledger()).env("HOME", world.home()).env("TZ", "UTC");
        let terminal = Self { world, server: server.current_dir(world.home()).spawn().unwrap() };
        for _ in 0..200 {
            if world.home().join("tmux").exists() {
                break;
            }
            sleep(Duration::from_millis(50));
        }
        let columns = columns.to_string();
        terminal.tmux(&["new-session", "-d", "-x", &columns, "-y", "24", "env PS1='$ ' sh"]);
        terminal.waits_for("$");
        Some(terminal)
    }

    fn tmux(&self, args: &[&str]) -> String {
        let mut tmux = Command::new("tmux");
        tmux.arg("-S").arg(self.world.home().join("tmux")).args(args).env_clear();
        tmux.env("LC_ALL", "C.UTF-8").env("PATH", std::env::var_os("PATH").unwrap());
        let output = tmux.current_dir(self.world.home()).output().unwrap();
        String::from_utf8(output.stdout).unwrap()
    }

    /// Types a line of the shell.
    fn line(&self, line: &str) {
        self.tmux(&["send-keys", "-l", line]);
        self.tmux(&["send-keys", "Enter"]);
    }

    fn key(&self, key: &str) {
        self.tmux(&["send-keys", key]);
    }

    fn shown(&self) -> String {
        self.tmux(&["capture-pane", "-p"])
    }

    /// What is shown once it holds a text.
    fn waits_for(&self, text: &str) -> String {
        for _ in 0..200 {
            let shown = self.shown();
            if shown.contains(text) {
                return shown;
            }
            sleep(Duration::from_millis(100));
        }
        panic!("never shown: {text}\n{}", self.shown());
    }

    /// Begins the screen, as at a moment of that day.
    fn runs(&self, moment: &str) {
        let program = env!("CARGO_BIN_EXE_jarledger");
        self.line(&format!("clear; {program} --today 2026-08-14T{moment} run; echo ended with $?"));
    }
}

impl Drop for Terminal<'_> {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

// The screens are drawn by hand: pears, hot pack, pints, 20 min in boiling water to 1,000 ft (USDA AIB 539, Guide 2).

#[test]
fn at_80_columns_a_time_that_is_over_is_seen_across_the_kitchen() {
    let mut world = kettle();
    world.json_of("run step heat");
    world.on("2026-08-14T14:10").json_of("run step reached");
    let Some(terminal) = Terminal::open(&world, 80) else { return };
    terminal.runs("14:30");
    let shown = terminal.waits_for("o  heat off");
    assert_eq!(
        shown,
        "\
Run 1, Kettle
pears, hot pack, pints, 20 min

████████████        ████████████  ████████████
████████████        ████████████  ████████████
████    ████  ████  ████    ████  ████    ████
████    ████  ████  ████    ████  ████    ████
████    ████        ████    ████  ████    ████
████    ████        ████    ████  ████    ████
████    ████  ████  ████    ████  ████    ████
████    ████  ████  ████    ████  ████    ████
████████████        ████████████  ████████████
████████████        ████████████  ████████████

The time is up. Turn the heat off and press off. Timed by the wall clock.

o  heat off
l  boil lost: full time again

So far: heat 14:00, reached 14:10



q  leave; the time runs on   b  take back “full boil reached”   14:30
"
    );
    terminal.key("q");
    let after = terminal.waits_for("ended with 0");
    assert!(after.contains("1, Kettle") && !after.contains('█'), "{after}");
}

#[test]
fn at_40_columns_a_step_said_elsewhere_is_followed_and_the_terminal_is_as_it_was() {
    let world = kettle();
    let Some(terminal) = Terminal::open(&world, 40) else { return };
    terminal.line("stty -a >before; echo before");
    terminal.waits_for("before\n$");
    terminal.runs("14:00");
    terminal.waits_for("h  heat on");
    world.json_of("run step heat");
    let shown = terminal.waits_for("r  full boil reached");
    assert_eq!(
        shown.trim_end_matches('\n'),
        "\
Run 1, Kettle
pears, hot pack, pints, 20 min

Heating. Press reached once it is at a
full boil.

r  full boil reached

So far: heat 14:00













q  leave; the time runs on
b  take back “heat on”   14:00"
    );
    // Ctrl-C, a request to end, and a terminal that hangs up leave it as it was.
    let program = env!("CARGO_BIN_EXE_jarledger");
    for signal in ["C-c", "TERM", "HUP"] {
        if signal == "C-c" {
            terminal.key(signal);
        } else {
            let run = format!("exec {program} --today 2026-08-14T14:05 run");
            terminal.line(&format!("clear; sh -c 'echo $$ >pid; {run}'; echo ended with $?"));
            terminal.waits_for("r  full boil reached");
            let pid = std::fs::read_to_string(world.home().join("pid")).unwrap();
            // Twice, as a shell's `timeout` asks; the first may do.
            let _ =
                Command::new("kill").args([&format!("-{signal}"), pid.trim(), pid.trim()]).output().unwrap();
        }
        let ended = terminal.waits_for("ended with 130");
        assert!(ended.contains("interrupted; every step is on"), "{signal}: {ended}");
        terminal.line("clear; stty -a | cmp - before && echo as before");
        terminal.waits_for("as before\n$");
    }
    assert_eq!(world.json_of("run show")["runs"][0]["phase"], "heating");
}
