//! Model in, bytes out: tables, label sheets, the HTML report and the calendar.

pub mod calendar;
mod font;
pub mod label;
pub mod lines;
pub mod plain;
pub mod report;
pub mod table;
