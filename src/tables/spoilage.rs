//! Signs of spoilage, by stage and acidity.

use std::sync::OnceLock;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::names::named::named_enum;

named_enum! {
    /// When a sign is looked for.
    pub enum Stage as "a stage" {
        /// On the shelf, jar still closed.
        BeforeOpening = "before-opening",
        /// As the lid comes off.
        OnOpening = "on-opening",
        /// In the refrigerator afterwards.
        AfterOpening = "after-opening",
    }
}

named_enum! {
    /// Which foods a sign applies to.
    pub enum AppliesTo as "a reach" {
        /// Every food.
        All = "all",
        /// Low-acid and tomato food.
        LowAcid = "low-acid",
        /// Acid food.
        Acid = "acid",
    }
}

named_enum! {
    /// What a sign means for the jar.
    pub enum Severity as "a severity" {
        /// Discard the jar.
        Discard = "discard",
        /// Treat the jar as spoiled.
        Suspect = "suspect",
        /// A matter of quality.
        QualityOnly = "quality-only",
    }
}

/// One sign.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize, serde::Serialize)]
pub struct Sign {
    /// Its key, `S01` and so on.
    pub id: String,
    /// When it is looked for.
    pub stage: Stage,
    /// Which foods it applies to.
    #[serde(skip_serializing)]
    pub applies_to: AppliesTo,
    /// What it means for the jar.
    pub severity: Severity,
    /// What is seen, smelt or known, as one sentence.
    pub sign: String,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the row is.
    pub basis: Basis,
}

/// Every sign, in the order of the table.
pub fn all() -> &'static [Sign] {
    static ROWS: OnceLock<Vec<Sign>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/spoilage.tsv"), "spoilage.tsv"))
}
