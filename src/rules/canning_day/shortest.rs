//! The shortest day: jars over canners, with one pair of hands.
//!
//! A load is filled, stays in its canner, and is lifted out. Filling and lifting take hands, which do one thing at a time.
//! Jars go into the canner as soon as they are filled, so none cools beside it. A canner takes as many jars of one size as
//! it holds, or all that are left. Jars that are ready may wait for hands; nothing else waits.
//!
//! Every order of filling and lifting is weighed, each begun as early as it can be: nothing gains by beginning later,
//! since no rule above sets an end. What is left of a day depends only on the jars left and on how long each canner is
//! taken, so that is reckoned once.

use std::collections::HashMap;
use std::num::NonZeroU32;

/// States weighed before a day counts as too large.
const MOST_STATES: usize = 200_000;

/// What a canner does with jars of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stay {
    /// Jars in one load.
    pub room: NonZeroU32,
    /// Minutes from the filled jars until they may be lifted out.
    pub minutes: u32,
}

/// Minutes that hands are needed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hands {
    /// Filling one jar.
    pub fill_a_jar: u32,
    /// Lifting one load out.
    pub lift_a_load: u32,
}

/// One load of the day, in minutes from the first jar filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// The canner, by its place in the question.
    pub canner: usize,
    /// The size, by its place in the question.
    pub size: usize,
    /// Jars.
    pub jars: u32,
    /// Filling begins.
    pub fill: u32,
    /// The jars are in the canner.
    pub closed: u32,
    /// They may be lifted out.
    pub ready: u32,
    /// They are lifted out.
    pub lift: u32,
    /// They stand outside.
    pub out: u32,
}

/// Says why no day was planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoDay {
    /// No canner takes a size.
    #[error("no canner takes jars of one of these sizes")]
    NoCanner,
    /// Too many loads to weigh every order of them.
    #[error("so many loads are more than one day's plan weighs")]
    TooLarge,
}

/// Jars left of each size, and minutes until each canner's load is ready; none: empty.
type State = (Vec<u32>, Vec<Option<u32>>);

/// The next thing done by hand.
#[derive(Debug, Clone, Copy)]
enum Act {
    Fill { canner: usize, size: usize },
    Lift { canner: usize },
}

/// Minutes to the end and loads still to fill, the fewer the better.
type Cost = (u32, u32);

struct Day<'q> {
    stays: &'q [Vec<Option<Stay>>],
    hands: Hands,
    known: HashMap<State, (Cost, Option<Act>)>,
}

/// Plans the shortest day for so many jars of each size; of two days alike, the one with fewer loads.
///
/// `stays` has a row for each canner and in it a place for each size.
///
/// # Errors
/// [`NoDay`].
pub fn shortest(wanted: &[u32], stays: &[Vec<Option<Stay>>], hands: Hands) -> Result<Vec<Slot>, NoDay> {
    let is_taken = |size: usize| stays.iter().any(|canner| canner[size].is_some());
    if wanted.iter().enumerate().any(|(size, jars)| *jars > 0 && !is_taken(size)) {
        return Err(NoDay::NoCanner);
    }
    let mut day = Day { stays, hands, known: HashMap::new() };
    let start = (wanted.to_vec(), vec![None; stays.len()]);
    day.cost(&start)?;
    Ok(day.slots(start))
}

