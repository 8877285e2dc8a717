//! Names people give to things, words spelled nearly right, and fixed names of kinds.
//!
//! May use: nothing.

pub mod counted;
pub mod decimal;
pub mod everyday;
pub mod name;
pub mod named;
pub mod near;
pub mod nothing;
pub mod number_words;
pub(crate) mod quoted;
