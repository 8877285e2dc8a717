//! `man`: the manual pages.
//!
//! May use: talk, ledger, paper.

use std::path::{Path, PathBuf};

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::ledger::file::header::not_beside_a_ledger;
use page::Page;

mod guide;
mod page;

/// The guide's name where a command's could stand.
const KITCHEN: &str = "kitchen";

/// Print a page of the manual, or write all of them into a folder
///
/// The pages are those of the commands, and `kitchen`: a guide through a canning day, the monthly walk along the
/// shelf, a bad jar, gauge day and the end of the season.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The command whose page is meant, or kitchen [default: the program's own page]
    #[arg(value_name = "COMMAND", conflicts_with = "into")]
    page: Vec<String>,
    /// Write every page below this folder instead, in its man1 and man7
    #[arg(long, value_name = "FOLDER")]
    into: Option<PathBuf>,
}

pub(in crate::cli) fn run(args: Args, tree: clap::Command, screen: &mut Screen) -> Result<(), Failure> {
    let mut pages = page::all(tree);
    pages.push(guide::page());
    if let Some(folder) = args.into {
        write(&pages, &folder)?;
        screen.say(format!("Wrote {} pages below {}.", pages.len(), folder.display()));
        screen.next(format!("`man -M {} jarledger-{KITCHEN}` is the kitchen guide", folder.display()));
        return Ok(());
    }
    let words = std::iter::once("jarledger").chain(args.page.iter().map(String::as_str));
    let name = words.collect::<Vec<_>>().join("-");
    let page = pages.into_iter().find(|page| page.name == name).ok_or_else(|| {
        Failure::new(
            Code::NotFound,
            format!("the manual has no page {:?}", args.page.join(" ")),
            format!("name a command of `jarledger --help`, or {KITCHEN}"),
        )
    })?;
    screen.verbatim(&page.text);
    Ok(())
}

fn write(pages: &[Page], folder: &Path) -> Result<(), Failure> {
    not_beside_a_ledger(folder)?;
    let write = || {
        for page in pages {
            let chapter = folder.join(format!("man{}", page.chapter));
            std::fs::create_dir_all(&chapter)?;
            std::fs::write(chapter.join(format!("{}.{}", page.name, page.chapter)), &page.text)?;
        }
        Ok(())
    };
    write().map_err(|error: std::io::Error| {
        Failure::unwritten(
            format!("the manual below {}", folder.display()),
            &error,
            "some of its pages may stand there",
        )
    })
}
