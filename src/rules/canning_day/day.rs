//! A batch to come: its loads, and how the day goes.

use std::num::NonZeroU32;

use crate::rules::process::tested::TestedProcess;
use crate::tables::figures::Figure;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::names::named::named_enum;

/// Splits jars into canner loads: full ones first, what is left over in the last.
pub fn loads(jars: u32, capacity: NonZeroU32) -> Vec<u32> {
    let full = std::iter::repeat_n(capacity.get(), (jars / capacity) as usize);
    let rest = jars % capacity;
    full.chain((rest > 0).then_some(rest)).collect()
}

named_enum! {
    /// A stretch of a load's time in the canner.
    pub enum Step as "a step" {
        /// Heat on until steam flows from the vent.
        Heat = "heat",
        /// Steam flows before the vent is closed.
        Vent = "vent",
        /// From the closed vent to pressure, or from the jars in the water to a full boil.
        ComeUp = "come-up",
        /// At pressure or at a full boil.
        Process = "process",
        /// Heat off until the pressure is gone, without help.
        PressureFalls = "pressure-falls",
        /// From then until the jars may be lifted out.
        Wait = "wait",
    }
}

/// A step with its length and where that is known from.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct TimedStep {
    /// The step.
    pub step: Step,
    /// Minutes; none where nothing is known.
    pub minutes: Option<u32>,
    /// Publication and section, or the household's own loads.
    pub source: String,
    /// How sure the figure is.
    pub basis: Option<Basis>,
    /// What must be said beside it.
    pub remark: Option<&'static str>,
}

/// Minutes in the canner: at least so many, exactly where nothing is unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Total {
    /// The sum of what is known.
    pub minutes: u32,
    /// Whether a step of unknown length comes on top.
    pub at_least: bool,
}

impl TimedStep {
    fn of_guide(step: Step, figure: Figure, remark: Option<&'static str>) -> Self {
        let row = figure.row();
        let (minutes, basis) = (Some(row.value), Some(row.basis));
        Self { step, minutes, source: row.source.to_string(), basis, remark }
    }

    fn own(step: Step, minutes: u32) -> Self {
        let source = "your own past loads".to_owned();
        let remark = Some("The middle one of those that had it written down.");
        Self { step, minutes: Some(minutes), source, basis: None, remark }
    }

    fn of_process(step: Step, minutes: u32, process: &TestedProcess) -> Self {
        let (source, basis) = (process.source.clone(), Some(process.basis));
        Self { step, minutes: Some(minutes), source, basis, remark: None }
    }
}

/// The steps of one load in the canner, in order.
///
/// `own_come_up` is what the household's own loads took on that canner, if any has it.
pub fn timetable(
    process: &TestedProcess,
    method: Method,
    size: JarSize,
    own_come_up: Option<u32>,
) -> Vec<TimedStep> {
    let come_up = own_come_up.map_or_else(
        || TimedStep {
            step: Step::ComeUp,
            minutes: None,
            source: "not known yet".to_owned(),
            basis: None,
            remark: Some(if method.is_pressure() {
                "The guide's 3 to 5 minutes count from the closed vent only; your own loads will show."
            } else {
                "It depends on stove, water and load; your own loads will show."
            }),
        },
        |minutes| TimedStep::own(Step::ComeUp, minutes),
    );
    let timed = TimedStep::of_process(Step::Process, process.minutes, process);
    if !method.is_pressure() {
        let wait = TimedStep::of_guide(Step::Wait, Figure::WaitAfterBoilingWater, None);
        return vec![come_up, timed, wait];
    }
    let vent = if !process.not_held.is_empty() {
        let remark = Some("This process needs another way of venting, which is not held here.");
        TimedStep { step: Step::Vent, minutes: None, source: "not held here".to_owned(), basis: None, remark }
    } else if process.vent_min == Figure::Vent.value() {
        TimedStep::of_guide(Step::Vent, Figure::Vent, None)
    } else {
        TimedStep::of_process(Step::Vent, process.vent_min, process)
    };
    let pints = size.fluid_ounces() <= JarSize::Pint.fluid_ounces();
    let falls = TimedStep::of_guide(
        Step::PressureFalls,
        if pints { Figure::DepressurisePints } else { Figure::DepressuriseQuarts },
        Some("For older heavy canners; a thin-walled one is done when its vent lock drops."),
    );
    let wait = TimedStep::of_guide(Step::Wait, Figure::WaitAfterPressure, None);
    vec![vent, come_up, timed, falls, wait]
}

