//! The page at the shelf: plain http for the household's phones, on one thread.
//!
//! May use: answers, ledger, paper, rules, tables, values.
//!
//! Never the terminal. It serves nothing but its own.

mod acts;
mod ask;
pub mod form;
mod gate;
mod html;
mod look;
mod reply;
mod run;
pub mod serve;
