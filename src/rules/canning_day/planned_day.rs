//! A planned day: what is done when, from the first knife to the last jar lifted out.
//!
//! What a recipe has before the canner is done in its order, one step after another, and all of it before the first jar
//! is filled; then the loads go as `shortest` has them. Minutes count from the beginning of the day.

use crate::rules::canning_day::day::{Step, TimedStep};
use crate::rules::canning_day::own_times::OwnTimes;
use crate::rules::canning_day::shortest::{Hands, Slot};
use crate::rules::recipe::definition::Preparation;
use crate::values::kinds::method::Method;

/// Minutes that work by hand is taken to need (common practice, no source).
pub(crate) const HANDS: Hands = Hands { fill_a_jar: 2, lift_a_load: 5 };

/// Minutes until steam flows where no run of the household has it on record (common practice, no source).
const HEAT_ALLOWED: u32 = 20;
/// Minutes from the closed vent to pressure where no load of the household has it on record (common practice, no source).
const PRESSURE_ALLOWED: u32 = 10;
/// Minutes from the jars in the canner to a full boil or full steam, likewise (common practice, no source).
const BOIL_ALLOWED: u32 = 30;

/// A stretch of a load's time in the canner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// What goes on.
    pub step: Step,
    /// How many minutes.
    pub minutes: u32,
}

/// A load in its canner, whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct InCanner {
    /// Its stretches, in order.
    pub stretches: Vec<Stretch>,
    /// The stretches whose length is assumed, not known.
    pub allowed: Vec<Stretch>,
}

impl InCanner {
    /// From the steps of a process on one canner and the times of the household's own runs; none where a step is of
    /// unknown length and nothing may be assumed for it.
    pub fn of(steps: &[TimedStep], method: Method, heat: Option<OwnTimes>) -> Option<Self> {
        let mut whole = Self { stretches: Vec::new(), allowed: Vec::new() };
        if method.is_pressure() {
            whole.add(Step::Heat, heat.map(|times| times.middle), HEAT_ALLOWED);
        }
        for step in steps {
            match (step.step, step.minutes) {
                (Step::ComeUp, minutes) => {
                    let allowed = if method.is_pressure() { PRESSURE_ALLOWED } else { BOIL_ALLOWED };
                    whole.add(Step::ComeUp, minutes, allowed);
                }
                (step, Some(minutes)) => whole.stretches.push(Stretch { step, minutes }),
                (_, None) => return None,
            }
        }
        Some(whole)
    }

    fn add(&mut self, step: Step, known: Option<u32>, allowed: u32) {
        let stretch = Stretch { step, minutes: known.unwrap_or(allowed) };
        self.stretches.push(stretch);
        self.allowed.extend(known.is_none().then_some(stretch));
    }

    /// Minutes from the filled jars until they may be lifted out.
    pub fn minutes(&self) -> u32 {
        self.stretches.iter().map(|stretch| stretch.minutes).sum()
    }
}

/// What is done or goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Doing {
    /// A step before the canner, by its place in the recipe.
    Prepare(usize),
    /// The jars of a load are filled and go into the canner.
    Fill,
    /// A stretch in the canner.
    InCanner(Step),
    /// The jars are lifted out.
    LiftOut,
}

/// One line of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timed {
    /// When it begins.
    pub at: u32,
    /// When it ends.
    pub until: u32,
    /// What it is.
    pub doing: Doing,
    /// The load, by its place among the slots.
    pub load: Option<usize>,
    /// Whether hands are needed.
    pub hands_on: bool,
}

/// The steps before the canner that are done the evening before (`true`) or on the day, one after another from minute 0.
pub(crate) fn preparations(steps: &[Preparation], evening_before: bool) -> Vec<Timed> {
    let mut at = 0;
    let those = steps.iter().enumerate().filter(|(_, step)| step.evening_before == evening_before);
    those
        .map(|(place, step)| {
            let begins = at;
            at += step.minutes;
            Timed { at: begins, until: at, doing: Doing::Prepare(place), load: None, hands_on: step.hands_on }
        })
        .collect()
}

/// The day: what comes before the canner, then the loads, in the order they begin.
pub fn timetable<'s>(
    steps: &[Preparation],
    slots: &[Slot],
    in_canner: impl Fn(&Slot) -> &'s [Stretch],
) -> Vec<Timed> {
    let mut day = preparations(steps, false);
    let filled_from = day.last().map_or(0, |last| last.until);
    for (load, slot) in slots.iter().enumerate() {
        let mut add = |at: u32, until: u32, doing: Doing, hands_on: bool| {
            let (at, until) = (filled_from + at, filled_from + until);
            day.push(Timed { at, until, doing, load: Some(load), hands_on });
        };
        add(slot.fill, slot.closed, Doing::Fill, true);
        let mut at = slot.closed;
        let stretches = in_canner(slot);
        for (number, stretch) in stretches.iter().enumerate() {
            // The last one, the wait, lasts until there are hands to lift the jars.
            let until = if number + 1 == stretches.len() { slot.lift } else { at + stretch.minutes };
            add(at, until, Doing::InCanner(stretch.step), false);
            at = until;
        }
        add(slot.lift, slot.out, Doing::LiftOut, true);
    }
    day.sort_by_key(|timed| (timed.at, timed.load, timed.until));
    day
}

#[cfg(test)]
mod tests {
    use super::*;

    fn preparation(minutes: u32, hands_on: bool, evening_before: bool) -> Preparation {
        Preparation { what: "peel".to_owned(), minutes, hands_on, evening_before }
    }

    #[test]
    fn a_day_runs_from_the_first_step_to_the_last_jar() {
        // By hand: peel 40, simmer 20; fill 4 jars 8, boil 30, process 20, wait 5 and 2 more for hands, lift 5.
        let steps =
            [preparation(40, true, false), preparation(20, false, false), preparation(600, false, true)];
        let slot =
            Slot { canner: 0, way: 0, jars: vec![4], fill: 0, closed: 8, ready: 63, lift: 65, out: 70 };
        let stretch = |step, minutes| Stretch { step, minutes };
        let stretches = [stretch(Step::ComeUp, 30), stretch(Step::Process, 20), stretch(Step::Wait, 5)];
        let day = timetable(&steps, &[slot], |_| &stretches);
        let times: Vec<(u32, u32, bool)> = day.iter().map(|one| (one.at, one.until, one.hands_on)).collect();
        assert_eq!(
            times,
            [
                (0, 40, true),
                (40, 60, false),
                (60, 68, true),
                (68, 98, false),
                (98, 118, false),
                (118, 125, false),
                (125, 130, true)
            ]
        );
        assert_eq!(preparations(&steps, true).len(), 1);
    }

    #[test]
    fn what_no_load_has_on_record_is_allowed_for_and_named() {
        let timed =
            |step, minutes| TimedStep { step, minutes, source: String::new(), basis: None, remark: None };
        let steps = [timed(Step::ComeUp, None), timed(Step::Process, Some(20)), timed(Step::Wait, Some(5))];
        let boiled = InCanner::of(&steps, Method::BoilingWater, None).unwrap();
        assert_eq!((boiled.minutes(), boiled.allowed.len()), (BOIL_ALLOWED + 25, 1));
        let pressed = InCanner::of(&steps, Method::PressureDial, OwnTimes::of(vec![12])).unwrap();
        assert_eq!((pressed.minutes(), pressed.allowed.len()), (12 + PRESSURE_ALLOWED + 25, 1));
        // Nothing can be allowed for a way of venting that the tables do not hold.
        assert_eq!(InCanner::of(&[timed(Step::Vent, None)], Method::PressureDial, None), None);
    }
}
