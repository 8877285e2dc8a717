//! Which lid lots, canners or products fail to seal more often than the rest.

use crate::rules::seal::exact_test::{fisher, holm, wilson};
use crate::values::names::named::named_enum;

/// Chance of a false alarm, over all groups of one kind together, at which a group is named.
const ALARM: f64 = 0.05;

named_enum! {
    /// What jars are grouped by.
    pub enum SealGrouping as "a grouping" {
        /// The lot of the lid.
        LidLot = "lid lot",
        /// The canner of the load.
        Canner = "canner",
        /// What is in the jar.
        Product = "product",
    }
}

impl SealGrouping {
    /// The plural, for headings and sentences.
    pub const fn plural(self) -> &'static str {
        match self {
            Self::LidLot => "lid lots",
            Self::Canner => "canners",
            Self::Product => "products",
        }
    }
}

/// First seal checks of one group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealCount {
    /// Name of the lot, canner or product.
    pub name: String,
    /// Jars that failed.
    pub failed: u32,
    /// Jars checked, the failed ones included.
    pub checked: u32,
}

/// One group beside the rest.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SealShare {
    /// Name of the lot, canner or product.
    pub name: String,
    /// Jars that failed.
    pub failed: u32,
    /// Jars checked.
    pub checked: u32,
    /// Jars that failed in all other groups.
    pub rest_failed: u32,
    /// Jars checked in all other groups.
    pub rest_checked: u32,
    /// Lower end of the 95 % Wilson interval of the group's failures, 0 to 1.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Fisher's exact test against the rest, two-sided, Holm-corrected. None without a rest.
    pub p: Option<f64>,
}

impl SealShare {
    /// Failures in each jar checked, 0 to 1.
    pub fn share(&self) -> f64 {
        f64::from(self.failed) / f64::from(self.checked)
    }

    /// Whether the group fails more often or less often than the rest, by more than chance explains.
    pub fn differs(&self) -> bool {
        self.p.is_some_and(|p| p < ALARM)
    }

    /// Whether it differs, and for the worse.
    pub fn stands_out(&self) -> bool {
        let (group, rest) = (u64::from(self.failed), u64::from(self.rest_failed));
        self.differs() && group * u64::from(self.rest_checked) > rest * u64::from(self.checked)
    }
}

/// All groups of one kind, the worst first.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SealStatistics {
    /// What the groups are.
    pub grouping: SealGrouping,
    /// Jars that failed, over all groups.
    pub failed: u32,
    /// Jars checked, over all groups.
    pub checked: u32,
    /// The groups.
    pub groups: Vec<SealShare>,
}

/// Compares every group with the rest of its kind.
///
/// Groups with no jar checked are left out; one with more failures than checks counts all as failed.
pub fn compare(grouping: SealGrouping, counts: impl IntoIterator<Item = SealCount>) -> SealStatistics {
    let mut counts: Vec<SealCount> = counts.into_iter().filter(|count| count.checked > 0).collect();
    for count in &mut counts {
        count.failed = count.failed.min(count.checked);
    }
    let sum = |field: fn(&SealCount) -> u32| counts.iter().map(field).fold(0, u32::saturating_add);
    let (failed, checked) = (sum(|count| count.failed), sum(|count| count.checked));
    let mut chances: Vec<f64> = counts
        .iter()
        .map(|count| {
            let rest = (failed - count.failed, checked - count.checked);
            fisher((count.failed, count.checked), rest)
        })
        .collect();
    holm(&mut chances);
    let is_alone = counts.len() < 2;
    let mut groups: Vec<SealShare> = counts
        .into_iter()
        .zip(chances)
        .map(|(count, p)| {
            let (low, high) = wilson(count.failed, count.checked);
            SealShare {
                rest_failed: failed - count.failed,
                rest_checked: checked - count.checked,
                name: count.name,
                failed: count.failed,
                checked: count.checked,
                low,
                high,
                p: (!is_alone).then_some(p),
            }
        })
        .collect();
    groups.sort_by(|a, b| {
        (b.stands_out().cmp(&a.stands_out()))
            .then(b.share().total_cmp(&a.share()))
            .then(b.checked.cmp(&a.checked))
            .then_with(|| a.name.cmp(&b.name))
    });
    SealStatistics { grouping, failed, checked, groups }
}

