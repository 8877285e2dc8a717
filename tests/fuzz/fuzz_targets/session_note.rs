#![no_main]

use std::ffi::OsString;
use std::fs;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::LazyLock;

/// A ledger with two canners, as it is before each note.
struct Kitchen {
    ledger: PathBuf,
    note: PathBuf,
    before: Vec<u8>,
}

fn run(kitchen: &Kitchen, args: &[&str]) -> ExitCode {
    let mut line: Vec<OsString> = ["jarledger", "--today", "2026-09-01T18:00", "--ledger"].map(Into::into).into();
    line.push(kitchen.ledger.clone().into());
    line.extend(args.iter().map(Into::into));
    jarledger::cli::run(line, jarledger::page::serve::serve)
}

static KITCHEN: LazyLock<Kitchen> = LazyLock::new(|| {
    let folder = std::env::temp_dir().join(format!("jarledger-fuzz-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    let mut kitchen =
        Kitchen { ledger: folder.join("l.jarledger"), note: folder.join("note.toml"), before: Vec::new() };
    assert_eq!(run(&kitchen, &["setup", "--altitude", "500ft"]), ExitCode::SUCCESS);
    for (name, method) in [("Big dial", "pressure-dial"), ("Kettle", "boiling-water")] {
        let args = ["canner", "add", name, "--method", method, "--holds", "pint:9,quart:7"];
        assert_eq!(run(&kitchen, &args), ExitCode::SUCCESS);
    }
    kitchen.before = fs::read(&kitchen.ledger).unwrap();
    kitchen
});

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let kitchen = &*KITCHEN;
    fs::write(&kitchen.ledger, &kitchen.before).unwrap();
    fs::write(&kitchen.note, bytes).unwrap();
    let ended = run(kitchen, &["putup", "--from", kitchen.note.to_str().unwrap()]);
    if ended == ExitCode::SUCCESS {
        assert_eq!(run(kitchen, &["check"]), ExitCode::SUCCESS);
    } else {
        let known = [2, 3, 4, 5].map(ExitCode::from);
        assert!(known.contains(&ended), "{ended:?}");
        assert!(fs::read(&kitchen.ledger).unwrap() == kitchen.before, "a refused note changed the ledger");
    }
});
