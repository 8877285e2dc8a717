//! Which canner takes which jars of the day, for how long, and which times are assumed.

use chrono::NaiveDate;

use crate::answers::planning::gauge_target::Gauge;
use crate::answers::planning::words;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::day::{Step, timetable};
use crate::rules::canning_day::loading::serves_all;
use crate::rules::canning_day::own_times::OwnTimes;
use crate::rules::canning_day::planned_day::{HANDS, InCanner};
use crate::rules::canning_day::shortest::{Slot, Way};
use crate::rules::process::look_up;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::in_words::time;
use crate::values::measures::pressure::Pressure;
use crate::values::measures::units::Units;
use crate::values::names::counted::counted;

/// A canner and what it does with each size of the day.
pub(crate) struct CannerOfDay {
    pub(super) canner: Canner,
    heat: Option<OwnTimes>,
    come_up: Option<OwnTimes>,
    units: Units,
    sizes: Vec<Result<ForSize, String>>,
    ways: Vec<WayOfDay>,
}

/// A way to fill a canner.
struct WayOfDay {
    takes: Vec<u32>,
    /// The size that decides how long the jars stay: the largest.
    largest: usize,
}

/// A size that a canner takes.
pub(crate) struct ForSize {
    room: u32,
    pub(super) in_canner: InCanner,
    process: Process,
}

/// A process of the day.
#[derive(Debug, Clone, serde::Serialize)]
pub(crate) struct Process {
    pub(crate) canner: String,
    pub(crate) size: JarSize,
    #[serde(flatten)]
    pub(crate) process: TestedProcess,
    /// Whether it is the household's own, which no table confirms.
    pub(crate) is_own: bool,
    /// What the dial must show.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) dial_target_psi: Option<Pressure>,
    /// What to say of the gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) gauge: Option<String>,
}

impl Process {
    /// The process in a few words, by what the dial must show where it reads high.
    pub(crate) fn figures(&self, units: Units) -> String {
        words::figures_read(&self.process, self.dial_read_high(), units)
    }

    /// What a dial that reads high must show.
    fn dial_read_high(&self) -> Option<Pressure> {
        self.dial_target_psi.filter(|&dial| Some(dial) > self.process.psi)
    }
}

/// What each canner does with the sizes wanted of a food.
pub(crate) fn of_day(
    canners: Vec<Canner>,
    (food, pack, altitude): (&FoodId, Pack, Altitude),
    sizes: &[JarSize],
    ledger: &Ledger,
    today: NaiveDate,
) -> Result<Vec<CannerOfDay>, LedgerError> {
    let own = ledger.household_processes()?;
    let mut of_day = Vec::new();
    for canner in canners {
        let gauge = Gauge::of(ledger, &canner, today)?;
        let (heat, come_up) = (ledger.heat_up_times(&canner)?, ledger.come_up_times(&canner)?);
        let of_size = |size: JarSize| -> Result<ForSize, String> {
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
            // A size without a process is not canned, so room for it does not count.
            let room = canner.holds.get(&size).copied().filter(|&room| room > 0);
            let room = room.ok_or_else(|| {
                format!("how many {} {} takes is not on record", size.plural(), canner.name)
            })?;
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
        let ready: Vec<Result<ForSize, String>> = sizes.iter().map(|&size| of_size(size)).collect();
        let ways = ways(&canner, sizes, &ready);
        of_day.push(CannerOfDay { canner, heat, come_up, units: ledger.units()?, sizes: ready, ways });
    }
    Ok(of_day)
}

/// The ways to fill a canner: each size alone, and those it holds together where one process serves them.
fn ways(canner: &Canner, sizes: &[JarSize], ready: &[Result<ForSize, String>]) -> Vec<WayOfDay> {
    let mut ways = Vec::new();
    for (size, ready) in ready.iter().enumerate() {
        let Ok(ready) = ready else { continue };
        let mut takes = vec![0; sizes.len()];
        takes[size] = ready.room;
        ways.push(WayOfDay { takes, largest: size });
    }
    for mix in &canner.holds_together {
        let takes: Vec<u32> = sizes.iter().map(|size| mix.get(size).copied().unwrap_or(0)).collect();
        let together: Vec<usize> = (0..sizes.len()).filter(|&size| takes[size] > 0).collect();
        let process = |&size: &usize| Some(&ready[size].as_ref().ok()?.process.process);
        let one_process = serves_all(together.iter().map(process));
        let largest = together.iter().copied().max_by_key(|&size| sizes[size]);
        if let (true, Some(largest)) = (together.len() > 1 && one_process, largest) {
            ways.push(WayOfDay { takes, largest });
        }
    }
    ways
}

/// A size that goes into none of the canners, by its place, and why not.
pub(crate) fn left_out(sizes: &[JarSize], canners: &[CannerOfDay]) -> (usize, Vec<String>) {
    let without = (0..sizes.len()).find(|&size| canners.iter().all(|canner| canner.sizes[size].is_err()));
    let size = without.unwrap_or(0);
    let mut reasons: Vec<String> =
        canners.iter().filter_map(|canner| canner.sizes[size].as_ref().err().cloned()).collect();
    reasons.dedup();
    (size, reasons)
}

impl CannerOfDay {
    pub(super) fn ways(&self) -> Vec<Way> {
        let minutes = |way: &WayOfDay| self.of_size(way.largest).map_or(0, |ready| ready.in_canner.minutes());
        self.ways.iter().map(|way| Way { takes: way.takes.clone(), minutes: minutes(way) }).collect()
    }

    /// The size that decides how long a load stays in.
    pub(super) fn size_of(&self, slot: &Slot) -> usize {
        self.ways.get(slot.way).map_or(0, |way| way.largest)
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
            Step::ComeUp => match process.map(|process| (process.process.psi, process.dial_read_high())) {
                Some((Some(psi), Some(dial))) => format!("come up to {dial} on the dial (true {psi})"),
                Some((Some(psi), _)) => format!("come up to {psi}"),
                _ if is_pressure => "come up to pressure".to_owned(),
                _ => "come to a full boil".to_owned(),
            },
            Step::Process => {
                let figures = process.map(|process| process.figures(self.units)).unwrap_or_default();
                format!("process {figures}")
            }
            Step::PressureFalls => "heat off; let the pressure fall by itself".to_owned(),
            Step::Wait if is_pressure => "weight off, wait, then lid off".to_owned(),
            Step::Wait => "heat off, lid off, wait".to_owned(),
        }
    }
}

/// The processes that the day goes by, each once.
pub(super) fn used(canners: &[CannerOfDay], slots: &[Slot]) -> Vec<Process> {
    let mut used = Vec::new();
    for (canner, of_day) in canners.iter().enumerate() {
        for (size, ready) in of_day.sizes.iter().enumerate() {
            let is_used = slots.iter().any(|slot| slot.canner == canner && slot.jars[size] > 0);
            used.extend(ready.as_ref().ok().filter(|_| is_used).map(|ready| ready.process.clone()));
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
        let step = |step: Step| of_day.words(step, of_day.size_of(slot));
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
        let allowed = of_day
            .of_size(of_day.size_of(slot))
            .map(|ready| ready.in_canner.allowed.as_slice())
            .unwrap_or_default();
        for stretch in allowed {
            said.push(format!(
                "{name}: {} is assumed for \u{201c}{}\u{201d}, since no load of yours shows it (common practice, no source).",
                time(stretch.minutes),
                step(stretch.step)
            ));
        }
    }
    said
}
