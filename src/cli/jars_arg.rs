//! Jars named on the command line, the same way for every command.

use super::ask::{Asker, Question};
use super::errors::Failure;
use crate::ledger::{BareBatch, Jar, Ledger};
use crate::rules::jar_word::JarWord;

/// The jars a command is about.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct JarsArg {
    /// Jars: whole codes such as 26-041-03-3, or a batch and its jars such as 26-041 3,5-7
    #[arg(value_name = "JAR")]
    jars: Vec<JarWord>,
}

impl JarsArg {
    /// The same, with the jars asked for where none is named.
    pub(super) fn or_ask(&self, asker: Asker) -> Result<Self, Failure> {
        Ok(Self { jars: self.words(asker)? })
    }

    /// Whether only batches are named, without numbers.
    pub(super) fn names_whole_batches(&self) -> bool {
        self.jars.iter().all(|word| matches!(word, JarWord::Batch(_) | JarWord::Either(..)))
    }

    /// Whether no jar is named.
    pub(super) fn is_empty(&self) -> bool {
        self.jars.is_empty()
    }

    /// Finds the jars, asking for them where none is named; a batch without numbers is refused.
    pub(super) fn find(&self, ledger: &Ledger, asker: Asker) -> Result<Vec<Jar>, Failure> {
        Ok(ledger.jars_named(&self.words(asker)?, BareBatch::Refused)?)
    }

    /// Finds the jars, asking for them where none is named; a batch without numbers is every jar of it.
    pub(super) fn find_or_whole_batch(&self, ledger: &Ledger, asker: Asker) -> Result<Vec<Jar>, Failure> {
        Ok(ledger.jars_named(&self.words(asker)?, BareBatch::WholeBatch)?)
    }

    fn words(&self, asker: Asker) -> Result<Vec<JarWord>, Failure> {
        let given = Some(self.jars.clone()).filter(|words| !words.is_empty());
        let question = Question {
            ask: "Which jars?",
            flag: "JAR",
            help: "Whole codes such as 26-041-03-3, or a batch and its jars such as 26-041 3,5-7",
            default: None,
        };
        asker.need(given, question, |answer| {
            let words: Result<Vec<JarWord>, _> = answer.split_whitespace().map(str::parse).collect();
            match words {
                Ok(words) if words.is_empty() => Err("Name at least one jar.".to_owned()),
                Ok(words) => Ok(words),
                Err(error) => Err(error.to_string()),
            }
        })
    }
}
