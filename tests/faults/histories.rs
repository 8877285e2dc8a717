//! Faults 39 and 42 at length: random histories of every command that writes, and every reading on damaged files.
//!
//! `JARLEDGER_HISTORIES` says how many histories are played, `JARLEDGER_SWEEP` how many bytes of the file lie between
//! two that are flipped; the long run is `JARLEDGER_HISTORIES=1000 JARLEDGER_SWEEP=1`.

use std::fs;

use chrono::{NaiveDate, TimeDelta};

use crate::inject::counted;
use crate::lab::Lab;
use crate::strange_file::READINGS;
use crate::world::World;

/// What writes, with words in braces for what is drawn by lot. Much of it is refused, as in any household.
const COMMANDS: &[&str] = &[
    "open {jar}",
    "open {jar} --on yesterday",
    "finish {jar}",
    "discard {jar} --why 'too old'",
    "discard {jar} --why 'bulging lid'",
    "give {jar} --to 'A neighbor'",
    "move {jar} --to '{place}'",
    "chill {jar}",
    "freeze {jar}",
    "missing {jar}",
    "missing {jar} --found",
    "hold {jar} --reason 'looks cloudy'",
    "release {jar} --reason 'only starch'",
    "seal {batch} --sealed",
    "seal {batch} --failed {small}",
    "seal {jar} --lost",
    "gauge '{dial}' --reads 5,10,15 --true 5,10,{small}",
    "gauge '{dial}' --reads 5,10,15 --true 5,10,15 --new-gauge",
    "setup --altitude {height}ft",
    "setup --dates year-month-day",
    "canner add 'Pot {small}' --method boiling-water --holds quart:7,pint:9",
    "putup --product 'Green beans' --food green-beans --pack raw --jars pint:{small} --canner '{dial}' --pressure 12 \
     --minutes {minutes} --vent 10 --lid-lot L-{small} --place '{place}'",
    "putup --product Pears --food pears --pack hot --jars pint:{small} --canner 'Blue kettle' --minutes {minutes}",
    "putup --product Pears --food pears --pack hot --jars pint:{small} --canner 'Blue kettle' --minutes 25 --used {jar}",
    "putup --reprocess {jar} --jars pint:1 --canner 'Blue kettle' --minutes 25",
    "putup --from stove.toml",
    "run begin --canner '{dial}' --food green-beans --pack raw --jar pint",
    "run step heat",
    "run step steam",
    "run step closed",
    "run step reached",
    "run step off",
    "run back",
    "run abandon",
    "correct batch {batch} --product 'Other name {small}' --reason 'other name'",
    "correct batch {batch} --put-up 2026-10-{day} --reason 'a day off'",
    "correct batch {batch} --vouched 'made it myself' --reason 'I was there'",
    "correct load {batch}/1 --minutes {minutes} --reason 'read the clock wrongly'",
    "correct load {batch}/1 --lid-lot L-{small} --reason 'took the other box'",
    "correct jar {jar} --note 'chipped {small}' --reason 'left out'",
    "count '{place}' seen.txt --yes",
    "import shelf.csv",
    "import shelf-{small}.csv",
    "recipe add --from pears.toml",
    "recipe remove 'Hillside pears'",
    "label --define 'Own {small}' page=a4 label=63x38 grid=3x6",
    "process add --food turnips --acidity low-acid --pack hot --jar pint --method pressure-weighted --to 1000ft \
     --minutes {minutes} --pressure 10psi --headspace 1in --publication 'A leaflet' --page 4 --published 2025-05-01",
    "undo",
    "undo {entry}",
];

/// What is the same again once an undo was undone.
const ANSWERS: &[&[&str]] = &[
    &["shelf", "--jars", "--json"],
    &["eat", "--json"],
    &["season", "--json"],
    &["run", "--json"],
    &["recipe", "list"],
];

