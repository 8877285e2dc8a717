//! Each product over the past year and the year ahead, and how long it lasts.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use crate::answers::eating::eat;
use crate::cli::eating::eat::words::named;
use crate::cli::shelf::report::lines::at;
use crate::cli::shelf::report::stands::{OnShelf, Stands, Way};
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::counts::past_year::SinceThen;
use crate::paper::report::{Figure, JarsLine, LastingLine, Outlook, ProductLine, YearLine};
use crate::rules::eating::keep_up::{KeepUp, keep_up};
use crate::values::codes::jar_code::JarCode;
use crate::values::names::name::Name;
use crate::values::time::month::Month;

/// Months of the plan after the current one: jars put up today are in the last of them.
pub(super) const MONTHS_AHEAD: u32 = 12;

/// The products that had a jar within the past year, by name.
pub(super) struct Products {
    pub(super) lines: Vec<ProductLine>,
    /// Jars that pass their best by uneaten at the household's own rate, the first first.
    pub(super) not_reached: Vec<JarCode>,
    /// The same with their best by, and the group they stand in.
    missed: Vec<OnShelf>,
}

/// The group of products that have no month to last until.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Lasts {
    Gone,
    NoneOnShelf,
    PastBest,
    Until(Month),
    NotInTime,
    NoRate,
}

impl Products {
    pub(super) fn of(
        appetites: &[Appetite],
        stands: &Stands,
        eat: &eat::Answer,
        since_then: &[SinceThen],
        today: NaiveDate,
    ) -> Self {
        let mut lines: BTreeMap<String, ProductLine> = BTreeMap::new();
        let mut missed = Vec::new();
        for group in &stands.groups {
            let line = line_of(&mut lines, &group.product);
            if group.way == Way::Shelf {
                *line.sizes.entry(group.size).or_default() += group.jars();
                if let Some(mark) = &group.mark {
                    *line.marks.entry(mark.clone()).or_default() += group.jars();
                }
                continue;
            }
            Figure::add(&mut line.elsewhere, group.way.in_words(), group.jars());
        }
        for of in since_then {
            line_of(&mut lines, &of.product).year = YearLine {
                put_up: of.put_up.into(),
                eaten: of.eaten.into(),
                given: of.given.into(),
                thrown_away: of.thrown_away.into(),
            };
        }
        for appetite in appetites {
            let line = line_of(&mut lines, &appetite.product);
            line.past = appetite.past_year.iter().map(|&jars| jars.into()).collect();
            let jars = stands.shelf.get(&appetite.product).map_or(&[][..], Vec::as_slice);
            let ahead: Vec<OnShelf> = jars.iter().copied().filter(|jar| jar.best_by >= today).collect();
            let kept = keep_up(&ahead, today, appetite.past, |jar| jar.best_by);
            line.outlook = Some(outlook(appetite, line, &ahead, kept.as_ref()));
            missed.extend(kept.into_iter().flat_map(|kept| kept.surplus).copied());
        }
        let owed = owed(eat, today);
        for line in lines.values_mut() {
            line.past.resize(MONTHS_AHEAD as usize + 1, 0);
            let mut left = line.past.last().copied().unwrap_or(0);
            let owed = owed.get(&line.product[..]).copied().unwrap_or_default();
            line.ahead = owed
                .iter()
                .map(|jars| {
                    left = left.saturating_sub(*jars);
                    left
                })
                .collect();
        }
        missed.sort_by_key(|jar| (jar.best_by, jar.jar));
        Self {
            lines: lines.into_values().filter(had_a_jar).collect(),
            not_reached: missed.iter().map(|jar| jar.jar).collect(),
            missed,
        }
    }

