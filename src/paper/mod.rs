//! Model in, bytes out: tables, label sheets, the HTML report, the calendars and the card of a day.
//!
//! May use: rules, values.

pub mod calendar;
pub mod day_calendar;
pub mod day_card;
pub mod font;
pub mod label;
pub mod report;
pub mod text;
