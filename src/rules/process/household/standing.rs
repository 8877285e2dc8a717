//! What an own process is held against.

use crate::values::measures::pressure::Pressure;

/// A process that stands against one which asks for less.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Standing {
    /// Minutes at pressure or at a full boil.
    pub minutes: u32,
    /// Gauge pressure; none for boiling water.
    pub psi: Option<Pressure>,
    /// Lower end of its band in feet.
    pub altitude_min_ft: i64,
    /// Upper end in feet; none where the publication says "above".
    pub altitude_max_ft: Option<i64>,
    /// Publication and section.
    pub source: String,
}
