//! A recipe changed in the household's editor, and checked before it is taken.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::recipe::add;
use crate::cli::planning::recipe::kept::kept;
use crate::cli::talk::screen::Screen;
use crate::ledger::error::regular::read_regular;
use crate::rules::recipe::recipe_file;
use crate::values::names::name::Name;

pub(super) fn run(name: &Name, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let before = ledger.recipe(name)?.recipe;
    let command = editor()?;
    let path = Draft::new(&recipe_file::write(&before))?;
    edit(&command, &path.0)?;
    let edited = read_regular(&path.0, u64::MAX).map_err(|error| {
        Failure::unreadable("the edited recipe", &error, "nothing was changed", "try again")
    })?;
    let recipe = add::checked("the edited text", &edited, &ledger)?;
    if recipe == before {
        screen.note("The recipe is as it was; nothing was changed.");
        return kept(&ledger.recipe(name)?, screen);
    }
    if recipe.name.parse::<Name>().map(|edited| edited.key()).ok()
        != before.name.parse::<Name>().map(|name| name.key()).ok()
    {
        return Err(Failure::new(
            Code::Refused,
            format!("the edited recipe is called {}, not {}; nothing was changed", recipe.name, before.name),
            "keep it as another recipe with `jarledger recipe add --from FILE.toml`",
        ));
    }
    add::keep("recipe edit", &recipe, &ledger, ctx, screen)
}

fn editor() -> Result<Vec<String>, Failure> {
    let named = ["VISUAL", "EDITOR"]
        .iter()
        .find_map(|name| std::env::var(name).ok().filter(|v| !v.trim().is_empty()));
    let words = named.as_deref().and_then(shlex::split).filter(|words| !words.is_empty());
    words.ok_or_else(|| {
        Failure::usage(
            "no editor is named in EDITOR; nothing was changed",
            "set EDITOR, or write the recipe to a file and take it with `jarledger recipe add --from FILE.toml`",
        )
    })
}

fn edit(command: &[String], path: &Path) -> Result<(), Failure> {
    let ended = Command::new(&command[0]).args(&command[1..]).arg(path).status();
    let why = match ended {
        Ok(status) if status.success() => return Ok(()),
        Ok(status) => status.to_string(),
        Err(error) => error.to_string(),
    };
    Err(Failure::new(
        Code::Io,
        format!("the editor {} failed: {why}; nothing was changed", command[0]),
        "look at EDITOR, and try again",
    ))
}

/// The file while it is edited; it goes when done.
struct Draft(PathBuf);

impl Draft {
    fn new(text: &str) -> Result<Self, Failure> {
        let path = std::env::temp_dir().join(format!("recipe-{}.toml", uuid::Uuid::new_v4()));
        fs::write(&path, text).map_err(|error| {
            Failure::unreadable(
                path.display(),
                &error,
                "nothing was changed",
                "look at the folder for temporary files",
            )
        })?;
        Ok(Self(path))
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.0);
    }
}
