//! Jars to be pulled, wherever they are by now.

use crate::answers::streamed::Streamed;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::trace::traced::{Traced, TracedJar};
use crate::rules::jar::jar_state::Act;

/// All of them; where none were traced none.
pub(crate) fn all<'a>(ledger: &'a Ledger, traced: impl Into<Option<&'a Traced>>) -> Streamed<'a, TracedJar> {
    let traced = traced.into();
    Streamed::new(move |take| match traced {
        Some(traced) => ledger.each_traced(traced, 0..traced.len(), take),
        None => Ok(()),
    })
}

/// Those of which somebody may have eaten.
pub(crate) fn eaten_or_given<'a>(ledger: &'a Ledger, traced: &'a Traced) -> Streamed<'a, TracedJar> {
    Streamed::new(|take| {
        ledger.each_traced(traced, 0..traced.len(), |found| {
            if found.may_have_been_eaten() { take(found) } else { Ok(()) }
        })
    })
}

/// The people jars were given to, each once.
pub(crate) fn to_tell<'a>(
    ledger: &Ledger,
    traced: impl Into<Option<&'a Traced>>,
) -> Result<Vec<String>, LedgerError> {
    let mut names: Vec<String> = Vec::new();
    let Some(traced) = traced.into().filter(|traced| traced.may_have_been_eaten()) else { return Ok(names) };
    ledger.each_traced(traced, 0..traced.len(), |found| {
        let given = found.ending.filter(|ending| ending.act == Act::Give);
        names.extend(given.and_then(|ending| ending.to).filter(|name| !names.contains(name)));
        Ok::<(), LedgerError>(())
    })?;
    Ok(names)
}
