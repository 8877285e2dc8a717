//! A load while it is in the canner: where its steps and the clock have brought it.
//!
//! What is shown is a function of the steps and the clock alone, so that killing the program loses nothing. Time counts on
//! the machine's clock since it started, which neither a changed wall clock nor a suspended machine disturbs. Once the
//! machine was started anew the wall clock counts; where that stands before the last step, the time starts anew.
//!
//! | canner | steps |
//! | --- | --- |
//! | pressure | heat, steam, closed, reached, off, depressurized, lid, out |
//! | boiling water, steam | heat, reached, off, out |
//!
//! Between `reached` and `off`, `lost` starts the full time anew.

use chrono::{DateTime, FixedOffset, TimeDelta};

use crate::rules::gauge::dial::Dial;
use crate::rules::load::load_times::{LoadTimes, clock_time};
use crate::rules::load::run_time::{Drop, Unbroken};
use crate::tables::figures::Figure;
use crate::values::kinds::method::Method;
use crate::values::kinds::run_step::RunStep;
use crate::values::measures::pressure::Pressure;
use crate::values::names::named::named_enum;

named_enum! {
    /// What is going on in the canner.
    pub enum Phase as "a phase of a run" {
        /// Until steam flows, or the boil is reached.
        Heating = "heating",
        /// Steam flows from the open vent.
        Venting = "venting",
        /// The vent is closed and pressure rises, at first or again.
        ComingUp = "coming-up",
        /// The process time runs.
        AtPressure = "at-pressure",
        /// The process time is over and the heat still on.
        TimeUp = "time-up",
        /// Pressure falls by itself.
        LettingDown = "letting-down",
        /// The canner stands open, or with its weight off, before the jars come out.
        Waiting = "waiting",
        /// The jars are out.
        Out = "out",
    }
}

/// A moment on the machine's clock since it started.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BootTime {
    /// Which start of the machine.
    pub boot: String,
    /// Milliseconds since, suspended time included.
    pub ms: u64,
}

/// A moment on both clocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instant {
    /// By the wall clock.
    pub at: DateTime<FixedOffset>,
    /// By the clock since the machine started, where it is known.
    pub boot: Option<BootTime>,
}

impl Instant {
    /// Seconds since an earlier moment, and whether they are known by the wall clock alone.
    ///
    /// Where the wall clock was set to before that moment, no time counts as passed.
    fn seconds_since(&self, earlier: &Self) -> (u64, bool) {
        match (&self.boot, &earlier.boot) {
            (Some(now), Some(then)) if now.boot == then.boot => {
                (now.ms.saturating_sub(then.ms) / 1_000, false)
            }
            _ => (u64::try_from((self.at - earlier.at).num_seconds()).unwrap_or(0), true),
        }
    }

    /// The moment so long ago. One to come is known by the wall clock alone.
    #[must_use]
    pub fn ago(&self, ago: TimeDelta) -> Self {
        let ms = u64::try_from(ago.num_milliseconds()).ok();
        let boot = self
            .boot
            .as_ref()
            .zip(ms)
            .and_then(|(now, ms)| Some(BootTime { boot: now.boot.clone(), ms: now.ms.checked_sub(ms)? }));
        Self { at: self.at - ago, boot }
    }

    /// Whether this lies before another moment, by the machine's clock where both are of one start of it.
    pub(crate) fn is_before(&self, other: &Self) -> bool {
        match (&self.boot, &other.boot) {
            (Some(this), Some(other)) if this.boot == other.boot => this.ms < other.ms,
            _ => self.at < other.at,
        }
    }
}

/// A step and when it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// The step.
    pub step: RunStep,
    /// When it was taken.
    pub when: Instant,
}

/// What a run is to reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Aim {
    /// The kind of canner.
    pub method: Method,
    /// Minutes uninterrupted at pressure or at a full boil.
    pub minutes: u32,
    /// Gauge pressure; none for boiling water and steam.
    pub psi: Option<Pressure>,
    /// Minutes of venting.
    pub vent_min: u32,
    /// What is known of the dial on which the pressure is read.
    pub dial: Dial,
}

