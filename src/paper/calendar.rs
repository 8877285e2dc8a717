//! The household's dates as an iCalendar file (RFC 5545).
//!
//! Every entry keeps its identifier over exports, so that reading a later file
//! replaces the earlier entries and doubles none; one that an earlier file has and
//! whose matter is settled is exported once more as cancelled. The same dates always
//! give the same bytes.

use std::collections::HashSet;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta, Utc};
use icalendar::{Alarm, Component, Event, EventLike, EventStatus, Property, Related};
use uuid::Uuid;

use crate::paper::text::lines::{MonthLine, ShelfJar};
use crate::paper::text::plain::plain;
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::{NOT_ON_RECORD, ProcessMark};
use crate::rules::spoilage::cautions::NO_RECORD;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::names::counted::jars as counted;
use crate::values::time::on_screen;
use crate::values::time::on_screen::moment_in_words;

/// Jars listed one by one in an entry; the rest is given as a number.
const LISTED: usize = 30;

/// What calendar programs call the calendar.
const NAME: &str = "Jars";

/// Hours before the end of a seal window at which the household is reminded once more: time enough to mend a jar.
const REMINDED_HOURS: i64 = 2;

/// What goes into the file.
#[derive(Debug, Clone)]
pub struct Calendar {
    /// The ledger's identifier, by which a later file finds its own entries.
    pub ledger: Uuid,
    /// When this state of the ledger was reached; the same for all entries.
    pub stamp: DateTime<Utc>,
    /// The dates.
    pub dates: Vec<Date>,
}

/// One date to keep.
#[derive(Debug, Clone)]
pub struct Date {
    /// What is to be done.
    pub task: Task,
    /// Whether it needs doing no longer.
    pub is_settled: bool,
}

/// What is to be done.
#[derive(Debug, Clone)]
pub enum Task {
    /// The lids of a load are to be checked.
    SealCheck {
        /// The batch.
        batch: BatchCode,
        /// The load's number in it.
        load: u32,
        /// What is in the jars.
        product: String,
        /// Jars not yet checked.
        jars: u64,
        /// The earliest moment.
        opens: DateTime<FixedOffset>,
        /// The last moment.
        due: DateTime<FixedOffset>,
    },
    /// Jars are to be eaten in a month.
    EatFirst {
        /// How many of which product.
        month: MonthLine,
        /// The very jars, oldest first, where they are known.
        jars: Vec<ShelfJar>,
    },
    /// The last day of a jar in the refrigerator.
    UseUp {
        /// The jar.
        jar: JarCode,
        /// What is in it.
        product: String,
        /// How it came there: it was opened, or chilled because it did not seal.
        state: JarState,
        /// Where it stands.
        place: Option<String>,
        /// The last day, or today where it is to be thrown away.
        day: NaiveDate,
        /// Whether it is withheld from eating.
        is_withheld: bool,
        /// What must be said of its process.
        process: ProcessMark,
    },
    /// A dial gauge is due for its yearly test.
    GaugeTest {
        /// The canner's identifier, which stays the same whatever it is called.
        canner: i64,
        /// Its name.
        name: String,
        /// Day of the last test.
        last: Option<NaiveDate>,
        /// Day by which to test again.
        day: NaiveDate,
    },
}

/// Writes the calendar.
pub fn render(calendar: &Calendar) -> Vec<u8> {
    let mut file = headed();
    for date in &calendar.dates {
        file.push(event(calendar, date));
    }
    folded(&file.to_string()).into_bytes()
}

/// A calendar with nothing in it yet.
pub(in crate::paper) fn headed() -> icalendar::Calendar {
    let mut file = icalendar::Calendar::empty();
    file.append_property(("VERSION", "2.0"))
        .append_property(("PRODID", concat!("-//jarledger//jarledger ", env!("CARGO_PKG_VERSION"), "//EN")))
        .append_property(("CALSCALE", "GREGORIAN"))
        // RFC 7986, 5.1; programs older than it go by the other name.
        .append_property(Property::new("NAME", NAME))
        .append_property(Property::new("X-WR-CALNAME", NAME));
    file
}

