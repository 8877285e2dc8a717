//! A batch to come: its loads, its produce and its hours.

use std::num::NonZeroU32;

use chrono::NaiveDate;
use serde::Serialize;

use crate::answers::jars::sizes::in_words;
use crate::answers::planning::gauge_target::Gauge;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::day;
use crate::rules::canning_day::day::{TimedStep, Total};
use crate::rules::canning_day::loading::{NoCapacity, serves_all};
use crate::rules::food::produce::Yield;
use crate::rules::process::absence::NoneBecause;
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::rules::recipe::definition::JarsOfSize;
use crate::rules::spoilage::cautions;
use crate::rules::spoilage::cautions::Caution;
use crate::tables::figures::Figure;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::in_words::height;
use crate::values::measures::pounds::Pounds;
use crate::values::measures::pressure::Pressure;
use crate::values::names::counted::counted;
use crate::values::names::name::Name;

/// What is to be planned.
#[derive(Debug)]
pub(crate) struct Wanted {
    pub(crate) product: Name,
    pub(crate) food: FoodId,
    pub(crate) size: JarSize,
    pub(crate) pack: Pack,
    pub(crate) canner: Canner,
    pub(crate) altitude: Altitude,
    pub(crate) styles: Vec<Yield>,
    pub(crate) jars: u32,
}

/// A process with the day it makes.
#[derive(Serialize)]
pub(crate) struct Day {
    #[serde(flatten)]
    pub(crate) process: TestedProcess,
    /// What the dial of the canner must show.
    #[serde(skip_serializing_if = "Option::is_none")]
    dial_target_psi: Option<Pressure>,
    /// What to say of the gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) gauge: Option<String>,
    pub(crate) steps: Vec<TimedStep>,
    pub(crate) each_load: Total,
    pub(crate) all_loads: Total,
}

/// Produce for the jars.
#[derive(Serialize)]
pub(crate) struct Produce {
    pub(crate) pounds: Option<Pounds>,
    #[serde(flatten)]
    pub(crate) figure: Yield,
}

/// A batch to come, in one size of jar.
#[derive(Serialize)]
pub(crate) struct Plan {
    pub(crate) product: Name,
    pub(crate) food: FoodId,
    pub(crate) jar: JarSize,
    pub(crate) pack: Pack,
    pub(crate) jars: u32,
    pub(crate) lids: u32,
    pub(crate) canner: String,
    altitude: String,
    #[serde(skip)]
    pub(crate) place: String,
    pub(crate) loads: Vec<u32>,
    pub(crate) produce: Vec<Produce>,
    pub(crate) options: Vec<Day>,
    none_because: Option<NoneBecause>,
    pub(crate) detail: String,
    pub(crate) cool_hours: [u32; 2],
    pub(crate) cautions: [Caution; 2],
}

impl Plan {
    /// The plan for a canner that takes so many of these jars.
    pub(crate) fn of(
        wanted: Wanted,
        capacity: NonZeroU32,
        ledger: &Ledger,
        today: NaiveDate,
    ) -> Result<Self, LedgerError> {
        let Wanted { product, food, size, pack, canner, altitude, styles, jars } = wanted;
        let loads = day::loads(jars, capacity);
        let come_up = ledger.come_up_times(&canner)?.map(|times| times.middle);
        let gauge = Gauge::of(ledger, &canner, today)?;
        let question = ProcessQuestion { food: food.clone(), pack, size, method: canner.method, altitude };
        let answer = look_up(&question, &ledger.household_processes()?);
        let is_tested = answer.all().next().is_some();
        let days = answer
            .all()
            .map(|process| {
                let steps = day::timetable(process, canner.method, size, come_up);
                let count = u32::try_from(loads.len()).expect("there are at most as many loads as jars");
                Day {
                    process: process.clone(),
                    dial_target_psi: process.psi.and_then(|psi| gauge.target(psi)),
                    gauge: process.psi.and_then(|psi| gauge.advice(psi)),
                    each_load: day::total(&steps, 1),
                    all_loads: day::total(&steps, count),
                    steps,
                }
            })
            .collect();
        let produce =
            styles.into_iter().map(|figure| Produce { pounds: figure.pounds_for(jars), figure }).collect();
        Ok(Self {
            product,
            food,
            jar: size,
            pack,
            jars,
            lids: jars,
            canner: canner.name,
            altitude: altitude.to_string(),
            place: height(altitude),
            loads,
            produce,
            options: days,
            none_because: answer.none_because,
            detail: answer.detail,
            cool_hours: [Figure::CoolAtLeast.value(), Figure::CoolAtMost.value()],
            cautions: if is_tested {
                [cautions::FIGURES_ONLY, cautions::ASK]
            } else {
                [cautions::BOTULISM, cautions::ASK]
            },
        })
    }
}

/// The plans with the loads of all of them.
#[derive(Serialize)]
pub(crate) struct Plans {
    pub(crate) plans: Vec<Plan>,
    /// Each load, by size.
    loads: Vec<Vec<JarsOfSize>>,
    pub(crate) detail: String,
}

impl Plans {
    /// The loads that the plans for these sizes make together in one canner.
    pub(crate) fn of(
        plans: Vec<Plan>,
        canner: &Canner,
        sizes: &[(JarSize, u32)],
    ) -> Result<Self, NoCapacity> {
        // Sizes go in together only where one process serves them all.
        let process = |&size: &JarSize| {
            let plan = plans.iter().find(|plan| plan.jar == size)?;
            Some(&plan.options.first()?.process)
        };
        let loads = canner.room().fewest(sizes, |sizes| serves_all(sizes.iter().map(process)))?;
        let said: Vec<String> = loads.iter().map(|load| in_words(load)).collect();
        let why = if loads.iter().any(|load| load.len() > 1) {
            ""
        } else if canner.holds_together.is_empty() {
            " Each size goes in by itself, since nothing on record says how many of each the canner holds together."
        } else if sizes.iter().enumerate().any(|(at, (one, _))| {
            sizes[at + 1..].iter().any(|(other, _)| serves_all([one, other].into_iter().map(process)))
        }) {
            " Each size goes in by itself: together they would save no load."
        } else {
            " Each size goes in by itself, since no one process serves them."
        };
        let detail = format!("{}: {}.{why}", counted(loads.len(), "load", "loads"), said.join("; "));
        let of_load = |load: Vec<(JarSize, u32)>| {
            load.into_iter().map(|(size, jars)| JarsOfSize { size, jars }).collect()
        };
        Ok(Self { loads: loads.into_iter().map(of_load).collect(), plans, detail })
    }
}