impl Aim {
    /// The process in a few words, by what the dial must show: `20 min at 11 psi`.
    pub(crate) fn in_words(&self) -> String {
        let minutes = self.minutes;
        match (self.psi, self.dial) {
            (None, _) => format!("{minutes} min"),
            (Some(psi), Dial::AtItsWord) => format!("{minutes} min at {psi}"),
            (Some(psi), Dial::High(reading)) => {
                format!("{minutes} min at {reading} on the dial (it reads high; true {psi})")
            }
            (Some(psi), Dial::Useless) => {
                format!("{minutes} min at {psi}; this dial is too far off to count, replace it first")
            }
        }
    }

    /// What must be reached and held.
    fn at_full(&self) -> String {
        match (self.psi, self.dial) {
            (Some(_), Dial::High(reading)) => format!("{reading} on the dial"),
            (Some(psi), Dial::AtItsWord | Dial::Useless) => psi.to_string(),
            (None, _) if self.method == Method::Steam => "full steam".to_owned(),
            (None, _) => "a full boil".to_owned(),
        }
    }
}

/// Where a run stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stand {
    /// What is going on.
    pub phase: Phase,
    /// Since when.
    pub since: Option<DateTime<FixedOffset>>,
    /// Seconds left of what is timed now: venting, the process, the wait.
    pub left_s: Option<u64>,
    /// Seconds since they were over.
    pub over_s: Option<u64>,
    /// When they will be over.
    pub ends_at: Option<DateTime<FixedOffset>>,
    /// How often the process time started anew.
    pub restarts: u32,
    /// The steps that fit now.
    pub next: Vec<RunStep>,
    /// Whether the time is counted by the wall clock, since the machine was started anew.
    pub by_wall_clock: bool,
    /// What is going on and what to do, in words.
    pub say: String,
}

/// What a run that is over leaves on record of its load.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunFacts {
    /// Whole minutes of venting.
    pub vent_min: Option<u32>,
    /// Whole minutes from closing the vent, or from the heat, to pressure or the boil.
    pub come_up_min: Option<u32>,
    /// Whole minutes of the longest uninterrupted time at pressure or at a full boil.
    pub minutes: Option<u32>,
    /// When the jars came out.
    pub out_at: DateTime<FixedOffset>,
    /// Where it was lost meanwhile: when it was held, by the clock.
    pub held: Option<Held>,
}

/// From when until when pressure or the boil was held, and when it was lost meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// When it was first reached.
    pub reached_at: DateTime<FixedOffset>,
    /// When the heat went off.
    pub ended_at: DateTime<FixedOffset>,
    /// Each time it was lost.
    pub drops: Vec<Drop>,
}

/// Says why a step does not fit, and what does.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{given}\u{201d} does not fit now: {}", self.what_fits())]
pub(crate) struct StepError {
    pub given: RunStep,
    /// Those that fit.
    pub next: Vec<RunStep>,
}

impl StepError {
    /// What would have fitted, in words.
    pub(crate) fn what_fits(&self) -> String {
        if self.next.is_empty() {
            return "the run is over".to_owned();
        }
        let words: Vec<&str> = self.next.iter().map(|step| step.as_str()).collect();
        format!("the next step is {}", words.join(", or "))
    }
}

/// Which steps may follow those taken.
pub(crate) fn next_steps(aim: &Aim, taken: &[Taken]) -> Vec<RunStep> {
    let Some(last) = taken.last() else { return vec![RunStep::Heat] };
    let pressure = aim.method.is_pressure();
    match last.step {
        RunStep::Heat if pressure => vec![RunStep::Steam],
        RunStep::Heat => vec![RunStep::Reached],
        RunStep::Steam => vec![RunStep::Closed],
        RunStep::Closed => vec![RunStep::Reached],
        RunStep::Reached => vec![RunStep::Off, RunStep::Lost],
        RunStep::Lost => vec![RunStep::Reached, RunStep::Off],
        RunStep::Off if pressure => vec![RunStep::Depressurized],
        RunStep::Off => vec![RunStep::Out],
        RunStep::Depressurized => vec![RunStep::Lid],
        RunStep::Lid => vec![RunStep::Out],
        RunStep::Out | RunStep::Abandon => Vec::new(),
    }
}

