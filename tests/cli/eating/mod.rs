//! What to eat first, and jars opened, finished, given, discarded.

mod acts;
mod eat;
