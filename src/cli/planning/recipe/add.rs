//! A recipe taken from a file, or by questions.

use std::io::Read;
use std::path::PathBuf;

use crate::answers::planning::process::key;
use crate::cli::arguments::food_arg::food_offers;
use crate::cli::arguments::jar_counts::jar_counts;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::recipe::kept::kept;
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::error::regular::read_regular;
use crate::ledger::file::open::Ledger;
use crate::rules::recipe::definition::{Ingredient, JarsOfSize, Preparation, Recipe};
use crate::rules::recipe::recipe_file;
use crate::values::kinds::method::Pack;
use crate::values::names::name::Name;

/// Longest file read.
const LARGEST: u64 = 1 << 20;

pub(super) fn run(from: Option<PathBuf>, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let recipe = match from {
        Some(path) => {
            let text = file(&path)?;
            checked(path.display(), &text, &ledger)?
        }
        None => {
            let asker = Asker::new(screen);
            if !asker.can_ask() {
                return Err(Failure::usage(
                    "no recipe was given",
                    "add --from FILE.toml, or run it on a terminal, where it asks",
                ));
            }
            let asked = asker.talk(|asker| ask(&ledger, asker))?;
            checked("the recipe", &recipe_file::write(&asked), &ledger)?
        }
    };
    keep("recipe add", &recipe, &ledger, ctx, screen)
}

/// Reads a recipe and checks it.
pub(in crate::cli) fn checked(
    of: impl std::fmt::Display,
    text: &str,
    ledger: &Ledger,
) -> Result<Recipe, Failure> {
    let own: Vec<_> = ledger.household_processes()?.into_iter().map(|own| own.food).collect();
    recipe_file::read(text, &own).map_err(|found| problems(of, &found))
}

/// What is wrong with a file: every problem with its line.
fn problems(of: impl std::fmt::Display, found: &[recipe_file::Problem]) -> Failure {
    let lines: Vec<String> = found.iter().map(|problem| format!("  {problem}")).collect();
    let code = if found.iter().any(|problem| problem.refused) { Code::Refused } else { Code::BadInput };
    Failure::new(
        code,
        format!("{of} is not a recipe; nothing was saved\n{}", lines.join("\n")),
        "correct these lines and try again",
    )
}

/// Keeps it and shows what is on record.
pub(in crate::cli) fn keep(
    command: &str,
    recipe: &Recipe,
    ledger: &Ledger,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let written = ledger.write(command, ctx.clock, |write| {
        let on_record = write.add_recipe(recipe)?;
        let summary = format!("recipe {}, version {}", on_record.recipe.name, on_record.version);
        Ok((on_record, summary))
    })?;
    kept(&written.outcome, screen)
}

fn file(path: &std::path::Path) -> Result<String, Failure> {
    let mut text = String::new();
    let read = if path.as_os_str() == "-" {
        std::io::stdin().take(LARGEST).read_to_string(&mut text).map(drop)
    } else {
        read_regular(path, LARGEST).map(|read| text.push_str(&read))
    };
    let hint = "name a text file with --from FILE.toml";
    read.map_err(|error| Failure::unreadable(path.display(), &error, "nothing was saved", hint))?;
    Ok(text)
}

fn ask(ledger: &Ledger, asker: &Asker) -> Result<Recipe, Failure> {
    let question = |ask, help| Question { ask, flag: "--from FILE.toml", help, default: None };
    let own = ledger.household_processes()?;
    let name: Name = asker.need(None, question("What is the recipe called?", ""), parsed)?;
    let food = asker.need_offering(
        None,
        question("Which food of the process tables does it go by?", "Such as green-beans"),
        || Ok(food_offers()),
        |words| key(words, &own).ok_or_else(|| crate::rules::process::unknown_food(words).detail),
    )?;
    let pack = asker.need_one_of(None, question("Hot or raw pack?", ""), Pack::ALL.to_vec(), 0)?;
    let makes =
        asker.need(None, question("Which jars does it make?", "Such as pint:9"), |text| match jar_counts(
            text,
        )?[..]
        {
            [(size, jars)] => Ok(JarsOfSize { size, jars }),
            _ => Err("Name one size.".to_owned()),
        })?;
    let publication =
        asker.need(None, question("Which publication does it come from?", "Its title and section"), text)?;
    let ingredients = list(
        asker,
        question("What goes in?", "AMOUNT of WHAT; as in 2 1/2 cups of vinegar. Separate with ;"),
        |part| {
            let (amount, what) = part.split_once(" of ").ok_or("Write each as AMOUNT of WHAT.")?;
            let acid = ["vinegar", "lemon juice", "lime juice", "citric acid"]
                .iter()
                .any(|acid| what.to_lowercase().contains(acid));
            Ok(Ingredient::Bought { what: what.trim().to_owned(), amount: amount.trim().to_owned(), acid })
        },
    )?;
    let steps = list(
        asker,
        question("What is done before the canner?", "MINUTES WHAT; as in 40 peel and core. Separate with ;"),
        |part| {
            let (minutes, what) = part.split_once(' ').ok_or("Write each as MINUTES WHAT.")?;
            let minutes = minutes.parse().map_err(|_| "Write each as MINUTES WHAT.")?;
            Ok(Preparation { what: what.trim().to_owned(), minutes, hands_on: true, evening_before: false })
        },
    )?;
    Ok(Recipe {
        name: name.as_str().to_owned(),
        food: Some(food),
        pack: Some(pack),
        makes,
        publication: Some(publication),
        acid: None,
        months: None,
        note: None,
        label: None,
        name_reason: None,
        ingredients,
        steps,
    })
}

fn text(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() { Err("Write its title.".to_owned()) } else { Ok(text.to_owned()) }
}

fn list<T>(
    asker: &Asker,
    question: Question<'_>,
    read: impl Fn(&str) -> Result<T, &'static str>,
) -> Result<Vec<T>, Failure> {
    asker.need(None, question, |text| {
        let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
        parts.map(|part| read(part).map_err(str::to_owned)).collect()
    })
}
