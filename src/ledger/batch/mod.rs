//! Batches and loads: putting up, importing, judging, their stories, and how it was done the last time.
//!
//! May use: entry, error, file, jar, schema, trace, rules, values.

pub mod batch_story;
pub mod import;
pub mod jar_story;
pub mod judging;
pub mod last_load;
pub mod last_time;
pub mod load;
pub mod load_facts;
pub mod out_moved;
pub mod put_up;
pub mod rejudged;
pub(in crate::ledger) mod vouched;
