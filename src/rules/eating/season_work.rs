//! What putting up so many jars takes: loads, produce and hours at the canner.

use std::num::NonZeroU32;

use crate::rules::canning_day::day::{Total, timetable, total};
use crate::rules::food::produce::yields;
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::look_up;
use crate::rules::process::tested::ProcessQuestion;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pounds::Pounds;

/// How the product is put up, as far as it is known.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pattern {
    /// The food of the process tables.
    pub food: Option<FoodId>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    /// The kind of canner.
    pub method: Option<Method>,
    /// Jars of that size in one load.
    pub holds: Option<NonZeroU32>,
    /// The household's median minutes of coming up on that canner.
    pub come_up: Option<u32>,
    /// Where the canner stands.
    pub altitude: Option<Altitude>,
}

/// What putting the jars up takes. None: not known.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Work {
    /// Loads of the canner.
    pub loads: Option<u32>,
    /// Produce as bought.
    pub produce: Option<Produce>,
    /// Time at the canner, load after load.
    pub time: Option<Total>,
    /// Why there is no time.
    pub no_time: Option<&'static str>,
}

/// How much produce, and who says so.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Produce {
    /// The weight.
    pub pounds: Pounds,
    /// Which style of the food, where the guide gives several: the one that takes most.
    pub style: Option<&'static str>,
    /// Publication and section.
    pub source: String,
    /// How sure the figure is.
    pub basis: Basis,
}

/// Reckons the work of putting up `jars` jars of one size the way it was last done.
///
/// Of several processes for one question the longest counts, and of several
/// styles of a food the one that takes most produce. The figures are for planning
/// only; the process itself is looked up when the canner is filled.
pub fn work(jars: u32, size: JarSize, pattern: &Pattern, household: &[HouseholdProcess]) -> Work {
    let loads = pattern.holds.map(|holds| jars.div_ceil(holds.get()));
    let produce = pattern.food.iter().flat_map(|food| yields(food, size)).filter_map(|one| {
        let pounds = one.pounds_for(jars)?;
        Some(Produce { pounds, style: one.style, source: one.source, basis: one.basis })
    });
    let time = time(loads, size, pattern, household);
    Work {
        loads,
        produce: produce.max_by_key(|produce| produce.pounds),
        time: time.ok(),
        no_time: time.err(),
    }
}

fn time(
    loads: Option<u32>,
    size: JarSize,
    pattern: &Pattern,
    household: &[HouseholdProcess],
) -> Result<Total, &'static str> {
    let method = pattern.method.ok_or("the canner is not on record")?;
    let loads = loads.ok_or("the canner is not known to hold such jars")?;
    let (Some(food), Some(pack)) = (pattern.food.clone(), pattern.pack) else {
        return Err("food or pack is not on record");
    };
    let altitude = pattern.altitude.ok_or("the altitude is not on record")?;
    let question = ProcessQuestion { food, pack, size, method, altitude };
    let answer = look_up(&question, household);
    let longest = answer.all().max_by_key(|process| process.minutes);
    let process = longest.ok_or("no tested process for doing it this way again")?;
    Ok(total(&timetable(process, method, size, pattern.come_up), loads))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn beans() -> Pattern {
        Pattern {
            food: "green-beans".parse().ok(),
            pack: Some(Pack::Hot),
            method: Some(Method::PressureDial),
            holds: NonZeroU32::new(7),
            come_up: Some(15),
            altitude: Some(Altitude::from_feet(500)),
        }
    }

    #[test]
    fn beans_for_a_year_are_reckoned_by_hand() {
        // 23 quarts at 7 a load: 4 loads. AIB 539, Guide 4: 14 lb for 7 quarts, so 46 lb; 25 minutes in quarts.
        // A load: vent 10, up 15, process 25, down 45, wait 10 = 105; four of them 420.
        let beans = work(23, JarSize::Quart, &beans(), &[]);
        assert_eq!(beans.loads, Some(4));
        assert_eq!(beans.produce.unwrap().pounds, "46".parse().unwrap());
        assert_eq!(beans.time, Some(Total { minutes: 420, at_least: false }));
        assert_eq!(beans.no_time, None);
    }

    #[test]
    fn what_is_not_known_is_not_made_up() {
        let nothing = work(9, JarSize::Pint, &Pattern::default(), &[]);
        assert_eq!((nothing.loads, nothing.produce, nothing.time), (None, None, None));
        let no_process = Pattern { method: Some(Method::BoilingWater), ..beans() };
        let reckoned = work(9, JarSize::Quart, &no_process, &[]);
        assert_eq!(reckoned.time, None);
        assert_eq!(reckoned.no_time, Some("no tested process for doing it this way again"));
        assert_eq!(work(0, JarSize::Quart, &beans(), &[]).loads, Some(0));
    }
}
