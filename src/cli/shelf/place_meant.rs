//! The place on record that words mean.

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::name::Name;

/// The place on record that words mean, asked for where it may be several; none where they mean none. `besides` goes
/// behind the hint.
pub(super) fn place_meant(
    words: &Name,
    ledger: &Ledger,
    asker: &Asker,
    (flag, besides): (&str, &str),
) -> Result<Option<Name>, Failure> {
    match ledger.place_meant(words) {
        Err(LedgerError::SeveralNames { among, .. }) if asker.can_ask() => {
            let question = Question { ask: "Which?", flag, help: "", default: None };
            let found = asker.need_one_of(None, question, among, 0)?;
            found.parse().map(Some).map_err(|_| LedgerError::Unreadable(format!("place {found:?}")).into())
        }
        Err(several @ LedgerError::SeveralNames { .. }) => {
            Err(Failure::new(Code::NotFound, several.to_string(), format!("write out which one{besides}")))
        }
        place => Ok(place?),
    }
}
