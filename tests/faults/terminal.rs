//! Fault 28: names, reasons and arguments that would steer a terminal, on a real one.

use std::process::Command;

use rusqlite::Connection;

use crate::inject::skip;
use crate::interrupt::at_terminal;
use crate::lab::Lab;

/// Clears the screen; sets the title; writes the clipboard; rings; goes back; one-character CSI;
/// turns the line around; breaks the line.
const EVIL: &str = "a\u{1b}[2Jb\u{1b}]0;title\u{7}c\u{1b}]52;c;ZWNobw==\u{7}d\re\u{8}f\u{9b}31mg\u{202e}h\u{2066}i\u{85}j\u{7f}k";

/// What a command writes to a terminal, byte for byte.
fn on_terminal(lab: &Lab, args: &[&str]) -> Option<Vec<u8>> {
    let inner = lab.command(args);
    let words = std::iter::once(inner.get_program()).chain(inner.get_args());
    let line: Vec<String> =
        words.map(|word| shlex::try_quote(word.to_str().unwrap()).unwrap().into_owned()).collect();
    let output = Command::new("script")
        .args(["--quiet", "--return", "--command", &line.join(" "), "/dev/null"])
        .env("JARLEDGER_FILE", lab.ledger())
        .env("TERM", "dumb")
        .env("NO_COLOR", "1")
        .env("SHELL", "/bin/sh")
        .env("TZ", "UTC")
        .current_dir(lab.world.home())
        .output();
    match output {
        Ok(output) => Some(output.stdout),
        Err(_) => {
            skip("terminals (util-linux's script is missing)");
            None
        }
    }
}

/// The first character that could steer a terminal; line ends are the terminal's own.
fn steering(bytes: &[u8]) -> Option<char> {
    let text = String::from_utf8_lossy(bytes).replace("\r\n", "\n");
    text.chars().find(|&c| {
        (c.is_control() && c != '\n' && c != '\t')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    })
}

#[test]
fn fault_28_an_error_in_json_stays_json() {
    let lab = Lab::new();
    let ended = lab.run(&["gauge", EVIL, "--list", "--json"]);
    assert_eq!((ended.code, steering(ended.err.as_bytes())), (Some(2), None), "{}", ended.err);
    let answer: serde_json::Value = serde_json::from_str(&ended.err).unwrap();
    let message = answer["error"]["message"].as_str().unwrap();
    assert!(message.contains("mg\u{202e}h\u{2066}i"), "{answer}");
}

#[test]
fn fault_28_an_export_in_json_escapes_what_steers_and_keeps_the_true_text() {
    let lab = Lab::with_shelf();
    let name = "Pe\u{85}a\u{9b}r\u{7f}s \u{202e}\u{2066}\u{200b}\u{feff}\u{e0041}";
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute("UPDATE product SET name = ?1 WHERE id = 1", [name]).unwrap();
    drop(conn);
    lab.world.ok(&["export", "--json", "--out", "whole.json"]);
    let file = std::fs::read_to_string(lab.world.home().join("whole.json")).unwrap();
    for written in [lab.run(&["export", "--json"]).out, lab.run(&["--json", "shelf"]).out, file] {
        let raw = written
            .chars()
            .find(|&letter| name.contains(letter) && !letter.is_ascii_graphic() && letter != ' ');
        assert_eq!(raw, None);
        let read: serde_json::Value = serde_json::from_str(&written).unwrap();
        let answer = read.to_string();
        assert!(
            answer.contains(&serde_json::to_string(name).unwrap()),
            "{}",
            &answer[..answer.len().min(600)]
        );
    }
}

#[test]
fn fault_28_completion_offers_no_name_that_steers_the_terminal() {
    let lab = Lab::with_shelf();
    let shelf = "product,put_up,jar,place\nPears,2026-01-05,pint,\"Ce\u{202e}llar\"\nFigs,2026-01-05,pint,\"Ce\u{200b}\"\n";
    std::fs::write(lab.world.home().join("more.csv"), shelf).unwrap();
    lab.world.ok(&["import", "more.csv"]);
    for shell in ["bash", "fish", "zsh"] {
        let mut asked = lab.command(&[]);
        asked.env("COMPLETE", shell).env("_CLAP_COMPLETE_INDEX", "4").env("_CLAP_IFS", "\n");
        let offered = asked.args(["--", "jarledger", "move", "26-001", "--to", "Ce"]).output().unwrap();
        let offered = String::from_utf8(offered.stdout).unwrap();
        assert!(offered.contains("Cellar"), "{shell}: {offered:?}");
        assert!(!offered.contains(['\u{202e}', '\u{200b}']), "{shell}: {offered:?}");
    }
}

