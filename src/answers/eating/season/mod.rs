//! What `season` answers: what will be used, what will keep till then, and what to put up.
//!
//! May use: ledger, rules, values.

pub(crate) mod answer;
pub(crate) mod asked;
pub(crate) mod evidence;
pub(crate) mod expected;
pub(crate) mod lasting;
pub(crate) mod on_hand;

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use crate::answers::eating::season::answer::{Answer, Line, Totals};
use crate::answers::eating::season::asked::Asked;
use crate::answers::eating::season::evidence::Evidence;
use crate::answers::eating::season::lasting::Lasting;
use crate::ledger::batch::last_load::LastLoad;
use crate::ledger::counts::appetite::{Appetite, Used};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::Which;
use crate::rules::eating::dispersion::Unevenness;
use crate::rules::eating::season::{ExpectedUse, still_good, use_to_come};
use crate::rules::eating::season_work::{Pattern, work};
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::altitude::Altitude;

/// How many of the jars that may be eaten have their best by on each day still ahead, by product and size.
type Ahead = HashMap<(String, JarSize), BTreeMap<NaiveDate, u64>>;

impl Answer {
    /// Answers from past use, stock and past loads.
    pub(crate) fn read(
        ledger: &Ledger,
        appetites: &[Appetite],
        asked: &Asked<'_>,
    ) -> Result<Self, LedgerError> {
        let stock = stock(ledger, asked.today)?;
        let loads: HashMap<(String, JarSize), LastLoad> =
            ledger.last_loads()?.into_iter().map(|load| ((load.product.clone(), load.size), load)).collect();
        let household = ledger.household_processes()?;
        let kitchen = ledger.household().ok().map(|household| household.altitude);
        let mut of_household = Unevenness::default();
        for appetite in appetites {
            of_household += Unevenness::of(&appetite.of_any_size.history);
        }
        let mut lines = Vec::new();
        let mut product = None;
        for appetite in appetites {
            if asked.product.is_some_and(|product| product != appetite.product) {
                continue;
            }
            let what_if = asked.changes.get(&appetite.product).copied();
            let forecast = |of: &Used| {
                let what_if = what_if.unwrap_or_default();
                use_to_come(&of.history, &of_household, asked.today, asked.horizon(), what_if)
            };
            if asked.product.is_some() {
                let sizes = appetite.sizes.iter().map(|(size, _)| *size);
                let of_any_size = sizes.filter_map(|size| stock.get(&(appetite.product.clone(), size)));
                let use_to_come = forecast(&appetite.of_any_size);
                let named = appetite.product.parse().map_err(|_| {
                    LedgerError::Unreadable(format!("the name of the product {:?}", appetite.product))
                })?;
                let others = Which { products: vec![named], not_good: true, ..Which::default() };
                let others = ledger.shelf(&others, asked.today)?;
                product = Some(Lasting::of(appetite, use_to_come, &days(of_any_size), &others, asked));
            }
            for &(size, ref used) in &appetite.sizes {
                let key = (appetite.product.clone(), size);
                let expected = forecast(used).map(|use_to_come| ExpectedUse::of(use_to_come, asked.sure));
                let best_by = days(stock.get(&key));
                let good = expected
                    .map(|expected| still_good(&best_by, asked.today, expected.enough, asked.horizon()));
                let put_up = expected.zip(good).map(|(expected, good)| expected.to_put_up(good));
                let load = loads.get(&key);
                let pattern = pattern(load, kitchen);
                lines.push(Line {
                    work: put_up.filter(|&jars| jars > 0).map(|jars| work(jars, size, &pattern, &household)),
                    canner: load.and_then(|load| Some(load.canner.as_ref()?.name.clone())),
                    what_if: what_if.map(|change| change.to_string()),
                    in_stock: best_by.len(),
                    still_good: good,
                    put_up,
                    ..Line::of(key, Evidence::of(used, asked.today, asked.horizon()), expected)
                });
            }
        }
        let totals = Totals::of(&lines, asked.on_hand);
        Ok(Self { until: asked.until, sure: asked.sure.share(), product, lines, totals })
    }
}

fn stock(ledger: &Ledger, today: NaiveDate) -> Result<Ahead, LedgerError> {
    let mut stock = Ahead::new();
    ledger.alike_jars(|jars| {
        if jars.good && jars.best_by >= today {
            let count = jars.ids.len() as u64;
            *stock.entry((jars.product, jars.size)).or_default().entry(jars.best_by).or_default() += count;
        }
    })?;
    Ok(stock)
}

/// The days on which jars have their best by, earliest first, one day a jar.
fn days<'a>(stocks: impl IntoIterator<Item = &'a BTreeMap<NaiveDate, u64>>) -> Vec<NaiveDate> {
    let mut days: Vec<NaiveDate> = (stocks.into_iter().flatten())
        .flat_map(|(&day, &jars)| std::iter::repeat_n(day, jars as usize))
        .collect();
    days.sort_unstable();
    days
}

fn pattern(load: Option<&LastLoad>, kitchen: Option<Altitude>) -> Pattern {
    let Some(load) = load else { return Pattern::default() };
    let canner = load.canner.as_ref();
    Pattern {
        food: load.food.clone(),
        pack: load.pack,
        method: canner.map(|canner| canner.method),
        holds: canner.and_then(|canner| canner.holds),
        come_up: canner.and_then(|canner| canner.come_up),
        altitude: load.altitude.or(kitchen),
    }
}
