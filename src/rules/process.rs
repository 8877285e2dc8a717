//! Tested processes: what a load is owed.

use super::altitude::Altitude;
pub use super::basis::Basis;
use super::food::FoodId;
use super::jar_size::JarSize;
use super::method::{Acidity, Method, Pack};
use super::pressure::Pressure;

/// Minutes of steady venting before a pressure canner is closed (USDA AIB 539, Guide 1, Using pressure canners).
pub const VENT_MINUTES: u32 = 10;

/// What a process is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct ProcessQuestion {
    /// The food.
    pub food: FoodId,
    /// Hot or raw.
    pub pack: Pack,
    /// The jar.
    pub size: JarSize,
    /// The kind of canner.
    pub method: Method,
    /// Where the canner stands.
    pub altitude: Altitude,
}

/// One whole tested process: a minute and pressure pair that belong together.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct TestedProcess {
    /// Minutes uninterrupted at pressure or at a full boil.
    pub minutes: u32,
    /// Gauge pressure; none for boiling water.
    pub psi: Option<Pressure>,
    /// Minutes of venting; 0 for boiling water.
    pub vent_min: u32,
    /// Headspace in inches.
    pub headspace_in: f64,
    /// Acidity of the food; `Acidified` needs acid recorded.
    #[serde(skip)]
    pub acidity: Acidity,
    /// Publication and section.
    pub source: String,
    /// How sure the figures are.
    pub basis: Basis,
}
