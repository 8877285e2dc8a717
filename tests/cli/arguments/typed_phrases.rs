//! What people type, and what it means: every line of `fixtures/typed_phrases.csv`.

use chrono::NaiveDate;
use jarledger::values::codes::count_line::{CountLine, read_line};
use jarledger::values::codes::jar_list::JarList;
use jarledger::values::codes::jar_word::JarWord;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::measures::altitude::Altitude;
use jarledger::values::measures::pressure::Pressure;
use jarledger::values::names::everyday::meant;
use jarledger::values::names::nothing::says_nothing;
use jarledger::values::time::civil_day::parse_day;
use jarledger::values::time::clock_time::ClockTime;
use jarledger::values::time::duration;

use crate::common::world::World;

const PRODUCTS: &[&str] = &[
    "Apple butter",
    "Applesauce",
    "Chicken broth",
    "Dill pickles",
    "Green beans",
    "Peach halves",
    "Strawberry jam",
    "Strawberry sauce",
    "Tomato juice",
    "Tomatoes in quarters",
    "White beans",
];

const PLACES: &[&str] =
    &["Attic", "Cellar north", "Cellar south", "Pantry low", "Pantry middle", "Pantry top"];

const REFUSED: &str = "-";

/// Between several commands that may be meant.
const OR: &str = " or ";

/// What a phrase of a kind means, in the words of the table.
fn meaning(kind: &str, typed: &str, world: &World) -> Option<String> {
    match kind {
        "jar size" => typed.parse::<JarSize>().ok().map(|size| size.to_string()),
        "jars" => jars(typed, world),
        "tally" => match read_line(typed) {
            Ok(Some(CountLine::Tally(count, size, product))) => Some(format!("{count} {size} {product}")),
            _ => None,
        },
        "duration" => duration::minutes(typed).map(|minutes| minutes.to_string()),
        "pressure" => typed.parse::<Pressure>().ok().map(|pressure| pressure.psi().to_string()),
        "time" => typed.parse::<ClockTime>().ok().map(|time| time.to_string()),
        "date" => {
            let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
            parse_day(typed, today).ok().map(|day| day.to_string())
        }
        "went wrong" => Some(if says_nothing(typed) { "nothing" } else { "something" }.to_owned()),
        "product" => named(typed, PRODUCTS),
        "place" => named(typed, PLACES),
        "jar code" => code(typed),
        "altitude" => typed.parse::<Altitude>().ok().map(|altitude| altitude.to_string()),
        "command" => command(typed, world),
        other => panic!("{other} is no kind"),
    }
}

fn named(typed: &str, names: &[&str]) -> Option<String> {
    let found = meant(typed, names.iter().copied());
    (!found.is_empty()).then(|| found.join("; "))
}

fn code(typed: &str) -> Option<String> {
    let list = |list: &JarList, between: &str| {
        list.numbers().iter().map(ToString::to_string).collect::<Vec<_>>().join(between)
    };
    let words: Vec<JarWord> = typed.split_whitespace().map(str::parse).collect::<Result<_, _>>().ok()?;
    match &words[..] {
        [JarWord::Jar(code) | JarWord::Unchecked(code)] => Some(format!("jar {code}")),
        [JarWord::Batch(batch)] => Some(format!("batch {batch}")),
        [JarWord::Batch(batch), JarWord::Numbers(numbers)] => {
            Some(format!("batch {batch} jars {}", list(numbers, ",")))
        }
        [JarWord::Numbers(numbers)] => Some(format!("jars {}", list(numbers, " "))),
        [JarWord::WrongCheck(wrong)] => Some(format!("mistyped {}", wrong.code)),
        [JarWord::Product(words)] => Some(format!("words {words}")),
        _ => None,
    }
}

/// The jars of a batch put up with `--jars`.
fn jars(typed: &str, world: &World) -> Option<String> {
    let line = ["--product", "Pears", "--food", "pears", "--pack", "hot", "--canner", "Tub", "--jars", typed];
    let ran = world.run(&[&["putup"], &line[..]].concat());
    if ran.code != 0 {
        return None;
    }
    let shown = ran.out.split_once("Pears: ")?.1.split_once(", put up")?.0;
    Some(shown.to_owned())
}

/// The command that a word which is none leads to, or those it is near to.
fn command(typed: &str, world: &World) -> Option<String> {
    let ran = world.run(&[typed]);
    assert_eq!(ran.code, 2, "{typed}: {ran}");
    if let Some((_, hint)) = ran.err.split_once("`jarledger ") {
        return hint.split(|c: char| !c.is_ascii_lowercase()).next().map(str::to_owned);
    }
    // Of several that are near, each is one that is offered.
    let (_, near) = ran.err.split_once("similar subcommand")?;
    let named: Vec<&str> = near.lines().next()?.split('\'').skip(1).step_by(2).collect();
    Some(named.join(OR))
}

#[test]
fn what_people_type_means_what_they_mean() {
    let mut world = World::with_canners();
    world.on("2026-11-25T12:00");
    world.ok(&[
        "canner",
        "add",
        "Tub",
        "--method",
        "boiling-water",
        "--holds",
        "pint:99,quart:99,half-pint:99",
    ]);
    let table = std::fs::read_to_string("fixtures/typed_phrases.csv").unwrap();
    let table: String =
        table.lines().filter(|line| !line.starts_with('#')).map(|line| format!("{line}\n")).collect();
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let mut wrong = Vec::new();
    let mut phrases = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let (kind, typed, means) = (&row[0], &row[1], &row[2]);
        phrases += 1;
        let read = meaning(kind, typed, &world).unwrap_or_else(|| REFUSED.to_owned());
        if !read.split(OR).any(|one| one == means) {
            wrong.push(format!("{kind} \u{201c}{typed}\u{201d}: {read}, not {means}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(phrases >= 200, "{phrases}");
}
