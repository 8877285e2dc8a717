//! What may happen to a jar, and what a seal check and a hold make of it.
//!
//! May use: anything.

mod acts;
mod holds;
mod seals;
mod words;
