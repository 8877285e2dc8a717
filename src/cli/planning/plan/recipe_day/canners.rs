//! Which canner takes which jars of the day, for how long, and what is only allowed for.

use std::num::NonZeroU32;

use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::planning::plan::Args;
use crate::cli::planning::plan::recipe_day::needs_process;
use crate::cli::planning::process::gauge_target::Gauge;
use crate::cli::planning::process::{altitude, words};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::measures::time;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::day::{Step, timetable};
use crate::rules::canning_day::own_times::OwnTimes;
use crate::rules::canning_day::planned_day::{HANDS, InCanner};
use crate::rules::canning_day::shortest::{Slot, Stay};
use crate::rules::process::{ProcessQuestion, TestedProcess, look_up};
use crate::rules::recipe::definition::Recipe;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::pressure::Pressure;
use crate::values::names::counted::counted;

/// A canner and what it does with each size of the day.
pub(super) struct CannerOfDay {
    pub(super) canner: Canner,
    heat: Option<OwnTimes>,
    come_up: Option<OwnTimes>,
    sizes: Vec<Result<ForSize, String>>,
}

/// A size that a canner takes.
pub(super) struct ForSize {
    room: NonZeroU32,
    pub(super) in_canner: InCanner,
    process: Process,
}

/// A process of the day.
#[derive(Debug, Clone, serde::Serialize)]
pub(super) struct Process {
    pub(super) canner: String,
    pub(super) size: JarSize,
    #[serde(flatten)]
    pub(super) process: TestedProcess,
    /// Whether it is the household's own, which no table confirms.
    pub(super) is_own: bool,
    /// What the dial must show.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) dial_target_psi: Option<Pressure>,
    /// What to say of the gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) gauge: Option<String>,
}

/// The canners named, else all on record, each with what it does with the sizes wanted.
pub(super) fn of_day(
    args: &Args,
    recipe: &Recipe,
    sizes: &[JarSize],
    ledger: &Ledger,
    asker: &Asker,
    ctx: &Context,
) -> Result<Vec<CannerOfDay>, Failure> {
    let canners = if args.canner.is_empty() {
        ledger.canners()?
    } else {
        args.canner.iter().map(|name| ledger.canner(name)).collect::<Result<_, _>>()?
    };
    if canners.is_empty() {
        return Err(Failure::new(
            Code::NotFound,
            "no canner is on record yet",
            "record yours with `jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`",
        ));
    }
    let (Some(food), Some(pack)) = (&recipe.food, recipe.pack) else {
        return Err(needs_process(&recipe.name));
    };
    let altitude = altitude(args.altitude, Some(ledger), asker)?;
    let own = ledger.household_processes()?;
    let mut of_day = Vec::new();
    for canner in canners {
        let gauge = Gauge::of(ledger, &canner, ctx.clock.today())?;
        let (heat, come_up) = (ledger.heat_up_times(&canner)?, ledger.come_up_times(&canner)?);
        let of_size = |size: JarSize| -> Result<ForSize, String> {
            let room = canner.holds.get(&size).copied().and_then(NonZeroU32::new);
            let room = room.ok_or_else(|| {
                format!("how many {} {} takes is not on record", size.plural(), canner.name)
            })?;
            let question =
                ProcessQuestion { food: food.clone(), pack, size, method: canner.method, altitude };
            let answer = look_up(&question, &own);
            let among = if answer.options.is_empty() { &answer.household_options } else { &answer.options };
            let steps = |process: &TestedProcess| {
                timetable(process, canner.method, size, come_up.map(|times| times.middle))
            };
            let process = among.iter().min_by_key(|process| process.minutes);
            let process =
                process.ok_or_else(|| format!("{}: no tested process. {}", canner.name, answer.detail))?;
            let in_canner = InCanner::of(&steps(process), canner.method, heat).ok_or_else(|| {
                format!("{}: this process needs another way of venting, which is not held here", canner.name)
            })?;
            let process = Process {
                canner: canner.name.clone(),
                size,
                process: process.clone(),
                is_own: answer.options.is_empty(),
                dial_target_psi: process.psi.and_then(|psi| gauge.target(psi)),
                gauge: process.psi.and_then(|psi| gauge.advice(psi)),
            };
            Ok(ForSize { room, in_canner, process })
        };
        let sizes = sizes.iter().map(|&size| of_size(size)).collect();
        of_day.push(CannerOfDay { canner, heat, come_up, sizes });
    }
    Ok(of_day)
}

