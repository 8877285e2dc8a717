//! Everything said or asked: the screen, questions, and words that several commands show.
//!
//! May use: answers, ledger, paper, rules, values.
//!
//! The only place that writes to the terminal.

pub(super) mod ask;
pub(super) mod jar_offers;
pub(super) mod offers;
mod pager;
pub(super) mod place;
pub(super) mod progress;
pub(super) mod screen;
pub(super) mod stderr;
pub(super) mod stdout;
mod text_field;
mod text_prompt;
