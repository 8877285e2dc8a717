//! Which lid lots, canners or products fail to seal more often than the rest.

use crate::rules::seal::chances::{LoadSeals, Sum, as_bad_by_chance, holm, wilson};
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
    pub(crate) const fn plural(self) -> &'static str {
        match self {
            Self::LidLot => "lid lots",
            Self::Canner => "canners",
            Self::Product => "products",
        }
    }
}

/// One group beside the rest.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct SealShare {
    /// Name of the lot, canner or product.
    pub name: String,
    /// Jars that failed.
    pub failed: u32,
    /// Jars checked.
    pub checked: u32,
    /// Loads with a jar that failed.
    pub failed_loads: usize,
    /// Loads with a jar checked.
    pub loads: usize,
    /// Jars that failed in all other groups.
    pub rest_failed: u32,
    /// Jars checked in all other groups.
    pub rest_checked: u32,
    /// Lower end of the 95 % Wilson interval of the group's failures, 0 to 1.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The chance that so many loads taken from all fail as often or more, Holm-corrected. None without a rest.
    pub p: Option<f64>,
}

impl SealShare {
    /// Failures in each jar checked, 0 to 1.
    pub fn share(&self) -> f64 {
        f64::from(self.failed) / f64::from(self.checked)
    }

    /// From how many of its loads the failures came.
    fn of_loads(&self) -> String {
        format!("{} of {}", self.failed_loads, self.loads)
    }

    /// Whether the group fails more often than the rest, by more than chance explains.
    pub(crate) fn stands_out(&self) -> bool {
        self.p.is_some_and(|p| p < ALARM)
    }
}

/// All groups of one kind, the worst first.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct SealStatistics {
    /// What the groups are.
    pub grouping: SealGrouping,
    /// Jars that failed, over all groups.
    pub failed: u32,
    /// Jars checked, over all groups.
    pub checked: u32,
    pub groups: Vec<SealShare>,
}

