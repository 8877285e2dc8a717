//! `recipe`: the household's recipes, and one of them for so many jars.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

pub(in crate::cli) mod add;
mod edit;
mod kept;
mod show;

use std::path::PathBuf;

use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::paper::text::table::Table;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;
use kept::Kept;

/// Keep your recipes, and see one for as many jars as you like
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    what: Option<What>,
    /// The recipe to see
    name: Option<Name>,
    /// For these jars, such as pint:18 [default: as many as it is written for]
    #[arg(long, value_name = "SIZE:JARS", value_delimiter = ',', value_parser = crate::cli::arguments::jar_counts::jar_count)]
    jars: Vec<(JarSize, u32)>,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Keep a recipe that is written in a file
    Add {
        /// The file (TOML), or - for standard input
        #[arg(long, value_name = "FILE.toml")]
        from: Option<PathBuf>,
    },
    /// List the recipes
    List,
    /// Change a recipe in your editor; the version before stays on record
    Edit {
        /// The recipe
        name: Name,
    },
    /// Offer a recipe no longer; its versions stay on record
    Remove {
        /// The recipe
        name: Name,
    },
}

#[derive(serde::Serialize)]
struct Listed {
    recipes: Vec<RecipeOnRecord>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    match (args.what, args.name) {
        (Some(What::Add { from }), _) => add::run(from, ctx, screen),
        (Some(What::Edit { name }), _) => edit::run(&name, ctx, screen),
        (Some(What::Remove { name }), _) => remove(&name, ctx, screen),
        (None, Some(name)) => show::run(&name, &args.jars, ctx, screen),
        (None, None) if !args.jars.is_empty() => {
            Err(Failure::usage("no recipe was named", "`jarledger recipe NAME --jars pint:18`"))
        }
        (Some(What::List), _) | (None, None) => list(ctx, screen),
    }
}

fn list(ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let recipes = ctx.open()?.recipes()?;
    if screen.json() {
        return screen.answer(&Listed { recipes });
    }
    if recipes.is_empty() {
        screen.say("No recipe on record yet.");
        screen.next(
            "`jarledger recipe add` asks for one; `jarledger recipe add --from FILE.toml` reads a file",
        );
        return Ok(());
    }
    let mut table = Table::new(["Recipe", "Process", "Makes", "Version"]);
    for one in &recipes {
        let recipe = &one.recipe;
        let process = match (&recipe.food, recipe.pack) {
            (Some(food), Some(pack)) => format!("{food}, {pack}"),
            _ => "none".to_owned(),
        };
        table.row([
            recipe.name.clone(),
            process,
            recipe.makes.size.counted(recipe.makes.jars),
            one.version.to_string(),
        ]);
    }
    screen.table(&table);
    Ok(())
}

fn remove(name: &Name, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let written = ledger.write("recipe remove", ctx.clock, |write| {
        let gone = write.remove_recipe(name)?;
        let summary = format!("recipe {} removed", gone.recipe.name);
        Ok((gone, summary))
    })?;
    if screen.json() {
        return screen.answer(&Kept { recipe: &written.outcome, cautions: Vec::new() });
    }
    screen.say(format!(
        "Removed recipe {}. Batches put up by it keep their version.",
        written.outcome.recipe.name
    ));
    screen.next("`jarledger undo` brings it back");
    Ok(())
}
