//! The runs line by line, a line for each change, for whoever listens to a screen reader.

use crate::cli::canning_day::run::screen::frame::{Scene, dial_of};
use crate::cli::canning_day::run::screen::keys::offered;
use crate::ledger::entry::write::EntryId;
use crate::paper::text::plain::plain;
use crate::rules::canning_day::run::stand;

/// What was said of a run: its last step, whether its time is over, and whether the keys are for it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct RunSaid {
    run: i64,
    canner: String,
    step: Option<EntryId>,
    is_over: bool,
    chosen: bool,
}

/// Says what changed since the last call.
#[derive(Debug, Default)]
pub(super) struct ChangeLines {
    said: Vec<RunSaid>,
    noted: Option<String>,
}

impl ChangeLines {
    /// The lines that are new: of the runs that changed and of those in `due`, which are reminded of; `again` repeats all.
    pub(super) fn lines(&mut self, scene: &Scene<'_>, due: &[i64], again: bool) -> Vec<String> {
        let Scene { runs, now, note, chosen, .. } = *scene;
        let at = now.at.format("%H:%M");
        let mut lines = Vec::new();
        if self.noted.as_deref() != note {
            self.noted = note.map(str::to_owned);
            lines.extend(note.map(|note| format!("{at} {note}")));
        }
        let mut said = Vec::new();
        for (place, run) in runs.iter().enumerate() {
            let here = stand(&run.aim, &run.taken, now);
            let is_over = here.over_s.is_some();
            let (canner, chosen) = (run.canner.clone(), place == chosen);
            let stands = RunSaid { run: run.id, canner, step: run.last_entry, is_over, chosen };
            if again || due.contains(&run.id) || !self.said.contains(&stands) {
                let first = if runs.len() > 1 { format!("{} ", place + 1) } else { String::new() };
                lines.push(format!("{at} {first}{}{}: {}", run.canner, dial_of(run), here.say));
                let keys = offered(run, &here);
                if !keys.is_empty() {
                    let choose = if chosen { "" } else { first.as_str() };
                    let keys: Vec<String> =
                        keys.iter().map(|(key, words)| format!("{choose}{key} {words}")).collect();
                    lines.push(format!("      Keys: {}.", keys.join("; ")));
                }
            }
            said.push(stands);
        }
        let gone = self.said.iter().filter(|before| runs.iter().all(|run| run.id != before.run));
        lines.extend(gone.map(|gone| format!("{at} {}: its run is no longer under way.", gone.canner)));
        self.said = said;
        lines.iter().map(plain).collect()
    }
}
