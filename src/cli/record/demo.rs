//! `demo`: a filled example ledger, made by running a script of commands.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime, TimeDelta};
use uuid::Uuid;

use crate::cli::arguments::local_instant::local_instant;
use crate::cli::context::Context;
use crate::cli::eating::eat;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::recipe::add;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::create::make_folder;
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved::in_place;
use crate::values::time::clock::Clock;

/// The commands, each with its day before today.
const SCRIPT: &str = include_str!("../../../fixtures/demo.script");

/// The household's recipes; the script says `recipe add` and the name of one.
const RECIPES: [(&str, &str); 3] = [
    ("orchard-pears", include_str!("../../../fixtures/recipes/orchard-pears.toml")),
    ("gate-applesauce", include_str!("../../../fixtures/recipes/gate-applesauce.toml")),
    ("tomatoes-in-our-juice", include_str!("../../../fixtures/recipes/tomatoes-in-our-juice.toml")),
];

/// Fill a new ledger with an invented household's year and a half
///
/// Refuses a file that exists. The same --today gives the same ledger.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {}

/// One line of the script.
#[derive(Debug, PartialEq)]
struct Line<'s> {
    days_ago: i64,
    time: NaiveTime,
    /// The name under which later lines know the batch this one logs.
    batch: Option<&'s str>,
    words: Vec<String>,
}

#[derive(serde::Serialize)]
struct Answer {
    ledger: String,
    batches: usize,
    jars: usize,
}

/// Reads the words of a line, which begin with the program's name, and runs the command.
pub(in crate::cli) type Play<'p> =
    &'p mut dyn FnMut(Vec<String>, &Context, &mut Screen) -> Result<(), Failure>;

pub(in crate::cli) fn run(
    _args: Args,
    play: Play<'_>,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    if ctx.path.exists() {
        return Err(crate::ledger::error::LedgerError::Exists(ctx.path.clone()).into());
    }
    make_folder(folder_of(&ctx.path))?;
    let draft = NewFile::begin(&ctx.path)?;
    let (batches, jars) = fill(play, ctx, &draft)?;
    draft.take_new_name()?;
    in_place(&ctx.path);
    if screen.json() {
        return screen.answer(&Answer { ledger: ctx.path.display().to_string(), batches, jars });
    }
    screen.say(format!(
        "Filled {} with an invented household's year and a half: {batches} batches, {jars} jars.",
        ctx.path.display()
    ));
    screen.say("");
    eat::run(eat::Args::this_month(), ctx, screen)
}

/// Runs the script on a new file, and counts batches and jars.
fn fill(play: Play<'_>, ctx: &Context, draft: &NewFile) -> Result<(usize, usize), Failure> {
    let uuid = Uuid::new_v5(&Uuid::NAMESPACE_OID, b"jarledger demo");
    let (mut batches, mut jars) = (0, 0);
    let mut codes = BTreeMap::new();
    for (line, number) in script(SCRIPT).zip(0..) {
        let clock = clock_of(&line, ctx.clock.today());
        if number == 0 {
            Ledger::create_in(draft, uuid, clock)?;
        }
        let then = Context::draft(draft.temp().to_path_buf(), clock);
        if let [recipe, add, name] = &line.words[..]
            && (recipe.as_str(), add.as_str()) == ("recipe", "add")
        {
            keep_recipe(name, &then)?;
            continue;
        }
        let words = line.words.iter().map(|word| with_codes(word, &codes));
        let words = ["jarledger".to_owned(), "--json".to_owned()].into_iter().chain(words).collect();
        let mut answer = Screen::captured();
        play(words, &then, &mut answer).map_err(|failure| Failure {
            message: format!("demo script: {:?}: {}", line.words, failure.message),
            ..failure
        })?;
        if let Some(name) = line.batch {
            let answer: serde_json::Value = serde_json::from_str(&answer.into_text())
                .map_err(|error| Failure::new(Code::Other, format!("demo script: {error}"), ""))?;
            batches += 1;
            let codes_of_jars = answer["jars"].as_array().map(Vec::as_slice).unwrap_or_default();
            jars += codes_of_jars.len();
            codes.insert(format!("@{name}"), answer["batch"].as_str().unwrap_or_default().to_owned());
            for (jar, number) in codes_of_jars.iter().zip(1..) {
                codes.insert(format!("@{name}.{number}"), jar.as_str().unwrap_or_default().to_owned());
            }
        }
    }
    Ok((batches, jars))
}

/// Keeps one of the household's recipes.
fn keep_recipe(name: &str, ctx: &Context) -> Result<(), Failure> {
    let (_, text) =
        RECIPES.iter().find(|(known, _)| *known == name).expect("the demo's script is tested whole");
    let ledger = ctx.open_to_write()?;
    let recipe = add::checked(name, text, &ledger)?;
    add::keep("recipe add", &recipe, &ledger, ctx, &mut Screen::captured())
}

/// Reads the script: `DAYS-AGO TIME [@NAME =] COMMAND…`, `#` for a remark.
fn script(text: &str) -> impl Iterator<Item = Line<'_>> {
    let expect = "the demo's script is tested whole";
    text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#')).map(move |line| {
        let (days_ago, rest) = line.split_once(' ').expect(expect);
        let (time, rest) = rest.trim_start().split_once(' ').expect(expect);
        let (batch, rest) = match rest.trim_start().strip_prefix('@').and_then(|rest| rest.split_once('=')) {
            Some((name, rest)) => (Some(name.trim()), rest),
            None => (None, rest),
        };
        Line {
            days_ago: days_ago.parse().expect(expect),
            time: NaiveTime::parse_from_str(time, "%H:%M").expect(expect),
            batch,
            words: shlex::split(rest).expect(expect),
        }
    })
}

fn clock_of(line: &Line<'_>, today: NaiveDate) -> Clock {
    Clock { now: local_instant((today - TimeDelta::days(line.days_ago)).and_time(line.time)) }
}

/// Puts the code in place of a name such as `@beans` or `@beans.3`.
fn with_codes(word: &str, codes: &BTreeMap<String, String>) -> String {
    codes.get(word).cloned().unwrap_or_else(|| word.to_owned())
}
