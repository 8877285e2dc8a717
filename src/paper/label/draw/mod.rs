//! Ink on the page: labels, lists, test pages, made into a PDF.
//!
//! May use: fit, sheet, words, font, rules, values.

pub mod ink;
pub mod list;
pub mod print;
pub mod sheets_of_jars;
pub mod test_page;
