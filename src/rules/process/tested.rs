//! A question and one tested process that answers it, as a row of the tables gives it.

use crate::rules::food::acid;
use crate::rules::food::acid::AcidDose;
use crate::tables::foods;
use crate::tables::foods::AcidNeed;
use crate::tables::notes;
use crate::tables::notes::Bears;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::acid::Acid;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

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
    /// The listed jar whose process this is, where the jar asked for is smaller.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_jar: Option<JarSize>,
    /// Whether it holds only with acid on record.
    #[serde(skip)]
    pub needs_acid: bool,
    /// The acids that count; empty where the tables do not say which.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub acid_kinds: Vec<Acid>,
    /// Publication and section.
    pub source: String,
    /// How sure the figures are.
    pub basis: Basis,
    /// The acids of which one must go into each jar; empty where none is added to the jar.
    pub acid: Vec<AcidDose>,
    /// What must be said beside the figures, the most important first.
    pub notes: Vec<String>,
    /// The notes that name a condition which no ledger records, or say that the time is of another jar or another height.
    #[serde(skip)]
    pub conditions: Vec<Condition>,
    /// The notes that name a part of the process which is not held here.
    #[serde(skip)]
    pub not_held: Vec<String>,
}

/// A condition under which a process holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// What must be said of it.
    pub note: String,
    /// Loads of this many minutes or more need it no longer.
    pub below_min: Option<u32>,
}

/// Said of a jar below sea level.
const BELOW_SEA_LEVEL: &str = "The tables start at sea level. No page speaks of places below it: the times for sea \
    level are shown, and must not be shortened.";

/// Said of every process in a steam canner, after the pages that speak of it.
const STEAM_RULE: &str = "Start the time only when the steam canner shows 212 °F or blows an unbroken plume of steam 6 \
    to 10 inches long, and keep it so to the end. No page gives a temperature by altitude (National Center for Home Food \
    Preservation, Using Atmospheric Steam Canners; University of Wisconsin Extension; University of Missouri Extension).";

impl TestedProcess {
    /// What a row of the tables owes the question.
    pub(crate) fn from_row(row: &ProcessRow, question: &ProcessQuestion) -> Self {
        let food = foods::get(&row.food).expect("every row is of a listed food, as the tests check");
        let as_jar = (row.size != question.size).then_some(row.size);
        let warning = row.basis.warning().map(str::to_owned);
        let recipe = (food.acid == AcidNeed::InRecipe && food.acidity == Acidity::Acidified).then(|| {
            let which = acid::of_recipe(&food.id).map(|acid| format!(" ({acid})")).unwrap_or_default();
            format!("This process holds only with the acid of the tested recipe{which}: do not reduce or replace it.")
        });
        let smaller = as_jar.map(|listed| smaller_jar(question.size, listed));
        let steam = (question.method == Method::Steam).then(|| STEAM_RULE.to_owned());
        let below = (question.altitude < Altitude::from_feet(0)).then(|| BELOW_SEA_LEVEL.to_owned());
        let noted: Vec<(Bears, Condition)> =
            notes::on(&row.food, row.pack, row.size, row.method, question.altitude, row.minutes)
                .map(|note| {
                    let warning = note.basis.warning().map(|warning| format!(" ({warning})"));
                    let text = format!("{}{}", note.note, warning.unwrap_or_default());
                    (note.bears, Condition { note: text, below_min: note.below_min })
                })
                .collect();
        let that = |bears| noted.iter().filter(move |(one, _)| *one == bears).map(|(_, note)| note.clone());
        let always = |note: &String| Condition { note: note.clone(), below_min: None };
        Self {
            minutes: row.minutes,
            psi: row.psi.map(Pressure::from_psi),
            vent_min: if row.method.is_pressure() { VENT_MINUTES } else { 0 },
            headspace_in: row.headspace_in,
            as_jar,
            needs_acid: food.acidity == Acidity::Acidified || food.acid == AcidNeed::InJar,
            acid_kinds: acid::accepted(&food.id),
            source: row.source.to_string(),
            basis: row.basis,
            acid: acid::doses(&food.id, row.size),
            conditions: [&smaller, &recipe, &steam, &below]
                .into_iter()
                .flatten()
                .map(always)
                .chain(that(Bears::Condition))
                .collect(),
            not_held: that(Bears::NotHeld).map(|note| note.note).collect(),
            notes: [warning, smaller, recipe, steam, below]
                .into_iter()
                .flatten()
                .chain(noted.into_iter().map(|(_, note)| note.note))
                .collect(),
        }
    }
}

/// Says that a jar takes the process of a larger one, and who says so.
fn smaller_jar(size: JarSize, listed: JarSize) -> String {
    format!(
        "No time is printed for {}: they take the process of {}, the next larger jar listed (National Center for Home \
         Food Preservation; Kansas State University Extension 2019 and 2022; University of California 2025). The food may \
         come out overcooked.",
        size.plural(),
        listed.plural()
    )
}
