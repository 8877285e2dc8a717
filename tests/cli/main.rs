//! The binary as its user meets it: one module a command.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

mod acts;
mod backup;
mod calendar;
mod calendar_file;
mod check;
mod completions;
mod correct;
mod count;
mod days;
mod demo;
mod doctor;
mod eat;
mod examples;
mod gauge;
mod history;
mod hold;
mod import;
mod jar;
mod kitchen;
mod label;
mod manual;
mod narrow;
mod plan;
mod process;
mod progress;
mod putup;
mod putup_note;
mod questions;
mod readers;
mod reading;
mod readme;
mod report;
mod report_page;
mod run;
mod seal;
mod season;
mod setup;
mod shelf;
mod slips;
mod times;
mod today;
mod trace;
mod world;
mod year;
