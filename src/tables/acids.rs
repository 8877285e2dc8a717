//! How much acid each jar of tomatoes needs.

use std::sync::OnceLock;

use crate::tables::sources::SourceRef;
use crate::values::kinds::acid::Acid;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::jar_size::JarSize;

/// One acid in one jar size.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
pub struct AcidRow {
    /// What to add.
    pub acid: Acid,
    /// The jar it is for.
    #[serde(rename = "jar")]
    pub size: JarSize,
    /// How much, in quarter teaspoons.
    pub quarter_teaspoons: u32,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the figure is.
    pub basis: Basis,
}

/// Every row, in the order of the table.
pub fn all() -> &'static [AcidRow] {
    static ROWS: OnceLock<Vec<AcidRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/acids.csv"), "acids.csv"))
}
