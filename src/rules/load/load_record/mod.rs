//! What is on record of a load, and the verdict on it, with facts left open.
//!
//! May use: verdict, gauge, process, tables, values.
//!
//! A load without its canner, altitude or pack on record cannot be held against
//! one process. It is held against every process that the open facts allow: it
//! is `not-recorded` while one of them might be met, and fails where none could
//! be, whatever was left out.

use chrono::NaiveDate;

use crate::rules::gauge::dial_gauge::GaugeTest;
use crate::rules::gauge::gauge_history::{error_in_force, is_outside_all, is_untested, uncredited_by};
use crate::rules::load::consequence::{LoadHold, consequence};
use crate::rules::load::finding::{Bearing, Finding, FindingCode};
use crate::rules::load::run_time::RunTime;
use crate::rules::load::verdict::record::{Owed, RunRecord};
use crate::rules::load::verdict::{Judgement, Verdict, judge};
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::tables::foods::FoodKind;
use crate::tables::{foods, processes};
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

/// A load as it was written down. None means "not recorded" unless said otherwise.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LoadRecord {
    /// The food of the tables or of a household process; none: the product is no such food.
    pub food: Option<FoodId>,
    /// Its acidity, as the household gave it.
    pub acidity: Option<Acidity>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    pub sizes: Vec<JarSize>,
    /// The kind of canner.
    pub method: Option<Method>,
    /// Where it stood.
    pub altitude: Option<Altitude>,
    /// The day of the run.
    pub day: NaiveDate,
    /// The lowest reading of the dial while the time ran, or the weight used.
    pub pressure: Option<Pressure>,
    /// Minutes of steady venting.
    pub vent_min: Option<u32>,
    /// Minutes, clock times and drops.
    pub time: RunTime,
    /// Acid added.
    pub acid: Option<AcidRecord>,
    /// Whether a note says that something went wrong.
    pub trouble_noted: bool,
    /// Why the product's name, which names another food, was let in; none: it was not doubted.
    pub name_reason: Option<String>,
}

/// Why a load of no food that a table knows has no process.
const NO_FOOD: &str = "no food of the process tables is on record for it, so there is no tested process";

/// The parts of the question a process is looked up by that are the same for every jar of a load.
#[derive(Debug, Clone, Copy)]
struct Setting {
    method: Method,
    pack: Pack,
    altitude: Altitude,
}

impl LoadRecord {
    /// Judges the load by the tests of its canner's gauge and the processes there are; of the household's own, by those
    /// that were entered by the day of the run.
    pub fn judge(&self, tests: &[GaugeTest], household: &[HouseholdProcess]) -> Judgement {
        let mut judgement = self.judge_run(tests, household);
        if let Some(reason) = &self.name_reason {
            let message = format!("its name names another food, and was let in for this reason: {reason}");
            judgement.findings.push(Finding::of_load(FindingCode::NameDoubted, &self.sizes, message));
        }
        judgement
    }

    fn judge_run(&self, tests: &[GaugeTest], household: &[HouseholdProcess]) -> Judgement {
        let household: Vec<HouseholdProcess> =
            household.iter().filter(|own| own.entered_on <= self.day).cloned().collect();
        let household = household.as_slice();
        let Some(food) = &self.food else {
            let nothing: Vec<Owed<'_>> =
                self.sizes.iter().map(|&size| Owed { size, options: &[], absence: NO_FOOD }).collect();
            return judge(&self.run(self.method.unwrap_or(Method::BoilingWater), tests), &nothing);
        };
        let mut judged: Vec<Judgement> =
            self.settings(food, household).map(|at| self.judge_at(food, at, tests, household)).collect();
        let missing = self.missing();
        if missing.is_empty() {
            return judged.remove(0);
        }
        if judged.iter().any(|judgement| judgement.verdict <= Verdict::NotRecorded) {
            judged.retain(|judgement| judgement.verdict <= Verdict::NotRecorded);
            let mut findings = missing;
            findings.extend(common(&judged));
            return Judgement { verdict: Verdict::NotRecorded, findings };
        }
        let fails = |judgement: &Judgement| {
            judgement.findings.iter().filter(|finding| finding.bearing == Bearing::Fails).count()
        };
        // Falling short of something tested comes before there being nothing tested.
        let nearest = judged
            .into_iter()
            .min_by_key(|judgement| (judgement.verdict != Verdict::Deviates, fails(judgement)));
        let mut nearest = nearest.expect("the open facts allow at least one setting");
        nearest.findings.extend(missing);
        nearest.findings.sort_by_key(|finding| finding.bearing);
        nearest
    }

