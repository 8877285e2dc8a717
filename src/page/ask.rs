//! A request as the pages see it, once the gate let it through.

use std::path::Path;

use chrono::TimeDelta;
use hyper::StatusCode;
use uuid::Uuid;

use crate::answers::serving::Serving;
use crate::answers::serving::phones::Phone;
use crate::ledger::file::asked::Asked;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::kept::Kept;
use crate::page::form::Form;
use crate::page::reply::Trouble;
use crate::rules::canning_day::run::Instant;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Most seconds an act may have waited on a phone: 90 days.
const OLDEST: i64 = 90 * 24 * 3600;

/// Opens the ledger as it is: looking at a page brings none up to date.
pub(super) fn open(path: &Path) -> Result<Ledger, Trouble> {
    let ledger = Ledger::open_if_current(path)?.ok_or_else(|| {
        Trouble::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "The ledger is of an older release. Type `jarledger check` where it is, which brings it up to date; nothing \
             was changed here.",
        )
    })?;
    on_screen::write_days_in(ledger.day_order()?);
    Ok(ledger)
}

/// What was done with a name before.
pub(super) enum Before {
    Nothing(Ledger),
    Done(Ledger, Kept),
}

/// What is asked, by which phone, at what time.
pub(super) struct Ask<'a> {
    pub(super) serving: &'a Serving,
    pub(super) phone: &'a Phone,
    pub(super) clock: Clock,
    pub(super) now: Instant,
    pub(super) form: Form,
}

impl Ask<'_> {
    /// Opens the ledger anew for every question: whatever stands there now is what is answered from.
    pub(super) fn ledger(&self) -> Result<Ledger, Trouble> {
        open(&self.serving.ledger)
    }

    pub(super) fn ledger_to_write(&self) -> Result<Ledger, Trouble> {
        drop(open(&self.serving.ledger)?);
        Ok(Ledger::open_to_write(&self.serving.ledger)?)
    }

    /// The name the phone gave this act.
    pub(super) fn key(&self) -> Result<Uuid, Trouble> {
        self.form.get("key").and_then(|key| key.parse().ok()).ok_or_else(|| {
            Trouble::bad("The act has no name of its own; nothing was changed. Load the page again.")
        })
    }

    /// Opens the ledger to write under the name the phone gave, unless that is done already.
    pub(super) fn once(&self) -> Result<Before, Trouble> {
        let key = self.key()?;
        let ledger = self.ledger_to_write()?;
        if let Some(kept) = ledger.entry_named(key)? {
            return Ok(Before::Done(ledger, kept));
        }
        ledger.asked_by(Asked { key, phone: self.phone.name.clone() });
        Ok(Before::Nothing(ledger))
    }

    /// When the act happened: as long ago as the phone says.
    pub(super) fn happened(&self) -> Result<Instant, Trouble> {
        let age = match self.form.get("age") {
            None => 0,
            Some(age) => age
                .parse::<i64>()
                .ok()
                .filter(|age| (0..=OLDEST).contains(age))
                .ok_or_else(|| Trouble::bad("The phone's clock cannot be right; nothing was changed."))?,
        };
        Ok(self.now.ago(TimeDelta::seconds(age)))
    }
}