/// Whether a step may be taken now.
pub(crate) fn may_step(aim: &Aim, taken: &[Taken], step: RunStep) -> Result<(), StepError> {
    let next = next_steps(aim, taken);
    // Jars that are out may have been logged without their run, which is then given up.
    let is_given_up = taken.last().is_some_and(|last| last.step == RunStep::Abandon);
    if next.contains(&step) || (step == RunStep::Abandon && !is_given_up) {
        Ok(())
    } else {
        Err(StepError { given: step, next })
    }
}

/// The last step taken, where a step said at `now` lies before it. What happens now happens after it, however far a clock
/// was set back; its time then starts anew.
pub(crate) fn lies_before<'t>(
    taken: &'t [Taken],
    when: &Instant,
    now: DateTime<FixedOffset>,
) -> Option<&'t Taken> {
    taken.last().filter(|last| when.is_before(&last.when) && when.at != now)
}

/// Whether a canner is still taken by a run of these steps.
pub(crate) fn is_in_canner(taken: &[Taken]) -> bool {
    taken.last().is_none_or(|last| !matches!(last.step, RunStep::Out | RunStep::Abandon))
}

/// Where the steps have brought a run by now.
pub fn stand(aim: &Aim, taken: &[Taken], now: &Instant) -> Stand {
    let last = taken.last();
    let (gone, by_wall_clock) = last.map_or((0, false), |last| now.seconds_since(&last.when));
    let step = last.map(|last| last.step);
    let wait =
        if aim.method.is_pressure() { Figure::WaitAfterPressure } else { Figure::WaitAfterBoilingWater };
    let (phase, timed_min) = match step {
        None | Some(RunStep::Heat) => (Phase::Heating, None),
        Some(RunStep::Steam) => (Phase::Venting, Some(aim.vent_min)),
        Some(RunStep::Closed | RunStep::Lost) => (Phase::ComingUp, None),
        Some(RunStep::Reached) if gone >= u64::from(aim.minutes) * 60 => (Phase::TimeUp, Some(aim.minutes)),
        Some(RunStep::Reached) => (Phase::AtPressure, Some(aim.minutes)),
        Some(RunStep::Off) if aim.method.is_pressure() => (Phase::LettingDown, None),
        Some(RunStep::Off | RunStep::Depressurized) => (Phase::Waiting, Some(wait.value())),
        Some(RunStep::Lid) => (Phase::Waiting, None),
        Some(RunStep::Out | RunStep::Abandon) => (Phase::Out, None),
    };
    let timed_s = timed_min.map(|minutes| u64::from(minutes) * 60);
    let left_s = timed_s.map(|timed| timed.saturating_sub(gone));
    let over_s = timed_s.and_then(|timed| gone.checked_sub(timed));
    let ends_at = left_s.map(|left| now.at + TimeDelta::seconds(i64::try_from(left).unwrap_or(0)));
    let restarts = taken.iter().filter(|taken| taken.step == RunStep::Lost).count() as u32;
    let mut say = in_words(aim, phase, step, left_s, ends_at);
    if by_wall_clock && left_s.is_some() {
        say.push_str(" Timed by the wall clock.");
    }
    let since = last.map(|last| last.when.at);
    Stand {
        phase,
        since,
        left_s,
        over_s,
        ends_at,
        restarts,
        next: next_steps(aim, taken),
        by_wall_clock,
        say,
    }
}

