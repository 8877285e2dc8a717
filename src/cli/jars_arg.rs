//! Jars named on the command line, the same way for every command.

use super::errors::Failure;
use crate::ledger::{BareBatch, Jar, Ledger};
use crate::rules::jar_word::JarWord;

/// The jars a command is about.
#[derive(Debug, Clone, clap::Args)]
pub(super) struct JarsArg {
    /// Jars: whole codes such as 26-041-03-3, or a batch and its jars such as 26-041 3,5-7
    #[arg(value_name = "JAR", required = true)]
    jars: Vec<JarWord>,
}

impl JarsArg {
    /// Finds the jars; a batch without numbers is refused.
    pub(super) fn find(&self, ledger: &Ledger) -> Result<Vec<Jar>, Failure> {
        Ok(ledger.jars_named(&self.jars, BareBatch::Refused)?)
    }

    /// Finds the jars; a batch without numbers is every jar of it.
    pub(super) fn find_or_whole_batch(&self, ledger: &Ledger) -> Result<Vec<Jar>, Failure> {
        Ok(ledger.jars_named(&self.jars, BareBatch::WholeBatch)?)
    }
}