impl Day<'_> {
    fn cost(&mut self, state: &State) -> Result<Cost, NoDay> {
        if let Some((cost, _)) = self.known.get(state) {
            return Ok(*cost);
        }
        let mut best: Option<(Cost, Act)> = None;
        for act in self.acts(state) {
            let (minutes, after) = self.after(state, act);
            let (rest, loads) = self.cost(&after)?;
            let cost = (minutes + rest, loads + u32::from(matches!(act, Act::Fill { .. })));
            if best.is_none_or(|(known, _)| cost < known) {
                best = Some((cost, act));
            }
        }
        if self.known.len() >= MOST_STATES {
            return Err(NoDay::TooLarge);
        }
        let cost = best.map_or((0, 0), |(cost, _)| cost);
        self.known.insert(state.clone(), (cost, best.map(|(_, act)| act)));
        Ok(cost)
    }

    fn acts(&self, (left, canners): &State) -> Vec<Act> {
        let mut acts = Vec::new();
        for (canner, ready) in canners.iter().enumerate() {
            if ready.is_some() {
                acts.push(Act::Lift { canner });
                continue;
            }
            let takes = |size: &usize| left[*size] > 0 && self.stays[canner][*size].is_some();
            acts.extend((0..left.len()).filter(takes).map(|size| Act::Fill { canner, size }));
        }
        acts
    }

    /// Minutes until the hands are free again, and how things stand then.
    fn after(&self, (left, canners): &State, act: Act) -> (u32, State) {
        let (mut left, mut canners) = (left.clone(), canners.clone());
        let minutes = match act {
            Act::Fill { canner, size } => {
                let jars = self.load(&left, canner, size);
                left[size] -= jars;
                jars * self.hands.fill_a_jar
            }
            Act::Lift { canner } => canners[canner].unwrap_or(0) + self.hands.lift_a_load,
        };
        for ready in canners.iter_mut().flatten() {
            *ready = ready.saturating_sub(minutes);
        }
        match act {
            Act::Fill { canner, size } => canners[canner] = self.stays[canner][size].map(|stay| stay.minutes),
            Act::Lift { canner } => canners[canner] = None,
        }
        (minutes, (left, canners))
    }

    fn load(&self, left: &[u32], canner: usize, size: usize) -> u32 {
        self.stays[canner][size].map_or(0, |stay| stay.room.get().min(left[size]))
    }

    /// Follows the best acts from the start.
    fn slots(&self, start: State) -> Vec<Slot> {
        let (mut state, mut now) = (start, 0);
        let mut slots: Vec<Slot> = Vec::new();
        let mut in_canner: Vec<Option<usize>> = vec![None; self.stays.len()];
        while let Some((_, Some(act))) = self.known.get(&state) {
            let (minutes, after) = self.after(&state, *act);
            let end = now + minutes;
            match *act {
                Act::Fill { canner, size } => {
                    let jars = self.load(&state.0, canner, size);
                    let ready = end + after.1[canner].unwrap_or(0);
                    in_canner[canner] = Some(slots.len());
                    slots.push(Slot {
                        canner,
                        size,
                        jars,
                        fill: now,
                        closed: end,
                        ready,
                        lift: ready,
                        out: ready,
                    });
                }
                Act::Lift { canner } => {
                    if let Some(slot) = in_canner[canner].take().and_then(|at| slots.get_mut(at)) {
                        slot.lift = end - self.hands.lift_a_load;
                        slot.out = end;
                    }
                }
            }
            (state, now) = (after, end);
        }
        slots
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stay(room: u32, minutes: u32) -> Option<Stay> {
        Some(Stay { room: NonZeroU32::new(room).unwrap(), minutes })
    }

    fn length(slots: &[Slot]) -> u32 {
        slots.iter().map(|slot| slot.out).max().unwrap_or(0)
    }

    /// Tries, minute by minute, everything that the rules allow, also doing nothing; returns the shortest end.
    struct Every<'q> {
        stays: &'q [Vec<Option<Stay>>],
        hands: Hands,
        best: u32,
    }

    impl Every<'_> {
        fn from(&mut self, now: u32, left: &[u32], ready_at: &[Option<u32>]) {
            if left.iter().all(|jars| *jars == 0) && ready_at.iter().all(Option::is_none) {
                self.best = self.best.min(now);
                return;
            }
            if now + 1 > self.best {
                return;
            }
            for canner in 0..ready_at.len() {
                let mut after = ready_at.to_vec();
                match ready_at[canner] {
                    Some(at) if at <= now => {
                        after[canner] = None;
                        self.from(now + self.hands.lift_a_load, left, &after);
                    }
                    Some(_) => {}
                    None => {
                        for size in 0..left.len() {
                            let Some(stay) = self.stays[canner][size].filter(|_| left[size] > 0) else {
                                continue;
                            };
                            let jars = stay.room.get().min(left[size]);
                            let mut fewer = left.to_vec();
                            fewer[size] -= jars;
                            let filled = now + jars * self.hands.fill_a_jar;
                            after[canner] = Some(filled + stay.minutes);
                            self.from(filled, &fewer, &after);
                        }
                    }
                }
            }
            self.from(now + 1, left, ready_at);
        }
    }

    #[test]
    fn no_shorter_day_exists_on_small_cases() {
        // Every canner, count and length below, against a search that may also wait at every minute.
        let hands = Hands { fill_a_jar: 1, lift_a_load: 1 };
        let mut tried = 0;
        for (first, second) in
            [((1, 2), Some((1, 3))), ((2, 3), Some((1, 2))), ((2, 4), None), ((1, 1), Some((2, 5)))]
        {
            for (pints, quarts) in [(1, 0), (2, 0), (3, 0), (4, 0), (1, 1), (2, 1)] {
                for quarts_in_second in [false, true] {
                    let mut stays = vec![vec![stay(first.0, first.1), stay(1, first.1 + 1)]];
                    stays.extend(second.map(|(room, minutes)| {
                        vec![stay(room, minutes), stay(1, minutes + 2).filter(|_| quarts_in_second)]
                    }));
                    let slots = shortest(&[pints, quarts], &stays, hands).unwrap();
                    let ready_at = vec![None; stays.len()];
                    let mut every = Every { stays: &stays, hands, best: 26 };
                    every.from(0, &[pints, quarts], &ready_at);
                    assert_eq!(length(&slots), every.best, "{pints} pints, {quarts} quarts in {stays:?}");
                    tried += 1;
                }
            }
        }
        assert_eq!(tried, 48);
    }

    #[test]
    fn hands_do_one_thing_at_a_time_and_no_canner_holds_two_loads() {
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        let stays =
            vec![vec![stay(7, 120), stay(9, 105)], vec![stay(5, 40), None], vec![stay(7, 95), stay(8, 90)]];
        let slots = shortest(&[24, 20], &stays, hands).unwrap();
        let of_size =
            |size: usize| slots.iter().filter(|slot| slot.size == size).map(|slot| slot.jars).sum::<u32>();
        assert_eq!((of_size(0), of_size(1)), (24, 20));
        let mut busy: Vec<(u32, u32)> =
            slots.iter().flat_map(|slot| [(slot.fill, slot.closed), (slot.lift, slot.out)]).collect();
        busy.sort_unstable();
        assert!(busy.windows(2).all(|pair| pair[0].1 <= pair[1].0), "{busy:?}");
        for (at, slot) in slots.iter().enumerate() {
            assert!(slot.lift >= slot.ready && slot.closed <= slot.ready);
            let others = slots[at + 1..].iter().filter(|other| other.canner == slot.canner);
            for other in others {
                assert!(other.closed >= slot.out, "{slot:?} {other:?}");
            }
        }
    }

    #[test]
    fn two_canners_run_beside_each_other() {
        // By hand: 14 jars at 2 min each, 7 in each canner: 14, 28; the first is ready at 114 and out at 119, the
        // second ready at 128 and out at 133. One canner alone: 14 + 100 + 5, twice.
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        let one = vec![stay(7, 100)];
        assert_eq!(length(&shortest(&[14], &[one.clone(), one.clone()], hands).unwrap()), 133);
        assert_eq!(length(&shortest(&[14], &[one], hands).unwrap()), 238);
    }

    #[test]
    fn a_size_that_no_canner_takes_is_told() {
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        assert_eq!(shortest(&[1], &[vec![None]], hands), Err(NoDay::NoCanner));
    }
}
