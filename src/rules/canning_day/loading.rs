//! Filling a canner: how many loads some jars make.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use crate::values::kinds::jar_size::JarSize;

/// Says that nobody wrote down how many jars of a size the canner takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("how many {} this canner takes is not on record", .0.plural())]
pub struct NoCapacity(pub JarSize);

/// Splits jars into loads, one size in each, as full as the canner takes them.
///
/// Sizes are kept apart since each has its own tested time. A canner's mixed
/// loads are the cook's to tell.
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
        loads.extend(crate::rules::canning_day::day::loads(count, room).into_iter().map(|load| (size, load)));
    }
    Ok(loads)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_as_full_as_the_canner_takes_them_and_hold_one_size_each() {
        let holds = BTreeMap::from([(JarSize::Pint, 9), (JarSize::Quart, 7)]);
        // By hand: 20 pints at 9 a load are 9, 9 and 2; 7 quarts are one load.
        assert_eq!(
            split(&[(JarSize::Pint, 20), (JarSize::Quart, 7)], &holds),
            Ok(vec![(JarSize::Pint, 9), (JarSize::Pint, 9), (JarSize::Pint, 2), (JarSize::Quart, 7)])
        );
        assert_eq!(split(&[(JarSize::Pint, 0)], &holds), Ok(vec![]));
    }

    #[test]
    fn a_size_without_a_figure_is_not_guessed_at() {
        let holds = BTreeMap::from([(JarSize::Pint, 9)]);
        let refused = split(&[(JarSize::Quart, 1)], &holds).unwrap_err();
        assert_eq!(refused.to_string(), "how many quarts this canner takes is not on record");
    }
}
