//! What a plan for the season rests on.

use chrono::NaiveDate;

use crate::ledger::counts::appetite::Used;
use crate::rules::eating::past_use::months;

/// What the record says of one product.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Evidence {
    /// Jars opened, also where the rest was thrown away.
    pub(crate) eaten: u32,
    /// Jars emptied into another batch.
    pub(crate) used_in_batches: u32,
    /// Jars given away; they count as use.
    pub(crate) given: u32,
    /// Jars that nobody can find; they do not.
    pub(crate) missing: u32,
    /// Months in which there were some to use.
    pub(crate) months_with_stock: f64,
    /// Months since the first jar came.
    pub(crate) months_on_record: f64,
    /// Whether a year is on record, so that the months to come count as they did before.
    pub(crate) year_on_record: bool,
    /// Whether there were some for less than a third of the time.
    pub(crate) seldom_in_stock: bool,
    /// The most jars used in any time as long as the one asked about.
    pub(crate) most_used: u32,
}

impl Evidence {
    pub(super) fn of(used: &Used, today: NaiveDate, horizon: u32) -> Self {
        let past = used.history.past();
        let on_record = used.history.days_since_first(today);
        Self {
            eaten: used.opened,
            used_in_batches: used.in_batches,
            given: used.given,
            missing: used.missing,
            months_with_stock: rounded(past.months()),
            months_on_record: rounded(months(on_record)),
            year_on_record: used.history.has_a_year(today),
            seldom_in_stock: past.days.saturating_mul(3) < on_record,
            most_used: used.history.most_used_in(horizon),
        }
    }
}

fn rounded(months: f64) -> f64 {
    (months * 10.0).round() / 10.0
}
