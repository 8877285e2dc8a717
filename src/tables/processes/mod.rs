//! The tested processes: one row for each food, pack, jar, kind of canner, pair and altitude band.
//!
//! May use: values.

use std::collections::HashMap;
use std::sync::{LazyLock, OnceLock};

use csv::StringRecord;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;

/// One row of the published tables.
#[derive(Debug, Clone, PartialEq, serde::Deserialize, serde::Serialize)]
pub struct ProcessRow {
    /// The food.
    pub food: FoodId,
    /// Hot or raw.
    pub pack: Pack,
    /// The jar.
    #[serde(rename = "jar")]
    pub size: JarSize,
    /// The kind of canner.
    pub method: Method,
    /// Which of the alternative minute and pressure pairs, from 1; most foods have one.
    pub pair: u32,
    /// Lower end of the band in feet.
    pub altitude_min_ft: i64,
    /// Upper end of the band in feet; none where the table says "above".
    pub altitude_max_ft: Option<i64>,
    /// Minutes at pressure or at a full boil.
    pub minutes: u32,
    /// Gauge pressure in psi; none for boiling water.
    pub psi: Option<i64>,
    /// Headspace in inches.
    pub headspace_in: f64,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the figures are.
    pub basis: Basis,
}

impl ProcessRow {
    /// Whether a height lies in the band.
    pub fn covers(&self, altitude: Altitude) -> bool {
        in_band(altitude, self.altitude_min_ft, self.altitude_max_ft)
    }
}

/// Whether a height lies in a band written in whole feet.
///
/// Bands are printed as 0–1,000 and 1,001–2,000: what lies between 1,000 and
/// 1,001 ft is above 1,000 and so belongs to the upper band. The lowest band
/// starts at sea level, and takes in what lies below it: no table speaks of that.
pub(crate) fn in_band(altitude: Altitude, min_ft: i64, max_ft: Option<i64>) -> bool {
    let from_below = min_ft <= 0 || altitude.is_above_feet(min_ft - 1);
    from_below && max_ft.is_none_or(|max_ft| !altitude.is_above_feet(max_ft))
}

const TEXT: &str = include_str!("../data/processes.tsv");

/// Every row, in the order of the table.
pub fn all() -> &'static [ProcessRow] {
    static ROWS: OnceLock<Vec<ProcessRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(TEXT, "processes.tsv"))
}

/// The lines about one food, and the rows once somebody asked for them.
#[derive(Default)]
struct OfFood {
    lines: Vec<&'static str>,
    rows: OnceLock<Vec<ProcessRow>>,
}

/// The rows of one food, in the order of the table.
pub fn of(food: &FoodId) -> impl Iterator<Item = &'static ProcessRow> + Clone {
    // Judging a whole ledger asks for every load of it. A batch is of one food, and to read the rows of all the others
    // would take longer than to log it.
    static TABLE: LazyLock<(StringRecord, HashMap<&'static str, OfFood>)> = LazyLock::new(|| {
        let (heads, lines) = crate::tables::heads_and_lines(TEXT);
        let mut by_food: HashMap<_, OfFood> = HashMap::new();
        for line in lines {
            by_food.entry(crate::tables::key(line)).or_default().lines.push(line);
        }
        (heads, by_food)
    });
    let (heads, by_food) = &*TABLE;
    let read = |line: &&str| crate::tables::row(heads, line, "processes.tsv");
    by_food
        .get(food.as_str())
        .into_iter()
        .flat_map(move |of_food| of_food.rows.get_or_init(|| of_food.lines.iter().map(read).collect()))
}

#[cfg(test)]
mod tests;
