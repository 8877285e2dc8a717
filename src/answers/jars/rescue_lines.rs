//! What may still be done with a jar whose seal or whose load failed, in lines.

use crate::answers::moments;
use crate::answers::say::Say;
use crate::ledger::jar::rescue::Rescue;
use crate::rules::load::consequence::RESCUE_SOURCES;
use crate::rules::load::remedy::Remedy;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::clock::Clock;

/// Says the remedies there are and until when.
pub(crate) fn say_rescue(rescue: &Rescue, indent: &str, clock: Clock, screen: &mut impl Say) {
    let in_time = rescue.remedies.iter().any(|&remedy| remedy != Remedy::Discard);
    screen.say(match (in_time, rescue.until) {
        (true, Some(until)) => format!("{indent}Until {} you may", moments::in_words(until, clock)),
        (true, None) => format!("{indent}You may"),
        (false, Some(until)) => {
            format!("{indent}The time to rescue it ended {}. What is left:", moments::in_words(until, clock))
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

/// What to type next, by what may be done with jars of which `first` is one.
pub(crate) fn next_after(remedies: &[Remedy], first: JarCode) -> String {
    if remedies.iter().any(|&remedy| remedy != Remedy::Discard) {
        "`jarledger chill JAR`, `freeze JAR` or `discard JAR`; `putup --reprocess JAR` with the new load"
            .to_owned()
    } else {
        format!("`jarledger discard {first}` tells how")
    }
}
