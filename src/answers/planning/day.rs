//! A day by a recipe: what it takes, in which canners, and when each thing begins.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, TimeDelta};
use serde::Serialize;

use crate::answers::jars::sizes::in_words;
use crate::answers::planning::day_canners::{CannerOfDay, Process, assumed, used};
use crate::answers::planning::shopping::{Shopping, of_shelf};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::recipe::RecipeOnRecord;
use crate::ledger::schema::wall_clock::on_the_wall;
use crate::rules::canning_day::planned_day::{Doing, HANDS, Stretch, Timed, preparations, timetable};
use crate::rules::canning_day::shortest::{NoDay, Slot, shortest};
use crate::rules::recipe::definition::{JarsOfSize, Preparation};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::units::Units;
use crate::values::time::clock::Clock;

/// A planned day.
#[derive(Serialize)]
pub(crate) struct Day {
    pub(crate) recipe: String,
    pub(crate) version: u32,
    pub(crate) jars: Vec<JarsOfSize>,
    pub(crate) start: DateTime<FixedOffset>,
    pub(crate) done: DateTime<FixedOffset>,
    pub(crate) minutes: u32,
    pub(crate) timetable: Vec<Entry>,
    loads: Vec<Load>,
    pub(crate) processes: Vec<Process>,
    pub(crate) lids: u32,
    #[serde(flatten)]
    pub(crate) shopping: Shopping,
    pub(crate) seal_check_from: DateTime<FixedOffset>,
    pub(crate) seal_check_to: DateTime<FixedOffset>,
    /// What the plan takes for granted, in sentences.
    pub(crate) assumed: Vec<String>,
    pub(crate) cautions: Vec<String>,
    #[serde(skip)]
    pub(crate) units: Units,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) card: Option<PathBuf>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) ics: Option<PathBuf>,
}

#[derive(Serialize)]
pub(crate) struct Load {
    load: usize,
    canner: String,
    jars: Vec<JarsOfSize>,
}

/// One line of the timetable.
#[derive(Serialize)]
pub(crate) struct Entry {
    pub(crate) at: DateTime<FixedOffset>,
    pub(crate) until: DateTime<FixedOffset>,
    pub(crate) what: String,
    pub(crate) canner: Option<String>,
    pub(crate) load: Option<usize>,
    pub(crate) hands_on: bool,
    #[serde(skip)]
    pub(crate) doing: Doing,
}

/// Minutes that the day takes, and the evening before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Length {
    pub(crate) day: u32,
    pub(crate) evening: u32,
}

/// When the day begins, and the evening before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Begins {
    pub(crate) day: DateTime<FixedOffset>,
    pub(crate) evening: DateTime<FixedOffset>,
}

/// How the day goes, whenever it begins.
pub(crate) struct Course<'d> {
    on_record: &'d RecipeOnRecord,
    jars: &'d [(JarSize, u32)],
    canners: &'d [CannerOfDay],
    slots: Vec<Slot>,
    evening: Vec<Timed>,
    day: Vec<Timed>,
}

impl<'d> Course<'d> {
    /// The shortest day for so many jars.
    pub(crate) fn of(
        on_record: &'d RecipeOnRecord,
        jars: &'d [(JarSize, u32)],
        canners: &'d [CannerOfDay],
    ) -> Result<Self, NoDay> {
        let wanted: Vec<u32> = jars.iter().map(|&(_, jars)| jars).collect();
        let ways: Vec<_> = canners.iter().map(CannerOfDay::ways).collect();
        let slots = shortest(&wanted, &ways, HANDS)?;
        let in_canner = |slot: &Slot| -> &[Stretch] {
            canners[slot.canner]
                .of_size(canners[slot.canner].size_of(slot))
                .map_or(&[], |ready| &ready.in_canner.stretches)
        };
        let steps = &on_record.recipe.steps;
        let (evening, day) = (preparations(steps, true), timetable(steps, &slots, in_canner));
        Ok(Self { on_record, jars, canners, slots, evening, day })
    }

