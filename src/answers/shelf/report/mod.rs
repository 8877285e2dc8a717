//! Everything about the shelf at once: how each jar stands, each product, the season to come and the year gone by.
//!
//! May use: eating, ledger, rules, values.

pub(crate) mod products;
pub(crate) mod stands;

use std::collections::HashMap;

use chrono::{Months, NaiveDate};

use crate::answers::eating::eat;
use crate::answers::eating::eat::MONTHS_AHEAD;
use crate::answers::eating::season::answer::Answer as Season;
use crate::answers::eating::season::asked::Asked;
use crate::answers::eating::season::on_hand::OnHand;
use crate::answers::shelf::report::products::{Product, products};
use crate::answers::shelf::report::stands::{OnShelf, Stands};
use crate::ledger::counts::wasted::Wasted;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::eating::sureness::Sureness;
use crate::values::time::civil_day::add_months;
use crate::values::time::clock::Clock;
use crate::values::time::month::Month;

/// Everything the report shows.
pub(crate) struct Answer {
    pub(crate) eat: eat::Answer,
    pub(crate) stands: Stands,
    pub(crate) products: Vec<Product>,
    /// Jars that pass their best by uneaten at the household's own rate, the first first.
    pub(crate) not_reached: Vec<OnShelf>,
    /// What to put up, as `season` plans it where nothing else is asked.
    pub(crate) season: Season,
    /// First day that the past year looks back to.
    pub(crate) year_since: NaiveDate,
    /// Jars thrown away in it, the latest first.
    pub(crate) wasted: Vec<Wasted>,
    /// What stands out among lid lots, canners and products, in words.
    pub(crate) seals: Vec<String>,
}

impl Answer {
    /// Reads it all.
    pub(crate) fn read(ledger: &Ledger, clock: Clock) -> Result<Self, LedgerError> {
        let today = clock.today();
        let year_since = today.checked_sub_months(Months::new(12)).unwrap_or(NaiveDate::MIN);
        let eat = eat::Answer::read(ledger, clock, Month::of(today), MONTHS_AHEAD)?;
        let appetites = ledger.appetites(today)?;
        let stands = Stands::read(ledger, clock, &eat.unrecorded)?;
        let (products, not_reached) =
            products(&appetites, &stands, &eat, ledger.since_then(year_since)?, today);
        let asked = Asked {
            today,
            until: add_months(today, 12),
            sure: Sureness::default(),
            product: None,
            changes: &HashMap::new(),
            on_hand: &OnHand::default(),
        };
        let season = Season::read(ledger, &appetites, &asked)?;
        // Only what stands out: most groups fail like any other, and a list of them says nothing.
        let mut seals = ledger.seal_statistics()?;
        seals.retain(|of| of.groups.iter().any(|group| group.stands_out()));
        Ok(Self {
            eat,
            stands,
            products,
            not_reached,
            season,
            year_since,
            wasted: ledger.wasted(year_since)?,
            seals: seals.iter().flat_map(|of| of.sentences()).collect(),
        })
    }
}
