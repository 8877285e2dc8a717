//! Whether an act may happen to a jar at a moment, beyond what its state takes.
//!
//! | act | while the jar is on hold |
//! | --- | --- |
//! | open, give, finish | refused: nobody eats of it |
//! | chill, freeze | where the load's verdict withholds it, within 2 hours after the load came out |
//! | reprocess | likewise; refused while anything but the verdict withholds it |
//! | discard, move, seal checks, stocktake | not touched by it |
//!
//! A hold looks forward: an act from before the hold began is
//! written down as it happened, so that tracing finds who ate what. Off hold,
//! chilling, freezing and reprocessing go by the load's seal window of 24 hours.
//! Chilled or frozen in time, a jar is no longer withheld by its load's verdict
//! (`was_rescued`); what else withholds it still does. Reprocessing mends a load
//! and a lid, nothing else: other holds would not follow the food into its new jar.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::load::consequence;
use crate::rules::load::remedy::{IN_TIME, Remedy};
use crate::rules::seal::seal_window::SealWindow;
use crate::values::time::on_screen;

/// The hold on a jar, as far as a permit goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// When the first hold in force began.
    pub since: DateTime<FixedOffset>,
    /// Whether the load's verdict withholds it.
    pub by_verdict: bool,
    /// Whether anything else does.
    pub by_others: bool,
}

/// What is known of a jar when an act is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Circumstances {
    /// Its state.
    pub state: JarState,
    /// Since when it is in that state, where an event led there.
    pub since: Option<DateTime<FixedOffset>>,
    /// The day it was put up.
    pub put_up: NaiveDate,
    /// When its load came out of the canner.
    pub out_at: Option<DateTime<FixedOffset>>,
    /// When the last thing happened to it.
    pub last_at: Option<DateTime<FixedOffset>>,
    /// Its hold, if any is in force.
    pub held: Option<Held>,
}

/// When an act happened, as far as it was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// At a moment.
    At(DateTime<FixedOffset>),
    /// Some time on a day, of which this is noon.
    OnDayOfNoon(DateTime<FixedOffset>),
}

impl When {
    /// The moment to write down for a jar: of a day, noon or the last thing known of the jar that day.
    pub fn moment(self, jar: &Circumstances) -> DateTime<FixedOffset> {
        match self {
            Self::At(at) => at,
            Self::OnDayOfNoon(noon) => [jar.out_at, jar.last_at]
                .into_iter()
                .flatten()
                .filter(|known| known.date_naive() == noon.date_naive())
                .fold(noon, Ord::max),
        }
    }

    /// The first and the last moment it can have been, of a jar at `now`.
    fn bounds(
        self,
        jar: &Circumstances,
        now: DateTime<FixedOffset>,
    ) -> (DateTime<FixedOffset>, DateTime<FixedOffset>) {
        match self {
            Self::At(at) => (at, at),
            Self::OnDayOfNoon(noon) => {
                let half = TimeDelta::hours(12);
                let first = [jar.out_at, jar.last_at].into_iter().flatten().fold(noon - half, Ord::max);
                (first, (noon + half - TimeDelta::seconds(1)).min(now))
            }
        }
    }
}

/// Says why an act is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(crate) enum Refusal {
    /// The moment has not come.
    #[error("{} is still to come", on_screen::day(*.0))]
    Future(NaiveDate),
    /// The moment lies before the jar was.
    #[error("it was put up on {}, after that", on_screen::day(*.0))]
    BeforePutUp(NaiveDate),
    /// The moment lies before the last thing that happened to the jar.
    #[error("something was written down of it for {} already, after that", on_screen::moment(*.0))]
    OutOfOrder(DateTime<FixedOffset>),
    /// The jar is withheld from eating.
    #[error("it is on hold since {}", on_screen::moment(*.0))]
    OnHold(DateTime<FixedOffset>),
    /// The jar is withheld for what reprocessing does not mend.
    #[error("it is on hold for something other than its load, which reprocessing does not mend")]
    HeldForMore,
    /// Of a day alone, part was in time for a rescue and part was not.
    #[error("on {} it was in time until {} only, and the time of day was not given", on_screen::day(.0.date_naive()), .0.format("%H:%M"))]
    NeedsTime(DateTime<FixedOffset>),
    /// A failed jar can no longer be rescued.
    #[error("it is too late for that: {}", if *.load_failed { consequence::RESCUE_SOURCES } else {
        "a jar may be reprocessed, chilled or frozen only within 24 hours after its load came out"
    })]
    TooLate {
        /// Whether the shorter figure was acted on, since the load itself is withheld.
        load_failed: bool,
    },
}

