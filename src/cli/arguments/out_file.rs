//! Files a command makes for the household: whole or not at all, and never over another by mistake.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};

use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question};
use crate::ledger::file::header::is_ledger;
use crate::ledger::file::new_file::NewFile;

/// Where a command writes, and whether it may replace what is there.
#[derive(Debug, Clone, clap::Args)]
pub(in crate::cli) struct OutArgs {
    /// The file to write
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace the file if there is one
    #[arg(long, requires = "out")]
    force: bool,
}

/// A file that may be written.
#[derive(Debug)]
pub(in crate::cli) struct OutFile {
    /// What it was called.
    path: PathBuf,
    /// Where it is, if what it was called is a link.
    target: PathBuf,
    force: bool,
}

impl OutArgs {
    /// A file that another flag names.
    pub(in crate::cli) const fn of(path: PathBuf, force: bool) -> Self {
        Self { out: Some(path), force }
    }

    /// Looks, before any work is done, whether the file may be written; asks for it where none is named.
    pub(in crate::cli) fn file(
        &self,
        ctx: &Context,
        example: &str,
        asker: &Asker,
    ) -> Result<OutFile, Failure> {
        if let Some(path) = &self.out {
            return self.look(path.clone(), ctx, example);
        }
        if !asker.can_ask() {
            return Err(Failure::usage("no file was named to write to", format!("give --out {example}")));
        }
        let question = Question {
            ask: "Into which file?",
            flag: "--out FILE",
            help: "",
            default: Some(&first_free(example)),
        };
        asker.need(None, question, |answer| {
            if answer.is_empty() {
                return Err("Name a file.".to_owned());
            }
            self.look(PathBuf::from(answer), ctx, example).map_err(Failure::in_one_line)
        })
    }

    fn look(&self, path: PathBuf, ctx: &Context, example: &str) -> Result<OutFile, Failure> {
        let nothing = "nothing was written";
        if path.as_os_str() == "-" {
            return Err(Failure::usage(
                format!("this is written to a file, never to the terminal or a pipe; {nothing}"),
                format!("name a file, such as --out {example}"),
            ));
        }
        if same_file(&path, &ctx.path) || is_ledger(&path) {
            let which = if same_file(&path, &ctx.path) { "the ledger itself" } else { "a ledger" };
            return Err(Failure::new(
                Code::Refused,
                format!("{} is {which}; {nothing}", path.display()),
                format!("name another file, such as --out {example}"),
            ));
        }
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
            let message = format!("there is no folder {}; {nothing}", folder.display());
            return Err(Failure::new(Code::NotFound, message, "make the folder first"));
        }
        let mut target = path.clone();
        if let Ok(found) = path.symlink_metadata() {
            // A link stays, and what it leads to is replaced.
            if found.is_symlink() && self.force {
                target = path.canonicalize().unwrap_or(target);
            }
            let there = target.symlink_metadata().unwrap_or(found);
            if !there.is_file() && (self.force || !there.is_symlink()) {
                return Err(Failure::new(
                    Code::Refused,
                    format!("{} is not a file; {nothing}", path.display()),
                    format!("name a file, such as --out {example}"),
                ));
            }
            if !self.force {
                return Err(Failure::new(
                    Code::Refused,
                    format!("{} is there already; {nothing}", path.display()),
                    "name another file, or replace this one with --force",
                ));
            }
        }
        Ok(OutFile { path, target, force: self.force })
    }
}

impl OutFile {
    /// Where it is.
    pub(in crate::cli) fn path(&self) -> &Path {
        &self.path
    }

    /// Writes it: under another name in the same folder first, so that nobody ever
    /// sees half of it. What is replaced keeps its group and who may read it.
    pub(in crate::cli) fn write(self, bytes: &[u8]) -> Result<(), Failure> {
        let new = NewFile::begin(&self.target)?;
        OpenOptions::new()
            .write(true)
            .open(new.temp())
            .and_then(|mut file| file.write_all(bytes))
            .map_err(|error| Failure::unwritten(self.path.display(), &error, "it is as it was"))?;
        if !self.force {
            return Ok(new.take_new_name()?);
        }
        new.take_after(&self.target)?;
        Ok(new.replace()?)
    }
}

/// `labels.pdf`, or where that is taken `labels-2.pdf` and so on.
pub(in crate::cli) fn first_free(name: &str) -> String {
    let (stem, extension) = match name.rsplit_once('.') {
        Some((stem, extension)) => (stem, format!(".{extension}")),
        None => (name, String::new()),
    };
    let free = |name: &String| Path::new(name).symlink_metadata().is_err();
    std::iter::once(name.to_owned())
        .chain((2..100).map(|number| format!("{stem}-{number}{extension}")))
        .find(free)
        .unwrap_or_else(|| name.to_owned())
}

/// Whether two paths lead to one file.
fn same_file(one: &Path, other: &Path) -> bool {
    let real = |path: &Path| path.canonicalize().ok();
    one == other || (real(one).is_some() && real(one) == real(other))
}
