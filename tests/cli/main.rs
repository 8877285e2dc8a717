//! The binary as its user meets it: one module a command.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

mod history;
mod kitchen;
mod calendar_file;
mod readers;
mod report_page;
mod setup;
mod shelf;
mod world;
