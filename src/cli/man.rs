use std::path::PathBuf;

use super::errors::{Code, Failure};
use super::screen::Screen;

/// Print the manual page, or write the pages of all commands into a folder
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  jarledger man | man -l -
  jarledger man --into ~/.local/share/man/man1")]
pub(super) struct Args {
    /// Write a page for each command into this folder instead
    #[arg(long, value_name = "FOLDER")]
    into: Option<PathBuf>,
}

pub(super) fn run(args: Args, screen: &mut Screen) -> Result<(), Failure> {
    let command = super::command();
    let failed = |error: std::io::Error| Failure {
        code: Code::Io,
        message: format!("the manual could not be written: {error}"),
        hint: None,
    };
    let Some(folder) = args.into else {
        let mut page = Vec::new();
        clap_mangen::Man::new(command).render(&mut page).map_err(failed)?;
        screen.verbatim(&String::from_utf8_lossy(&page));
        return Ok(());
    };
    std::fs::create_dir_all(&folder).map_err(failed)?;
    clap_mangen::generate_to(command, &folder).map_err(failed)?;
    screen.say(format!("Wrote the manual into {}.", folder.display()));
    Ok(())
}
