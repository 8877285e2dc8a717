//! Help: manual pages, examples, completion, and what is said of wrong arguments.
//!
//! May use: talk, ledger, paper, rules, tables, values.

pub(super) mod complete;
pub(super) mod completions;
pub(super) mod examples;
pub(super) mod man;
pub(super) mod other_words;
pub(super) mod usage;
