//! How long something took in the household's own loads.

/// The shortest, the middle and the longest of the times on record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub(crate) struct OwnTimes {
    /// Minutes of the shortest.
    pub least: u32,
    /// Minutes of the middle one; of an even number the upper middle one, since a plan had better last too long than
    /// too short.
    pub middle: u32,
    /// Minutes of the longest.
    pub most: u32,
    /// How many have it on record.
    pub loads: usize,
}

impl OwnTimes {
    /// Of these minutes; none where there are none.
    pub fn of(mut minutes: Vec<u32>) -> Option<Self> {
        minutes.sort_unstable();
        let (&least, &most) = (minutes.first()?, minutes.last()?);
        Some(Self { least, middle: minutes[minutes.len() / 2], most, loads: minutes.len() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_upper_middle_one_is_taken_of_an_even_number() {
        let of = |minutes: &[u32]| OwnTimes::of(minutes.to_vec());
        assert_eq!(of(&[]), None);
        assert_eq!(of(&[12, 8, 20]), Some(OwnTimes { least: 8, middle: 12, most: 20, loads: 3 }));
        assert_eq!(of(&[8, 12]).map(|times| times.middle), Some(12));
    }
}
