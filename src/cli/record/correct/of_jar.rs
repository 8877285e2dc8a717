//! What is amended of a jar.

use crate::cli::arguments::day::day;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::record::correct::known::Known;
use crate::cli::record::correct::why::{Why, text};
use crate::ledger::amend::correct::Amendment;
use crate::ledger::entry::correct_field::Field;
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

#[derive(Debug, clap::Args)]
pub(super) struct JarArgs {
    /// The jar, such as 26-041-03-3
    pub(super) jar: Option<JarCode>,
    /// Best quality until this day
    #[arg(long, value_name = "DAY", allow_hyphen_values = true)]
    pub(super) best_by: Option<String>,
    /// Its size
    #[arg(long, value_parser = JarSize::read)]
    pub(super) size: Option<JarSize>,
    /// Lot of its lid; or unknown
    #[arg(long, value_name = "LOT")]
    pub(super) lid_lot: Option<Known<Name>>,
    /// The note on it; empty: none
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
    #[command(flatten)]
    pub(super) why: Why,
}

pub(super) fn amended(args: &JarArgs, ctx: &Context) -> Result<Vec<Amendment>, Failure> {
    let mut amend = Vec::new();
    let best_by = args.best_by.as_deref().map(|best_by| day(best_by, ctx)).transpose()?;
    amend.extend(best_by.map(|day| Amendment::new(Field::BestBy, Some(day))));
    amend.extend(args.size.map(|size| Amendment::new(Field::Size, Some(size))));
    amend.extend(Known::amends(args.lid_lot.as_ref(), Field::LidLot));
    amend.extend(args.note.as_deref().map(|note| Amendment::new(Field::JarNote, text(note))));
    Ok(amend)
}