    /// Why every jar of the load is withheld under a verdict, if it is.
    pub fn withheld(&self, verdict: Verdict) -> Option<LoadHold> {
        let listed = self.food.as_ref().and_then(foods::get);
        // The household's word alone makes no food acid.
        consequence(
            verdict,
            listed.map(|food| food.acidity),
            listed.is_some_and(|food| food.kind == FoodKind::Tomato),
        )
    }

    fn judge_at(
        &self,
        food: &FoodId,
        at: Setting,
        tests: &[GaugeTest],
        household: &[HouseholdProcess],
    ) -> Judgement {
        let Setting { method, pack, altitude } = at;
        let options: Vec<(JarSize, Vec<TestedProcess>, String)> = self
            .sizes
            .iter()
            .map(|&size| {
                let question = ProcessQuestion { food: food.clone(), pack, size, method, altitude };
                let answer = look_up(&question, household);
                (size, answer.all().cloned().collect(), answer.detail)
            })
            .collect();
        let owed: Vec<Owed<'_>> =
            options.iter().map(|(size, options, absence)| Owed { size: *size, options, absence }).collect();
        judge(&self.run(method, tests), &owed)
    }

    fn run(&self, method: Method, tests: &[GaugeTest]) -> RunRecord {
        RunRecord {
            method,
            pressure: self.pressure,
            gauge_error: self.pressure.and_then(|reading| error_in_force(tests, self.day, reading)),
            gauge_uncredited: uncredited_by(tests, self.day),
            gauge_tested_elsewhere: self
                .pressure
                .is_some_and(|reading| is_outside_all(tests, self.day, reading)),
            gauge_untested: is_untested(tests, self.day),
            vent_min: self.vent_min,
            time: self.time.clone(),
            acid: self.acid,
            trouble_noted: self.trouble_noted,
        }
    }

    /// Everything the record leaves open, each as it may have been.
    fn settings<'a>(
        &'a self,
        food: &'a FoodId,
        household: &'a [HouseholdProcess],
    ) -> impl Iterator<Item = Setting> + 'a {
        let methods = self.method.map_or_else(|| Method::ALL.to_vec(), |method| vec![method]);
        let packs = self.pack.map_or_else(|| Pack::ALL.to_vec(), |pack| vec![pack]);
        let altitudes = self.altitude.map_or_else(
            || {
                // The lower end of each band stands for all of it.
                let published = processes::of(food).map(|row| row.altitude_min_ft);
                let own = household.iter().filter(|own| own.food == *food).map(|own| own.altitude_min_ft);
                let mut ends: Vec<i64> = published.chain(own).chain([0]).collect();
                ends.sort_unstable();
                ends.dedup();
                ends.into_iter().map(Altitude::from_feet).collect()
            },
            |altitude| vec![altitude],
        );
        methods.into_iter().flat_map(move |method| {
            let altitudes = altitudes.clone();
            packs.clone().into_iter().flat_map(move |pack| {
                altitudes.clone().into_iter().map(move |altitude| Setting { method, pack, altitude })
            })
        })
    }

    fn missing(&self) -> Vec<Finding> {
        let mut missing = Vec::new();
        let mut open = |code, what: &str| {
            let message = format!("{what} is not on record, so its tested process is not known");
            missing.push(Finding::of_load(code, &self.sizes, message));
        };
        if self.method.is_none() {
            open(FindingCode::CannerNotRecorded, "the canner");
        }
        if self.pack.is_none() {
            open(FindingCode::PackNotRecorded, "the pack, hot or raw,");
        }
        if self.altitude.is_none() {
            open(FindingCode::AltitudeNotRecorded, "the altitude");
        }
        missing
    }
}

/// The findings that hold whichever setting it was.
fn common(judged: &[Judgement]) -> Vec<Finding> {
    let Some((first, rest)) = judged.split_first() else { return Vec::new() };
    let everywhere = |finding: &&Finding| rest.iter().all(|other| other.findings.contains(finding));
    first.findings.iter().filter(everywhere).cloned().collect()
}

#[cfg(test)]
mod tests;
