//! The record: corrections, undo, history, copies, checks and import.

mod backup;
mod check;
mod correct;
mod demo;
mod doctor;
mod history;
mod import;
mod reading;
mod year;
