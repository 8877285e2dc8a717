//! Tested processes: what a load is owed.
//!
//! A process is looked up, never worked out: the answer is a row of the tables
//! whose food, pack, jar, canner and altitude band are those asked for, or none.
//! Bands are read as printed, from sea level up; a place below sea level takes the
//! lowest band, with the remark that no page says so. A jar smaller than, or between,
//! the listed ones takes the process of the next larger listed jar, and a steam canner
//! that of boiling water, both as published and both said.

use crate::rules::food::acid;
use crate::rules::food::acid::AcidDose;
use crate::tables::figures::Figure;
use crate::tables::foods;
use crate::tables::foods::AcidNeed;
use crate::tables::notes;
use crate::tables::notes::Bears;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::acid::Acid;
pub(crate) use crate::values::kinds::basis::Basis;
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
mod remarks_tests;
#[cfg(test)]
mod tests;
mod undercut;

pub(crate) use absence::{Alternative, NoneBecause};
pub(crate) use household::HouseholdProcess;
pub(crate) use undercut::Standing;

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

/// Foods that the guide gives in quarts only, so that no smaller jar takes the process of the quart.
const QUARTS_ONLY: [&str; 2] = ["mincemeat-pie-filling", "green-tomato-pie-filling"];

/// The rows of the tables that answer a question, at whatever altitude.
///
/// None is worked out: where no row lists the jar, those of the next larger listed jar do; in a steam canner, those of
/// boiling water for acid and acidified food.
fn rows_for(question: &ProcessQuestion) -> Vec<&'static ProcessRow> {
    if question.method == Method::Steam
        && foods::get(&question.food).is_some_and(|food| food.acidity == Acidity::LowAcid)
    {
        return Vec::new();
    }
    let method = question.method.of_the_tables();
    let rows: Vec<&ProcessRow> = processes::of(&question.food)
        .filter(|row| row.method == method && row.pack == question.pack && answers_for(question, row.size))
        .collect();
    let nearest = rows.iter().map(|row| row.size).min();
    rows.into_iter().filter(|row| Some(row.size) == nearest).collect()
}

/// Whether the process of a listed jar may be taken for the jar asked for: itself, or a larger one.
fn answers_for(question: &ProcessQuestion, listed: JarSize) -> bool {
    listed == question.size
        || (listed > question.size
            // A half-gallon is listed for two juices alone, and only for itself.
            && listed != JarSize::HalfGallon
            && !QUARTS_ONLY.contains(&question.food.as_str()))
}

/// Whether a row may be used in the canner asked for: a steam canner runs no longer than its pages allow.
fn may_run(row: &ProcessRow, method: Method) -> bool {
    method != Method::Steam || row.minutes <= Figure::SteamLongest.value()
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
