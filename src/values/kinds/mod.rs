//! The kinds of the trade: jar sizes, methods, packs, keys of foods, how sure a figure is.
//!
//! May use: names.

pub mod acid;
pub mod basis;
pub mod food;
pub mod jar_size;
pub mod method;
pub mod run_step;
pub mod seal_test;
