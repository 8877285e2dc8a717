//! Corrections in lines: what a record said before, and why it does not any more.

use crate::answers::moments;
use crate::answers::say::Say;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::entry::correction::Correction;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Says each correction under the name of what it amended.
pub(crate) fn say_corrections(of: &str, corrections: &[Correction], clock: Clock, screen: &mut impl Say) {
    let mut said = Vec::new();
    for correction in corrections {
        // For these fields nothing on record means that there was none.
        let is_text = matches!(correction.field, Field::WentWrong | Field::BatchNote | Field::Drops);
        let (was, is) = if is_text { ("nothing", "nothing") } else { ("not recorded", "not known") };
        let line = format!(
            "Corrected {}, {of}: {} was {}, is {} ({})",
            on_screen::day(correction.at.date_naive()),
            correction.field,
            value(correction.old.as_deref(), was, clock),
            value(correction.new.as_deref(), is, clock),
            correction.reason
        );
        // Jars of a batch that were amended together share one line.
        if !said.contains(&line) {
            screen.say(&line);
            said.push(line);
        }
    }
}

/// A value as kept, days and instants in words.
fn value(kept: Option<&str>, none: &str, clock: Clock) -> String {
    match kept {
        None => none.to_owned(),
        Some(text) => match (chrono::DateTime::parse_from_rfc3339(text), text.parse()) {
            (Ok(at), _) => moments::in_words(at, clock),
            (_, Ok(day)) => on_screen::day(day),
            _ => text.to_owned(),
        },
    }
}
