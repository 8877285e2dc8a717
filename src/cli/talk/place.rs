//! A place as a table shows it.

/// A place's name, or a dash where none is on record.
pub(in crate::cli) fn place(name: Option<&str>) -> String {
    name.unwrap_or("-").to_owned()
}
