//! A sealed world for one test: its own home, ledger, clock and terminal width.

#![allow(dead_code, reason = "each test binary uses its own part of it")]

use std::path::PathBuf;
use std::sync::OnceLock;

use assert_cmd::Command;
use jarledger::rules::spoilage::cautions;
use tempfile::TempDir;

/// A home of its own with nothing in it.
pub(crate) struct World {
    home: TempDir,
    today: String,
}

/// What a command said, and how it ended.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) out: String,
    pub(crate) err: String,
    pub(crate) code: i32,
}

impl World {
    /// An empty world at noon on a fixed day.
    pub(crate) fn new() -> Self {
        Self { home: TempDir::new().unwrap(), today: "2026-09-01T12:00".to_owned() }
    }

    /// A world with an empty ledger at 500 ft.
    pub(crate) fn at_500_ft() -> Self {
        let world = Self::new();
        world.ok(&["setup", "--altitude", "500ft"]);
        world
    }

    /// A household as `demo` makes it, made once for all tests of a binary.
    pub(crate) fn with_demo() -> Self {
        static DEMO: OnceLock<Vec<u8>> = OnceLock::new();
        let world = Self::new();
        let demo = DEMO.get_or_init(|| {
            world.ok(&["demo"]);
            std::fs::read(world.ledger()).unwrap()
        });
        std::fs::write(world.ledger(), demo).unwrap();
        world
    }

    /// A kitchen at 500 ft with a dial-gauge canner, `Big dial`, and a boiling-water one, `Kettle`.
    pub(crate) fn with_canners() -> Self {
        let world = Self::at_500_ft();
        for (name, method) in [("Big dial", "pressure-dial"), ("Kettle", "boiling-water")] {
            world.ok(&["canner", "add", name, "--method", method, "--holds", "pint:9,quart:7"]);
        }
        world
    }

    /// Runs a command line; `_` stands for a space within a word.
    #[must_use]
    pub(crate) fn line(&self, line: &str) -> Ran {
        self.run(&borrowed(&words(line)))
    }

    /// Runs such a line, which must succeed, with `--json`.
    pub(crate) fn json_of(&self, line: &str) -> serde_json::Value {
        self.json(&borrowed(&words(line)))
    }

    /// Moves the clock; `moment` is `YYYY-MM-DD` or `YYYY-MM-DDTHH:MM`.
    pub(crate) fn on(&mut self, moment: &str) -> &mut Self {
        moment.clone_into(&mut self.today);
        self
    }

    /// The ledger file.
    pub(crate) fn ledger(&self) -> PathBuf {
        self.home.path().join("ledger.jarledger")
    }

    /// The home directory.
    pub(crate) fn home(&self) -> &std::path::Path {
        self.home.path()
    }

    /// The command, ready to run: environment cleared, clock and zone fixed.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::cargo_bin("jarledger").unwrap();
        command
            .env_clear()
            .env("HOME", self.home.path())
            .env("TZ", "UTC")
            // The machine's fonts would draw what these tests find missing.
            .env("XDG_DATA_DIRS", self.home.path())
            .env("COLUMNS", "80")
            .env("JARLEDGER_FILE", self.ledger())
            .current_dir(self.home.path())
            .args(["--today", &self.today])
            .args(args);
        command
    }

    /// Runs the command; paths of this world are shown as `HOME`.
    #[must_use]
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        let output = self.command(args).output().unwrap();
        let home = self.home.path().display().to_string();
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap().replace(&home, "HOME");
        Ran { out: text(&output.stdout), err: text(&output.stderr), code: output.status.code().unwrap() }
    }

    /// Runs a command that must succeed, and returns what it said on stdout.
    pub(crate) fn ok(&self, args: &[&str]) -> String {
        let ran = self.run(args);
        assert_eq!(ran.code, 0, "{args:?}: {}{}", ran.out, ran.err);
        ran.out
    }

    /// Runs a command that must succeed with `--json`, and returns its answer.
    pub(crate) fn json(&self, args: &[&str]) -> serde_json::Value {
        let mut args = args.to_vec();
        args.push("--json");
        serde_json::from_str(&self.ok(&args)).unwrap()
    }
}

impl std::fmt::Display for Ran {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", with_cautions_named(&self.out))?;
        if !self.err.is_empty() {
            write!(f, "-- stderr --\n{}", self.err)?;
        }
        write!(f, "-- exit {} --", self.code)
    }
}

/// What stands in snapshots for the cautions, in the order of `cautions::ALL`; tests/cli/talk/cautions.rs has their words.
pub(crate) const CAUTIONS: [&str; 16] = [
    "caution: botulism",
    "caution: symptoms",
    "caution: emergency",
    "caution: discard, still sealed",
    "caution: discard, unsealed or open",
    "caution: discard, acid food",
    "caution: clean up",
    "caution: boiling before tasting",
    "caution: best by",
    "caution: failed load",
    "caution: on record",
    "caution: process not on record",
    "caution: figures only",
    "caution: storage",
    "caution: ask",
    "caution: local law",
];

/// A text in which every caution of several whole lines is named in one.
pub(crate) fn with_cautions_named(text: &str) -> String {
    let lines: Vec<&str> = text.split('\n').collect();
    let mut named = Vec::new();
    let mut rest = &lines[..];
    while let Some(first) = rest.first() {
        let caution = CAUTIONS.iter().zip(cautions::ALL).find_map(|(name, caution)| {
            let lines = (2..=rest.len().min(8)).find(|&lines| rest[..lines].join(" ") == caution.text)?;
            Some((name, lines))
        });
        let (line, taken) =
            caution.map_or(((*first).to_owned(), 1), |(name, lines)| (format!("[{name}]"), lines));
        named.push(line);
        rest = &rest[taken..];
    }
    named.join("\n")
}

/// Splits a line at spaces; `_` within a word stands for a space.
fn words(line: &str) -> Vec<String> {
    line.split_whitespace().map(|word| word.replace('_', " ")).collect()
}

fn borrowed(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}
