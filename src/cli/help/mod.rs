//! Help: manual pages, examples and completion.
//!
//! May use the tree of commands.

pub(super) mod complete;
pub(super) mod completions;
pub(super) mod examples;
pub(super) mod man;
pub(super) mod other_words;
pub(super) mod usage;
