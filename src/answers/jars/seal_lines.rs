//! When the seals of jars that cool are to be checked, in lines.

use crate::answers::moments;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::time::clock::Clock;

/// When to look at lids that nobody has looked at yet.
pub(crate) fn unchecked(window: SealWindow, clock: Clock) -> String {
    let (from, to) = (moments::in_words(window.opens(), clock), moments::in_words(window.due(), clock));
    match window.stage(clock.now) {
        SealStage::TooEarly => format!("Seal not checked yet: check it from {from} to {to}."),
        SealStage::Open => format!("Seal not checked yet: check it now, by {to}."),
        SealStage::Overdue => {
            format!("Seal check overdue since {to}: check it now, and do not eat it unchecked.")
        }
    }
}