impl SealStatistics {
    /// The finding in plain words, one sentence for each group that stands out.
    pub fn sentences(&self) -> Vec<String> {
        let (kind, failed, checked) = (self.grouping, self.failed, self.checked);
        match self.groups.len() {
            0 => return vec![format!("No seal check with a {kind} on record yet.")],
            1 => {
                let name = &self.groups[0].name;
                return vec![format!(
                    "{failed} of {checked} jars failed to seal, all of one {kind} ({name}): nothing to compare with."
                )];
            }
            _ => {}
        }
        let found: Vec<String> = (self.groups.iter().filter(|group| group.stands_out()))
            .map(|group| {
                let SealShare { name, failed, checked, rest_failed, rest_checked, .. } = group;
                let capital = kind.as_str()[..1].to_ascii_uppercase() + &kind.as_str()[1..];
                format!(
                    "{capital} {name}: {failed} of {checked} failed to seal, more than the rest ({rest_failed} of {rest_checked})."
                )
            })
            .collect();
        if found.is_empty() {
            let plural = kind.plural();
            vec![format!("Nothing stands out among the {plural}: {failed} of {checked} jars failed to seal.")]
        } else {
            found
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn compared(counts: &[(&str, u32, u32)]) -> SealStatistics {
        let count =
            |&(name, failed, checked): &(&str, u32, u32)| SealCount { name: name.into(), failed, checked };
        compare(SealGrouping::LidLot, counts.iter().map(count))
    }

    #[test]
    fn a_bad_lot_is_named_and_the_good_ones_are_not() {
        let statistics = compared(&[("A7", 2, 96), ("B2", 6, 24), ("C1", 3, 114), ("D9", 0, 0)]);
        // scipy 1.17.1, fisher_exact([[6, 18], [5, 205]]): 0.0002045999, the least of three, so three times that.
        assert!((statistics.groups[0].p.unwrap() - 3.0 * 0.000_204_599_9).abs() < 1e-9);
        assert_eq!(
            statistics.sentences(),
            ["Lid lot B2: 6 of 24 failed to seal, more than the rest (5 of 210)."]
        );
        assert_eq!(
            statistics.groups.iter().map(|group| &group.name[..]).collect::<Vec<_>>(),
            ["B2", "C1", "A7"]
        );
    }

    #[test]
    fn a_lot_of_one_jar_is_compared_and_one_never_checked_is_not() {
        let names: Vec<_> = compared(&[("A7", 1, 1), ("B2", 0, 3), ("C1", 0, 0)])
            .groups
            .into_iter()
            .map(|group| group.name)
            .collect();
        assert_eq!(names, ["A7", "B2"]);
    }

    #[test]
    fn a_lot_better_than_the_rest_is_no_alarm() {
        let statistics = compared(&[("A7", 0, 200), ("B2", 15, 60), ("C1", 14, 60)]);
        assert!(statistics.groups.iter().find(|group| group.name == "A7").unwrap().p.unwrap() < 0.001);
        let names: Vec<_> =
            statistics.groups.iter().filter(|g| g.stands_out()).map(|g| &g.name[..]).collect();
        assert_eq!(names, ["B2", "C1"]);
    }

    #[test]
    fn chance_alone_and_a_single_lot_say_nothing() {
        let chance = compared(&[("A7", 1, 20), ("B2", 3, 24)]);
        assert_eq!(
            chance.sentences(),
            ["Nothing stands out among the lid lots: 4 of 44 jars failed to seal."]
        );
        assert!(chance.groups.iter().all(|group| group.p.is_some()));
        assert_eq!(compared(&[("A7", 5, 20)]).groups[0].p, None);
        assert_eq!(
            compared(&[("A7", 5, 20)]).sentences(),
            ["5 of 20 jars failed to seal, all of one lid lot (A7): nothing to compare with."]
        );
        assert_eq!(compared(&[]).sentences(), ["No seal check with a lid lot on record yet."]);
    }

    #[test]
    fn a_group_stands_out_only_below_five_in_a_hundred_and_only_when_it_is_worse() {
        let group = |failed, p| SealShare {
            name: "A7".into(),
            failed,
            checked: 10,
            rest_failed: 3,
            rest_checked: 10,
            low: 0.0,
            high: 1.0,
            p,
        };
        assert!((group(3, None).share() - 0.3).abs() < 1e-12);
        // An alarm level is a strict bound: common practice, no source.
        assert!(!group(9, Some(0.05)).differs() && group(9, Some(0.049)).differs());
        assert!(group(4, Some(0.01)).stands_out());
        assert!(!group(3, Some(0.01)).stands_out());
        assert!(!group(9, None).stands_out());
    }

    #[test]
    fn more_failures_than_checks_do_not_overflow() {
        let odd = compared(&[("A7", u32::MAX, 1), ("B2", 0, u32::MAX)]);
        assert!(odd.groups.iter().all(|group| (0.0..=1.0).contains(&group.share())));
    }
}
