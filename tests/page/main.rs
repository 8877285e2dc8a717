//! The page at the shelf as phones and enemies see it: real sockets, and a real browser.

#![expect(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

mod acts;
mod browser;
mod days;
mod enemies;
mod fuzz;
mod photos;
mod run;
mod server;
mod trouble;
