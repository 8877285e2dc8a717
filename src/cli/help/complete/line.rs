//! The line as far as it is typed.

use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

use crate::cli::global_args::GlobalArgs;
use crate::cli::global_args::find_ledger;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::glance::Meant;
use crate::rules::jar::jar_state::Act;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::jar_word::JarWord;

/// The words before the one being typed, and whose they are.
#[derive(Debug)]
pub(super) struct Line {
    before: Vec<String>,
    bash: bool,
}

impl Line {
    /// Takes the words a shell hands over after `--`, up to the one it asks about.
    pub(super) fn read(args: &[OsString], shell: &str) -> Self {
        let words = args.iter().skip_while(|arg| *arg != "--").skip(1);
        let words: Vec<String> = words.map(|word| word.to_string_lossy().into_owned()).collect();
        let index = std::env::var("_CLAP_COMPLETE_INDEX").ok().and_then(|index| index.parse().ok());
        let at: usize = index.unwrap_or_else(|| words.len().saturating_sub(1));
        Self { before: words.into_iter().take(at).collect(), bash: shell == "bash" }
    }

    /// Whether the shell quotes this word when it puts it into the line; bash leaves alone what it would
    /// expand, even in file names.
    pub(super) fn may_hold(&self, word: &str) -> bool {
        !(self.bash && word.contains(['$', '`', '!', '\\']))
    }

    /// The ledger the line is about, if it opens at once.
    pub(super) fn ledger(&self) -> Option<Ledger> {
        let args = GlobalArgs { ledger: self.named_ledger(), quiet: true, ..GlobalArgs::default() };
        Ledger::glance(&find_ledger(&args).ok()?.0).ok()
    }

    /// The file after `--ledger`; bash hands over `--ledger=FILE` as three words.
    fn named_ledger(&self) -> Option<PathBuf> {
        let at = self.before.iter().rposition(|word| word == "--ledger" || word.starts_with("--ledger="))?;
        let named = match self.before[at].strip_prefix("--ledger=") {
            Some(named) => named,
            None => self.before[at + 1..].iter().find(|word| *word != "=")?,
        };
        let home = std::env::var_os("HOME").map(PathBuf::from);
        match (named.strip_prefix("~/"), home) {
            (Some(below), Some(home)) => Some(home.join(below)),
            _ => Some(PathBuf::from(named)),
        }
    }

    /// Which jars the command of the line takes.
    pub(super) fn meant(&self) -> Meant {
        let words = self.before.iter().skip(1).map(String::as_str);
        for word in words {
            match word {
                "seal" => return Meant::Taking(Act::CheckSealed),
                "putup" => return Meant::Taking(Act::Reprocess),
                "release" => return Meant::Held,
                "hold" | "label" | "shelf" => return Meant::InHand,
                "jar" | "batch" | "trace" | "correct" => return Meant::Any,
                word => {
                    if let Ok(act) = word.parse() {
                        return Meant::Taking(act);
                    }
                }
            }
        }
        Meant::Any
    }

    /// The batch whose jars numbers would be of here.
    pub(super) fn open_batch(&self) -> Option<BatchCode> {
        self.before.iter().rev().map_while(|word| word.parse().ok()).find_map(|word| match word {
            JarWord::Batch(batch) | JarWord::Either(batch, _) | JarWord::Of(batch, _) => Some(Some(batch)),
            JarWord::Numbers(_) | JarWord::Range(..) => None,
            JarWord::Jar(_) | JarWord::WrongCheck(_) | JarWord::Unchecked(_) | JarWord::Product(_) => {
                Some(None)
            }
        })?
    }
}

/// A word of a shell without its quotes; the last may lack its closing one.
pub(super) fn unquoted(word: &OsStr) -> OsString {
    let Some(text) = word.to_str() else { return word.to_owned() };
    let closings = ["", "\"", "'"];
    let split = closings.iter().find_map(|closing| shlex::split(&format!("{text}{closing}")));
    match split.as_deref() {
        Some([one]) => one.into(),
        _ => word.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_are_taken_off_also_while_the_word_is_typed() {
        for (typed, meant) in [
            ("Green\\ b", "Green b"),
            ("\"Green b", "Green b"),
            ("'Green b'", "Green b"),
            ("26-003", "26-003"),
            ("", ""),
            ("two words", "two words"),
        ] {
            assert_eq!(unquoted(OsStr::new(typed)), OsString::from(meant), "{typed}");
        }
    }
}