/// Permits `act` at `at`, or says why not.
pub(crate) fn permit(
    act: Act,
    jar: &Circumstances,
    at: DateTime<FixedOffset>,
    now: DateTime<FixedOffset>,
) -> Result<(), Refusal> {
    if at > now {
        return Err(Refusal::Future(at.date_naive()));
    }
    if at.date_naive() < jar.put_up || jar.out_at.is_some_and(|out_at| at < out_at) {
        return Err(Refusal::BeforePutUp(jar.put_up));
    }
    if let Some(last) = jar.last_at.filter(|&last| at < last) {
        return Err(Refusal::OutOfOrder(last));
    }
    let held = jar.held.filter(|held| at >= held.since);
    match act {
        Act::Open | Act::Give | Act::Use | Act::Finish => match held {
            Some(held) => Err(Refusal::OnHold(held.since)),
            None => Ok(()),
        },
        // Whenever that hold began: the food is still at hand, and its new jar would not be on hold.
        Act::Reprocess if jar.held.is_some_and(|held| held.by_others) => Err(Refusal::HeldForMore),
        Act::Chill | Act::Freeze | Act::Reprocess => {
            // What was chilled or frozen before anybody knew stays on record, and on hold. What goes back on the
            // shelf does not leave the hold because it was entered late.
            let known = if act == Act::Reprocess { jar.held } else { held };
            let load_failed = known.is_some_and(|held| held.by_verdict);
            // Each source gives one time for all three, so all are in time or none.
            if remedies(jar.out_at, load_failed, at) == IN_TIME {
                Ok(())
            } else {
                Err(Refusal::TooLate { load_failed })
            }
        }
        Act::CheckSealed
        | Act::CheckFailed
        | Act::SealLost
        | Act::Discard
        | Act::Miss
        | Act::Find
        | Act::Move => Ok(()),
    }
}

/// Permits `act` at the time it is said to have happened, and returns the moment to write down.
pub(crate) fn permit_when(
    act: Act,
    jar: &Circumstances,
    when: When,
    now: DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, Refusal> {
    let (first, last) = when.bounds(jar, now);
    if let (Act::Chill | Act::Freeze | Act::Reprocess, Some(out_at)) = (act, jar.out_at) {
        let load_failed = jar.held.is_some_and(|held| held.by_verdict);
        let is_in_time = |at| remedies(jar.out_at, load_failed, at) == IN_TIME;
        if first <= last && is_in_time(first) != is_in_time(last) {
            return Err(Refusal::NeedsTime(rescue_deadline(out_at, load_failed)));
        }
    }
    // Should the load be found to have failed, a rescue at an unknown hour must not count as one in time.
    let rescues = |at| remedies(jar.out_at, true, at) == IN_TIME;
    let at = match act {
        Act::Chill | Act::Freeze if first <= last && rescues(first) && !rescues(last) => last,
        _ => when.moment(jar),
    };
    permit(act, jar, at, now)?;
    Ok(at)
}

/// What may be done at `at` with a jar whose seal failed, or whose load did; where nobody wrote down
/// when the load came out, it is too late.
pub fn remedies(
    out_at: Option<DateTime<FixedOffset>>,
    load_failed: bool,
    at: DateTime<FixedOffset>,
) -> &'static [Remedy] {
    match out_at {
        Some(out_at) if !load_failed => SealWindow::after(out_at).remedies(at),
        out_at => consequence::remedies(out_at, at),
    }
}

/// The last moment to reprocess, chill or freeze a jar whose seal failed, or whose load did.
pub(crate) fn rescue_deadline(out_at: DateTime<FixedOffset>, load_failed: bool) -> DateTime<FixedOffset> {
    if load_failed { consequence::rescue_until(out_at) } else { SealWindow::after(out_at).due() }
}

