//! The ledger's file: finding, opening, making and knowing it; files and folders that appear whole.
//!
//! May use: error, schema, values.
//!
//! No subject of the household.

pub mod asked;
pub mod connect;
pub mod create;
pub mod header;
pub mod new_file;
pub mod new_folder;
pub mod open;
pub mod progress;
pub mod recognise;
pub mod saved;
