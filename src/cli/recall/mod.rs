//! Something is wrong: holds, releases, traces and the sheet of jars to pull.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

pub(super) mod hold;
pub(super) mod pull_sheet;
pub(super) mod release;
pub(super) mod trace;
