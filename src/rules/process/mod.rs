//! Tested processes: what a load is owed.
//!
//! May use: food, tables, values.
//!
//! A process is looked up, never worked out: the answer is a row of the tables
//! whose food, pack, jar, canner and altitude band are those asked for, or none.
//! Bands are read as printed, from sea level up; a place below sea level takes the
//! lowest band, with the remark that no page says so. A jar smaller than, or between,
//! the listed ones takes the process of the next larger listed jar, and a steam canner
//! that of boiling water, both as published and both said.

pub(crate) mod absence;
pub(crate) mod household;
#[cfg(test)]
mod published_tests;
#[cfg(test)]
mod remarks_tests;
mod rows;
pub mod tested;
#[cfg(test)]
mod tests;
pub(crate) mod undercut;

use crate::rules::process::absence::{Alternative, NoneBecause};
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::rows::{may_run, rows_for};
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::tables::foods;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;

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

/// Answers a question from the published tables and the household's own processes.
///
/// Alternatives for one question stay whole pairs. Where the tables hold nothing,
/// `none_because` names the part of the question that has no process and
/// `tested_instead` what is tested at the same altitude.
pub fn look_up(question: &ProcessQuestion, household: &[HouseholdProcess]) -> Answer {
    let options: Vec<TestedProcess> = rows_for(question)
        .into_iter()
        .filter(|row| row.covers(question.altitude) && may_run(row, question.method))
        .map(|row| TestedProcess::from_row(row, question))
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

/// Says that no table has a process for a food of the tables in such a jar, in whatever canner; none where one has, and
/// for food that no table knows.
pub fn contradiction(food: &FoodId, pack: Option<Pack>, size: JarSize) -> Option<String> {
    let name = &foods::get(food)?.name;
    let is_tested = |pack, method| {
        // Every table begins at sea level.
        let altitude = Altitude::from_feet(0);
        !look_up(&ProcessQuestion { food: food.clone(), pack, size, method, altitude }, &[])
            .options
            .is_empty()
    };
    let packs = pack.map_or_else(|| Pack::ALL.to_vec(), |pack| vec![pack]);
    if packs.into_iter().any(|pack| Method::ALL.iter().any(|&method| is_tested(pack, method))) {
        return None;
    }
    let packed = pack.map(|pack| format!(" packed {pack}")).unwrap_or_default();
    Some(format!("{name} has no tested process in {}{packed}", size.plural()))
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
