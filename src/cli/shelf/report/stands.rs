//! How and where the jars of the household stand: each in one way and one place.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::NaiveDate;

use crate::answers::eating::eat::ToEat;
use crate::cli::eating::eat::words::named;
use crate::cli::errors::Failure;
use crate::cli::shelf::report::lines::{at, best};
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::paper::report::{Aside, Figure, JarsLine, PlaceLine};
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// How a jar stands; whatever it is besides, a jar on hold is on hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Way {
    Shelf,
    Unrecorded,
    Unchecked,
    Unsealed,
    Refrigerator,
    Freezer,
    OnHold,
    Missing,
}

/// All of them, in the order they are shown.
const WAYS: [Way; 8] = [
    Way::Shelf,
    Way::Unrecorded,
    Way::Unchecked,
    Way::Unsealed,
    Way::Refrigerator,
    Way::Freezer,
    Way::OnHold,
    Way::Missing,
];

/// Jars of one batch that are alike and stand together.
pub(super) struct Group {
    pub(super) way: Way,
    pub(super) place: Option<String>,
    pub(super) product: String,
    pub(super) size: JarSize,
    pub(super) text: String,
    pub(super) mark: Option<String>,
    /// Whether they stand in their place, not in the cold or nobody knows where.
    is_here: bool,
    pub(super) codes: Vec<JarCode>,
}

/// What the jars of a group are alike in.
type Alike = (BatchCode, Way, JarSize, Option<String>, String, bool);

/// All jars, put together.
pub(super) struct Stands {
    /// By product, then in the order to eat them.
    pub(super) groups: Vec<Group>,
    /// The jars on the shelf in the order to eat them: what is in them, their best by, and their group.
    pub(super) shelf: HashMap<String, Vec<OnShelf>>,
}

/// A jar on the shelf.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnShelf {
    pub(super) jar: JarCode,
    pub(super) best_by: NaiveDate,
    pub(super) group: usize,
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

    /// What a number of such jars is followed by.
    pub(super) const fn in_words(self) -> &'static str {
        match self {
            Self::Shelf => "on the shelf",
            Self::Unrecorded => "process not on record",
            Self::Unchecked => "seal not checked",
            Self::Unsealed => "not sealed",
            Self::Refrigerator => "in the refrigerator",
            Self::Freezer => "in the freezer",
            Self::OnHold => "on hold",
            Self::Missing => "missing",
        }
    }

    /// The heading over such jars, and what to bear in mind.
    const fn heading(self) -> (&'static str, &'static str) {
        match self {
            Self::Shelf => ("On the shelf", ""),
            Self::Unrecorded => (
                "Process not on record",
                "Low-acid and tomato food: unless you know its process yourself, do not eat it.",
            ),
            Self::Unchecked => ("Seal not checked", "Not food on the shelf until the lids were checked."),
            Self::Unsealed => ("Not sealed", "Not food on the shelf until something is decided about them."),
            Self::Refrigerator => ("In the refrigerator", ""),
            Self::Freezer => ("In the freezer", ""),
            Self::OnHold => ("On hold", "Do not eat from these jars."),
            Self::Missing => ("Missing", "Not found where they should stand."),
        }
    }
}

impl Group {
    pub(super) fn jars(&self) -> u64 {
        self.codes.len() as u64
    }

    /// The product and the size of jar.
    pub(super) fn product_and_size(&self) -> String {
        format!("{}, {}", self.product, self.size)
    }

    fn line(&self, text: String) -> JarsLine {
        JarsLine {
            count: self.jars(),
            jars: named(self.codes.iter().copied()),
            product: self.product_and_size(),
            text,
        }
    }
}

impl Stands {
    /// Reads every jar in the household's hands; `unrecorded` are the good ones that are in no plan.
    pub(super) fn read(ledger: &Ledger, clock: Clock, unrecorded: &[ToEat]) -> Result<Self, Failure> {
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
            Ok::<(), Failure>(())
        })?;
        Ok(stands)
    }

    /// How many jars stand in one way.
    pub(super) fn jars(&self, way: Way) -> u64 {
        self.groups.iter().filter(|group| group.way == way).map(Group::jars).sum()
    }

    /// The figures that add up to all jars; those on the shelf are shown even where there are none.
    pub(super) fn figures(&self) -> Vec<Figure> {
        WAYS.iter()
            .map(|&way| (way, self.jars(way)))
            .filter(|&(way, jars)| jars > 0 || way == Way::Shelf)
            .map(|(way, jars)| Figure { what: way.in_words(), jars })
            .collect()
    }

    /// What stands on the shelf, place by place, and how many jars beside it are no food as they stand; what has no
    /// place on record comes last.
    pub(super) fn places(&self) -> Vec<PlaceLine> {
        let mut places: BTreeMap<(bool, Option<&str>), PlaceLine> = BTreeMap::new();
        for group in self.groups.iter().filter(|group| group.is_here) {
            let place = group.place.as_deref();
            let line = places.entry((place.is_none(), place)).or_insert_with(|| PlaceLine {
                place: at(place).to_owned(),
                products: Vec::new(),
                batches: Vec::new(),
                besides: Vec::new(),
            });
            if group.way != Way::Shelf {
                Figure::add(&mut line.besides, group.way.in_words(), group.jars());
                continue;
            }
            let product = group.product_and_size();
            match line.products.iter_mut().find(|(known, _)| *known == product) {
                Some((_, jars)) => *jars += group.jars(),
                None => line.products.push((product, group.jars())),
            }
            line.batches.push(group.line(group.text.clone()));
        }
        places.into_values().collect()
    }

    /// The jars kept apart, with the reasons of those on hold.
    pub(super) fn aside(&self, on_hold: &[JarsLine]) -> Vec<Aside> {
        (WAYS[1..].iter())
            .map(|&way| {
                let (what, note) = way.heading();
                let of_way = self.groups.iter().filter(|group| group.way == way);
                let lines = match way {
                    Way::OnHold => on_hold.to_vec(),
                    _ => of_way.map(|group| group.line(group.text.clone())).collect(),
                };
                Aside { what, note, lines }
            })
            .filter(|aside| !aside.lines.is_empty())
            .collect()
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
