//! Jars to decide on, and how each decision is worded.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::answers::moments::in_words;
use crate::answers::word::{Word, Words};
use crate::ledger::jar::live::LiveJar;
use crate::rules::jar::decide_now::{Decision, Matter, decide};
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::once_opened;
use crate::rules::load::process_record::{NOT_ON_RECORD, ProcessMark};
use crate::rules::load::remedy::Remedy;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen::day_in_words;

/// A jar to decide on.
#[derive(Serialize)]
pub(crate) struct ToDecide {
    pub(crate) jar: JarCode,
    pub(crate) product: Word,
    pub(crate) state: JarState,
    pub(crate) place: Option<Word>,
    pub(crate) matter: Matter,
    pub(crate) until: Option<DateTime<FixedOffset>>,
    pub(crate) last_day: Option<NaiveDate>,
    pub(crate) remedies: &'static [Remedy],
    pub(crate) what: Word,
}

/// What is to be decided about a jar, if anything.
pub(crate) fn decision_on(live: &LiveJar, clock: Clock, words: &mut Words) -> Option<ToDecide> {
    let keeps = once_opened(live.food.as_ref(), &live.jar.product);
    let decision = decide(&live.circumstances(), &keeps, clock.now)?;
    let jar = &live.jar;
    Some(ToDecide {
        jar: jar.code,
        product: words.of(&jar.product),
        state: jar.state,
        place: words.of_some(jar.place.as_deref()),
        matter: decision.matter,
        until: decision.until,
        last_day: decision.last_day,
        remedies: decision.remedies,
        what: words.of(&what(&decision, &jar.process, clock)),
    })
}

/// Puts first whatever has run out, then the rest by the moment it does.
pub(crate) fn in_order(due: &mut [ToDecide]) {
    due.sort_by_key(|due| {
        let moment = due.until.map(|until| until.naive_utc());
        let end_of_day = due.last_day.and_then(|day| day.and_hms_opt(23, 59, 59));
        (moment.or(end_of_day), due.jar)
    });
}

fn what(decision: &Decision, process: &ProcessMark, clock: Clock) -> String {
    let until = decision.until.map_or_else(|| "an unknown moment".to_owned(), |until| in_words(until, clock));
    let last_day = decision.last_day.map(day_in_words).unwrap_or_default();
    match decision.matter {
        Matter::Rescue => format!("the load failed: reprocess, chill or freeze by {until}"),
        Matter::Mend => format!("did not seal: reprocess, chill or freeze by {until}"),
        Matter::CheckLid => format!("check the lid by {until}"),
        Matter::CheckLidLate => {
            format!("seal check overdue since {until}: check now; discard it if it failed")
        }
        Matter::Finish if process.unrecorded => {
            format!("{NOT_ON_RECORD}: if you know it yourself, eat it up: the last day is {last_day}")
        }
        Matter::Finish => format!("eat it up: the last day is {last_day}{}", process.after_comma()),
        Matter::UnsealedTooLate => format!("did not seal, and the time to rescue it ended {until}: discard"),
        Matter::LoadFailed => {
            "its load failed, and the time to rescue it is over: discard, or correct the record if that is wrong"
                .to_owned()
        }
        Matter::OpenedTooLong => format!("opened too long ago (last day {last_day}): discard"),
        Matter::ChilledTooLong => format!("chilled too long (last day {last_day}): discard"),
        Matter::OpenedOnHold => "opened, and on hold since: do not eat it, discard".to_owned(),
        Matter::ChilledOnHold => "chilled, and on hold: do not eat it, discard".to_owned(),
    }
}
