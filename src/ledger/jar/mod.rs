//! Jars: finding them, what happened to them, their seals and holds, the stock.
//!
//! May use: entry, error, file, schema, rules, values.

pub mod acts;
pub mod alike;
pub mod event;
pub mod find;
pub mod glance;
pub mod hold;
pub mod jar_words;
pub mod kept;
pub mod live;
pub mod rescue;
pub mod seal;
pub mod shelf;

#[cfg(test)]
mod tests;
