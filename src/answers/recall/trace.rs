//! What `trace` answers: every jar that shares what was asked about.

use serde::Serialize;

use crate::answers::recall::pulled::{all, eaten_or_given, to_tell};
use crate::answers::streamed::Streamed;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::trace_links::Link;
use crate::ledger::trace::traced::{Traced, TracedJar};
use crate::values::names::counted::jars;
use crate::values::time::clock::Clock;

#[derive(Serialize)]
pub(crate) struct Answer<'a> {
    jars: Streamed<'a, TracedJar>,
    in_house: usize,
    eaten_or_given: Streamed<'a, TracedJar>,
    pub(crate) to_tell: Vec<String>,
    /// What the one jar asked about shares with others beyond its batch.
    pub(crate) shares: Vec<Link>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold: Option<&'a Held>,
}

/// What was put on hold.
#[derive(Serialize)]
pub(crate) struct Held {
    entry: Option<EntryId>,
    reason: String,
    pub(crate) newly_held: usize,
}

impl<'a> Answer<'a> {
    /// Answers from the jars traced, of which some were put on hold.
    pub(crate) fn of(
        ledger: &'a Ledger,
        query: &TraceQuery,
        traced: &'a Traced,
        hold: Option<&'a Held>,
    ) -> Result<Self, LedgerError> {
        Ok(Self {
            jars: all(ledger, traced),
            in_house: traced.in_house(),
            eaten_or_given: eaten_or_given(ledger, traced),
            to_tell: to_tell(ledger, traced)?,
            shares: match query.jars[..] {
                [code] => ledger.links_of(&ledger.jar(code)?)?,
                _ => Vec::new(),
            },
            hold,
        })
    }
}

/// Puts every jar found that is still in the house on hold.
pub(crate) fn hold(
    ledger: &Ledger,
    query: &TraceQuery,
    reason: &str,
    clock: Clock,
) -> Result<Held, LedgerError> {
    let (entry, newly_held) = ledger.write_or_not("trace", clock, |write| {
        let newly = write.hold_traced(&write.trace(query)?, reason)?;
        let summary = (newly > 0).then(|| format!("{} on hold: {reason}", jars(newly)));
        Ok((newly, summary))
    })?;
    Ok(Held { entry, reason: reason.to_owned(), newly_held })
}
