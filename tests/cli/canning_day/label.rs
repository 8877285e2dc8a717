//! `label`.

use std::path::PathBuf;
use std::process::Command;

use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::codes::jar_code::BatchCode;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, entry, put_up, shelve};
use crate::common::world::World;

/// Five sealed pints of beans, three quarts of pears of which the second failed, two pints still cooling.
fn stocked() -> World {
    let world = World::at_500_ft();
    shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 5), "2025-08-14T16:40", "Cellar");
    let pears =
        put_up(&world, "Pears", Some("pears"), (JarSize::Quart, 3), "2026-08-20T11:00", "Pantry shelf");
    act(&world, pears, &[1, 3], Act::CheckSealed, "2026-08-21T11:00");
    act(&world, pears, &[2], Act::CheckFailed, "2026-08-21T11:00");
    put_up(&world, "Pears", Some("pears"), (JarSize::Pint, 2), "2026-09-01T08:00", "Pantry shelf");
    world
}

fn hold(world: &World, batch: &str, number: usize, reason: &str) {
    let batch: BatchCode = batch.parse().unwrap();
    entry(world, "hold", "2026-08-25T09:00", |write| {
        write.hold(&write.jars_of_batch(batch)?[number - 1], HoldCause::ByHand, reason)
    });
}

fn made(world: &World, name: &str) -> PathBuf {
    let path = world.home().join(name);
    assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF-"), "{name}");
    path
}

/// The words of a PDF on one line; none where poppler is not here.
fn words(path: &std::path::Path) -> Option<String> {
    let Ok(output) = Command::new("pdftotext").arg("-raw").arg(path).arg("-").output() else {
        assert!(std::env::var_os("CI").is_none(), "needed here: pdftotext (Debian: poppler-utils)");
        eprintln!("SKIPPED: pdftotext not installed (Debian: poppler-utils)");
        return None;
    };
    assert!(output.status.success());
    Some(String::from_utf8(output.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" "))
}

#[test]
fn labels_of_a_batch_are_written_and_counted() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["label", "--batch", "25-001", "--out", "beans.pdf"]), @"
    Wrote beans.pdf: 5 labels on 1 page of letter-3x6.
    [caution: boiling before tasting]
    -- exit 0 --
    ");
    let path = made(&world, "beans.pdf");
    let Some(words) = words(&path) else { return };
    // 10 min below 1,000 ft: USDA AIB 539, Guide 1, For Safety's Sake.
    let first = "Green beans 14 Aug 2025 best by 14 Aug 2026 Boil 10 min before tasting Process not on record \
                 25-001-01-8 pint";
    assert!(words.starts_with(first), "{words}");
}

#[test]
fn the_answer_in_json_names_the_file_and_the_jars() {
    let world = stocked();
    let answer = world.json(&["label", "25-001", "1-2", "26-001-01-0", "--copies", "2", "--out", "l.pdf"]);
    assert_eq!(answer["out"], "l.pdf");
    assert_eq!(answer["sheet"], "letter-3x6");
    assert_eq!(answer["pages"], 1);
    assert_eq!(answer["labels"], 6);
    assert_eq!(answer["jars"].as_array().unwrap().len(), 3);
    assert_eq!(answer["jars"][2], "26-001-01-0");
    assert_eq!(answer["warnings"], serde_json::json!([]));
}

#[test]
fn jars_not_sealed_not_checked_or_on_hold_get_no_label_without_being_asked_for() {
    let world = stocked();
    hold(&world, "25-001", 3, "dented lid");
    for jars in [["26-001", "2"], ["26-002", "1"], ["25-001", "3"]] {
        let ran = world.run(&["label", jars[0], jars[1], "--out", "l.pdf"]);
        assert_eq!(ran.code, 4, "{ran}");
        assert!(!world.home().join("l.pdf").exists());
    }
    // Of a whole batch they are left out, and named.
    let ran = world.run(&["label", "26-001", "--out", "l.pdf", "--json"]);
    assert_eq!(ran.code, 0, "{ran}");
    assert!(ran.err.contains("Left out: 26-001-02-8 (NOT SEALED: discard)."), "{ran}");
    let answer: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert!(!answer["jars"].as_array().unwrap().contains(&"26-001-02-8".into()), "{answer}");
    std::fs::remove_file(world.home().join("l.pdf")).unwrap();
    world.ok(&["label", "26-001", "26-002", "1", "25-001", "3", "--out", "l.pdf", "--anyway"]);
    let Some(words) = words(&made(&world, "l.pdf")) else { return };
    for line in [
        "NOT SEALED: discard Pears",
        "SEAL NOT CHECKED Pears",
        "DO NOT EAT, on hold Green beans",
        "dented lid",
    ] {
        assert!(words.contains(line), "{line}: {words}");
    }
    // Boiling is never a rescue for a suspect jar (USDA AIB 539, Guide 1, For Safety's Sake).
    assert!(!words.contains("Boil"), "{words}");
}

