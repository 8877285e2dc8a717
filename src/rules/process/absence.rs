//! Why a question has no published process, and what is tested instead.

use std::fmt;

use crate::rules::food::food_search;
use crate::rules::food::food_search::Found;
use crate::rules::food::never_food;
use crate::rules::process::rows::{answers_for, rows_for};
use crate::rules::process::tested::ProcessQuestion;
use crate::tables::figures::Figure;
use crate::tables::foods;
use crate::tables::foods::Food;
use crate::tables::no_process::NoProcessRow;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::names::named::named_enum;

named_enum! {
    /// The part of a question that the tables do not answer.
    pub enum NoneBecause as "a reason" {
        /// The food must not be canned, or has no process at all.
        Never = "never",
        /// The food is not in the tables.
        Food = "food",
        /// The food is never in this jar.
        Jar = "jar",
        /// The food is in this jar only under another pack.
        Pack = "pack",
        /// The food is never in this kind of canner.
        Method = "method",
        /// The altitude lies in none of the bands.
        Altitude = "altitude",
    }
}

/// A combination that is tested at the altitude asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Alternative {
    /// Hot or raw.
    pub pack: Pack,
    /// The jar.
    #[serde(rename = "jar")]
    pub size: JarSize,
    /// The kind of canner.
    pub method: Method,
}

impl Alternative {
    /// How many parts of the question it changes.
    fn distance(self, question: &ProcessQuestion) -> usize {
        usize::from(self.pack != question.pack)
            + usize::from(self.size != question.size)
            + usize::from(self.method != question.method)
    }
}

impl fmt::Display for Alternative {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {} pack, in {}", self.size.plural(), self.pack, self.method.with_article())
    }
}

/// What [`crate::rules::process::look_up`] says where it has no row.
pub(super) struct Absence {
    pub because: NoneBecause,
    pub sentence: String,
    pub instead: Vec<Alternative>,
    pub suggestions: Vec<FoodId>,
}

/// The answer for a food the tables do not hold, with foods the words may have meant.
pub(super) fn unknown_food(words: &str) -> Absence {
    if let Some(row) = never_food::never(words) {
        return Absence {
            because: NoneBecause::Never,
            sentence: format!("Do not can \u{201c}{words}\u{201d}. {row}"),
            instead: Vec::new(),
            suggestions: Vec::new(),
        };
    }
    let meant = match food_search::find(words) {
        Found::Exact(food) => vec![food],
        Found::Suggested(list) => list.into_iter().map(|one| one.food).collect(),
    };
    let sentence = if meant.is_empty() {
        format!(
            "No tested process is on record for \u{201c}{words}\u{201d}: ask your extension service before canning it."
        )
    } else {
        let foods: Vec<String> = meant.iter().map(|food| format!("{} ({})", food.id, food.name)).collect();
        format!(
            "\u{201c}{words}\u{201d} does not name one tested food. If one of these is meant, ask for it by its key: {}.",
            foods.join("; ")
        )
    };
    Absence {
        because: NoneBecause::Food,
        sentence,
        instead: Vec::new(),
        suggestions: meant.into_iter().map(|food| food.id.clone()).collect(),
    }
}

/// Says which part of a question without a row fails.
///
/// The kind of canner is looked at first, since the wrong one is the gravest
/// fault; then the jar, then the pack, then the altitude, each among the rows
/// that answer the parts before it.
pub(super) fn explain(question: &ProcessQuestion) -> Absence {
    let Some(food) = foods::get(&question.food) else {
        return unknown_food(question.food.as_str());
    };
    let base = question.method.of_the_tables();
    let in_canner = |row: &&ProcessRow| row.method == base;
    let rows = || processes::of(&food.id).filter(in_canner);
    if let Some(row) = never_in(&food.id, question.size) {
        let instead = tested_instead(question);
        let sentence = format!(
            "Do not can {} in {}. {row} {}",
            food.name,
            question.size.plural(),
            instead_words(question, &instead)
        );
        return Absence { because: NoneBecause::Never, sentence, instead, suggestions: Vec::new() };
    }
    let too_acid_poor = question.method == Method::Steam && food.acidity == Acidity::LowAcid;
    let (because, mut sentence) = if too_acid_poor || rows().next().is_none() {
        (NoneBecause::Method, no_method(food, question.method))
    } else if !rows().any(|row| answers_for(question, row.size)) {
        (NoneBecause::Jar, no_jar(food, question))
    } else if rows_for(question).is_empty() {
        (NoneBecause::Pack, no_pack(food, question))
    } else if let Some(row) = rows_for(question).into_iter().find(|row| row.covers(question.altitude)) {
        (NoneBecause::Method, too_long_for_steam(food, row.minutes))
    } else {
        (NoneBecause::Altitude, no_altitude(food, question, rows_for(question).into_iter()))
    };
    let instead = tested_instead(question);
    sentence.push(' ');
    sentence.push_str(&instead_words(question, &instead));
    Absence { because, sentence, instead, suggestions: Vec::new() }
}