    /// How long it takes.
    pub(crate) fn length(&self) -> Length {
        let ends = |timed: &[Timed]| timed.iter().map(|one| one.until).max().unwrap_or(0);
        Length { day: ends(&self.day), evening: ends(&self.evening) }
    }

    /// The day by the clock.
    pub(crate) fn begun(&self, begins: Begins, ledger: &Ledger, clock: Clock) -> Result<Day, LedgerError> {
        let Self { on_record, jars, canners, slots, evening, day } = self;
        let recipe = &on_record.recipe;
        let mut timetable: Vec<Entry> =
            evening.iter().map(|timed| self.entry(timed, begins.evening)).collect();
        timetable.extend(day.iter().map(|timed| self.entry(timed, begins.day)));
        let out_of = |slot: &Slot| {
            let last = day.iter().filter(|timed| timed.load.map(|load| &slots[load]) == Some(slot));
            begins.day + TimeDelta::minutes(last.map(|timed| timed.until).max().unwrap_or(0).into())
        };
        let windows: Vec<SealWindow> = slots.iter().map(|slot| SealWindow::after(out_of(slot))).collect();
        let minutes = self.length().day;
        let done = begins.day + TimeDelta::minutes(minutes.into());
        Ok(Day {
            recipe: recipe.name.clone(),
            version: on_record.version,
            start: timetable.first().map_or(begins.day, |first| first.at),
            done: on_the_wall(done),
            minutes,
            timetable,
            loads: self.loads(),
            lids: jars.iter().map(|(_, jars)| jars).sum(),
            shopping: of_shelf(&recipe.for_jars(jars), ledger, clock.now)?,
            seal_check_from: on_the_wall(windows.iter().map(|window| window.opens()).max().unwrap_or(done)),
            seal_check_to: on_the_wall(windows.iter().map(|window| window.due()).min().unwrap_or(done)),
            assumed: assumed(canners, slots),
            processes: used(canners, slots),
            jars: by_size(jars),
            cautions: recipe.cautions(),
            units: ledger.units()?,
            card: None,
            ics: None,
        })
    }

    fn loads(&self) -> Vec<Load> {
        let numbered = self.slots.iter().zip(1..);
        numbered
            .map(|(slot, load)| Load {
                load,
                canner: self.canners[slot.canner].canner.name.clone(),
                jars: by_size(&self.jars_of(slot)),
            })
            .collect()
    }

    fn entry(&self, timed: &Timed, from: DateTime<FixedOffset>) -> Entry {
        let Self { on_record, canners, slots, .. } = self;
        let slot = timed.load.map(|load| &slots[load]);
        let what = match (&timed.doing, slot) {
            (Doing::Prepare(place), _) => on_record
                .recipe
                .steps
                .get(*place)
                .map(|step: &Preparation| step.what.clone())
                .unwrap_or_default(),
            (Doing::Fill, Some(slot)) => format!("fill {}", in_words(&self.jars_of(slot))),
            (Doing::LiftOut, Some(slot)) => format!("lift out {}", in_words(&self.jars_of(slot))),
            (Doing::InCanner(step), Some(slot)) => {
                canners[slot.canner].words(*step, canners[slot.canner].size_of(slot))
            }
            (Doing::Fill | Doing::LiftOut | Doing::InCanner(_), None) => String::new(),
        };
        let at = |minutes: u32| on_the_wall(from + TimeDelta::minutes(minutes.into()));
        Entry {
            at: at(timed.at),
            until: at(timed.until),
            what,
            canner: slot.map(|slot| canners[slot.canner].canner.name.clone()),
            load: timed.load.map(|load| load + 1),
            hands_on: timed.hands_on,
            doing: timed.doing.clone(),
        }
    }

    /// The jars of a load, by size.
    fn jars_of(&self, slot: &Slot) -> Vec<(JarSize, u32)> {
        let sizes = self.jars.iter().map(|&(size, _)| size);
        sizes.zip(slot.jars.iter().copied()).filter(|(_, jars)| *jars > 0).collect()
    }
}

fn by_size(jars: &[(JarSize, u32)]) -> Vec<JarsOfSize> {
    jars.iter().map(|&(size, jars)| JarsOfSize { size, jars }).collect()
}
