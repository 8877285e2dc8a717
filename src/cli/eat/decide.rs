//! Jars to decide on, and how each decision is worded.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::cli::moment::{day_in_words, in_words};
use crate::ledger::LiveJar;
use crate::rules::decide_now::{Decision, Matter, decide};
use crate::rules::jar_code::JarCode;
use crate::rules::jar_state::JarState;
use crate::rules::opened::once_opened;
use crate::rules::remedy::Remedy;

/// A jar to decide on.
#[derive(Serialize)]
pub(in crate::cli) struct ToDecide<'a> {
    pub(in crate::cli) jar: JarCode,
    pub(in crate::cli) product: &'a str,
    pub(in crate::cli) state: JarState,
    pub(in crate::cli) place: Option<&'a str>,
    pub(in crate::cli) matter: Matter,
    pub(in crate::cli) until: Option<DateTime<FixedOffset>>,
    pub(in crate::cli) last_day: Option<NaiveDate>,
    pub(in crate::cli) remedies: &'static [Remedy],
    pub(in crate::cli) what: String,
}

/// The jars to decide on: first whatever has run out, then by the moment it does.
pub(super) fn to_decide(jars: &[LiveJar], now: DateTime<FixedOffset>) -> Vec<ToDecide<'_>> {
    let mut due: Vec<ToDecide<'_>> = jars
        .iter()
        .filter_map(|live| {
            let keeps = once_opened(live.food.as_ref(), live.acidity);
            decide(&live.circumstances(), &keeps, now).map(|decision| worded(live, decision))
        })
        .collect();
    due.sort_by_key(|due| {
        let moment = due.until.map(|until| until.naive_utc());
        let end_of_day = due.last_day.and_then(|day| day.and_hms_opt(23, 59, 59));
        (moment.or(end_of_day), due.jar)
    });
    due
}

fn worded(live: &LiveJar, decision: Decision) -> ToDecide<'_> {
    let jar = &live.jar;
    ToDecide {
        jar: jar.code,
        product: &jar.product,
        state: jar.state,
        place: jar.place.as_deref(),
        matter: decision.matter,
        until: decision.until,
        last_day: decision.last_day,
        remedies: decision.remedies,
        what: what(&decision),
    }
}

fn what(decision: &Decision) -> String {
    let until = decision.until.map_or_else(|| "an unknown moment".to_owned(), in_words);
    let last_day = decision.last_day.map(day_in_words).unwrap_or_default();
    match decision.matter {
        Matter::Rescue => format!("the load failed: reprocess, chill or freeze by {until}"),
        Matter::Mend => format!("did not seal: reprocess, chill or freeze by {until}"),
        Matter::CheckLid => format!("check the lid by {until}"),
        Matter::CheckLidLate => {
            format!("the lid should have been checked by {until}: check it now; if it failed, discard")
        }
        Matter::Finish => format!("eat it up: the last day is {last_day}"),
        Matter::UnsealedTooLate => format!("did not seal, and the time to mend it ended {until}: discard"),
        Matter::OpenedTooLong => format!("opened too long: the last day was {last_day}: discard"),
        Matter::ChilledTooLong => format!("chilled too long: the last day was {last_day}: discard"),
        Matter::OpenedOnHold => "opened, and on hold since: do not eat of it, discard".to_owned(),
        Matter::ChilledOnHold => "chilled, and on hold: do not eat of it, discard".to_owned(),
    }
}