/// What the published list says of a jar in which a food is never canned: a half-gallon, but for the juices that the
/// tables list in it.
pub(super) fn never_in(food: &FoodId, size: JarSize) -> Option<&'static NoProcessRow> {
    let is_listed = || processes::of(food).any(|row| row.size == size);
    if size != JarSize::HalfGallon || is_listed() {
        return None;
    }
    never_food::never("half-gallon jars")
}

fn no_method(food: &Food, method: Method) -> String {
    if food.acidity == Acidity::LowAcid && !method.is_pressure() {
        format!(
            "{} is low-acid food: it has no process in {} and needs a pressure canner.",
            food.name,
            method.with_article()
        )
    } else {
        format!("{} has no tested process in {}.", food.name, method.with_article())
    }
}

fn too_long_for_steam(food: &Food, minutes: u32) -> String {
    format!(
        "{} takes {minutes} min here, and a steam canner may run no longer than {} min, time for altitude included \
         (National Center for Home Food Preservation, Using Atmospheric Steam Canners): use a boiling-water canner.",
        food.name,
        Figure::SteamLongest.value()
    )
}

fn no_jar(food: &Food, question: &ProcessQuestion) -> String {
    format!(
        "{} has no tested process in {}: a smaller jar may take the process of a larger one listed, never the other \
         way round, and no time is scaled.",
        food.name,
        question.size.plural()
    )
}

fn no_pack(food: &Food, question: &ProcessQuestion) -> String {
    format!("{} has no tested process in {} packed {}.", food.name, question.size.plural(), question.pack)
}

fn no_altitude(
    food: &Food,
    question: &ProcessQuestion,
    rows: impl Iterator<Item = &'static ProcessRow>,
) -> String {
    let here = question.altitude;
    let top = rows.filter_map(|row| row.altitude_max_ft).max().unwrap_or_default();
    format!("{} has no tested process at {here}: this table ends at {top} ft.", food.name)
}

/// Every tested combination at the altitude asked for, nearest to the question first.
fn tested_instead(question: &ProcessQuestion) -> Vec<Alternative> {
    let mut found: Vec<Alternative> = processes::of(&question.food)
        .filter(|row| row.covers(question.altitude))
        .map(|row| Alternative { pack: row.pack, size: row.size, method: row.method })
        .collect();
    found.sort_by_key(|&other| (other.distance(question), other));
    found.dedup();
    found
}

/// The nearest alternatives in a sentence.
fn instead_words(question: &ProcessQuestion, instead: &[Alternative]) -> String {
    let Some(nearest) = instead.first().map(|other| other.distance(question)) else {
        return "Nothing is tested instead at this altitude: ask your extension service.".to_owned();
    };
    let nearest: Vec<String> = instead
        .iter()
        .take_while(|other| other.distance(question) == nearest)
        .map(Alternative::to_string)
        .collect();
    format!("Tested instead: {}.", nearest.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_low_acid_food_is_called_so_where_a_canner_has_no_process() {
        let food = |id: &str| foods::all().find(|food| food.id.as_str() == id).expect("a listed food");
        assert!(no_method(food("green-beans"), Method::BoilingWater).contains("low-acid"));
        assert!(!no_method(food("peaches"), Method::BoilingWater).contains("low-acid"));
        assert!(!no_method(food("rhubarb"), Method::PressureDial).contains("low-acid"));
    }
}
