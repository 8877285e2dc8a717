//! The binary as its user meets it: one folder a room of commands.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

mod arguments;
mod canning_day;
mod common;
mod eating;
mod help;
mod kitchen;
mod planning;
mod recall;
mod record;
mod shelf;
mod talk;
