//! The day itself: putting up, running a load, seals, labels.

mod label;
mod putup;
mod putup_note;
mod questions;
mod run;
mod run_screen;
mod seal;
mod times;
