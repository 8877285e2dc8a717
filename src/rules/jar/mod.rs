//! The life of one jar: its states, what may happen to it, how long it keeps, what has to be decided.
//!
//! May use: food, load, seal, tables, values.

pub mod decide_now;
pub mod jar_state;
pub mod keeps;
pub mod label_warning;
pub mod opened;
pub mod permit;