/// Folds lines anew: the library counts the last piece of a long one without the space before it,
/// which can make 76 octets of the 75 a line may have (RFC 5545, 3.1). Of an alarm it leaves only what belongs there
/// (3.6.6): the library gives each a chance name and the moment of its making, so that no two files would be alike.
pub(in crate::paper) fn folded(text: &str) -> String {
    const MOST: usize = 75;
    let mut folded = String::with_capacity(text.len());
    let mut is_alarm = false;
    for line in text.replace("\r\n ", "").split_inclusive("\r\n") {
        match line {
            "BEGIN:VALARM\r\n" => is_alarm = true,
            "END:VALARM\r\n" => is_alarm = false,
            _ if is_alarm && (line.starts_with("UID:") || line.starts_with("DTSTAMP:")) => continue,
            _ => {}
        }
        let mut octets = 0;
        for character in line.chars() {
            let long = character.len_utf8();
            if octets + long > MOST && !matches!(character, '\r' | '\n') {
                folded.push_str("\r\n ");
                octets = 1;
            }
            folded.push(character);
            octets += long;
        }
    }
    folded
}

fn event(calendar: &Calendar, date: &Date) -> Event {
    let stamp = calendar.stamp.format("%Y%m%dT%H%M%SZ").to_string();
    let title = date.task.title();
    let mut event = Event::new();
    event
        .uid(&date.task.uid(calendar.ledger))
        .timestamp(calendar.stamp)
        .sequence(sequence(calendar.stamp))
        .add_property("LAST-MODIFIED", &stamp)
        .summary(&plain(&if date.is_settled { format!("Settled: {title}") } else { title }))
        .description(&plain(date.task.notes()))
        .status(if date.is_settled { EventStatus::Cancelled } else { EventStatus::Confirmed })
        // Does not block the household's other appointments.
        .add_property("TRANSP", "TRANSPARENT");
    match date.task.when() {
        When::Day(day) => {
            // The end of an entry of whole days is the day after the last (RFC 5545, 3.6.1).
            event.starts(day).ends(day.succ_opt().unwrap_or(day));
        }
        When::Hours { opens, due } => {
            event.starts(opens.to_utc()).ends(due.to_utc());
            if !date.is_settled {
                let remind = |what: &str, before, related| {
                    Alarm::display(&plain(format!("{what}: {}", date.task.title())), (before, related))
                };
                event.alarm(remind("From now on", TimeDelta::zero(), Related::Start));
                let before_end = -TimeDelta::hours(REMINDED_HOURS);
                event.alarm(remind("Two hours left", before_end, Related::End));
            }
        }
    }
    event.done()
}

/// Grows from one state of the ledger to the next (RFC 5545, 3.8.7.4): the minutes of its moment, which outlast the
/// 31 bits of an integer; of two states in one minute the later stamp counts (RFC 5546, 2.1.5).
fn sequence(stamp: DateTime<Utc>) -> u32 {
    u32::try_from(stamp.timestamp() / 60).unwrap_or_default()
}

/// The identifiers of the entries of a calendar file, ours or another's.
pub(crate) fn identifiers(file: &[u8]) -> HashSet<String> {
    let text = String::from_utf8_lossy(file);
    text.lines().filter_map(|line| line.strip_prefix("UID:")).map(str::to_owned).collect()
}

/// When something is to be done.
enum When {
    /// On a day, at any hour.
    Day(NaiveDate),
    /// Between two moments.
    Hours { opens: DateTime<FixedOffset>, due: DateTime<FixedOffset> },
}

impl Task {
    /// The identifier of its entry in the files of a ledger.
    pub fn uid(&self, ledger: Uuid) -> String {
        Uuid::new_v5(&ledger, self.subject().as_bytes()).to_string()
    }

