//! What the tables mean, the steps between versions, and reading columns into values.
//!
//! Uses values only.

pub mod cell;
pub mod many_rows;
pub mod migrate;
pub mod row;
pub mod version;
pub mod wall_clock;