/// Whether a jar was chilled or frozen within the 2 hours in which that rescues it from whatever its
/// load's verdict is, whenever that is given.
pub(crate) fn was_rescued(jar: &Circumstances) -> bool {
    matches!(jar.state, JarState::Chilled | JarState::Frozen)
        && jar.since.is_some_and(|since| remedies(jar.out_at, true, since).contains(&Remedy::Chill))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("{text}:00-05:00")).unwrap()
    }

    fn jar(state: JarState) -> Circumstances {
        Circumstances {
            state,
            since: None,
            put_up: "2026-08-14".parse().unwrap(),
            out_at: Some(at("2026-08-14T16:40")),
            last_at: Some(at("2026-08-15T09:00")),
            held: None,
        }
    }

    const NOW: &str = "2026-08-20T12:00";

    #[test]
    fn a_hold_keeps_a_jar_from_being_eaten_and_from_nothing_else() {
        let held = Some(Held { since: at("2026-08-16T09:00"), by_verdict: true, by_others: false });
        let eaten = [Act::Open, Act::Give, Act::Finish];
        for act in eaten {
            let held = Circumstances { held, ..jar(JarState::Sealed) };
            assert_eq!(permit(act, &held, at(NOW), at(NOW)), Err(Refusal::OnHold(at("2026-08-16T09:00"))));
            // Dated the day before the hold, it is history.
            assert_eq!(permit(act, &held, at("2026-08-15T20:00"), at(NOW)), Ok(()));
            assert_eq!(permit(act, &jar(JarState::Sealed), at(NOW), at(NOW)), Ok(()));
        }
        for act in [Act::Discard, Act::Move, Act::Miss, Act::Find, Act::SealLost] {
            let held = Circumstances { held, ..jar(JarState::Sealed) };
            assert_eq!(permit(act, &held, at(NOW), at(NOW)), Ok(()));
        }
    }

    // Out at 16:40; 2 h after it, the end included, is 18:40.
    #[test]
    fn a_jar_is_rescued_by_being_chilled_or_frozen_within_two_hours() {
        for (state, since, rescued) in [
            (JarState::Chilled, Some("2026-08-14T18:00"), true),
            (JarState::Frozen, Some("2026-08-14T18:40"), true),
            (JarState::Frozen, Some("2026-08-14T18:41"), false),
            (JarState::Chilled, Some("2026-08-15T05:40"), false),
            (JarState::Chilled, None, false),
            (JarState::Unsealed, Some("2026-08-14T18:00"), false),
            (JarState::Opened, Some("2026-08-14T18:00"), false),
        ] {
            let mut jar = Circumstances { since: since.map(at), ..jar(state) };
            assert_eq!(was_rescued(&jar), rescued, "{state} {since:?}");
            jar.out_at = None;
            assert!(!was_rescued(&jar), "{state} {since:?}");
        }
    }

    #[test]
    fn no_jar_is_reprocessed_out_of_a_hold_that_its_load_did_not_put_on_it() {
        let now = at("2026-08-14T18:00");
        let held = |since, by_verdict, by_others| Some(Held { since: at(since), by_verdict, by_others });
        for (held, refused) in [
            (held("2026-08-14T16:45", true, false), None),
            (held("2026-08-14T16:45", true, true), Some(Refusal::HeldForMore)),
            (held("2026-08-14T16:45", false, true), Some(Refusal::HeldForMore)),
            // Entered late, the hold stands all the same.
            (held("2026-08-14T17:59", false, true), Some(Refusal::HeldForMore)),
        ] {
            let jar = Circumstances { held, last_at: None, ..jar(JarState::Unsealed) };
            assert_eq!(permit(Act::Reprocess, &jar, at("2026-08-14T17:30"), now).err(), refused, "{held:?}");
        }
    }

    #[test]
    fn reprocessing_entered_late_has_two_hours_all_the_same() {
        let held = Some(Held { since: at("2026-08-14T20:00"), by_verdict: true, by_others: false });
        let jar = Circumstances { held, last_at: None, ..jar(JarState::Cooling) };
        for (act, begun, allowed) in [
            (Act::Reprocess, "2026-08-14T18:40", true),
            (Act::Reprocess, "2026-08-14T18:41", false),
            // What was frozen before anybody knew is history.
            (Act::Freeze, "2026-08-14T18:41", true),
        ] {
            assert_eq!(permit(act, &jar, at(begun), at(NOW)).is_ok(), allowed, "{act} {begun}");
        }
    }

    // USDA AIB 539, Guide 1, Reprocessing unsealed jars: within 24 h. Where the process was wrong, Nebraska
    // Extension says 2 h and Missouri Extension 24 h; the shorter is acted on.
    #[test]
    fn a_jar_is_chilled_within_a_day_and_one_of_a_failed_load_within_two_hours() {
        let mut unsealed = Circumstances { last_at: None, ..jar(JarState::Unsealed) };
        for act in [Act::Chill, Act::Freeze, Act::Reprocess] {
            assert_eq!(permit(act, &unsealed, at("2026-08-15T16:40"), at(NOW)), Ok(()));
            let late = permit(act, &unsealed, at("2026-08-15T16:41"), at(NOW));
            assert_eq!(late, Err(Refusal::TooLate { load_failed: false }));
        }
        unsealed.held = Some(Held { since: at("2026-08-14T16:40"), by_verdict: false, by_others: true });
        assert_eq!(permit(Act::Chill, &unsealed, at("2026-08-15T16:40"), at(NOW)), Ok(()));
        unsealed.held = Some(Held { since: at("2026-08-14T16:40"), by_verdict: true, by_others: false });
        assert_eq!(permit(Act::Chill, &unsealed, at("2026-08-14T18:40"), at(NOW)), Ok(()));
        let late = permit(Act::Chill, &unsealed, at("2026-08-14T18:41"), at(NOW));
        assert_eq!(late, Err(Refusal::TooLate { load_failed: true }));
        assert!(late.unwrap_err().to_string().contains("this program uses 2 hours"));
        let unknown = Circumstances { out_at: None, last_at: None, ..jar(JarState::Unsealed) };
        assert!(permit(Act::Chill, &unknown, at("2026-08-14T18:00"), at(NOW)).is_err());
    }

    #[test]
    fn a_day_alone_fits_in_after_what_happened_that_day() {
        let sealed = jar(JarState::Sealed);
        let noon = |day: &str| When::OnDayOfNoon(at(&format!("{day}T12:00")));
        assert_eq!(noon("2026-08-15").moment(&sealed), at("2026-08-15T12:00"));
        assert_eq!(noon("2026-08-14").moment(&sealed), at("2026-08-14T16:40"));
        let moved = Circumstances { last_at: Some(at("2026-08-15T18:00")), ..sealed };
        assert_eq!(noon("2026-08-15").moment(&moved), at("2026-08-15T18:00"));
        assert_eq!(noon("2026-08-16").moment(&moved), at("2026-08-16T12:00"));
    }

    // Out at 16:40 on the 14th: a failed load may be rescued until 18:40, a failed lid until 16:40 on the 15th.
    #[test]
    fn a_day_on_which_the_time_ran_out_needs_its_hour() {
        let noon = |day: &str| When::OnDayOfNoon(at(&format!("{day}T12:00")));
        let held = Some(Held { since: at("2026-08-14T16:40"), by_verdict: true, by_others: false });
        let unsealed = Circumstances { last_at: None, ..jar(JarState::Unsealed) };
        let failed = Circumstances { held, ..unsealed };
        let now = at(NOW);
        for act in [Act::Chill, Act::Freeze, Act::Reprocess] {
            let needs = |at| Err(Refusal::NeedsTime(at));
            assert_eq!(permit_when(act, &failed, noon("2026-08-14"), now), needs(at("2026-08-14T18:40")));
            let late = Err(Refusal::TooLate { load_failed: true });
            assert_eq!(permit_when(act, &failed, noon("2026-08-15"), now), late);
            // Of a verdict given the day after, the hours count from when the load came out.
            let held = held.map(|held| Held { since: at("2026-08-15T09:00"), ..held });
            let judged_late = Circumstances { held, ..unsealed };
            assert_eq!(
                permit_when(act, &judged_late, noon("2026-08-14"), now),
                needs(at("2026-08-14T18:40"))
            );
            let moment = When::At(at("2026-08-14T18:40"));
            assert_eq!(permit_when(act, &failed, moment, now), Ok(at("2026-08-14T18:40")));
            assert_eq!(permit_when(act, &unsealed, noon("2026-08-15"), now), needs(at("2026-08-15T16:40")));
            // Of a load that met its process the hour does not matter; should that change, it counts as late.
            let late_that_day = if act == Act::Reprocess { "16:40:00" } else { "23:59:59" };
            let moment = format!("2026-08-14T{late_that_day}-05:00");
            let moment = DateTime::parse_from_rfc3339(&moment).unwrap();
            assert_eq!(permit_when(act, &unsealed, noon("2026-08-14"), now), Ok(moment));
            let late = Err(Refusal::TooLate { load_failed: false });
            assert_eq!(permit_when(act, &unsealed, noon("2026-08-16"), now), late);
            // Only what may have been counts: nothing on that day is known of before its last event, or after now.
            let checked = Circumstances { last_at: Some(at("2026-08-15T16:50")), ..unsealed };
            assert_eq!(permit_when(act, &checked, noon("2026-08-15"), now), late);
            let early = at("2026-08-15T16:30");
            assert_eq!(permit_when(act, &unsealed, noon("2026-08-15"), early), Ok(at("2026-08-15T12:00")));
        }
        assert_eq!(permit_when(Act::Discard, &failed, noon("2026-08-14"), now), Ok(at("2026-08-14T16:40")));
    }

    #[test]
    fn a_moment_outside_the_jars_story_is_refused() {
        let sealed = jar(JarState::Sealed);
        let on = |moment| permit(Act::Open, &sealed, at(moment), at(NOW));
        assert!(matches!(on("2026-08-20T12:01"), Err(Refusal::Future(_))));
        assert!(matches!(on("2026-08-13T12:00"), Err(Refusal::BeforePutUp(_))));
        assert!(matches!(on("2026-08-14T16:39"), Err(Refusal::BeforePutUp(_))));
        let fresh = Circumstances { last_at: None, ..sealed };
        assert_eq!(permit(Act::Discard, &fresh, at("2026-08-14T16:40"), at(NOW)), Ok(()));
        assert_eq!(on("2026-08-15T08:59"), Err(Refusal::OutOfOrder(at("2026-08-15T09:00"))));
        assert_eq!(on("2026-08-15T09:00"), Ok(()));
    }
}
