//! What is said where the arguments are wrong, or where help was asked for.

use std::ffi::OsString;
use std::io::{self, Write as _};
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::cli::errors::{Code, Failure, why_unwritten};
use crate::cli::help::other_words::instead_of;
use crate::cli::talk::stderr::complain;
use crate::cli::talk::stdout::stdout;

/// Prints what clap has to say: help and version on stdout, mistakes on stderr, in JSON where the
/// arguments ask for it. `tree` makes the tree of the commands.
pub(in crate::cli) fn report_usage(
    error: &clap::Error,
    args: &[OsString],
    json: bool,
    tree: fn() -> clap::Command,
) -> ExitCode {
    if let Some((word, typed)) = other_word(error, args) {
        let failure =
            Failure::usage(format!("there is no command \u{201c}{word}\u{201d}"), format!("`{typed}`"));
        return ExitCode::from(failure.report(json).exit());
    }
    if error.use_stderr() {
        // An argument may hold what would steer the terminal: no colours, and through the one sink.
        let rendered = error.render().to_string();
        let hint = examples_of(args, tree());
        let text = match error.kind() {
            ErrorKind::InvalidSubcommand => rendered,
            _ => rendered.replace("For more information, try '--help'.", &format!("hint: {hint}")),
        };
        if json {
            let message =
                text.trim_start_matches("error: ").split("\n\n").next().unwrap_or_default().to_owned();
            Failure { code: Code::Usage, message, hint: Some(hint) }.report(true);
        } else {
            complain(text.trim_end());
        }
        return ExitCode::from(Code::Usage.exit());
    }
    let code = match stdout().and_then(|mut to| error.print().and_then(|()| to.flush())) {
        Err(why) if why.kind() != io::ErrorKind::BrokenPipe => {
            complain(&format!("error: the answer could not be written: {}", why_unwritten(&why)));
            Code::Io
        }
        _ => Code::Done,
    };
    ExitCode::from(code.exit())
}

/// Where the examples of the command typed are.
fn examples_of(args: &[OsString], mut tree: clap::Command) -> String {
    let words: Vec<&str> = args.iter().skip(1).filter_map(|arg| arg.to_str()).collect();
    let mut line = "jarledger".to_owned();
    for word in words {
        let Some(named) = tree.find_subcommand(word) else { continue };
        line = format!("{line} {word}");
        tree = named.clone();
    }
    format!("`{line} --help` begins with examples")
}

/// A word that is no command, and what to type instead.
fn other_word(error: &clap::Error, args: &[OsString]) -> Option<(String, String)> {
    let (ErrorKind::InvalidSubcommand, Some(ContextValue::String(word))) =
        (error.kind(), error.get(ContextKind::InvalidSubcommand))
    else {
        return None;
    };
    let words: Vec<&str> = args.iter().filter_map(|arg| arg.to_str()).collect();
    let behind = words.iter().position(|typed| typed == word).map_or(&[][..], |at| &words[at + 1..]);
    // A whole sentence may stand between quotes.
    let mut within = word.trim_end_matches('?').split_whitespace();
    let first = within.next()?;
    Some((word.clone(), instead_of(first, &within.chain(behind.iter().copied()).collect::<Vec<_>>())?))
}
