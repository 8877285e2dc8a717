//! What the tables mean, the steps between versions, and reading cells into values.
//!
//! May use: error, values.

pub mod cell;
pub mod many_rows;
pub mod migrate;
pub mod row;
pub mod version;
pub mod wall_clock;
