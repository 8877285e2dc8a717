//! Copies of a ledger: backups, restores, and every row out and in.
//!
//! May use file, schema and check.

pub mod backup;
pub mod copy;
pub mod dump;
pub mod restore;
pub mod surroundings;
pub mod whole;
