//! What the report shows, in plain values.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::paper::text::lines::MonthLine;
use crate::rules::eating::keep_up::Outlook;
use crate::values::kinds::jar_size::JarSize;

/// Everything on the page. Lists are in the order they are shown.
#[derive(Debug, Clone, Default)]
pub struct Report {
    /// The day the figures stand for.
    pub as_of: NaiveDate,
    /// Whether what is folded shall stand open, as for print.
    pub unfolded: bool,
    /// How many jars stand in which way: each jar in one of them.
    pub figures: Vec<Figure>,
    /// Jars unsealed, unchecked, opened and running out.
    pub decide_now: Vec<JarsLine>,
    /// Jars owed this month, oldest first.
    pub eat_first: Vec<JarsLine>,
    /// Jars whose best by has gone.
    pub past_best: Vec<JarsLine>,
    /// Jars on the shelf by place.
    pub places: Vec<PlaceLine>,
    /// Jars in the household's hands that are not food on the shelf.
    pub aside: Vec<Aside>,
    /// Products by the month their jars last until, at the household's own rate.
    pub lasting: Vec<LastingLine>,
    /// Jars that pass their best by uneaten at that rate, the first first.
    pub surplus: Vec<JarsLine>,
    /// Each product's stock over the past year and the plan ahead.
    pub products: Vec<ProductLine>,
    /// The plan for all products, the current month first.
    pub months: Vec<MonthLine>,
    /// What to put up for the next season.
    pub season: Season,
    /// First day that the past year looks back to.
    pub year_since: NaiveDate,
    /// Jars thrown away in it, the latest first.
    pub wasted: Vec<JarsLine>,
    /// What stands out among lid lots, canners and products, in words.
    pub seals: Vec<String>,
    /// What must be said beside all this.
    pub cautions: Vec<String>,
}

/// How many jars stand in one way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// The way: "in the freezer".
    pub what: &'static str,
    /// How many.
    pub jars: u64,
}

impl Figure {
    /// Counts jars to those that stand alike.
    pub fn add(figures: &mut Vec<Self>, what: &'static str, jars: u64) {
        match figures.iter_mut().find(|figure| figure.what == what) {
            Some(figure) => figure.jars += jars,
            None => figures.push(Self { what, jars }),
        }
    }
}

/// Jars of one batch and one place of which one thing is to be said.
#[derive(Debug, Clone)]
pub struct JarsLine {
    /// Which: one code, or a batch and numbers.
    pub jars: String,
    /// How many.
    pub count: u64,
    /// What is in them, and their size where that matters.
    pub product: String,
    /// Where they stand, and what is to be said.
    pub text: String,
}

/// What stands in one place.
#[derive(Debug, Clone)]
pub struct PlaceLine {
    /// The place.
    pub place: String,
    /// How many of which product.
    pub products: Vec<(String, u64)>,
    /// The same by batch, with the best by of each.
    pub batches: Vec<JarsLine>,
    /// Jars there that are no food as they stand.
    pub besides: Vec<Figure>,
}

/// Jars kept apart from the food on the shelf, for one reason.
#[derive(Debug, Clone)]
pub struct Aside {
    /// The heading.
    pub what: &'static str,
    /// What to bear in mind.
    pub note: &'static str,
    /// The jars.
    pub lines: Vec<JarsLine>,
}

/// Products that last equally long.
#[derive(Debug, Clone)]
pub struct LastingLine {
    /// How long.
    pub until: String,
    /// Which.
    pub products: Vec<String>,
}

/// One product at a glance.
#[derive(Debug, Clone, Default)]
pub struct ProductLine {
    /// The product.
    pub product: String,
    /// Jars on the shelf by size.
    pub sizes: BTreeMap<JarSize, u64>,
    /// What must be said of the process of some of them, and of how many.
    pub marks: BTreeMap<String, u64>,
    /// Jars elsewhere: "9 in the freezer".
    pub elsewhere: Vec<Figure>,
    /// Jars on the shelf on the same day of each of the past twelve months, today last.
    pub past: Vec<u64>,
    /// Jars still there after each of the twelve months ahead, if the plan is kept.
    pub ahead: Vec<u64>,
    /// What became of it in the past year.
    pub year: YearLine,
    /// What comes of the household's own rate.
    pub outlook: Option<Outlook>,
}

/// What was put up of a product in the past year, and what became of jars of it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct YearLine {
    /// Jars put up.
    pub put_up: u64,
    /// Jars eaten, or emptied into another batch.
    pub eaten: u64,
    /// Jars given away.
    pub given: u64,
    /// Jars thrown away.
    pub thrown_away: u64,
}

/// What to put up for the next season.
#[derive(Debug, Clone, Default)]
pub struct Season {
    /// The day the next season's jars are there.
    pub until: NaiveDate,
    /// The products to put up.
    pub lines: Vec<SeasonLine>,
    /// The list for shopping and for work.
    pub in_all: String,
    /// Products with too little history to plan by.
    pub unknown: Vec<String>,
}

/// One product in one size to put up.
#[derive(Debug, Clone)]
pub struct SeasonLine {
    /// The product and the size of jar.
    pub product: String,
    /// Jars that the household needs until then.
    pub needed: u32,
    /// Jars on the shelf that will keep.
    pub will_keep: u32,
    /// Jars to put up.
    pub put_up: u32,
}
