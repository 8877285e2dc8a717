//! The shortest day: jars over canners, with one pair of hands.
//!
//! A load is filled, stays in its canner, and is lifted out. Filling and lifting take hands, which do one thing at a time.
//! Jars go into the canner as soon as they are filled, so none cools beside it. A canner takes as many jars as one of
//! its ways of being filled holds, or all that are left. Jars that are ready may wait for hands; nothing else waits.
//!
//! Every order of filling and lifting is weighed, each begun as early as it can be: nothing gains by beginning later,
//! since no rule above sets an end. What is left of a day depends only on the jars left and on how long each canner is
//! taken, so that is reckoned once.

use std::collections::HashMap;

/// States weighed before a day counts as too large.
const MOST_STATES: usize = 200_000;

/// One way to fill a canner: with jars of one size, or of several that it holds together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// Jars of each size of the question.
    pub takes: Vec<u32>,
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
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// The canner, by its place in the question.
    pub canner: usize,
    /// The way it is filled, by its place among the canner's.
    pub way: usize,
    /// Jars of each size.
    pub jars: Vec<u32>,
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
    Fill { canner: usize, way: usize },
    Lift { canner: usize },
}

/// Minutes to the end and loads still to fill, the fewer the better.
type Cost = (u32, u32);

struct Day<'q> {
    ways: &'q [Vec<Way>],
    hands: Hands,
    known: HashMap<State, (Cost, Option<Act>)>,
}

/// Plans the shortest day for so many jars of each size; of two days alike, the one with fewer loads.
///
/// `ways` has a row for each canner.
pub fn shortest(wanted: &[u32], ways: &[Vec<Way>], hands: Hands) -> Result<Vec<Slot>, NoDay> {
    let is_taken = |size: usize| ways.iter().flatten().any(|way| way.takes[size] > 0);
    if wanted.iter().enumerate().any(|(size, jars)| *jars > 0 && !is_taken(size)) {
        return Err(NoDay::NoCanner);
    }
    let mut day = Day { ways, hands, known: HashMap::new() };
    let start = (wanted.to_vec(), vec![None; ways.len()]);
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
            let takes = |way: &usize| load(left, &self.ways[canner][*way]).iter().sum::<u32>() > 0;
            acts.extend((0..self.ways[canner].len()).filter(takes).map(|way| Act::Fill { canner, way }));
        }
        acts
    }

    /// Minutes until the hands are free again, and how things stand then.
    fn after(&self, (left, canners): &State, act: Act) -> (u32, State) {
        let (mut left, mut canners) = (left.clone(), canners.clone());
        let minutes = match act {
            Act::Fill { canner, way } => {
                let jars = load(&left, &self.ways[canner][way]);
                for (left, jars) in left.iter_mut().zip(&jars) {
                    *left -= jars;
                }
                jars.iter().sum::<u32>() * self.hands.fill_a_jar
            }
            Act::Lift { canner } => canners[canner].unwrap_or(0) + self.hands.lift_a_load,
        };
        for ready in canners.iter_mut().flatten() {
            *ready = ready.saturating_sub(minutes);
        }
        match act {
            Act::Fill { canner, way } => canners[canner] = Some(self.ways[canner][way].minutes),
            Act::Lift { canner } => canners[canner] = None,
        }
        (minutes, (left, canners))
    }

    /// Follows the best acts from the start.
    fn slots(&self, start: State) -> Vec<Slot> {
        let (mut state, mut now) = (start, 0);
        let mut slots: Vec<Slot> = Vec::new();
        let mut in_canner: Vec<Option<usize>> = vec![None; self.ways.len()];
        while let Some((_, Some(act))) = self.known.get(&state) {
            let (minutes, after) = self.after(&state, *act);
            let end = now + minutes;
            match *act {
                Act::Fill { canner, way } => {
                    let jars = load(&state.0, &self.ways[canner][way]);
                    let ready = end + after.1[canner].unwrap_or(0);
                    in_canner[canner] = Some(slots.len());
                    slots.push(Slot {
                        canner,
                        way,
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

/// The jars that go in one way, of those left.
fn load(left: &[u32], way: &Way) -> Vec<u32> {
    left.iter().zip(&way.takes).map(|(&left, &takes)| left.min(takes)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn way<const N: usize>(takes: [u32; N], minutes: u32) -> Way {
        Way { takes: takes.to_vec(), minutes }
    }

    fn length(slots: &[Slot]) -> u32 {
        slots.iter().map(|slot| slot.out).max().unwrap_or(0)
    }

    /// Tries, minute by minute, everything that the rules allow, also doing nothing; returns the shortest end.
    struct Every<'q> {
        ways: &'q [Vec<Way>],
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
                        for way in &self.ways[canner] {
                            let jars: Vec<u32> =
                                left.iter().zip(&way.takes).map(|(left, takes)| *left.min(takes)).collect();
                            let count: u32 = jars.iter().sum();
                            if count > 0 {
                                let fewer: Vec<u32> =
                                    left.iter().zip(&jars).map(|(left, jars)| left - jars).collect();
                                let filled = now + count * self.hands.fill_a_jar;
                                after[canner] = Some(filled + way.minutes);
                                self.from(filled, &fewer, &after);
                            }
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
                for is_mixed in [false, true] {
                    let mut ways = vec![vec![way([first.0, 0], first.1), way([0, 1], first.1 + 1)]];
                    ways.extend(second.map(|(room, minutes)| {
                        let mut of_second = vec![way([room, 0], minutes)];
                        of_second.extend(is_mixed.then(|| way([1, 1], minutes + 2)));
                        of_second
                    }));
                    let slots = shortest(&[pints, quarts], &ways, hands).unwrap();
                    let ready_at = vec![None; ways.len()];
                    let mut every = Every { ways: &ways, hands, best: 26 };
                    every.from(0, &[pints, quarts], &ready_at);
                    assert_eq!(length(&slots), every.best, "{pints} pints, {quarts} quarts in {ways:?}");
                    tried += 1;
                }
            }
        }
        assert_eq!(tried, 48);
    }

    #[test]
    fn hands_do_one_thing_at_a_time_and_no_canner_holds_two_loads() {
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        let ways = vec![
            vec![way([7, 0], 120), way([0, 9], 105), way([4, 5], 120)],
            vec![way([5, 0], 40)],
            vec![way([7, 0], 95), way([0, 8], 90)],
        ];
        let slots = shortest(&[24, 20], &ways, hands).unwrap();
        let of_size = |size: usize| slots.iter().map(|slot| slot.jars[size]).sum::<u32>();
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
        let one = vec![way([7], 100)];
        assert_eq!(length(&shortest(&[14], &[one.clone(), one.clone()], hands).unwrap()), 133);
        assert_eq!(length(&shortest(&[14], &[one], hands).unwrap()), 238);
    }

    #[test]
    fn a_size_that_no_canner_takes_is_named() {
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        assert_eq!(shortest(&[1], &[vec![way([0], 100)]], hands), Err(NoDay::NoCanner));
    }

    #[test]
    fn sizes_that_a_canner_holds_together_go_in_together() {
        // By hand: 4 quarts and 5 pints at 2 min each, 18; 100; 5. Apart they would be two loads.
        let hands = Hands { fill_a_jar: 2, lift_a_load: 5 };
        let apart = vec![way([7, 0], 100), way([0, 9], 100)];
        let together = [&apart[..], &[way([4, 5], 100)]].concat();
        assert_eq!(length(&shortest(&[4, 5], &[together], hands).unwrap()), 123);
        assert_eq!(length(&shortest(&[4, 5], &[apart], hands).unwrap()), 18 + 2 * 105);
    }
}
