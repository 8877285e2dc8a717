//! The place on record that words mean.

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::glance::Named;
use crate::values::names::everyday::meant;
use crate::values::names::name::Name;

/// The place on record that words mean, asked for where it may be several; none where they mean none. `besides` goes
/// behind the hint that lists them.
pub(super) fn place_meant(
    words: &Name,
    ledger: &Ledger,
    asker: &Asker,
    (flag, besides): (&str, &str),
) -> Result<Option<Name>, Failure> {
    let known = ledger.names_in_use(Named::Place)?;
    let among: Vec<String> =
        meant(words.as_str(), known.iter().map(String::as_str)).into_iter().map(str::to_owned).collect();
    let found = match &among[..] {
        [] => return Ok(None),
        [only] => only.clone(),
        _ if asker.can_ask() => {
            let question = Question { ask: "Which?", flag, help: "", default: None };
            asker.need_one_of(None, question, among, 0)?
        }
        _ => {
            let hint = format!("say which: {}{besides}", among.join(", or "));
            let several = LedgerError::SeveralNames { given: words.to_string(), among };
            return Err(Failure::new(Code::NotFound, several.to_string(), hint));
        }
    };
    found.parse().map(Some).map_err(|_| LedgerError::Unreadable(format!("place {found:?}")).into())
}
