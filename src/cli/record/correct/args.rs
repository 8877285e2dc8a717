//! Which record `correct` is told to amend, and what it should say.

use crate::cli::record::correct::known::Known;
use crate::cli::record::correct::of_batch::BatchArgs;
use crate::cli::record::correct::of_jar::JarArgs;
use crate::cli::record::correct::of_load::LoadArgs;
use crate::ledger::amend::correct::Amendment;
use crate::values::names::name::Name;

/// Amend a record found wrong; what it said before stays readable
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    pub(super) record: Option<Record>,
}

#[derive(Debug, clap::Subcommand)]
pub(super) enum Record {
    /// Amend a batch as a whole
    Batch(BatchArgs),
    /// Amend a load, which is then checked again
    Load(Box<LoadArgs>),
    /// Amend a jar
    Jar(JarArgs),
}

/// What the record should say.
#[derive(Debug, Default)]
pub(super) struct Amended {
    pub(super) amendments: Vec<Amendment>,
    /// The lid lot of every jar of a load.
    pub(super) lid_lot: Option<Known<Name>>,
    /// Whether the load is only checked again.
    pub(super) again: bool,
}

impl Amended {
    pub(super) fn is_empty(&self) -> bool {
        self.amendments.is_empty() && self.lid_lot.is_none() && !self.again
    }
}

impl From<Vec<Amendment>> for Amended {
    fn from(amendments: Vec<Amendment>) -> Self {
        Self { amendments, lid_lot: None, again: false }
    }
}
