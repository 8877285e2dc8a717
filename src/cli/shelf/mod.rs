//! The shelf: stock, a jar, a batch, stocktake, moves, what is due today, report, calendar and the page.
//!
//! May use: arguments, eating, planning, talk, answers, ledger, paper, rules, values.

pub(super) mod batch;
pub(super) mod calendar;
pub(super) mod count;
pub(super) mod jar;
pub(super) mod missing;
pub(super) mod months_ahead;
pub(super) mod move_to;
mod place_meant;
pub(super) mod report;
pub(super) mod serve;
pub(super) mod stock;
pub(super) mod today;
