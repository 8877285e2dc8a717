//! Foods as the process tables name them.

use std::fmt;

/// The key of a food in the process tables: kebab-case, such as `green-beans`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct FoodId(pub String);

impl FoodId {
    /// The key itself.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FoodId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}