fn in_words(
    aim: &Aim,
    phase: Phase,
    step: Option<RunStep>,
    left_s: Option<u64>,
    ends_at: Option<DateTime<FixedOffset>>,
) -> String {
    let until = ends_at.map(|at| full_minute(at).format("%H:%M").to_string()).unwrap_or_default();
    let left = left_s.map(left_in_words).unwrap_or_default();
    let is_over = left_s == Some(0);
    let full = aim.at_full();
    let within = if aim.method == Method::Steam { "in" } else { "at" };
    match phase {
        Phase::Heating if step.is_none() => "Ready. Press heat when the heat is on.".to_owned(),
        Phase::Heating if aim.method.is_pressure() => {
            "Heating. Press steam when steam flows steadily from the vent.".to_owned()
        }
        Phase::Heating => format!("Heating. Press reached once it is {within} {full}."),
        Phase::Venting if is_over => "Vented long enough. Close the vent and press closed.".to_owned(),
        Phase::Venting => format!("Venting: {left} left, until {until}. Leave the vent open."),
        Phase::ComingUp if step == Some(RunStep::Lost) => {
            format!(
                "Lost. Bring it back to {full}, then press reached: the full {} min start again.",
                aim.minutes
            )
        }
        Phase::ComingUp => format!("Coming up. Press reached once it is {within} {full}."),
        Phase::AtPressure => {
            format!(
                "{} min {within} {full}: {left} left, until {until}. If it falls below, press lost at once.",
                aim.minutes
            )
        }
        Phase::TimeUp => "The time is up. Turn the heat off and press off.".to_owned(),
        Phase::LettingDown => {
            "Pressure is falling by itself. Do not cool the canner; press depressurized when none is left."
                .to_owned()
        }
        Phase::Waiting if step == Some(RunStep::Lid) => {
            "The lid is off. Press out when the jars are out.".to_owned()
        }
        Phase::Waiting => {
            let key = if aim.method.is_pressure() {
                "take the lid off and press lid"
            } else {
                "take the jars out and press out"
            };
            if is_over {
                format!("Waited long enough: {key}.")
            } else {
                format!("Waiting: {left} left, until {until}. Then {key}.")
            }
        }
        Phase::Out => "The jars are out. Leave them alone for 12 to 24 hours.".to_owned(),
    }
}

/// The first full minute that is not before a moment: an alarm set to it never rings early.
pub(crate) fn full_minute(at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    let over = at.timestamp_millis().rem_euclid(60_000);
    if over == 0 { at } else { at + TimeDelta::milliseconds(60_000 - over) }
}

/// A time left as people say it: `12 min`, `1 min 30 s`, `45 s`.
pub(crate) fn left_in_words(seconds: u64) -> String {
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, _) if minutes >= 10 => format!("{} min", minutes + 1),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

/// What a run leaves on record; none while its jars are in the canner, and of one given up.
pub fn facts(taken: &[Taken]) -> Option<RunFacts> {
    let out = taken.last().filter(|last| last.step == RunStep::Out)?;
    let first = |step| taken.iter().find(|taken| taken.step == step);
    let whole_minutes =
        |from: &Taken, to: &Taken| u32::try_from(to.when.seconds_since(&from.when).0 / 60).ok();
    let between = |from: Option<&Taken>, to: Option<&Taken>| whole_minutes(from?, to?);
    let stretches = taken
        .windows(2)
        .filter(|pair| pair[0].step == RunStep::Reached)
        // Where the `lost` between two `reached` was taken back, only the last of them is known to have held.
        .filter(|pair| matches!(pair[1].step, RunStep::Lost | RunStep::Off))
        .filter_map(|pair| whole_minutes(&pair[0], &pair[1]));
    let minutes = stretches.max();
    Some(RunFacts {
        vent_min: between(first(RunStep::Steam), first(RunStep::Closed)),
        come_up_min: between(first(RunStep::Closed).or(first(RunStep::Heat)), first(RunStep::Reached)),
        minutes,
        out_at: out.when.at,
        held: minutes.and_then(|minutes| held(taken, minutes, out.when.at)),
    })
}