#[test]
fn fault_28_nothing_steers_the_terminal() {
    let lab = Lab::with_shelf();
    lab.world.ok(&["open", "26-002", "1"]);
    lab.world.ok(&["discard", "26-002", "2", "--why", EVIL]);
    lab.world.ok(&["hold", "26-002", "3", "--reason", EVIL]);
    // Names the commands would refuse, as another program may have written them.
    let conn = Connection::open(lab.ledger()).unwrap();
    for table in ["product", "place"] {
        conn.execute(&format!("UPDATE {table} SET name = ?1 || id"), [EVIL]).unwrap();
    }
    conn.execute_batch("INSERT INTO setting (entry_id, key, value) VALUES (1, 'note', 'x')").unwrap();
    drop(conn);
    let jar = "26-002-03-9";
    let reads: [&[&str]; 16] = [
        &["shelf"],
        &["shelf", "--jars"],
        &["eat"],
        &["history"],
        &["history", "--entry", "4"],
        &["jar", jar],
        &["batch"],
        &["batch", "26-002"],
        &["season"],
        &["check"],
        &["doctor"],
        &["trace", jar],
        &["export", "product"],
        &["export", "--json"],
        &["open", "26-002", "3"],
        &["undo", "1"],
    ];
    let evil_file = format!("{EVIL}.csv");
    let errors: [&[&str]; 8] = [
        &["jar", EVIL],
        &["batch", EVIL],
        &["shelf", "--product", EVIL],
        &["import", &evil_file],
        &["restore", EVIL],
        &["canner", "list", "--ledger", EVIL],
        &["setup", "--altitude", EVIL],
        &["no-such-command", EVIL],
    ];
    for args in reads.into_iter().chain(errors) {
        let Some(bytes) = on_terminal(&lab, args) else { return };
        assert!(!bytes.is_empty(), "{args:?}");
        let found = steering(&bytes);
        assert_eq!(found, None, "{args:?}: {}", String::from_utf8_lossy(&bytes).escape_debug());
    }
    // Programs get the true text, escaped as JSON is.
    let answer: serde_json::Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    // What is said in words is kept with single spaces, so that a line break in it is one.
    let kept = EVIL.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(answer["hold"][0]["reason"], kept);
}

#[test]
fn fault_28_no_question_steers_the_terminal() {
    let lab = Lab::with_shelf();
    let kettle = ["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "pint:7"];
    lab.world.ok(&kettle);
    lab.world.ok(&["canner", "add", "Pot", "--method", "boiling-water", "--holds", "pint:7"]);
    let conn = Connection::open(lab.ledger()).unwrap();
    conn.execute("UPDATE canner SET name = ?1 || id", [EVIL]).unwrap();
    conn.execute("UPDATE product SET name = ?1 || id", [EVIL]).unwrap();
    conn.execute("UPDATE place SET name = ?1 || id", [EVIL]).unwrap();
    drop(conn);
    std::fs::rename(lab.ledger(), lab.world.home().join("kept")).unwrap();
    std::fs::copy(lab.world.home().join("kept"), lab.world.home().join(EVIL)).unwrap();
    std::fs::rename(lab.world.home().join("kept"), lab.ledger()).unwrap();
    let evil = shlex::try_quote(EVIL).unwrap();
    for (command, question) in [
        ("putup --product Stew --food none --acidity acid --pack hot".to_owned(), "Which canner?"),
        (format!("restore {evil}"), "Put the backup in the place of the ledger?"),
    ] {
        let Some(raw) = at_terminal(&lab.world, &command, &[(question, "\u{3}")]) else { return };
        assert!(raw.contains("title"), "the name is not shown: {raw:?}");
        // The prompt moves the cursor itself; a name may not.
        for evil in
            ["\u{1b}[2J", "\u{1b}]", "\u{7}", "\u{8}", "\u{9b}", "\u{202e}", "\u{2066}", "\u{85}", "\u{7f}"]
        {
            assert!(!raw.contains(evil), "{command}: {evil:?} in {raw:?}");
        }
    }
}
