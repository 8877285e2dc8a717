//! Each product over the past year and the year ahead, and how long it lasts.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use crate::answers::eating::eat;
use crate::answers::eating::eat::MONTHS_AHEAD;
use crate::answers::shelf::report::stands::{OnShelf, Stands, Way};
use crate::ledger::counts::appetite::Appetite;
use crate::ledger::counts::past_year::SinceThen;
use crate::rules::eating::keep_up::{KeepUp, Outlook, keep_up};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;
use crate::values::time::month::Month;

/// One product.
#[derive(Default)]
pub(crate) struct Product {
    pub(crate) product: String,
    /// Jars on the shelf by size.
    pub(crate) sizes: BTreeMap<JarSize, u64>,
    /// What must be said of the process of some of them, and of how many.
    pub(crate) marks: BTreeMap<String, u64>,
    /// Jars that stand in other ways.
    pub(crate) elsewhere: Vec<(Way, u64)>,
    /// Jars on the shelf on the same day of each of the past twelve months, today last.
    pub(crate) past: Vec<u64>,
    /// Jars still there after each of the twelve months ahead, if the plan is kept.
    pub(crate) ahead: Vec<u64>,
    /// What became of it in the past year, if anything did.
    pub(crate) year: Option<SinceThen>,
    /// What comes of the household's own rate.
    pub(crate) outlook: Option<Outlook>,
}

/// The products that had a jar within the past year, by name, and the jars that pass their best by uneaten at the
/// household's own rate, the first first.
pub(super) fn products(
    appetites: &[Appetite],
    stands: &Stands,
    eat: &eat::Answer,
    since_then: Vec<SinceThen>,
    today: NaiveDate,
) -> (Vec<Product>, Vec<OnShelf>) {
    let mut lines: BTreeMap<String, Product> = BTreeMap::new();
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
        match line.elsewhere.iter_mut().find(|(way, _)| *way == group.way) {
            Some((_, jars)) => *jars += group.jars(),
            None => line.elsewhere.push((group.way, group.jars())),
        }
    }
    for of in since_then {
        let line = line_of(&mut lines, &of.product);
        line.year = Some(of);
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
    (lines.into_values().filter(had_a_jar).collect(), missed)
}

/// Name by name as they are found by.
fn line_of<'l>(lines: &'l mut BTreeMap<String, Product>, product: &str) -> &'l mut Product {
    let key = product.parse::<Name>().map_or_else(|_| product.to_owned(), |name| name.key());
    lines.entry(key).or_insert_with(|| Product { product: product.to_owned(), ..Product::default() })
}

fn had_a_jar(line: &Product) -> bool {
    let stood = line.past.iter().any(|&jars| jars > 0);
    stood || !line.sizes.is_empty() || !line.elsewhere.is_empty() || line.year.is_some()
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
    line: &Product,
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
