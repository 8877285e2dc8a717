//! Which system of measures comes first on a screen.

use crate::values::names::named::named_enum;

named_enum! {
    /// A system of measures. What somebody entered stays as it was entered.
    pub enum Units as "a system of measures" {
        /// Pounds, inches and pounds per square inch first.
        Us = "us",
        /// Kilograms, centimeters and kilopascals first.
        Metric = "metric",
    }
}
