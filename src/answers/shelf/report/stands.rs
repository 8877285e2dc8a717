//! How and where the jars of the household stand: each in one way and one place.

use std::collections::{HashMap, HashSet};

use chrono::NaiveDate;

use crate::answers::eating::eat::ToEat;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// How a jar stands; whatever it is besides, a jar on hold is on hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Way {
    Shelf,
    Unrecorded,
    Unchecked,
    Unsealed,
    Refrigerator,
    Freezer,
    OnHold,
    Missing,
}

/// Jars of one batch that are alike and stand together.
pub(crate) struct Group {
    pub(crate) way: Way,
    pub(crate) place: Option<String>,
    pub(crate) product: String,
    pub(crate) size: JarSize,
    pub(crate) text: String,
    pub(crate) mark: Option<String>,
    /// Whether they stand in their place, not in the cold or nobody knows where.
    pub(crate) is_here: bool,
    pub(crate) codes: Vec<JarCode>,
}

/// What the jars of a group are alike in.
type Alike = (BatchCode, Way, JarSize, Option<String>, String, bool);

/// All jars, put together.
pub(crate) struct Stands {
    /// By product, then in the order to eat them.
    pub(crate) groups: Vec<Group>,
    /// The jars on the shelf in the order to eat them: what is in them, their best by, and their group.
    pub(crate) shelf: HashMap<String, Vec<OnShelf>>,
}

/// A jar on the shelf.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OnShelf {
    pub(crate) jar: JarCode,
    pub(crate) best_by: NaiveDate,
    pub(crate) group: usize,
}

impl Way {
    fn of(live: &LiveJar, unrecorded: &HashSet<JarCode>) -> Self {
        let jar = &live.jar;
        match jar.state {
            _ if jar.on_hold => Self::OnHold,
            JarState::Cooling => Self::Unchecked,
            JarState::Unsealed => Self::Unsealed,
            JarState::Opened | JarState::Chilled => Self::Refrigerator,
            JarState::Frozen => Self::Freezer,
            JarState::Missing => Self::Missing,
            _ if unrecorded.contains(&jar.code) => Self::Unrecorded,
            _ => Self::Shelf,
        }
    }
}

impl Group {
    pub(crate) fn jars(&self) -> u64 {
        self.codes.len() as u64
    }

    /// The product and the size of jar.
    pub(crate) fn product_and_size(&self) -> String {
        format!("{}, {}", self.product, self.size)
    }
}

impl Stands {
    /// Reads every jar in the household's hands; `unrecorded` are the good ones that are in no plan.
    pub(super) fn read(ledger: &Ledger, clock: Clock, unrecorded: &[ToEat]) -> Result<Self, LedgerError> {
        let unrecorded: HashSet<JarCode> = unrecorded.iter().map(|jar| jar.jar).collect();
        let mut stands = Self { groups: Vec::new(), shelf: HashMap::new() };
        let mut found: HashMap<Alike, usize> = HashMap::new();
        ledger.each_live_jar(&Which::default(), |live| {
            let way = Way::of(&live, &unrecorded);
            let text = text(way, &live, clock);
            let jar = live.jar;
            let is_here = jar.state.cold_place().is_none() && jar.state != JarState::Missing;
            let key = (jar.code.batch, way, jar.size, jar.place, text, is_here);
            let group = *found.entry(key).or_insert_with_key(|(_, _, _, place, text, _)| {
                stands.groups.push(Group {
                    way,
                    place: place.clone(),
                    product: jar.product.clone(),
                    size: jar.size,
                    text: text.clone(),
                    mark: jar.process.in_words(),
                    is_here,
                    codes: Vec::new(),
                });
                stands.groups.len() - 1
            });
            stands.groups[group].codes.push(jar.code);
            if way == Way::Shelf {
                let on_shelf = OnShelf { jar: jar.code, best_by: jar.best_by, group };
                stands.shelf.entry(jar.product).or_default().push(on_shelf);
            }
            Ok::<(), LedgerError>(())
        })?;
        Ok(stands)
    }

    /// How many jars stand in one way.
    pub(crate) fn jars(&self, way: Way) -> u64 {
        self.groups.iter().filter(|group| group.way == way).map(Group::jars).sum()
    }
}

/// What is said of a jar that stands in one way.
fn text(way: Way, live: &LiveJar, clock: Clock) -> String {
    let jar = &live.jar;
    let day = |day| on_screen::day_on_paper(day);
    let place = at(jar.place.as_deref());
    let mark = jar.process.after_comma();
    match way {
        // Its place stands in the heading above it.
        Way::Shelf => best(jar.best_by, &jar.process),
        Way::Unrecorded => format!("{place}: {}", best(jar.best_by, &jar.process)),
        Way::Unchecked | Way::Unsealed => format!("{place}: put up {}{mark}", day(jar.put_up)),
        Way::Refrigerator => format!("{}: {}{mark}", jar.state, live.keeps(clock.now).in_column(day)),
        Way::Freezer => match live.since {
            Some(since) => format!("since {}{mark}", day(since.date_naive())),
            None => format!("put up {}{mark}", day(jar.put_up)),
        },
        // The reasons are shown with it.
        Way::OnHold => String::new(),
        Way::Missing => format!("was on {place}"),
    }
}

/// A place in words.
pub(crate) fn at(place: Option<&str>) -> &str {
    place.unwrap_or("place not recorded")
}

/// Until when a jar is best, and what must be said of its process.
pub(crate) fn best(best_by: NaiveDate, process: &ProcessMark) -> String {
    format!("best by {}{}", on_screen::day_on_paper(best_by), process.after_comma())
}
