//! Tested processes: what a load is owed.
//!
//! A process is looked up, never worked out: the answer is a row of the tables
//! whose food, pack, jar, canner and altitude band are those asked for, or none.
//! Bands are read as printed, from sea level up; a place below sea level is in
//! no band, and that too is answered with none.

use crate::rules::food::acid;
use crate::rules::food::acid::AcidDose;
use crate::tables::foods;
use crate::tables::foods::AcidNeed;
use crate::tables::notes;
use crate::tables::notes::Bears;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
pub use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

mod absence;
mod household;
#[cfg(test)]
mod published_tests;
#[cfg(test)]
mod tests;
mod undercut;

pub use absence::{Alternative, NoneBecause};
pub use household::{HouseholdProcess, HouseholdProcessError};
pub use undercut::Standing;

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
    /// The acids of which one must go into each jar; empty where none is added to the jar.
    pub acid: Vec<AcidDose>,
    /// What must be said beside the figures, the most important first.
    pub notes: Vec<String>,
    /// Those of the notes that tell a condition which no ledger records.
    #[serde(skip)]
    pub conditions: Vec<String>,
    /// Those of the notes that tell of a part of the process which is not held here.
    #[serde(skip)]
    pub not_held: Vec<String>,
}

/// What is known of a question.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Answer {
    /// The published processes, each a whole pair; empty where there is none.
    pub options: Vec<TestedProcess>,
    /// Processes the household added for the same question, never mixed with the published ones.
    pub household_options: Vec<TestedProcess>,
    /// Processes the household added that ask for less than another one here, and so decide nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub household_set_aside: Vec<TestedProcess>,
    /// Which part of the question the published tables do not answer.
    pub none_because: Option<NoneBecause>,
    /// The same in a sentence, with what is tested instead.
    pub detail: String,
    /// What is tested at this altitude instead, nearest to the question first.
    pub tested_instead: Vec<Alternative>,
    /// Foods the words may have meant where the food is not in the tables; never assumed.
    pub suggestions: Vec<FoodId>,
}

impl Answer {
    /// Every process a load may be judged by: the published ones, then the household's own that are not set aside.
    pub fn all(&self) -> impl Iterator<Item = &TestedProcess> {
        self.options.iter().chain(&self.household_options)
    }
}

impl TestedProcess {
    /// What a row of the tables owes at one altitude within its band.
    pub(crate) fn from_row(row: &ProcessRow, altitude: Altitude) -> Self {
        let food = foods::get(&row.food).expect("every row is of a listed food, as the tests check");
        let warning = row.basis.warning().map(str::to_owned);
        let recipe = (food.acid == AcidNeed::InRecipe).then(|| {
            "This process holds only with the acid of the tested recipe: do not lessen it.".to_owned()
        });
        let noted: Vec<(Bears, String)> = notes::on(&row.food, row.pack, row.size, row.method, altitude)
            .map(|note| {
                let warning = note.basis.warning().map(|warning| format!(" ({warning})"));
                (note.bears, format!("{}{}", note.note, warning.unwrap_or_default()))
            })
            .collect();
        let that = |bears| noted.iter().filter(move |(one, _)| *one == bears).map(|(_, note)| note.clone());
        Self {
            minutes: row.minutes,
            psi: row.psi.map(Pressure::from_psi),
            vent_min: if row.method.is_pressure() { VENT_MINUTES } else { 0 },
            headspace_in: row.headspace_in,
            acidity: food.acidity,
            source: row.source.to_string(),
            basis: row.basis,
            acid: if food.acid == AcidNeed::InJar { acid::doses(row.size) } else { Vec::new() },
            conditions: recipe.iter().cloned().chain(that(Bears::Condition)).collect(),
            not_held: that(Bears::NotHeld).collect(),
            notes: warning.into_iter().chain(recipe).chain(noted.into_iter().map(|(_, note)| note)).collect(),
        }
    }
}

/// Answers a question from the published tables and the household's own processes.
///
/// Alternatives for one question stay whole pairs. Where the tables hold nothing,
/// `none_because` names the part of the question that has no process and
/// `tested_instead` what is tested at the same altitude.
pub fn look_up(question: &ProcessQuestion, household: &[HouseholdProcess]) -> Answer {
    let options: Vec<TestedProcess> = processes::of(&question.food)
        .filter(|row| {
            row.pack == question.pack
                && row.size == question.size
                && row.method == question.method
                && row.covers(question.altitude)
        })
        .map(|row| TestedProcess::from_row(row, question.altitude))
        .collect();
    let own = household.iter().filter(|own| own.answers(question)).map(HouseholdProcess::tested).collect();
    let (household_options, household_set_aside) = undercut::part(&options, own);
    if options.is_empty() {
        let absence = absence::explain(question);
        return Answer {
            options,
            household_options,
            household_set_aside,
            none_because: Some(absence.because),
            detail: absence.sentence,
            tested_instead: absence.instead,
            suggestions: absence.suggestions,
        };
    }
    let detail = match options.len() {
        1 => "One tested process.".to_owned(),
        count => format!(
            "{count} tested processes: take one whole pair, never the minutes of one with the pressure of another."
        ),
    };
    Answer {
        options,
        household_options,
        household_set_aside,
        none_because: None,
        detail,
        tested_instead: Vec::new(),
        suggestions: Vec::new(),
    }
}

/// Answers a question about a food that has no key in the tables, by the words it was asked with.
pub fn unknown_food(words: &str) -> Answer {
    let absence = absence::unknown_food(words);
    Answer {
        options: Vec::new(),
        household_options: Vec::new(),
        household_set_aside: Vec::new(),
        none_because: Some(absence.because),
        detail: absence.sentence,
        tested_instead: absence.instead,
        suggestions: absence.suggestions,
    }
}
