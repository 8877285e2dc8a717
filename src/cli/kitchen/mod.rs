//! The kitchen: setup, settings, canners and their gauges.
//!
//! May use: arguments, recall, talk, answers, ledger, paper, rules, tables, values.

pub(super) mod canner;
pub(super) mod gauge;
pub(super) mod gauge_words;
pub(super) mod rejudged_words;
pub(super) mod settings;
pub(super) mod setup;
