//! Filling a canner: how many loads some jars make.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use crate::rules::canning_day::day;
use crate::rules::process::tested::TestedProcess;
use crate::values::kinds::jar_size::JarSize;

/// The jars of one load, by size.
pub type Load = Vec<(JarSize, u32)>;

/// What a canner takes in one load.
#[derive(Debug, Clone, Copy)]
pub struct Room<'c> {
    /// Jars of each size, where they are all of that size.
    pub alone: &'c BTreeMap<JarSize, u32>,
    /// Jars of several sizes together, one entry a way to fill it.
    pub together: &'c [BTreeMap<JarSize, u32>],
}

/// Says that nobody wrote down how many jars of a size the canner takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("how many {} this canner takes is not on record", .0.plural())]
pub struct NoCapacity(pub JarSize);

/// Most loads filled one way that are tried: more than a kitchen makes on a day.
const MOST_OF_A_WAY: u32 = 40;

/// Whether one process serves all of these, with the same minutes, pressure and venting; where there is none, it does not.
pub(crate) fn serves_all<'p>(processes: impl IntoIterator<Item = Option<&'p TestedProcess>>) -> bool {
    let mut figures = processes.into_iter().map(|one| one.map(|one| (one.minutes, one.psi, one.vent_min)));
    let first = figures.next().flatten();
    first.is_some() && figures.all(|other| other == first)
}

/// Splits jars into loads, one size in each, as full as the canner takes them.
///
/// # Errors
/// [`NoCapacity`] for a size the canner has no figure for.
pub fn split(
    jars: &[(JarSize, u32)],
    holds: &BTreeMap<JarSize, u32>,
) -> Result<Vec<(JarSize, u32)>, NoCapacity> {
    let mut loads = Vec::new();
    for &(size, count) in jars {
        let room = holds.get(&size).copied().and_then(NonZeroU32::new).ok_or(NoCapacity(size))?;
        loads.extend(day::loads(count, room).into_iter().map(|load| (size, load)));
    }
    Ok(loads)
}

impl Room<'_> {
    fn by_size(self, jars: &BTreeMap<JarSize, u32>) -> Result<Vec<Load>, NoCapacity> {
        let jars: Load = jars.iter().map(|(&size, &count)| (size, count)).collect();
        Ok(split(&jars, self.alone)?.into_iter().map(|load| vec![load]).collect())
    }

    /// Splits jars into the fewest loads, several sizes in one where the canner holds them together and one process
    /// serves them all (`may_share`); sizes stay apart where that takes no more loads.
    ///
    /// # Errors
    /// [`NoCapacity`] for a size the canner has no figure for.
    pub(crate) fn fewest(
        self,
        jars: &[(JarSize, u32)],
        may_share: impl Fn(&[JarSize]) -> bool,
    ) -> Result<Vec<Load>, NoCapacity> {
        let mut wanted = BTreeMap::new();
        for &(size, count) in jars {
            let sum: &mut u32 = wanted.entry(size).or_default();
            *sum = sum.saturating_add(count);
        }
        let all_apart = self.by_size(&wanted)?;
        let ways: Vec<&BTreeMap<JarSize, u32>> = (self.together.iter())
            .filter(|way| {
                let sizes: Vec<JarSize> = way
                    .keys()
                    .copied()
                    .filter(|size| wanted.get(size).is_some_and(|&count| count > 0))
                    .collect();
                sizes.len() > 1 && may_share(&sizes)
            })
            .collect();
        Ok(self.search(&wanted, &ways, all_apart.len()).unwrap_or(all_apart))
    }

    /// Fewer than `most` loads of what is left, where there are such: each way so many times, the rest by size.
    fn search(
        self,
        left: &BTreeMap<JarSize, u32>,
        ways: &[&BTreeMap<JarSize, u32>],
        mut most: usize,
    ) -> Option<Vec<Load>> {
        let Some((&way, others)) = ways.split_first() else {
            return self.by_size(left).ok().filter(|loads| loads.len() < most);
        };
        let mut best = None;
        let (mut left, mut filled) = (left.clone(), Vec::new());
        for _ in 0..MOST_OF_A_WAY {
            if let Some(mut found) = self.search(&left, others, most.saturating_sub(filled.len())) {
                found.extend(filled.iter().cloned());
                most = found.len();
                best = Some(found);
            }
            let mut load = Load::new();
            for (&size, &room) in way {
                let Some(count) = left.get_mut(&size) else { continue };
                let taken = room.min(*count);
                *count -= taken;
                if taken > 0 {
                    load.push((size, taken));
                }
            }
            if load.is_empty() || filled.len() >= most {
                break;
            }
            filled.push(load);
        }
        best
    }

    /// Why a load is more than the canner takes; none where it fits, or where nothing is on record of it.
    pub(crate) fn too_much(self, load: &[(JarSize, u32)]) -> Option<TooMuch> {
        let alone = |&(size, count): &(JarSize, u32)| self.alone.get(&size).is_some_and(|&room| count > room);
        if let Some(&(size, count)) = load.iter().find(|jars| alone(jars)) {
            return Some(TooMuch::OfSize(size, count));
        }
        let fits = |way: &BTreeMap<JarSize, u32>| {
            load.iter().all(|(size, count)| way.get(size).is_some_and(|room| count <= room))
        };
        // Jars fit side by side where the shares of a full load that each size takes add up to no more than one.
        let shares: f64 = load
            .iter()
            .map(|(size, count)| match self.alone.get(size) {
                Some(&room) => f64::from(*count) / f64::from(room),
                None => 0.0,
            })
            .sum();
        (load.len() > 1 && shares > 1.0 && !self.together.iter().any(fits)).then_some(TooMuch::Together)
    }
}

