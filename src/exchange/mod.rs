//! Files that other programs write and read: CSV in and out.

pub mod csv_out;
pub mod formula;