/// Compares every group, given by its loads, with the rest of its kind.
///
/// Loads with no jar checked are left out, and groups without any other; a load with more failures than checks
/// counts all as failed.
pub(crate) fn compare(
    grouping: SealGrouping,
    groups: impl IntoIterator<Item = (String, Vec<LoadSeals>)>,
) -> SealStatistics {
    let mut groups: Vec<(String, Vec<LoadSeals>)> = groups.into_iter().collect();
    for (_, loads) in &mut groups {
        loads.retain(|load| load.checked > 0);
        loads.iter_mut().for_each(|load| load.failed = load.failed.min(load.checked));
    }
    groups.retain(|(_, loads)| !loads.is_empty());
    let jars = |sum: Sum| [sum.failed, sum.checked].map(|jars| u32::try_from(jars).unwrap_or(u32::MAX));
    let mut all: Vec<LoadSeals> = groups.iter().flat_map(|(_, loads)| loads).copied().collect();
    let [failed, checked] = jars(Sum::of(&all));
    let is_alone = groups.len() < 2;
    let mut chances: Vec<f64> = groups
        .iter()
        .map(|(_, loads)| if is_alone { 1.0 } else { as_bad_by_chance(loads, &mut all) })
        .collect();
    holm(&mut chances);
    let mut groups: Vec<SealShare> = groups
        .into_iter()
        .zip(chances)
        .map(|((name, loads), p)| {
            let [group_failed, group_checked] = jars(Sum::of(&loads));
            let (low, high) = wilson(group_failed, group_checked);
            SealShare {
                name,
                failed: group_failed,
                checked: group_checked,
                failed_loads: loads.iter().filter(|load| load.failed > 0).count(),
                loads: loads.len(),
                rest_failed: failed - group_failed,
                rest_checked: checked - group_checked,
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
    pub(crate) fn sentences(&self) -> Vec<String> {
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
                    "{capital} {name}: {failed} of {checked} failed to seal, in {} loads; more than the rest \
                     ({rest_failed} of {rest_checked}).",
                    group.of_loads()
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
    use rand::rngs::Xoshiro256PlusPlus;
    use rand::{RngExt, SeedableRng};

    use super::*;

    /// Each group's loads of nine jars, by how many failed in each.
    fn compared(groups: &[(&str, &[u32])]) -> SealStatistics {
        let loads = |failed: &[u32]| failed.iter().map(|&failed| LoadSeals { failed, checked: 9 }).collect();
        compare(SealGrouping::LidLot, groups.iter().map(|&(name, failed)| (name.to_owned(), loads(failed))))
    }

    fn chance_of(name: &str, statistics: &SealStatistics) -> f64 {
        statistics.groups.iter().find(|group| group.name == name).unwrap().p.unwrap()
    }

    #[test]
    fn a_bad_lot_is_named_with_its_loads_and_the_good_ones_are_not() {
        let statistics =
            compared(&[("A7", &[0, 0, 1, 0]), ("B2", &[2, 3, 2]), ("C1", &[0, 0, 0]), ("D9", &[])]);
        // By hand: of the 120 ways to take three of ten loads one has seven failures, and three lots are compared.
        assert!((chance_of("B2", &statistics) - 3.0 / 120.0).abs() < 1e-12);
        assert_eq!(
            statistics.sentences(),
            ["Lid lot B2: 7 of 27 failed to seal, in 3 of 3 loads; more than the rest (1 of 63)."]
        );
        assert_eq!(
            statistics.groups.iter().map(|group| &group.name[..]).collect::<Vec<_>>(),
            ["B2", "A7", "C1"]
        );
    }

    #[test]
    fn one_load_that_went_wrong_says_nothing_of_its_lot() {
        // Taken for independent jars, 6 of 27 beside 1 of 63 would be one in 382 (scipy 1.17.1, fisher_exact).
        let statistics = compared(&[("A7", &[0, 0, 1, 0]), ("B2", &[6, 0, 0]), ("C1", &[0, 0, 0])]);
        // By hand: 36 of the 120 ways to take three of ten loads take that with six failures.
        assert!((chance_of("B2", &statistics) - 3.0 * 36.0 / 120.0).abs() < 1e-12);
        assert_eq!(
            statistics.sentences(),
            ["Nothing stands out among the lid lots: 7 of 90 jars failed to seal."]
        );
        assert_eq!(statistics.groups[0].of_loads(), "1 of 3");
    }

    #[test]
    fn a_lot_better_than_the_rest_is_no_alarm() {
        let bad: &[u32] = &[2, 3, 2, 1, 2, 3];
        let statistics = compared(&[("A7", &[0; 20]), ("B2", bad), ("C1", bad)]);
        assert_eq!(chance_of("A7", &statistics), 1.0);
        let names: Vec<_> = statistics
            .groups
            .iter()
            .filter(|group| group.stands_out())
            .map(|group| &group.name[..])
            .collect();
        assert_eq!(names, ["B2", "C1"]);
    }

    #[test]
    fn chance_alone_and_a_single_lot_say_nothing() {
        let chance = compared(&[("A7", &[1, 0]), ("B2", &[0, 2, 1])]);
        assert_eq!(
            chance.sentences(),
            ["Nothing stands out among the lid lots: 4 of 45 jars failed to seal."]
        );
        assert!(chance.groups.iter().all(|group| group.p.is_some()));
        let alone = compared(&[("A7", &[5, 0])]);
        assert_eq!(alone.groups[0].p, None);
        assert_eq!(
            alone.sentences(),
            ["5 of 18 jars failed to seal, all of one lid lot (A7): nothing to compare with."]
        );
        assert_eq!(compared(&[]).sentences(), ["No seal check with a lid lot on record yet."]);
    }

    #[test]
    fn a_group_stands_out_only_below_five_in_a_hundred() {
        let group = |p| SealShare {
            name: "A7".into(),
            failed: 3,
            checked: 10,
            failed_loads: 1,
            loads: 2,
            rest_failed: 3,
            rest_checked: 10,
            low: 0.0,
            high: 1.0,
            p,
        };
        assert!((group(None).share() - 0.3).abs() < 1e-12);
        // An alarm level is a strict bound: common practice, no source.
        assert!(!group(Some(0.05)).stands_out() && group(Some(0.049)).stands_out());
        assert!(!group(None).stands_out());
    }

    #[test]
    fn more_failures_than_checks_do_not_overflow() {
        let lot = |name: &str, failed, checked| (name.to_owned(), vec![LoadSeals { failed, checked }]);
        let odd = compare(SealGrouping::LidLot, [lot("A7", u32::MAX, 1), lot("B2", 0, u32::MAX)]);
        assert!(odd.groups.iter().all(|group| (0.0..=1.0).contains(&group.share())));
    }

    /// Shares of invented households in which the first of six lots is named, and in which any is.
    ///
    /// Thirty loads of nine jars, five a lot; a jar of the first lot fails with the chance `bad`, others with `good`.
    /// `clumped` is the correlation of two jars of one load: each jar's chance leans on the load's jars before it
    /// (Polya's urn).
    fn shares_named(good: f64, bad: f64, clumped: f64, households: u32) -> [f64; 2] {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(2_026);
        let mut times = [0, 0];
        for _ in 0..households {
            let lots = (0..6).map(|lot| {
                let chance = if lot == 0 { bad } else { good };
                let loads = (0..5).map(|_| {
                    let failed = (0..9).fold(0, |failed, jar| {
                        let urn = chance * (1.0 - clumped) + clumped * f64::from(failed);
                        let of = 1.0 - clumped + clumped * f64::from(jar);
                        failed + u32::from(random.random::<f64>() * of < urn)
                    });
                    LoadSeals { failed, checked: 9 }
                });
                (lot.to_string(), loads.collect())
            });
            let lots: Vec<_> = lots.collect();
            let groups = compare(SealGrouping::LidLot, lots).groups;
            let is_named =
                |name: &str| groups.iter().any(|group| group.stands_out() && group.name.contains(name));
            times[0] += u32::from(is_named("0"));
            times[1] += u32::from(is_named(""));
        }
        times.map(|times| f64::from(times) / f64::from(households))
    }

    #[test]
    fn lots_that_fail_alike_are_rarely_named_however_failures_clump() {
        for (share, households) in [(0.1, 600), (0.03, 300)] {
            let [_, any] = shares_named(share, share, 0.2, households);
            assert!(any < 0.05, "{share}: {any}");
        }
    }

    #[test]
    fn a_lot_that_fails_often_is_found() {
        let [found, _] = shares_named(0.03, 0.2, 0.0, 300);
        assert!(found >= 0.7, "{found}");
        let [found, _] = shares_named(0.03, 0.3, 0.0, 300);
        assert!(found >= 0.95, "{found}");
    }
}