/// When it was held, by the clock; none where a clock that was set meanwhile would give other minutes than were counted.
fn held(taken: &[Taken], minutes: u32, out_at: DateTime<FixedOffset>) -> Option<Held> {
    // The clocks may change within a run; all its times are written at one offset.
    let face = |taken: &Taken| taken.when.at.with_timezone(out_at.offset());
    let at = |step| taken.iter().find(|taken| taken.step == step).map(face);
    let lost = taken.iter().enumerate().filter(|(_, taken)| taken.step == RunStep::Lost);
    let drops: Vec<Drop> = lost
        .map(|(place, lost)| {
            let back = taken.get(place + 1).filter(|next| next.step == RunStep::Reached);
            Drop::Clock { lost: clock_time(face(lost)), regained: back.map(|back| clock_time(face(back))) }
        })
        .collect();
    let held = Held { reached_at: at(RunStep::Reached)?, ended_at: at(RunStep::Off)?, drops };
    let (reached_at, ended_at) = (Some(held.reached_at), Some(held.ended_at));
    let times = LoadTimes { minutes: Some(minutes), reached_at, ended_at, out_at, drops: &held.drops };
    let adds_up = times.run().longest_unbroken() == Unbroken::Known(minutes) && times.check().is_ok();
    let reads_back = held.drops.iter().all(|drop| drop.to_string().parse() == Ok(*drop));
    (!held.drops.is_empty() && adds_up && reads_back).then_some(held)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const BEANS: Aim = Aim {
        method: Method::PressureDial,
        minutes: 20,
        psi: Some(Pressure::from_psi(11)),
        vent_min: 10,
        dial: Dial::AtItsWord,
    };
    const PEARS: Aim =
        Aim { method: Method::BoilingWater, minutes: 25, psi: None, vent_min: 0, dial: Dial::AtItsWord };

    fn at(seconds: i64) -> Instant {
        let start = DateTime::parse_from_rfc3339("2026-08-14T14:00:00-05:00").unwrap();
        let boot = BootTime { boot: "a".to_owned(), ms: 5_000_000 + seconds as u64 * 1_000 };
        Instant { at: start + TimeDelta::seconds(seconds), boot: Some(boot) }
    }

    fn taken(steps: &[(RunStep, i64)]) -> Vec<Taken> {
        steps.iter().map(|&(step, seconds)| Taken { step, when: at(seconds) }).collect()
    }

    /// Twenty minutes of beans, by hand: vented from 14:05, at pressure from 14:20.
    const BEFORE: [(RunStep, i64); 4] =
        [(RunStep::Heat, 0), (RunStep::Steam, 300), (RunStep::Closed, 900), (RunStep::Reached, 1_200)];

    #[test]
    fn a_run_goes_from_phase_to_phase_and_counts_down() {
        let phases = [
            (0, 100, Phase::Heating, None),
            (1, 100, Phase::Heating, None),
            (2, 300, Phase::Venting, Some(600)),
            (2, 840, Phase::Venting, Some(60)),
            (2, 2_000, Phase::Venting, Some(0)),
            (3, 950, Phase::ComingUp, None),
            (4, 1_200, Phase::AtPressure, Some(1_200)),
            (4, 2_399, Phase::AtPressure, Some(1)),
            (4, 2_400, Phase::TimeUp, Some(0)),
        ];
        for (steps, now, phase, left) in phases {
            let stand = stand(&BEANS, &taken(&BEFORE[..steps]), &at(now));
            assert_eq!((stand.phase, stand.left_s), (phase, left), "{steps} steps at {now}");
        }
        let here = stand(&BEANS, &taken(&BEFORE), &at(1_800));
        assert_eq!(here.ends_at.unwrap().to_rfc3339(), "2026-08-14T14:40:00-05:00");
        assert_eq!(here.next, [RunStep::Off, RunStep::Lost]);
    }

    #[test]
    fn lost_pressure_starts_the_full_time_anew() {
        let mut steps = BEFORE.to_vec();
        steps.extend([(RunStep::Lost, 2_000), (RunStep::Reached, 2_100)]);
        let here = stand(&BEANS, &taken(&steps), &at(2_400));
        assert_eq!((here.phase, here.left_s, here.restarts), (Phase::AtPressure, Some(900), 1));
        steps.extend([(RunStep::Off, 3_300), (RunStep::Depressurized, 5_000), (RunStep::Lid, 5_600)]);
        steps.push((RunStep::Out, 5_700));
        let facts = facts(&taken(&steps)).unwrap();
        // 1,200 to 2,000 s is 13 min, 2,100 to 3,300 s is 20.
        assert_eq!((facts.minutes, facts.vent_min, facts.come_up_min), (Some(20), Some(10), Some(5)));
        // By the clock: 14:20 to 14:55, lost at 14:33:20 and back at 14:35.
        let held = facts.held.unwrap();
        let clock = |at: DateTime<FixedOffset>| at.format("%H:%M").to_string();
        assert_eq!((clock(held.reached_at), clock(held.ended_at)), ("14:20".to_owned(), "14:55".to_owned()));
        assert_eq!(held.drops, ["14:33-14:35".parse().unwrap()]);
    }

    #[test]
    fn two_times_reached_without_a_loss_between_count_from_the_second() {
        let mut steps = BEFORE.to_vec();
        steps.extend([(RunStep::Reached, 2_400), (RunStep::Off, 3_000), (RunStep::Depressurized, 4_000)]);
        steps.extend([(RunStep::Lid, 4_600), (RunStep::Out, 4_700)]);
        // 1,200 to 2,400 s would be 20 min, but the screen counted from 2,400: 10 min to 3,000.
        assert_eq!(facts(&taken(&steps)).unwrap().minutes, Some(10));
    }

    #[test]
    fn the_earlier_of_two_moments_is_known_by_the_machine_s_clock() {
        let mut turned_back = at(60);
        turned_back.at -= TimeDelta::hours(1);
        assert!(at(0).is_before(&turned_back) && !turned_back.is_before(&at(0)));
        turned_back.boot = None;
        assert!(turned_back.is_before(&at(0)));
    }

    #[test]
    fn a_step_out_of_order_is_refused_with_what_fits() {
        let error = may_step(&BEANS, &taken(&BEFORE[..2]), RunStep::Reached).unwrap_err();
        assert_eq!(error.to_string(), "\u{201c}reached\u{201d} does not fit now: the next step is closed");
        assert!(may_step(&PEARS, &taken(&BEFORE[..1]), RunStep::Steam).is_err());
        assert!(may_step(&PEARS, &taken(&BEFORE[..1]), RunStep::Reached).is_ok());
        assert!(may_step(&PEARS, &[], RunStep::Abandon).is_ok());
        let over = taken(&[(RunStep::Heat, 0), (RunStep::Abandon, 1)]);
        assert_eq!(may_step(&PEARS, &over, RunStep::Abandon).unwrap_err().next, []);
    }

    #[test]
    fn a_changed_wall_clock_counts_for_nothing_until_the_machine_starts_anew() {
        let steps = taken(&BEFORE);
        let mut changed = at(1_800);
        changed.at += TimeDelta::hours(3);
        assert_eq!(stand(&BEANS, &steps, &changed).left_s, Some(600));
        // Started anew, with the right time and then with a clock that is behind.
        let mut anew = at(1_800);
        anew.boot = Some(BootTime { boot: "b".to_owned(), ms: 7 });
        let here = stand(&BEANS, &steps, &anew);
        assert_eq!((here.left_s, here.by_wall_clock), (Some(600), true));
        assert!(here.say.contains("wall clock"), "{}", here.say);
        anew.at -= TimeDelta::hours(5);
        assert_eq!(stand(&BEANS, &steps, &anew).left_s, Some(1_200));
    }

    proptest! {
        #[test]
        fn the_screen_and_the_record_never_differ(
            gaps in prop::collection::vec((0_i64..2_400, prop::bool::ANY), 1..8),
        ) {
            // Reached and lost by turns, then off; the screen says that the time is up just where the minutes suffice.
            let mut steps = BEFORE[..3].to_vec();
            let mut now = 1_000;
            let mut shown = false;
            for (gap, _) in &gaps {
                steps.push((RunStep::Reached, now));
                now += gap;
                shown |= stand(&BEANS, &taken(&steps), &at(now)).phase == Phase::TimeUp;
                steps.push((RunStep::Lost, now));
                now += 30;
            }
            steps.push((RunStep::Off, now));
            for (step, more) in [(RunStep::Depressurized, 60), (RunStep::Lid, 700), (RunStep::Out, 800)] {
                steps.push((step, now + more));
            }
            let facts = facts(&taken(&steps)).unwrap();
            prop_assert_eq!(facts.minutes.unwrap() >= BEANS.minutes, shown);
        }
    }
}
