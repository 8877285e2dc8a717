//! Help, manual, examples, completion and the README.

mod completions;
mod examples;
mod manual;
mod readme;