/// The time of so many loads one after another on one canner.
pub fn total(steps: &[TimedStep], loads: u32) -> Total {
    let one: u32 = steps.iter().filter_map(|step| step.minutes).sum();
    let at_least = steps.iter().any(|step| step.minutes.is_none());
    Total { minutes: one.saturating_mul(loads), at_least }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::process::look_up;
    use crate::rules::process::tested::ProcessQuestion;
    use crate::rules::process::tested::VENT_MINUTES;
    use crate::values::kinds::method::Pack;
    use crate::values::measures::altitude::Altitude;

    fn tested(food: &str, size: JarSize, method: Method) -> TestedProcess {
        let question = ProcessQuestion {
            food: food.parse().unwrap(),
            pack: Pack::Hot,
            size,
            method,
            altitude: Altitude::from_feet(500),
        };
        look_up(&question, &[]).options.remove(0)
    }

    #[test]
    fn no_length_is_made_up_for_a_venting_that_is_not_held() {
        // USDA AIB 539, Guide 5 (2015), Fish in quart jars, from memory: a way of venting of its own.
        let (size, method) = (JarSize::Quart, Method::PressureDial);
        let food = "fish".parse().unwrap();
        let question =
            ProcessQuestion { food, pack: Pack::Raw, size, method, altitude: Altitude::from_feet(500) };
        let steps = timetable(&look_up(&question, &[]).options[0], method, size, Some(15));
        assert_eq!(minutes(&steps)[0], (Step::Vent, None));
        assert!(total(&steps, 1).at_least);
    }

    fn minutes(steps: &[TimedStep]) -> Vec<(Step, Option<u32>)> {
        steps.iter().map(|step| (step.step, step.minutes)).collect()
    }

    #[test]
    fn jars_fill_whole_loads_and_the_rest_comes_last() {
        let seven = NonZeroU32::new(7).unwrap();
        assert_eq!(loads(14, seven), [7, 7]);
        assert_eq!(loads(16, seven), [7, 7, 2]);
        assert_eq!(loads(15, seven), [7, 7, 1]);
        assert_eq!(loads(3, seven), [3]);
        assert_eq!(loads(0, seven), [0; 0]);
    }

    #[test]
    fn a_pressure_load_is_vented_brought_up_timed_and_left_to_fall() {
        // Vent 10 (AIB 539, Guide 1); dried beans in quarts 90 (common practice, no source); 45 until an old
        // canner of quarts is down (PNW 421); then 10 more (AIB 539, Guide 1, from memory).
        let beans = tested("beans-peas-dried-shelled", JarSize::Quart, Method::PressureDial);
        let steps = timetable(&beans, Method::PressureDial, JarSize::Quart, None);
        assert_eq!(
            minutes(&steps),
            [
                (Step::Vent, Some(10)),
                (Step::ComeUp, None),
                (Step::Process, Some(90)),
                (Step::PressureFalls, Some(45)),
                (Step::Wait, Some(10)),
            ]
        );
        assert_eq!(total(&steps, 2), Total { minutes: 310, at_least: true });
        assert_eq!(steps[2].source, beans.source);
        assert!(steps[0].source.ends_with("Using Pressure Canners"), "{}", steps[0].source);
        assert_eq!(steps[4].basis, Some(Basis::Memory));
    }

    #[test]
    fn the_household_s_own_time_takes_the_place_of_what_is_not_known() {
        let beans = tested("beans-peas-dried-shelled", JarSize::Pint, Method::PressureWeighted);
        let steps = timetable(&beans, Method::PressureWeighted, JarSize::Pint, Some(12));
        // 10 + 12 + 75 + 30 + 10 = 137, by hand.
        assert_eq!(total(&steps, 1), Total { minutes: 137, at_least: false });
        assert_eq!((steps[1].source.as_str(), steps[1].basis), ("your own past loads", None));
    }

    #[test]
    fn boiling_water_has_no_vent_and_no_pressure_to_fall() {
        // Pears, hot, pints, up to 1,000 ft: 20 minutes (AIB 539, Guide 2); 5 more before lifting (from memory).
        let pears = tested("pears", JarSize::Pint, Method::BoilingWater);
        let steps = timetable(&pears, Method::BoilingWater, JarSize::Pint, None);
        assert_eq!(minutes(&steps), [(Step::ComeUp, None), (Step::Process, Some(20)), (Step::Wait, Some(5))]);
    }

    #[test]
    fn the_vent_of_the_rules_is_that_of_the_table_of_figures() {
        assert_eq!(VENT_MINUTES, Figure::Vent.value());
    }
}
