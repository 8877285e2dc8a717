//! Copies of a ledger: backups, restores, every row out and in, and where the file lies.
//!
//! May use: check, error, file, jar, schema, values.

pub mod backup;
pub mod copy;
pub mod dump;
pub mod restore;
pub mod surroundings;
pub mod whole;
