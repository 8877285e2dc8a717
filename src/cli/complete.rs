//! Answers a shell that asks what could follow on the line.
//!
//! Whatever goes wrong, there is nothing to offer: no word, no error, and the ledger as it was.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::CommandFactory;
use clap_complete::CompleteEnv;
use clap_complete::env::Shells;

use super::Cli;
use super::completions::ASKED_BY;

/// Answers, if it is a shell that asks.
pub(super) fn answer(args: &[OsString]) -> Option<ExitCode> {
    let asked = std::env::var(ASKED_BY).ok()?;
    Shells::builtins().completer(&asked)?;
    let here = std::env::current_dir().ok();
    // There is nobody to tell of an error.
    let _ = CompleteEnv::with_factory(Cli::command).try_complete(args.iter().cloned(), here.as_deref());
    Some(ExitCode::SUCCESS)
}
