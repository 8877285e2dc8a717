//! What may still be done with a jar whose seal or whose load failed, in lines.

use super::moment;
use super::screen::Screen;
use crate::ledger::Rescue;
use crate::rules::consequence::RESCUE_SOURCES;
use crate::rules::remedy::Remedy;

/// Says the remedies there are and until when.
pub(super) fn say_rescue(rescue: &Rescue, indent: &str, screen: &mut Screen) {
    let in_time = rescue.remedies.iter().any(|&remedy| remedy != Remedy::Discard);
    screen.say(match (in_time, rescue.until) {
        (true, Some(until)) => format!("{indent}Until {} you may", moment::in_words(until)),
        (true, None) => format!("{indent}You may"),
        (false, Some(until)) => {
            format!("{indent}The last moment to rescue it was {}. What is left:", moment::in_words(until))
        }
        (false, None) => format!("{indent}What is left:"),
    });
    for remedy in &rescue.remedies {
        screen.say(format!("{indent}- {}", remedy.instruction()));
    }
    if rescue.load_failed {
        screen.say(format!("{indent}({RESCUE_SOURCES})"));
    }
}
