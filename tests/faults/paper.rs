//! Faults 34 to 36: names that would break a page, a calendar or a label, in every field that
//! takes one. The readers from outside sit in `tests/cli` and `tests/labels`.

use std::fs;
use std::process::Command;

use crate::inject::skip;
use crate::lab::Lab;
use crate::world::World;

const EVIL: [&str; 8] = [
    "<script>alert(1)</script>",
    "\" onload=alert(1) x=\"",
    "</style><b>bold",
    "javascript:alert(1)",
    "line\u{2028}separator",
    "back\\slash; semi, comma (paren) )",
    "BEGIN:VEVENT",
    "\u{1f469}\u{200d}\u{1f373}\u{1f96b}\u{645}\u{631}\u{628}\u{649} \u{6885}\u{5e72}\u{3057} \u{1f469}\u{200d}\u{1f373}\u{1f96b}\u{645}\u{631}\u{628}\u{649} \u{6885}\u{5e72}\u{3057} and on",
];

/// A shelf of such names, with a jar in every state that shows.
fn stocked() -> Lab {
    let world = World::at_500_ft();
    let file = world.home().join("shelf.csv");
    let mut writer = csv::Writer::from_path(&file).unwrap();
    writer.write_record(["product", "put_up", "jar", "count", "place", "note"]).unwrap();
    for evil in EVIL {
        writer.write_record([evil, "2026-08-01", "pint", "3", evil, evil]).unwrap();
    }
    drop(writer);
    world.ok(&["import", file.to_str().unwrap(), "--raw"]);
    for (batch, evil) in (1..).zip(EVIL) {
        let batch = format!("26-{batch:03}");
        world.ok(&["hold", &batch, "1", "--reason", evil]);
        world.ok(&["discard", &batch, "2", "--why", evil]);
    }
    Lab::of(world)
}

#[test]
fn fault_34_no_name_becomes_part_of_the_page() {
    let lab = stocked();
    lab.world.ok(&["report", "--out", "report.html"]);
    let page = fs::read_to_string(lab.world.home().join("report.html")).unwrap();
    assert!(page.contains("Content-Security-Policy"));
    assert!(
        page.contains("&lt;script&gt;") || page.contains("&#60;script&#62;"),
        "the name is not on the page"
    );
    let python = "import sys\nfrom html.parser import HTMLParser\n\
        class Reader(HTMLParser):\n\
        \x20   def handle_starttag(self, tag, attributes):\n\
        \x20       for name, value in attributes:\n\
        \x20           if name.startswith('on') or (name in ('href', 'src', 'action') and not (value or '').startswith('#')):\n\
        \x20               print(tag, name, value)\n\
        \x20       if tag in ('script', 'b', 'iframe', 'object', 'embed', 'link'):\n\
        \x20           print(tag)\n\
        Reader(convert_charrefs=True).feed(open(sys.argv[1], encoding='utf-8').read())\n";
    let Ok(read) =
        Command::new("python3").args(["-c", python, "report.html"]).current_dir(lab.world.home()).output()
    else {
        return skip("pages (python3 is missing)");
    };
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
    assert_eq!(String::from_utf8_lossy(&read.stdout), "");
}

#[test]
fn fault_35_no_name_becomes_part_of_the_calendar() {
    let lab = stocked();
    // An opened jar has its last day, and its name in the calendar.
    for batch in 1..=EVIL.len() {
        lab.world.ok(&["open", &format!("26-{batch:03}"), "3"]);
    }
    lab.world.ok(&["calendar", "--out", "a.ics"]);
    let bytes = fs::read(lab.world.home().join("a.ics")).unwrap();
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count(), "RFC 5545, 3.1: lines end in CRLF");
    for line in bytes.split(|&byte| byte == b'\n') {
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        assert!(line.len() <= 75, "RFC 5545, 3.1: a line is at most 75 octets");
        assert!(std::str::from_utf8(line).is_ok(), "a line is folded inside a character");
    }
    let unfolded = text.replace("\r\n ", "");
    let count = |start: &str| unfolded.lines().filter(|line| line.starts_with(start)).count();
    assert!(count("BEGIN:VEVENT") > 0);
    for needed in ["END:VEVENT", "UID:", "DTSTAMP:", "SUMMARY"] {
        assert_eq!(count(needed), count("BEGIN:VEVENT"), "{needed}");
    }
    // The same again is the same, names of events included.
    lab.world.ok(&["calendar", "--out", "b.ics"]);
    assert!(fs::read(lab.world.home().join("b.ics")).unwrap() == bytes);
}

#[test]
fn fault_36_labels_of_any_name_are_printed_and_what_cannot_be_drawn_is_said() {
    let lab = stocked();
    for batch in 1..=EVIL.len() {
        let batch = format!("26-{batch:03}");
        let out = format!("{batch}.pdf");
        let ended = lab.run(&["label", &batch, "3", "--out", &out]);
        ended.assert_calm(&batch);
        assert_eq!(ended.code, Some(0), "{batch}: {}", ended.err);
        let Ok(read) = Command::new("pdftotext").args([&out, "-"]).current_dir(lab.world.home()).output()
        else {
            return skip("labels (poppler-utils is missing)");
        };
        assert!(read.status.success(), "{batch}: {}", String::from_utf8_lossy(&read.stderr));
        assert_eq!(String::from_utf8_lossy(&read.stderr), "", "{batch}: the PDF is not whole");
        let code: serde_json::Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
        let jars = code["jar"].as_array().unwrap();
        let code = jars
            .iter()
            .filter_map(|jar| jar["code"].as_str())
            .find(|code| code.starts_with(&format!("{batch}-03-")))
            .unwrap();
        assert!(String::from_utf8_lossy(&read.stdout).contains(code), "{batch}");
    }
    let drawn = lab.run(&["label", "26-008", "3", "--out", "again.pdf"]);
    assert!(drawn.out.contains("no font here has a picture for"), "{} {}", drawn.out, drawn.err);
}
