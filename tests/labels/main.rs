//! Label pages checked from outside: turned into pictures by poppler, read back by zbar.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

mod codes;
mod lists;
mod look;
mod model;
mod picture;
mod reading;
mod scripts;
mod size;
mod tools;
mod words;
