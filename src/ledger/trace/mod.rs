//! From one thing gone wrong to every jar that shares it.
//!
//! May use: entry, error, file, jar, schema, rules, values.

pub mod follow;
pub mod made_with;
pub mod query;
pub mod reprocessed;
pub mod trace_links;
pub mod traced;

#[cfg(test)]
mod tests;
