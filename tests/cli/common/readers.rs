//! Programs from elsewhere that read what ours writes.
//!
//! `.ci/test --tools` installs them. Where one is missing a test says so and
//! passes, except under CI.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::common::world::World;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// Node with the packages that `script` needs, about to run it.
pub(crate) fn node(script: &str, needed: &[&str]) -> Option<Command> {
    let packages = Path::new(ROOT).join("target/test-tools/npm");
    let needed: Vec<PathBuf> = needed.iter().map(|name| packages.join("node_modules").join(name)).collect();
    present(&needed.iter().map(PathBuf::as_path).collect::<Vec<_>>())?;
    let mut command = Command::new("node");
    command.arg(Path::new(ROOT).join("tests/readers").join(script)).arg(packages);
    Some(command)
}

/// As [`node`], with the browser, its driver and axe-core at hand.
pub(crate) fn browser(script: &str) -> Option<Command> {
    let browser =
        std::env::var_os("CHROMIUM").map_or_else(|| PathBuf::from("/usr/bin/chromium"), PathBuf::from);
    present(&[&browser])?;
    node(script, &["axe-core", "playwright-core"])
}

/// The Nu HTML checker, about to read pages; warnings count as errors do.
pub(crate) fn markup() -> Option<Command> {
    let jar = Path::new(ROOT).join("target/test-tools/npm/node_modules/vnu-jar/build/dist/vnu.jar");
    let java = Path::new("/usr/bin/java");
    present(&[&jar, java])?;
    let mut command = Command::new(java);
    command.arg("-jar").arg(jar).args(["--stdout", "--exit-zero-always"]);
    Some(command)
}

/// Python with its packages, about to run `script`.
pub(crate) fn python(script: &str) -> Option<Command> {
    let interpreter = Path::new(ROOT).join("target/test-tools/python/bin/python");
    present(&[&interpreter])?;
    let mut command = Command::new(interpreter);
    command.arg(Path::new(ROOT).join("tests/readers").join(script));
    Some(command)
}

/// The system's own Python, about to run `script`, which needs no packages.
pub(crate) fn terminal(script: &str) -> Option<Command> {
    let interpreter = Path::new("/usr/bin/python3");
    present(&[interpreter])?;
    let mut command = Command::new(interpreter);
    command.arg(Path::new(ROOT).join("tests/readers").join(script));
    Some(command)
}

/// jarledger at a terminal, in the afternoon of a fixed day: each text waited for, and what is then typed.
pub(crate) fn at_terminal(world: &World, dialogue: &[(&str, &str)]) -> Option<Command> {
    let mut reader = terminal("terminal.py")?;
    reader
        .env_clear()
        .env("HOME", world.home())
        .env("TERM", "xterm")
        .env("TZ", "UTC")
        .env("NO_COLOR", "1")
        .env("JARLEDGER_FILE", world.ledger())
        .current_dir(world.home())
        .arg(serde_json::to_string(dialogue).unwrap())
        .arg(env!("CARGO_BIN_EXE_jarledger"))
        .args(["--today", "2026-08-14T15:00"]);
    Some(reader)
}

/// A program of the system.
pub(crate) fn tool(name: &str) -> Option<Command> {
    let program = Path::new("/usr/bin").join(name);
    present(&[&program])?;
    Some(Command::new(program))
}

/// None, and a word about it, where something needed is missing.
fn present(needed: &[&Path]) -> Option<()> {
    let Some(missing) = needed.iter().find(|path| !path.exists()) else { return Some(()) };
    assert!(std::env::var_os("CI").is_none(), "{} is missing: run .ci/test --tools", missing.display());
    // Straight to stderr: the test runner keeps what passing tests print.
    let _ = writeln!(std::io::stderr(), "SKIPPED, {} is missing: run .ci/test --tools", missing.display());
    None
}

/// Runs a reader that must find nothing wrong.
pub(crate) fn content(mut reader: Command) -> String {
    let output = reader.output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    text(&output.stdout)
}
