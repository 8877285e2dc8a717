//! A tested process in words.

use std::fmt::Write;

use crate::answers::say::Say;
use crate::rules::food::acid::AcidDose;
use crate::rules::process::tested::TestedProcess;
use crate::values::measures::in_words::{inches, owed, time};
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;

/// Minutes and pressure in one breath: "25 minutes at 11 psi (75.9 kPa)".
pub(crate) fn figures(process: &TestedProcess, units: Units) -> String {
    figures_of(process.minutes, process.psi, units)
}

/// The same by what the dial must show, where that is more.
pub(crate) fn figures_read(process: &TestedProcess, dial: Option<Pressure>, units: Units) -> String {
    match dial {
        Some(reading) => format!("{} at {} on the dial", time(process.minutes), owed(reading, units)),
        None => figures(process, units),
    }
}

/// The same of the bare figures.
pub(crate) fn figures_of(minutes: u32, psi: Option<Pressure>, units: Units) -> String {
    let minutes = time(minutes);
    match psi {
        Some(psi) => format!("{minutes} at {}", owed(psi, units)),
        None => format!("{minutes} at a full boil"),
    }
}

/// Says all that is owed, one fact a line.
pub(crate) fn say(process: &TestedProcess, units: Units, screen: &mut impl Say) {
    screen.say(format!("  {}", figures(process, units)));
    let mut first = String::new();
    if let Some(vent) = venting(process) {
        let _ = write!(first, "{vent}; ");
    }
    let _ = write!(first, "headspace {}", inches(process.headspace_in, units));
    screen.say(format!("    {first}"));
    say_terms(process, screen);
    screen.say(format!("    from {}", process.source));
}

/// Says what the figures depend on: the acid for each jar, and the notes.
pub(crate) fn say_terms(process: &TestedProcess, screen: &mut impl Say) {
    if let Some(acid) = acid(process) {
        screen.say(format!("    add to each jar {acid}"));
    }
    for note in &process.notes {
        screen.say(format!("    note: {note}"));
    }
}

/// The acids of which one must go into each jar, each with how sure its measure is.
pub(crate) fn acid(process: &TestedProcess) -> Option<String> {
    let dose = |dose: &AcidDose| {
        let warning = dose.basis.warning().map(|warning| format!("; {warning}")).unwrap_or_default();
        format!("{dose} ({:.1} mL{warning})", dose.amount.millilitres())
    };
    let doses: Vec<String> = process.acid.iter().map(dose).collect();
    (!doses.is_empty()).then(|| doses.join(", or "))
}

/// What is said of the venting a process needs; none for boiling water, and where a note says that the venting is
/// not held here.
pub(crate) fn venting(process: &TestedProcess) -> Option<String> {
    (process.vent_min > 0 && process.not_held.is_empty())
        .then(|| format!("vent {} before", time(process.vent_min)))
}