    /// The products by how long they last.
    pub(super) fn lasting(&self) -> Vec<LastingLine> {
        let mut by_time: BTreeMap<Lasts, Vec<String>> = BTreeMap::new();
        for line in &self.lines {
            let Some(outlook) = line.outlook else { continue };
            let lasts = match outlook {
                Outlook::RanOut { .. } => Lasts::Gone,
                Outlook::NothingAhead if line.sizes.is_empty() => Lasts::NoneOnShelf,
                Outlook::NothingAhead => Lasts::PastBest,
                Outlook::NoRate => Lasts::NoRate,
                Outlook::Reached { runs_out } | Outlook::Surplus { runs_out: Some(runs_out), .. } => {
                    Lasts::Until(Month::of(runs_out))
                }
                Outlook::Surplus { runs_out: None, .. } => Lasts::NotInTime,
            };
            // Nothing on the shelf is not nothing in the house.
            let elsewhere = line.elsewhere.iter().filter(|_| lasts == Lasts::NoneOnShelf);
            let why: Vec<String> = elsewhere.map(|Figure { what, jars }| format!("{jars} {what}")).collect();
            let product = if why.is_empty() {
                line.product.clone()
            } else {
                format!("{} ({})", line.product, why.join(", "))
            };
            by_time.entry(lasts).or_default().push(product);
        }
        by_time
            .into_iter()
            .map(|(lasts, products)| LastingLine { until: lasts.in_words(), products })
            .collect()
    }

    /// The jars that are not reached, by batch and place.
    pub(super) fn surplus(&self, stands: &Stands) -> Vec<JarsLine> {
        let mut groups: Vec<(usize, Vec<JarCode>)> = Vec::new();
        let mut found: HashMap<usize, usize> = HashMap::new();
        for jar in &self.missed {
            let turn = *found.entry(jar.group).or_insert_with(|| {
                groups.push((jar.group, Vec::new()));
                groups.len() - 1
            });
            groups[turn].1.push(jar.jar);
        }
        groups
            .into_iter()
            .map(|(group, codes)| {
                let group = &stands.groups[group];
                let place = at(group.place.as_deref());
                JarsLine {
                    count: codes.len() as u64,
                    jars: named(codes),
                    product: group.product_and_size(),
                    text: format!("{place}: {}", group.text),
                }
            })
            .collect()
    }
}

impl Lasts {
    fn in_words(self) -> String {
        match self {
            Self::Gone => "None left".to_owned(),
            Self::NoneOnShelf => "None on the shelf".to_owned(),
            Self::PastBest => "Past best by".to_owned(),
            Self::Until(month) => format!("Until {}", month.in_words()),
            Self::NotInTime => "Not eaten in time".to_owned(),
            Self::NoRate => "None eaten yet".to_owned(),
        }
    }
}

/// Name by name as they are found by.
fn line_of<'l>(lines: &'l mut BTreeMap<String, ProductLine>, product: &str) -> &'l mut ProductLine {
    let key = product.parse::<Name>().map_or_else(|_| product.to_owned(), |name| name.key());
    lines.entry(key).or_insert_with(|| ProductLine { product: product.to_owned(), ..ProductLine::default() })
}

fn had_a_jar(line: &ProductLine) -> bool {
    let stood = line.past.iter().any(|&jars| jars > 0);
    stood || !line.sizes.is_empty() || !line.elsewhere.is_empty() || line.year != YearLine::default()
}

/// The jars of each product to eat in each month from this one on.
fn owed(eat: &eat::Answer, today: NaiveDate) -> HashMap<&str, [u64; MONTHS_AHEAD as usize]> {
    let current = Month::of(today);
    let mut owed: HashMap<&str, [u64; MONTHS_AHEAD as usize]> = HashMap::new();
    for of_month in &eat.months {
        let months = owed.entry(&*of_month.product).or_default();
        if let Some(jars) = months.get_mut(of_month.month.since(current) as usize) {
            *jars += of_month.jars;
        }
    }
    owed
}

fn outlook(
    appetite: &Appetite,
    line: &ProductLine,
    ahead: &[OnShelf],
    kept: Option<&KeepUp<'_, OnShelf>>,
) -> Outlook {
    // A jar in the freezer, on hold or missing is still a jar of it.
    if line.sizes.is_empty()
        && line.elsewhere.is_empty()
        && let Some(on) = appetite.last_left
    {
        return Outlook::RanOut { on };
    }
    if ahead.is_empty() {
        return Outlook::NothingAhead;
    }
    match kept.map(|kept| (kept.surplus.len(), kept.runs_out)) {
        None => Outlook::NoRate,
        Some((0, Some(runs_out))) => Outlook::Reached { runs_out },
        Some((surplus, runs_out)) => Outlook::Surplus { jars: surplus as u64, runs_out },
    }
}
