//! Model in, bytes out: tables, label sheets, the HTML report and the calendar.

pub mod calendar;
pub mod font;
pub mod label;
pub mod report;
pub mod text;
