//! Arguments that several commands share: jars, foods, days, moments, reasons, files.
//!
//! May use: talk, answers, ledger, rules, tables, values.

pub(super) mod acting;
pub(super) mod day;
pub(super) mod food_arg;
pub(super) mod happened_on;
pub(super) mod jar_counts;
pub(super) mod jars_arg;
pub(super) mod local_instant;
pub(super) mod moment;
pub(super) mod out_file;
pub(super) mod page_address;
pub(super) mod pressure_given;
pub(super) mod reason;
pub(super) mod whole_number;
