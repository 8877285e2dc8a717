//! What to know of a jar just eaten up.

use chrono::NaiveDate;
use serde::Serialize;

use crate::answers::acts::Done;
use crate::answers::say::Say;
use crate::ledger::jar::acts::Happened;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::opened::{chilled_unsealed, once_opened};
use crate::rules::spoilage::cautions::{Caution, EMERGENCY, SYMPTOMS};
use crate::values::codes::jar_code::JarCode;
use crate::values::time::on_screen::day_in_words;

/// What to bear in mind.
#[derive(Serialize)]
pub(crate) struct Finished {
    kept_too_long: Vec<TooLong>,
    cautions: Vec<Caution>,
}

/// A jar that was eaten up after its last day in the refrigerator.
#[derive(Serialize)]
struct TooLong {
    jar: JarCode,
    days: u32,
    last_day: NaiveDate,
    #[serde(skip)]
    state: JarState,
}

impl Finished {
    /// What there is to know of these jars.
    pub(crate) fn of(done: &Done) -> Self {
        let kept_too_long: Vec<TooLong> = done.jars.iter().filter_map(too_long).collect();
        // Eaten before its hold was put on it, or after its last day: whoever ate of it should know what to watch for.
        let was_held = done
            .jars
            .iter()
            .any(|happened| happened.from == JarState::Opened && !happened.jar.holds.is_empty());
        let cautions =
            if was_held || !kept_too_long.is_empty() { vec![SYMPTOMS, EMERGENCY] } else { Vec::new() };
        Self { kept_too_long, cautions }
    }

    pub(crate) fn say(&self, screen: &mut impl Say) {
        for TooLong { jar, days, last_day, state } in &self.kept_too_long {
            screen.say(format!(
            "{jar} was kept longer than {days} days once {state}: the last was {}. Throw away what is left.",
            day_in_words(*last_day)
        ));
        }
        for caution in &self.cautions {
            screen.say(caution.text);
        }
    }
}

/// Whether the jar was in the refrigerator past its last day there; a frozen one was not.
fn too_long(happened: &Happened) -> Option<TooLong> {
    let jar = &happened.jar;
    let keeps = match happened.from {
        JarState::Opened => once_opened(jar.food.as_ref(), &jar.jar.product),
        JarState::Chilled => chilled_unsealed(),
        _ => return None,
    };
    // As in `eat`: a jar opened on no recorded day counts from the day it was put up.
    let from = happened.since.map_or(jar.jar.put_up, |since| since.date_naive());
    keeps.is_over(from, happened.at.date_naive()).then(|| TooLong {
        jar: jar.jar.code,
        days: keeps.days,
        last_day: keeps.last_day(from),
        state: happened.from,
    })
}