    /// Names the matter within its ledger; never changes once it was exported.
    fn subject(&self) -> String {
        match self {
            Self::SealCheck { batch, load, .. } => format!("seal-check/{batch}/{load}"),
            Self::EatFirst { month, .. } => format!("eat-first/{}", month.month),
            Self::UseUp { jar, .. } => format!("use-up/{jar}"),
            Self::GaugeTest { canner, .. } => format!("gauge-test/{canner}"),
        }
    }

    fn when(&self) -> When {
        match self {
            Self::SealCheck { opens, due, .. } => When::Hours { opens: *opens, due: *due },
            Self::EatFirst { month, .. } => When::Day(month.month.first_day().unwrap_or(NaiveDate::MAX)),
            Self::UseUp { day, .. } | Self::GaugeTest { day, .. } => When::Day(*day),
        }
    }

    fn title(&self) -> String {
        match self {
            Self::SealCheck { batch, product, jars: 0, .. } => {
                format!("Check seals: {product}, batch {batch}")
            }
            Self::SealCheck { batch, product, jars, .. } => {
                format!("Check seals: {} of {product}, batch {batch}", counted(*jars))
            }
            Self::EatFirst { month, .. } => match month.jars() {
                0 => "Eat first: none due this month".to_owned(),
                jars => format!("Eat first: {} this month", counted(jars)),
            },
            Self::UseUp { jar, product, state, is_withheld: true, .. } => {
                format!("On hold, discard: {state} {product}, jar {jar}")
            }
            Self::UseUp { jar, product, state, .. } => format!("Last day for {state} {product}, jar {jar}"),
            Self::GaugeTest { name, .. } => format!("Have the dial gauge of {name} tested"),
        }
    }

    fn notes(&self) -> String {
        match self {
            Self::SealCheck { load, opens, due, .. } => {
                format!(
                    "Load {load}. From {} to {}. After that a jar that did not seal can only be discarded.",
                    moment_in_words(*opens, *opens),
                    moment_in_words(*due, *opens)
                )
            }
            Self::EatFirst { month, jars } => {
                let products = month.products.iter().map(|item| format!("{} {}", item.jars, item.product));
                let listed = jars.iter().take(LISTED).map(|jar| {
                    let place = jar.place.as_deref().unwrap_or("place not recorded");
                    let best_by = on_screen::day_on_paper(jar.best_by);
                    let mark = jar.process.after_comma();
                    format!("{} {}, best by {best_by}, {place}{mark}", jar.jar, jar.product)
                });
                let mut lines: Vec<String> = products.chain(listed).collect();
                if jars.len() > LISTED {
                    lines.push(format!("and {} more", counted((jars.len() - LISTED) as u64)));
                }
                if jars.iter().any(|jar| jar.process.unrecorded) {
                    lines.push(NO_RECORD.text.to_owned());
                }
                lines.push("Look for signs of spoilage before opening and on opening.".to_owned());
                lines.join("\n")
            }
            Self::UseUp { place, is_withheld, process, .. } => {
                let place = place.as_ref().map_or_else(String::new, |place| format!(" It is in: {place}."));
                let words = match (is_withheld, process.unrecorded) {
                    (true, _) => "It is on hold: do not eat it, discard it.".to_owned(),
                    (false, true) => {
                        format!(
                            "Eat it today only if you know its process yourself, or discard it: {NOT_ON_RECORD}."
                        )
                    }
                    (false, false) => format!("Eat it today or discard it{}.", process.after_comma()),
                };
                format!("{words}{place}")
            }
            Self::GaugeTest { last, .. } => {
                let last = last.map_or_else(
                    || "No test is on record.".to_owned(),
                    |day| format!("Last tested {}.", on_screen::day_on_paper(day)),
                );
                format!("{last} A dial gauge is tested every year, before the season.")
            }
        }
    }
}