/// Numbers by lot, the same for the same seed (Marsaglia's xorshift64, 13, 7 and 17).
struct Lot(u64);

impl Lot {
    fn draw(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }

    fn fill(&mut self, template: &str, entries: u64) -> Vec<String> {
        let batch = format!("26-{:03}", 1 + self.draw(24));
        let line = template
            .replace("{jar}", &format!("{batch}-{}", 1 + self.draw(8)))
            .replace("{batch}", &batch)
            .replace("{place}", ["Cellar north", "Cellar south", "Pantry", "Attic"][self.draw(4) as usize])
            .replace("{dial}", ["Hearth dial", "Attic dial"][self.draw(2) as usize])
            .replace("{small}", &(1 + self.draw(12)).to_string())
            .replace("{day}", &format!("{:02}", 1 + self.draw(28)))
            .replace("{minutes}", &(5 + self.draw(80)).to_string())
            .replace("{height}", &(100 * self.draw(70)).to_string())
            .replace("{entry}", &(1 + self.draw(entries)).to_string());
        shlex::split(&line).unwrap()
    }
}

fn asked(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

/// A world with the demo's household and the files that commands read.
fn household() -> World {
    let mut world = World::new();
    world.on("2026-11-25T08:00").ok(&["demo"]);
    let pears = "name = \"Hillside pears\"\nfood = \"pears\"\npack = \"hot\"\nmakes = \"pint:9\"\n\n[[ingredient]]\n\
                 what = \"Pears\"\namount = \"11 lb\"\n";
    let stove = "product = \"Green beans\"\nfood = \"green-beans\"\npack = \"raw\"\ncanner = \"Hearth dial\"\n\
                 vent = 10\n\n[[load]]\njars = { pint = 9 }\npressure = \"12\"\nminutes = 20\nout = \"07:30\"\n";
    let mut files = vec![
        ("seen.txt".to_owned(), "26-002 2-8\n26-014 1-5\n26-017 2-7\n".to_owned()),
        ("pears.toml".to_owned(), pears.to_owned()),
        ("stove.toml".to_owned(), stove.to_owned()),
        ("shelf.csv".to_owned(), "product,put_up,jar,count\nRhubarb sauce,2026-05-20,pint,6\n".to_owned()),
    ];
    for small in 1..=12 {
        let shelf = format!(
            "product,put_up,jar,count,place\nPlums {small},2026-0{}-11,pint,3,Attic\n",
            1 + small % 9
        );
        files.push((format!("shelf-{small}.csv"), shelf));
    }
    for (name, text) in files {
        fs::write(world.home().join(name), text).unwrap();
    }
    world
}

fn entries(lab: &Lab) -> u64 {
    let answer: serde_json::Value = serde_json::from_str(&lab.world.ok(&["history", "--json"])).unwrap();
    answer["entries"][0]["entry"].as_u64().unwrap()
}

fn answers(lab: &Lab) -> Vec<String> {
    ANSWERS.iter().map(|args| lab.world.ok(args)).collect()
}

#[test]
fn fault_39_any_history_of_commands_is_whole_and_read_back_and_undone_exactly() {
    let begun = Lab::of(household());
    let base = fs::read(begun.ledger()).unwrap();
    let mut lab = begun;
    let (mut done, mut refused, mut undone) = (0, 0, 0);
    for seed in 1..=asked("JARLEDGER_HISTORIES", 2) {
        let mut lot = Lot(0x9e37_79b9_7f4a_7c15_u64.wrapping_mul(seed as u64));
        fs::write(lab.ledger(), &base).unwrap();
        let mut now = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap().and_hms_opt(9, 0, 0).unwrap();
        let mut played = Vec::new();
        for _ in 0..40 {
            now += TimeDelta::minutes(1 + lot.draw(40 * 60) as i64);
            lab.world.on(&now.format("%Y-%m-%dT%H:%M").to_string());
            let known = entries(&lab);
            let template = COMMANDS[lot.draw(COMMANDS.len() as u64) as usize];
            let words = lot.fill(template, known);
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            played.push(format!("{now} {}", shlex::try_join(words.iter().copied()).unwrap()));
            let before = lab.contents();
            let ended = lab.run(&words);
            let so_far = format!("seed {seed}: {}\n{}{}", played.join("\n"), ended.out, ended.err);
            ended.assert_calm(&so_far);
            match ended.code {
                Some(0) => done += 1,
                Some(2..=5) => {
                    refused += 1;
                    assert!(lab.contents() == before, "what was refused changed something: {so_far}");
                }
                _ => panic!("{so_far}"),
            }
        }
        let so_far = format!("seed {seed}: {}", played.join("\n"));
        let checked = lab.run(&["check"]);
        assert_eq!(checked.code, Some(0), "{so_far}\n{}{}", checked.out, checked.err);
        for file in ["one.json", "two.json", "new.jarledger"] {
            let _ = fs::remove_file(lab.world.home().join(file));
        }
        lab.world.ok(&["export", "--json", "--out", "one.json"]);
        lab.world.ok(&["import", "one.json", "--ledger", "new.jarledger"]);
        lab.world.ok(&["export", "--json", "--out", "two.json", "--ledger", "new.jarledger"]);
        let read = |name: &str| fs::read(lab.world.home().join(name)).unwrap();
        assert!(read("one.json") == read("two.json"), "another export: {so_far}");

        let (before, known) = (answers(&lab), entries(&lab));
        for _ in 0..3 {
            let entry = 1 + lot.draw(known);
            if lab.run(&["undo", &entry.to_string()]).code != Some(0) {
                continue;
            }
            assert_eq!(lab.run(&["check"]).code, Some(0), "undo {entry}: {so_far}");
            lab.world.ok(&["undo", &entries(&lab).to_string()]);
            let after = answers(&lab);
            for ((args, before), after) in ANSWERS.iter().zip(&before).zip(&after) {
                assert_eq!(before, after, "undo {entry} and back, {args:?}: {so_far}");
            }
            undone += 1;
        }
        assert_eq!(lab.run(&["check"]).code, Some(0), "{so_far}");
    }
    counted(done, "commands by lot");
    counted(refused, "commands by lot that were refused");
    counted(undone, "undos undone");
    assert!(done > refused / 4 && undone > 0, "{done} done, {refused} refused, {undone} undone");
}

#[test]
fn fault_42_whatever_makes_a_reading_fail_is_found_by_check() {
    let lab = Lab::of(household());
    let whole = fs::read(lab.ledger()).unwrap();
    for args in READINGS {
        let ended = lab.run(args);
        assert!(matches!(ended.code, Some(0 | 4)), "{args:?}: {}", ended.err);
    }
    let (mut damaged, mut passed) = (0, 0);
    for at in (0..whole.len()).step_by(asked("JARLEDGER_SWEEP", 4_999)) {
        let mut flipped = whole.clone();
        flipped[at] ^= 1 << (at % 8);
        fs::write(lab.ledger(), &flipped).unwrap();
        damaged += 1;
        let checked = lab.run(&["check"]);
        checked.assert_calm(&format!("byte {at}"));
        if checked.code != Some(0) {
            continue;
        }
        passed += 1;
        for args in READINGS {
            for paper in ["labels.pdf", "report.html", "jars.ics"] {
                let _ = fs::remove_file(lab.world.home().join(paper));
            }
            let read = lab.run(args);
            read.assert_calm(&format!("byte {at}"));
            // A name or number that reads otherwise may not be found, or be of a jar that gets no label.
            assert!(matches!(read.code, Some(0 | 3 | 4)), "byte {at} {args:?}: {:?} {}", read.code, read.err);
        }
    }
    counted(damaged, "flipped bytes");
    counted(passed, "files that passed `check` and every reading");
}
