//! What people type: days, names, everyday words, and slips.

mod days;
mod everyday_words;
mod names;
mod slips;
mod typed_phrases;
