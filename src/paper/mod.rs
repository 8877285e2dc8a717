//! Model in, bytes out: tables, label sheets, the HTML report and the calendar.

pub mod label;
pub mod plain;
pub mod table;