/// How a load is more than its canner takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TooMuch {
    /// So many jars of one size are more than it takes of them alone.
    OfSize(JarSize, u32),
    /// Each size alone would go in; together they are more than it takes by any way on record.
    Together,
}

#[cfg(test)]
mod tests {
    use super::*;
    use JarSize::{HalfPint, Pint, Quart};

    fn counts<const N: usize>(jars: [(JarSize, u32); N]) -> BTreeMap<JarSize, u32> {
        BTreeMap::from(jars)
    }

    fn alone() -> BTreeMap<JarSize, u32> {
        counts([(Pint, 9), (Quart, 7)])
    }

    #[test]
    fn loads_are_as_full_as_the_canner_takes_them_and_hold_one_size_each() {
        // By hand: 20 pints at 9 a load are 9, 9 and 2; 7 quarts are one load.
        assert_eq!(
            split(&[(Pint, 20), (Quart, 7)], &alone()),
            Ok(vec![(Pint, 9), (Pint, 9), (Pint, 2), (Quart, 7)])
        );
        assert_eq!(split(&[(Pint, 0)], &alone()), Ok(vec![]));
    }

    #[test]
    fn a_size_without_a_figure_is_not_guessed_at() {
        let refused = split(&[(HalfPint, 1)], &alone()).unwrap_err();
        assert_eq!(refused.to_string(), "how many half-pints this canner takes is not on record");
        let ways = [counts([(HalfPint, 6), (Pint, 4)])];
        let room = Room { alone: &alone(), together: &ways };
        assert_eq!(room.fewest(&[(HalfPint, 1), (Pint, 1)], |_| true), Err(NoCapacity(HalfPint)));
    }

    #[test]
    fn sizes_share_a_load_only_where_that_takes_fewer_and_the_canner_holds_them_together() {
        let ways = [counts([(Pint, 5), (Quart, 4)])];
        let mixed = Room { alone: &alone(), together: &ways };
        let fewest = |jars: &[(JarSize, u32)]| mixed.fewest(jars, |_| true).unwrap();
        // By hand: apart 2 and 2 loads; filled with 5 pints and 4 quarts each, two take them all.
        assert_eq!(fewest(&[(Pint, 10), (Quart, 8)]), vec![vec![(Pint, 5), (Quart, 4)]; 2]);
        // Apart 2 and 2; one load of both leaves 6 pints and 5 quarts: three.
        assert_eq!(
            fewest(&[(Pint, 11), (Quart, 9)]),
            [vec![(Pint, 6)], vec![(Quart, 5)], vec![(Pint, 5), (Quart, 4)]]
        );
        // No fewer than apart: apart.
        assert_eq!(fewest(&[(Pint, 9), (Quart, 7)]), [vec![(Pint, 9)], vec![(Quart, 7)]]);
        // Nobody said that it holds them together, or no process serves both.
        let apart = vec![vec![(Pint, 2)], vec![(Quart, 2)]];
        assert_eq!(
            Room { together: &[], ..mixed }.fewest(&[(Pint, 2), (Quart, 2)], |_| true),
            Ok(apart.clone())
        );
        assert_eq!(mixed.fewest(&[(Pint, 2), (Quart, 2)], |_| false), Ok(apart));
    }

    #[test]
    fn no_way_to_fill_loads_takes_fewer() {
        let ways = [counts([(Pint, 5), (Quart, 4)]), counts([(Pint, 2), (Quart, 6)])];
        let room = Room { alone: &alone(), together: &ways };
        // Brute force over how often each way is used, whole.
        for pints in 0..25_u32 {
            for quarts in 0..25_u32 {
                let least = (0..8_u32)
                    .flat_map(|first| (0..8_u32).map(move |second| (first, second)))
                    .map(|(first, second)| {
                        let pints = pints.saturating_sub(5 * first + 2 * second).div_ceil(9);
                        first + second + pints + quarts.saturating_sub(4 * first + 6 * second).div_ceil(7)
                    })
                    .min();
                let loads = room.fewest(&[(Pint, pints), (Quart, quarts)], |_| true).unwrap();
                assert_eq!(Some(loads.len() as u32), least, "{pints} pints, {quarts} quarts: {loads:?}");
                let sum =
                    |of| loads.iter().flatten().filter(|(size, _)| *size == of).map(|(_, jars)| jars).sum();
                assert_eq!((pints, quarts), (sum(Pint), sum(Quart)), "{loads:?}");
                for load in loads {
                    assert_eq!(room.too_much(&load), None, "{load:?}");
                }
            }
        }
    }

    #[test]
    fn a_load_larger_than_the_canner_takes_is_named() {
        let ways = [counts([(Pint, 5), (Quart, 4)])];
        let room = Room { alone: &alone(), together: &ways };
        assert_eq!(room.too_much(&[(Pint, 9)]), None);
        assert_eq!(room.too_much(&[(Pint, 10)]), Some(TooMuch::OfSize(Pint, 10)));
        assert_eq!(room.too_much(&[(Pint, 1), (Quart, 8)]), Some(TooMuch::OfSize(Quart, 8)));
        // 5/9 and 4/7 are more than one, but on record as fitting; 6/9 and 4/7 are not on record.
        assert_eq!(room.too_much(&[(Pint, 5), (Quart, 4)]), None);
        assert_eq!(room.too_much(&[(Pint, 6), (Quart, 4)]), Some(TooMuch::Together));
        // 3/9 and 4/7 are less than one.
        assert_eq!(room.too_much(&[(Pint, 3), (Quart, 4)]), None);
        // Nothing is on record of half-pints.
        assert_eq!(room.too_much(&[(HalfPint, 40)]), None);
    }
}
