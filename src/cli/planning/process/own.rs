//! The household's own processes.

use crate::answers::planning::processes::Own;
use crate::answers::planning::words;
use crate::cli::errors::Failure;
use crate::cli::talk::screen::Screen;
use crate::rules::process::household::HouseholdProcess;
use crate::values::measures::units::Units;

/// Shows the processes the household added.
pub(super) fn show(processes: &[HouseholdProcess], units: Units, screen: &mut Screen) -> Result<(), Failure> {
    if screen.json() {
        return screen.answer(&Own::of(processes));
    }
    if processes.is_empty() {
        screen.say("No process of your own on record; the built-in table is in `jarledger process --all`.");
        screen.next("`jarledger process add --help`");
    }
    for own in processes {
        say_own(own, units, screen);
        if !own.set_aside_by(processes).is_empty() {
            screen.say(
                "    set aside: another process asks for more at some height they share, and counts there",
            );
        }
    }
    Ok(())
}

/// Says a process of the household's own.
pub(super) fn say_own(own: &HouseholdProcess, units: Units, screen: &mut Screen) {
    screen.say(format!(
        "{} ({}), {} pack, {}, in {}, {}",
        own.food,
        own.acidity,
        own.pack,
        own.size.plural(),
        own.method.with_article(),
        own.band()
    ));
    words::say(&own.tested(), units, screen);
}
