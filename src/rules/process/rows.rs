//! The rows of the tables that answer a question.

use crate::rules::process::tested::ProcessQuestion;
use crate::tables::figures::Figure;
use crate::tables::foods;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method};

/// Foods that the guide gives in quarts only, so that no smaller jar takes the process of the quart.
const QUARTS_ONLY: [&str; 2] = ["mincemeat-pie-filling", "green-tomato-pie-filling"];

/// The rows of the tables that answer a question, at whatever altitude.
///
/// None is worked out: where no row lists the jar, those of the next larger listed jar do; in a steam canner, those of
/// boiling water for acid and acidified food.
pub(super) fn rows_for(question: &ProcessQuestion) -> Vec<&'static ProcessRow> {
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
pub(super) fn answers_for(question: &ProcessQuestion, listed: JarSize) -> bool {
    listed == question.size
        || (listed > question.size
            // A half-gallon is listed for two juices alone, and only for itself.
            && listed != JarSize::HalfGallon
            && !QUARTS_ONLY.contains(&question.food.as_str()))
}

/// Whether a row may be used in the canner asked for: a steam canner runs no longer than its pages allow.
pub(super) fn may_run(row: &ProcessRow, method: Method) -> bool {
    method != Method::Steam || row.minutes <= Figure::SteamLongest.value()
}
