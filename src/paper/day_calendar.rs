//! A planned day as an iCalendar file (RFC 5545): what needs hands, and the end of each process, with an alarm.

use chrono::{DateTime, FixedOffset, Utc};
use icalendar::{Alarm, Component, Event, EventLike};
use uuid::Uuid;

use crate::paper::calendar::{folded, headed};
use crate::paper::text::plain::plain;

/// One entry of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DayEntry {
    /// When it begins.
    pub at: DateTime<FixedOffset>,
    /// When it ends.
    pub until: DateTime<FixedOffset>,
    pub what: String,
    /// The canner and the load.
    pub canner: Option<String>,
}

/// Writes the day. The same day of the same recipe keeps its identifiers, so that a later plan of it replaces the
/// earlier.
pub(crate) fn render_day(ledger: Uuid, recipe: &str, stamp: DateTime<Utc>, entries: &[DayEntry]) -> Vec<u8> {
    let mut file = headed();
    for (number, entry) in entries.iter().enumerate() {
        let subject = format!("day/{recipe}/{}/{number}", entries[0].at.date_naive());
        let title = match &entry.canner {
            Some(canner) => format!("{} ({canner})", entry.what),
            None => entry.what.clone(),
        };
        let title = plain(&title);
        let event = Event::new()
            .uid(&Uuid::new_v5(&ledger, subject.as_bytes()).to_string())
            .timestamp(stamp)
            .starts(entry.at.with_timezone(&Utc))
            .ends(entry.until.with_timezone(&Utc))
            .summary(&title)
            .description(&plain(recipe))
            .alarm(Alarm::display(&title, chrono::TimeDelta::zero()))
            .done();
        file.push(event);
    }
    folded(&file.to_string()).into_bytes()
}