#[test]
fn a_jar_in_the_refrigerator_is_labelled_with_its_last_day_there() {
    let mut world = stocked();
    // Opened on 30 August: acid food keeps 7 days (USDA FSIS), to 6 September. A jar that did not seal keeps 2
    // (University of Missouri Extension): chilled on 1 September, to the 3rd.
    act(&world, "26-001".parse().unwrap(), &[1], Act::Open, "2026-08-30T18:00");
    act(&world, "26-002".parse().unwrap(), &[1], Act::Chill, "2026-09-01T11:00");
    let text = |world: &World, jar: [&str; 2]| {
        world.json(&["label", jar[0], jar[1], "--text", "--anyway"])["lids"][0]["full"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let opened = text(&world, ["26-001", "1"]);
    assert!(
        opened.starts_with("OPENED: keep in the refrigerator") && opened.contains("eat by 6 Sep 2026"),
        "{opened}"
    );
    let chilled = text(&world, ["26-002", "1"]);
    assert!(
        chilled.contains("keep in the refrigerator") && chilled.contains("eat by 3 Sep 2026"),
        "{chilled}"
    );
    assert!(!opened.contains("best by") && !chilled.contains("best by"));
    world.ok(&["label", "26-002", "1", "--anyway", "--out", "l.pdf"]);
    if let Some(words) = words(&made(&world, "l.pdf")) {
        assert!(words.contains("eat by 3 Sep 2026") && !words.contains("best by"), "{words}");
    }
    world.ok(&["label", "--card", "pantry shelf", "--out", "card.pdf"]);
    if let Some(words) = words(&made(&world, "card.pdf")) {
        assert!(words.contains("eat by 6 Sep 2026") && words.contains("eat by 3 Sep 2026"), "{words}");
    }
    world.on("2026-09-04T09:00");
    let over = text(&world, ["26-002", "1"]);
    assert!(over.starts_with("NOT SEALED: discard") && over.contains("discard it: do not eat it"), "{over}");
}

#[test]
fn a_jar_that_is_gone_gets_no_label_at_all() {
    let world = stocked();
    let beans: BatchCode = "25-001".parse().unwrap();
    act(&world, beans, &[4], Act::Discard, "2026-08-30T09:00");
    let ran = world.run(&["label", "25-001", "4", "--out", "l.pdf", "--anyway"]);
    assert_eq!(ran.code, 4, "{ran}");
    assert!(ran.err.contains("is discarded"), "{ran}");
    // Of a whole batch, the jars still in the house.
    let answer = world.json(&["label", "25-001", "--out", "l.pdf"]);
    assert_eq!(answer["jars"].as_array().unwrap().len(), 4);
    act(&world, beans, &[1, 2, 3, 5], Act::Discard, "2026-08-30T10:00");
    assert_eq!(world.run(&["label", "--batch", "25-001", "--out", "m.pdf"]).code, 3);
}

#[test]
fn a_file_in_the_way_is_left_alone_unless_forced() {
    let world = stocked();
    let path = world.home().join("l.pdf");
    std::fs::write(&path, "mine").unwrap();
    insta::assert_snapshot!(world.run(&["label", "25-001", "--out", "l.pdf"]), @r#"
    -- stderr --
    error: l.pdf is there already; nothing was written
    hint: name another file, or replace this one with --force
    -- exit 4 --
    "#);
    assert_eq!(std::fs::read(&path).unwrap(), b"mine");
    world.ok(&["label", "25-001", "--out", "l.pdf", "--force"]);
    made(&world, "l.pdf");
}

#[test]
fn neither_the_ledger_nor_what_is_no_file_is_written_over() {
    let world = stocked();
    let ledger = world.ledger();
    let before = std::fs::read(&ledger).unwrap();
    std::os::unix::fs::symlink(&ledger, world.home().join("link.pdf")).unwrap();
    std::fs::create_dir(world.home().join("folder")).unwrap();
    let ledger = ledger.to_str().unwrap().to_owned();
    for out in
        [ledger.as_str(), "./ledger.jarledger", "link.pdf", "ledger.jarledger-journal", "folder", "/dev/full"]
    {
        let ran = world.run(&["label", "25-001", "--out", out, "--force"]);
        assert_eq!(ran.code, 4, "{out}: {ran}");
        assert!(ran.err.contains("; nothing was "), "{ran}");
    }
    assert_eq!(std::fs::read(&ledger).unwrap(), before);
    assert!(world.home().join("link.pdf").is_symlink());
    assert_eq!(world.run(&["label", "25-001", "--out", "no/such/folder/l.pdf"]).code, 3);
    assert_eq!(world.run(&["label", "25-001", "--out", "-"]).code, 2);
    assert!(!world.home().join("-").exists());
}

#[test]
fn a_disk_that_takes_no_more_leaves_no_half_file() {
    let world = stocked();
    std::fs::write(world.home().join("l.pdf"), "mine").unwrap();
    // The shell lets no file grow beyond a kilobyte, and the program see that as an error.
    let mut command = assert_cmd::Command::new("bash");
    let binary = assert_cmd::cargo::cargo_bin("jarledger");
    let script = "trap '' XFSZ; ulimit -f 1; exec \"$@\"";
    let run = command
        .args([
            "-c",
            script,
            "bash",
            binary.to_str().unwrap(),
            "label",
            "25-001",
            "--out",
            "l.pdf",
            "--force",
        ])
        .env("JARLEDGER_FILE", world.ledger())
        .current_dir(world.home());
    run.assert().code(10);
    assert_eq!(std::fs::read(world.home().join("l.pdf")).unwrap(), b"mine");
    assert_eq!(strays(&world), 0);
}

/// Temporary files left behind.
fn strays(world: &World) -> usize {
    let names = std::fs::read_dir(world.home()).unwrap().map(|entry| entry.unwrap().file_name());
    names.filter(|name| name.to_string_lossy().starts_with(".jarledger-new-")).count()
}

#[test]
fn a_link_of_the_files_name_stays_and_what_it_leads_to_is_replaced() {
    let world = stocked();
    let other = world.home().join("other");
    std::fs::write(&other, "mine").unwrap();
    std::os::unix::fs::symlink(&other, world.home().join("l.pdf")).unwrap();
    world.ok(&["label", "25-001", "--out", "l.pdf", "--force"]);
    assert!(std::fs::read(&other).unwrap().starts_with(b"%PDF-"));
    assert!(world.home().join("l.pdf").is_symlink());
    assert_eq!(strays(&world), 0);
}

#[test]
fn a_sheet_is_defined_used_and_undone() {
    let world = stocked();
    insta::assert_snapshot!(
        world.run(&["label", "--define", "my stickers", "page=a4", "label=70x35", "grid=2x8", "corner=3"]), @r#"
    Recorded label sheet my stickers: page=a4 label=70x35mm corner=3mm grid=2x8
    pitch=70x35mm margin=35x8.5mm; 16 labels a page.
    -- stderr --
    next: `jarledger label --outline --sheet "my stickers" --out test-page.pdf`
    -- exit 0 --
    "#);
    world.ok(&["label", "25-001", "--sheet", "My Stickers", "--start", "16", "--out", "l.pdf"]);
    made(&world, "l.pdf");
    let sheets = world.json(&["label", "--sheets"]);
    let sheets = sheets["sheets"].as_array().unwrap();
    assert_eq!(sheets.len(), 13);
    assert_eq!(sheets[12]["name"], "my stickers");
    // 210 mm less two labels of 70 mm, halved.
    assert_eq!(sheets[12]["left"], "35mm");
    insta::assert_snapshot!(world.run(&["label", "25-001", "--sheet", "my stickers", "--start", "17", "--out", "m.pdf"]), @r#"
    -- stderr --
    error: the sheet has positions 1 to 16, not 17; nothing was written
    hint: give --start 1 to 16
    -- exit 2 --
    "#);
    insta::assert_snapshot!(world.run(&["label", "--define", "wide", "page=a4", "label=120x35", "grid=2x8"]), @r#"
    -- stderr --
    error: the labels need 240mm across, the page has 210mm; nothing was recorded
    hint: see `jarledger label --help`
    -- exit 2 --
    "#);
    insta::assert_snapshot!(world.run(&["label", "--define", "A4-3x6", "page=a4", "label=60x36", "grid=1x1"]), @r#"
    -- stderr --
    error: “A4-3x6” is a built-in sheet; choose another name; nothing was recorded
    hint: see `jarledger label --help`
    -- exit 2 --
    "#);
    world.ok(&["undo"]);
    assert_eq!(world.run(&["label", "25-001", "--sheet", "my stickers", "--out", "m.pdf"]).code, 3);
}

#[test]
fn a_sheet_is_measured_with_a_ruler_and_moved_until_the_print_lies_on_it() {
    let world = stocked();
    insta::assert_snapshot!(
        world.run(&["label", "--measure", "die-cut", "page=a4", "grid=2x5", "label=80x45", "margin=20x18", "--out", "t.pdf"]), @r#"
    Recorded label sheet die-cut: page=a4 label=80x45mm corner=0mm grid=2x5
    pitch=90x54mm margin=20x18mm.
    Wrote t.pdf: 1 page.
    -- stderr --
    next: print it at 100 % on plain paper and hold it with a sheet of labels against the light; `jarledger label --measure "die-cut" right=4 up=2` moves it by tenths of a millimetre
    -- exit 0 --
    "#);
    made(&world, "t.pdf");
    let sheet = |world: &World| world.json(&["label", "--sheets"])["sheets"][12].clone();
    // By hand: 210 - 40 - 80 = 90; (297 - 36 - 45) / 4 = 54.
    assert_eq!(sheet(&world)["pitch_across"], "90mm");
    assert_eq!(sheet(&world)["pitch_down"], "54mm");
    world.ok(&["label", "--measure", "Die-cut", "right=4", "up=25", "--out", "u.pdf"]);
    made(&world, "u.pdf");
    // 20 + 0.4 and 18 - 2.5.
    assert_eq!(sheet(&world)["left"], "20.4mm");
    assert_eq!(sheet(&world)["top"], "15.5mm");
    let far =
        world.run(&["label", "--measure", "die-cut", "left=100", "left=100", "left=5", "--out", "v.pdf"]);
    insta::assert_snapshot!(far, @r#"
    -- stderr --
    error: moved so, the labels would begin beyond the edge of the paper; nothing was recorded
    hint: see `jarledger label --help`
    -- exit 2 --
    "#);
    insta::assert_snapshot!(world.run(&["label", "--measure", "other", "right=4", "--out", "v.pdf"]), @r#"
    -- stderr --
    error: no label sheet of yours is called “other”; nothing was recorded
    hint: measure it first: `jarledger label --measure "other"`
    -- exit 3 --
    "#);
    insta::assert_snapshot!(world.run(&["label", "--measure", "other", "page=a4", "--out", "v.pdf"]), @r#"
    -- stderr --
    error: grid=2x5 is missing, and there is no terminal to ask on
    hint: add grid=2x5: labels across x labels down, such as 2x5
    -- exit 2 --
    "#);
    insta::assert_snapshot!(
        world.run(&["label", "--measure", "other", "page=a4", "grid=2x5", "label=100x45", "margin=20x18", "--out", "v.pdf"]), @r#"
    -- stderr --
    error: the labels need 240mm across, the page has 210mm; nothing was recorded
    hint: see `jarledger label --help`
    -- exit 2 --
    "#);
    assert!(!world.home().join("v.pdf").exists());
    world.ok(&["undo"]);
    assert_eq!(sheet(&world)["left"], "20mm");
}

#[test]
fn a_gift_label_says_what_is_in_the_jar_and_how_to_keep_it_and_has_no_number() {
    let world = stocked();
    std::fs::write(
        world.home().join("pears.toml"),
        "name = \"Pears\"\nfood = \"pears\"\npack = \"hot\"\nmakes = \"quart:3\"\npublication = \"Example Guide, Pears\"\n[[ingredient]]\nwhat = \"pears\"\namount = \"6 lb\"\n\
         [[ingredient]]\nwhat = \"cane sugar\"\namount = \"1 cup\"\n",
    )
    .unwrap();
    world.ok(&["recipe", "add", "--from", "pears.toml"]);
    world.ok(&["canner", "add", "Kettle", "--method", "boiling-water", "--holds", "quart:7"]);
    world.ok(&[
        "putup",
        "--recipe",
        "pears",
        "--canner",
        "Kettle",
        "--minutes",
        "25",
        "--jars",
        "quart:3",
        "--out",
        "2026-08-22 11:00",
        "--place",
        "Cellar",
    ]);
    let batch: BatchCode = "26-003".parse().unwrap();
    act(&world, batch, &[1], Act::CheckSealed, "2026-08-23T11:00");
    act(&world, batch, &[2], Act::CheckFailed, "2026-08-23T11:00");
    let answer = world.json(&["label", "26-003", "1", "--gift", "--sheet", "letter-2x4", "--out", "l.pdf"]);
    assert_eq!(answer["warnings"], serde_json::json!([]));
    if let Some(words) = words(&made(&world, "l.pdf")) {
        // Best by is a year after 22 August 2026.
        let expected = "Pears 22 Aug 2026 best by 22 Aug 2027 Keep in the refrigerator after opening \
                        Ingredients: pears, cane sugar";
        assert_eq!(words, expected);
    }
    // Low-acid food is to be boiled; this batch was put up by no recipe.
    let answer = world.json(&["label", "25-001", "1", "--gift", "--out", "m.pdf"]);
    assert!(answer["warnings"][0].as_str().unwrap().contains("by no recipe"), "{answer}");
    if let Some(words) = words(&made(&world, "m.pdf")) {
        assert!(words.contains("Boil 10 min") && words.contains("after opening"), "{words}");
        assert!(!words.contains("25-001"), "{words}");
    }
    // A jar that did not seal is no gift, whatever is asked.
    let ran = world.run(&["label", "26-003", "2", "--gift", "--anyway", "--out", "n.pdf"]);
    assert_eq!(ran.code, 4, "{ran}");
    assert!(!world.home().join("n.pdf").exists());
}

#[test]
fn a_lid_sticker_has_number_and_month_only() {
    let world = stocked();
    world.ok(&["label", "25-001", "1", "--lid", "--sheet", "letter-round-4x5", "--out", "l.pdf"]);
    if let Some(words) = words(&made(&world, "l.pdf")) {
        assert_eq!(words, "25-001-01-8 Aug 2025");
    }
    // One on hold says so there too.
    hold(&world, "25-001", 3, "dented lid");
    assert_eq!(world.run(&["label", "25-001", "3", "--lid", "--out", "m.pdf"]).code, 4);
    world.ok(&["label", "25-001", "3", "--lid", "--anyway", "--out", "m.pdf"]);
    if let Some(words) = words(&made(&world, "m.pdf")) {
        assert!(words.starts_with("DO NOT EAT"), "{words}");
    }
}

#[test]
fn what_lies_where_printers_leave_white_is_noted() {
    let world = stocked();
    // 210 - 206, halved.
    let shown = "Note: labels lie 2mm from the edge of the paper, where most printers leave 4mm white; what falls there \
                is not printed.";
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let defined = world.run(&["label", "--define", "wide", "page=a4", "label=103x50", "grid=2x5"]);
    assert!(one_line(&defined.out).contains(shown), "{defined}");
    let printed = world.run(&["label", "25-001", "--sheet", "wide", "--out", "l.pdf"]);
    assert!(one_line(&printed.out).contains(shown), "{printed}");
}

#[test]
fn a_roll_has_a_page_as_small_as_its_label() {
    let world = stocked();
    world.ok(&["label", "--define", "roll", "roll=64x44"]);
    let answer = world.json(&["label", "25-001", "1-2", "--sheet", "roll", "--out", "l.pdf"]);
    assert_eq!((answer["pages"].clone(), answer["warnings"].clone()), (2.into(), serde_json::json!([])));
    let shown = Command::new("pdfinfo").arg(made(&world, "l.pdf")).output();
    if let Ok(shown) = shown {
        // 64 and 44 mm in points: 64 x 72 / 25.4 = 181.42, 44 x 72 / 25.4 = 124.72.
        let shown = String::from_utf8(shown.stdout).unwrap();
        assert!(shown.contains("181.42 x 124.72") || shown.contains("181.417 x 124.724"), "{shown}");
    }
}

#[test]
fn a_test_page_needs_no_ledger() {
    let world = World::new();
    world.ok(&["label", "--outline", "--sheet", "a4-round-2x3", "--out", "page.pdf"]);
    made(&world, "page.pdf");
    assert!(!world.ledger().exists());
    insta::assert_snapshot!(world.run(&["label", "--sheets"]), @r#"
    Sheet             Label               Page    Labels a page
    letter-3x6        65mm x 42mm         letter             18
    letter-2x4        90mm x 60mm         letter              8
    letter-4x8        45mm x 32mm         letter             32
    letter-round-3x4  round, 55mm across  letter             12
    letter-round-2x3  round, 72mm across  letter              6
    letter-round-4x5  round, 42mm across  letter             20
    a4-3x6            65mm x 42mm         a4                 18
    a4-2x4            90mm x 60mm         a4                  8
    a4-4x8            45mm x 32mm         a4                 32
    a4-round-3x4      round, 55mm across  a4                 12
    a4-round-2x3      round, 72mm across  a4                  6
    a4-round-4x5      round, 42mm across  a4                 20
    -- exit 0 --
    "#);
}

#[test]
fn lids_are_worded_for_the_hand_in_the_households_way() {
    let world = stocked();
    world.ok(&["setup", "--altitude", "500ft", "--dates", "month-day-year"]);
    insta::assert_snapshot!(world.run(&["label", "25-001", "2", "--text"]), @"
    25-001-02-6
      or: Green beans, Aug 14, 2025, 25-001-02-6, process not on record
      or: Green beans, pint, put up Aug 14, 2025, best by Aug 14, 2026, 25-001-02-6,
      process not on record, Boil 10 min before tasting
    [caution: boiling before tasting]
    -- exit 0 --
    ");
    let lids = world.json(&["label", "25-001", "2", "--text", "--dates", "year-month-day"]);
    assert_eq!(lids["lids"][0]["short"], "Green beans, 2025 Aug 14, 25-001-02-6, process not on record");
}

#[test]
fn a_card_lists_what_stands_in_a_place() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["label", "--card", "pantry shelf", "--out", "card.pdf"]), @r#"
    Wrote card.pdf: 1 page.
    -- exit 0 --
    "#);
    if let Some(words) = words(&made(&world, "card.pdf")) {
        assert!(words.starts_with("Pantry shelf 5 jars on 1 Sep 2026"), "{words}");
        assert!(words.contains("Not to be eaten off the shelf"), "{words}");
    }
    assert_eq!(world.run(&["label", "--card", "Attic", "--out", "attic.pdf"]).code, 3);
}

#[test]
fn a_pull_sheet_lists_the_jars_on_hold_or_those_named() {
    let world = stocked();
    assert_eq!(world.run(&["label", "--pull", "--out", "pull.pdf"]).code, 3);
    hold(&world, "25-001", 3, "dented lid");
    let answer = world.json(&["label", "--pull", "--out", "pull.pdf"]);
    assert_eq!(answer["jars"], serde_json::json!(["25-001-03-4"]));
    if let Some(words) = words(&made(&world, "pull.pdf")) {
        assert!(
            words.contains("Cellar 25-001-03-4 Green beans sealed, process not on record dented lid"),
            "{words}"
        );
    }
    let answer = world.json(&["label", "--pull", "26-001", "--out", "named.pdf"]);
    assert_eq!(answer["jars"].as_array().unwrap().len(), 3);
}

#[test]
fn the_same_jars_give_the_same_bytes_wherever_and_whenever_under_a_fixed_date() {
    let mut world = stocked();
    let print = |world: &World, name: &str, zone: &str| {
        let mut command = world.command(&["label", "25-001", "--out", name]);
        command.env("SOURCE_DATE_EPOCH", "1770000000").env("TZ", zone).env("LC_ALL", "pl_PL.UTF-8");
        command.assert().success();
        std::fs::read(made(world, name)).unwrap()
    };
    let first = print(&world, "one.pdf", "UTC");
    world.on("2026-10-03T09:00");
    assert_eq!(print(&world, "two.pdf", "Pacific/Auckland"), first);
    let mut command = world.command(&["label", "25-001", "--out", "three.pdf"]);
    command.env("SOURCE_DATE_EPOCH", "soon").assert().code(2);
}

#[test]
fn reading_labels_leaves_the_ledger_as_it_was() {
    let world = stocked();
    let before = std::fs::read(world.ledger()).unwrap();
    world.ok(&["label", "25-001", "--out", "l.pdf"]);
    world.ok(&["label", "25-001", "--text"]);
    assert_eq!(std::fs::read(world.ledger()).unwrap(), before);
}

#[test]
fn codes_lead_to_the_page_where_they_stay_readable_and_every_jar_argument_takes_them() {
    let world = stocked();
    world.ok(&["label", "25-001", "--link", "shelf.local", "--sheet", "letter-2x4", "--out", "l.pdf"]);
    made(&world, "l.pdf");
    // 51 alphanumeric characters need version 3 (29 modules) at level M (ISO/IEC 18004, table 7), with the quiet zone 37
    // modules: on a label 45 mm wide, of which the symbol has 37 %, each is 0.45 mm.
    let small = world.run(&[
        "label",
        "25-001",
        "--link",
        "http://the-kitchen-at-home.local:8464",
        "--sheet",
        "a4-4x8",
        "--out",
        "s.pdf",
    ]);
    assert_eq!(small.code, 4, "{small}");
    assert!(
        small.err.contains("0.45 mm")
            && small.err.contains("needs 0.5 mm; nothing was written")
            && small.err.contains("larger sheet"),
        "{small}"
    );
    assert!(!world.home().join("s.pdf").exists());
    assert_eq!(world.run(&["label", "25-001", "--link", "a b", "--out", "s.pdf"]).code, 2);
    // Codes by python-stdnum, iso7064.mod_11_10: 2500101 -> 8, 2500102 -> 6.
    let link = "HTTP://SHELF.LOCAL:8464/J/25-001-01-8";
    assert_eq!(world.json(&["jar", link])["jar"], "25-001-01-8");
    world.ok(&["move", link, "--to", "Attic"]);
    world.ok(&["correct", "jar", link, "--note", "by its link", "--reason", "left out"]);
    std::fs::write(world.home().join("seen.txt"), format!("{link}\n")).unwrap();
    let counted = world.json(&["count", "Attic", "seen.txt"]);
    assert_eq!(counted["unknown"], serde_json::json!([]), "{counted}");
    world.ok(&["missing", link]);
    assert_eq!(world.json(&["jar", "25-001-01-8"])["state"], "missing");
    let wrong = world.run(&["jar", "HTTP://SHELF.LOCAL:8464/J/25-001-01-7"]);
    assert_eq!(wrong.code, 3, "{wrong}");
}

#[test]
fn what_no_font_draws_is_named_with_what_brings_it_and_a_font_must_be_one() {
    let world = World::at_500_ft();
    shelve(&world, "\u{6885}\u{5e72}\u{3057}", None, (JarSize::Pint, 1), "2025-08-14T16:40", "Cellar");
    insta::assert_snapshot!(world.run(&["label", "--batch", "25-001", "--out", "a.pdf"]), @"
    Wrote a.pdf: 1 label on 1 page of letter-3x6.
    Note: no font here has a picture for 梅干し in “梅干し”; a box is printed for
    each. The Debian package fonts-noto-cjk has them, or give a font file with
    --font.
    [caution: boiling before tasting]
    -- exit 0 --
    ");
    std::fs::write(world.home().join("font.ttf"), "no font").unwrap();
    insta::assert_snapshot!(world.run(&["label", "--batch", "25-001", "--out", "b.pdf", "--font", "font.ttf"]), @"
    -- stderr --
    error: font.ttf is no TrueType or OpenType font with outlines; nothing was written
    hint: give another font file, or none
    -- exit 5 --
    ");
    insta::assert_snapshot!(world.run(&["label", "--batch", "25-001", "--out", "b.pdf", "--font", "none.ttf"]), @"
    -- stderr --
    error: none.ttf could not be read: No such file or directory (os error 2); nothing was written
    hint: give a TrueType or OpenType file
    -- exit 3 --
    ");
    assert!(!world.home().join("b.pdf").exists());
}

#[test]
fn of_a_line_that_a_label_has_no_room_for_it_is_said_that_it_was_left_out() {
    let mut world = World::new();
    world.on("2026-11-25").ok(&["demo"]);
    let ran = world.run(&["label", "25-010", "--anyway", "--sheet", "letter-round-4x5", "--out", "l.pdf"]);
    let notes = format!("{ran}").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        notes.contains("did not meet its tested process\u{201d} is too long for the label and was left out"),
        "{ran}"
    );
    assert!(!notes.contains("\u{201c}\u{201d}"), "{ran}");
}