/// Says why a size goes into none of the canners.
pub(super) fn no_canner(recipe: &Recipe, sizes: &[JarSize], canners: &[CannerOfDay]) -> Failure {
    let without = (0..sizes.len()).find(|&size| canners.iter().all(|canner| canner.sizes[size].is_err()));
    let size = without.unwrap_or(0);
    let mut reasons: Vec<&str> =
        canners.iter().filter_map(|canner| canner.sizes[size].as_ref().err().map(String::as_str)).collect();
    reasons.dedup();
    Failure::new(
        Code::Refused,
        format!(
            "{} of {} go into none of these canners; nothing was planned\n  {}",
            sizes[size].plural(),
            recipe.name,
            reasons.join("\n  ")
        ),
        "see `jarledger process --food FOOD` for what is tested",
    )
}

impl CannerOfDay {
    pub(super) fn stays(&self) -> Vec<Option<Stay>> {
        let stay = |ready: &ForSize| Stay { room: ready.room, minutes: ready.in_canner.minutes() };
        self.sizes.iter().map(|size| size.as_ref().ok().map(stay)).collect()
    }

    pub(super) fn of_size(&self, size: usize) -> Option<&ForSize> {
        self.sizes.get(size).and_then(|size| size.as_ref().ok())
    }

    /// What goes on in the canner, in words.
    pub(super) fn words(&self, step: Step, size: usize) -> String {
        let is_pressure = self.canner.method.is_pressure();
        let process = self.of_size(size).map(|ready| &ready.process);
        match step {
            Step::Heat => "heat until steam flows".to_owned(),
            Step::Vent => "vent".to_owned(),
            Step::ComeUp => match process.map(|process| (process.process.psi, process.dial_target_psi)) {
                Some((Some(psi), Some(dial))) if dial != psi => {
                    format!("come up to a true {psi}: dial {dial}")
                }
                Some((Some(psi), _)) => format!("come up to {psi}"),
                _ if is_pressure => "come up to pressure".to_owned(),
                _ => "come to a full boil".to_owned(),
            },
            Step::Process => {
                let figures = process.map(|process| words::figures(&process.process)).unwrap_or_default();
                format!("process {figures}")
            }
            Step::PressureFalls => "heat off; let the pressure fall by itself".to_owned(),
            Step::Wait if is_pressure => "weight off, wait, then lid off".to_owned(),
            Step::Wait => "heat off, lid off, wait".to_owned(),
        }
    }
}

/// The processes that the day goes by, each once.
pub(super) fn used(canners: Vec<CannerOfDay>, slots: &[Slot]) -> Vec<Process> {
    let mut used = Vec::new();
    for (canner, of_day) in canners.into_iter().enumerate() {
        for (size, ready) in of_day.sizes.into_iter().enumerate() {
            let is_used = slots.iter().any(|slot| (slot.canner, slot.size) == (canner, size));
            used.extend(ready.ok().filter(|_| is_used).map(|ready| ready.process));
        }
    }
    used
}

/// What the plan takes for granted, in sentences.
pub(super) fn assumed(canners: &[CannerOfDay], slots: &[Slot]) -> Vec<String> {
    let mut said = vec![format!(
        "Filling is taken as {} a jar, lifting out as {} a load (common practice, no source).",
        time(HANDS.fill_a_jar),
        time(HANDS.lift_a_load)
    )];
    for (number, of_day) in canners.iter().enumerate() {
        let Some(slot) = slots.iter().find(|slot| slot.canner == number) else { continue };
        let name = &of_day.canner.name;
        let step = |step: Step| of_day.words(step, slot.size);
        for (what, times) in [(Step::Heat, of_day.heat), (Step::ComeUp, of_day.come_up)] {
            let Some(times) = times else { continue };
            if what == Step::Heat && !of_day.canner.method.is_pressure() {
                continue;
            }
            let spread = if times.least == times.most {
                time(times.middle)
            } else {
                format!("{} to {}, {} here", times.least, time(times.most), time(times.middle))
            };
            let loads = counted(times.loads, "load of yours", "loads of yours");
            said.push(format!("{name}: \u{201c}{}\u{201d} took {spread} ({loads}).", step(what)));
        }
        let allowed =
            of_day.of_size(slot.size).map(|ready| ready.in_canner.allowed.as_slice()).unwrap_or_default();
        for stretch in allowed {
            said.push(format!(
                "{name}: {} is allowed for \u{201c}{}\u{201d}, since no load of yours tells (common practice, no source).",
                time(stretch.minutes),
                step(stretch.step)
            ));
        }
    }
    said
}
