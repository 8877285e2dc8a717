//! Figures that look mistyped, held against what the process of the jars requires.

use crate::cli::arguments::food_arg;
use crate::cli::arguments::pressure_given::PressureGiven;
use crate::cli::canning_day::putup::given::LoadGiven;
use crate::cli::canning_day::putup::questions::asked::{LoadFact, Questions};
use crate::ledger::kitchen::canner::Canner;
use crate::rules::load::slip::looks_mistyped;
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess, VENT_MINUTES};
use crate::values::kinds::method::Method;
use crate::values::measures::pressure::{Pressure, WEIGHTS_IN_WORDS};

/// Why an answer about a load looks mistyped, if it does.
pub(in crate::cli::canning_day::putup) fn doubt(
    questions: &Questions<'_>,
    load: &LoadGiven,
    fact: LoadFact,
) -> Option<String> {
    let canner = questions.canner_of(load)?;
    let required = required(questions, load, canner);
    let far = |given: i64, figures: Vec<i64>, words: &dyn Fn(i64) -> String| {
        let nearest = figures.iter().copied().min_by_key(|figure| (figure - given).abs())?;
        looks_mistyped(given, &figures)
            .then(|| format!("{} is far from the {} required.", words(given), words(nearest)))
    };
    let minutes = |minutes: i64| format!("{minutes} min");
    match fact {
        LoadFact::Minutes => {
            far(load.minutes?.into(), required.iter().map(|row| row.minutes.into()).collect(), &minutes)
        }
        LoadFact::Vent => far(load.vent?.into(), vec![VENT_MINUTES.into()], &minutes),
        LoadFact::Pressure => {
            let PressureGiven(given, entered) = load.pressure.as_ref()?;
            let is_weight = given.is_of_a_weight() || Pressure::of_a_weight(entered).is_some();
            if canner.method == Method::PressureWeighted && !is_weight {
                return Some(format!("{given} is not a weight: a weighted gauge holds {WEIGHTS_IN_WORDS}."));
            }
            let figures = required.iter().filter_map(|row| Some(row.psi?.centi_psi())).collect();
            far(given.centi_psi(), figures, &|psi| format!("{} psi", psi as f64 / 100.0))
        }
        _ => None,
    }
}

/// The processes of the load's jars, as far as the answers so far say what it is.
fn required(questions: &Questions<'_>, load: &LoadGiven, canner: &Canner) -> Vec<TestedProcess> {
    let given = &questions.given;
    let known = food_arg::settle(given.food.as_deref(), given.acidity, questions.ledger).ok();
    let (Some(food), Some(pack)) = (known.and_then(|known| known.food), given.pack) else {
        return Vec::new();
    };
    let (Ok(household), Ok(own)) = (questions.ledger.household(), questions.ledger.household_processes())
    else {
        return Vec::new();
    };
    let altitude = load.altitude.unwrap_or(household.altitude);
    let sizes = load.jars.iter().map(|&(size, _)| size);
    let method = canner.method;
    sizes
        .flat_map(|size| {
            let question = ProcessQuestion { food: food.clone(), pack, size, method, altitude };
            look_up(&question, &own).all().cloned().collect::<Vec<_>>()
        })
        .collect()
}
