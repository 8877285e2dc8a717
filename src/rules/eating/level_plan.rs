//! The most level way to eat one product's jars in time.
//!
//! Let `N(k)` be the jars whose best by falls in month `k` or before, months
//! counted from the current one. A plan is in time when by the end of every
//! month `k` at least `N(k)` jars are eaten. The least concave majorant `M` of
//! `N`, drawn from nothing eaten at the start of the current month, is the most
//! level plan in fractions of a jar; eaten jars being whole, the plan here has
//! eaten `⌈M(k)⌉` by the end of month `k`.
//!
//! ```text
//! jars │        ╭──● N ends: all eaten       ● corners of M, where M touches N
//!      │     ╭──╯▁▁│                         ╭─ M      ▁│ N
//!      │   ●─╯  │
//!      │  ╱│▁▁▁▁│
//!      │ ╱ │
//!      └──────────────── months
//! ```
//!
//! Why rounding the cumulative curve up is right, and rounding each month is
//! not. Corners of `M` are points of `N`, so they are whole, and between two of
//! them `⌈M⌉` climbs by `⌊s⌋` or `⌈s⌉` a month, `s` being the slope. Suppose one
//! jar is shifted from one month to another. To an earlier month: that one has
//! the same slope or a steeper one, so it already holds at least as many less
//! one, and the shift gains nothing. To a later month within the same straight
//! piece: the two differ by one at most, again no gain. To a month behind a
//! corner: there the plan has eaten just what was due, so the shift would leave
//! a jar past its date. No single shift improves any sum of one convex function
//! of the months; for plans bound only by such running totals (the bases of an
//! integer polymatroid) that makes the plan the best of all, for every convex
//! function at once: lowest sum of squares, and lowest peak. (Rounded down, the
//! curve would do as well; up, the older jar is eaten sooner.) The tests do not
//! rely on the argument: they try every plan of every small shelf.

/// A straight piece's far end: by the end of so many months, so many jars.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Corner {
    months: u64,
    jars: u64,
}

/// The most level plan that leaves no jar past its best by.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct LevelPlan {
    /// Corners of the least concave majorant, in order, the origin left out.
    corners: Vec<Corner>,
}

impl LevelPlan {
    /// Draws the plan for so many jars due in each of these months, 0 being the current one, ascending.
    ///
    /// One pass: each month is put on the curve once and taken off at most once.
    pub(crate) fn new(due: impl IntoIterator<Item = (u32, u64)>) -> Self {
        let mut plan = Self::default();
        let mut open: Option<Corner> = None;
        for (month, jars) in due {
            let months = u64::from(month) + 1;
            let jars = open.map_or(0, |corner| corner.jars) + jars;
            if let Some(corner) = open.filter(|corner| corner.months != months) {
                debug_assert!(corner.months < months, "due months must ascend");
                plan.push(corner);
            }
            open = Some(Corner { months, jars });
        }
        if let Some(corner) = open {
            plan.push(corner);
        }
        plan
    }

    /// Adds a point of the due curve, dropping the corners it makes needless.
    fn push(&mut self, point: Corner) {
        while let Some(&last) = self.corners.last() {
            let before = self.corner_before(self.corners.len() - 1);
            let rise = |from: Corner, to: Corner| u128::from(to.jars - from.jars);
            let run = |from: Corner, to: Corner| u128::from(to.months - from.months);
            // The last corner stays only where the curve bends down at it.
            if rise(before, last) * run(last, point) > rise(last, point) * run(before, last) {
                break;
            }
            self.corners.pop();
        }
        self.corners.push(point);
    }

    fn corner_before(&self, index: usize) -> Corner {
        index.checked_sub(1).map_or(Corner { months: 0, jars: 0 }, |at| self.corners[at])
    }

    /// Whole jars for each month from the current one to the last with a jar due.
    pub fn months(&self) -> impl Iterator<Item = u64> {
        self.corners.iter().enumerate().flat_map(|(index, &to)| {
            let from = self.corner_before(index);
            let (rise, run) = (u128::from(to.jars - from.jars), u128::from(to.months - from.months));
            let eaten = move |month: u64| (rise * u128::from(month)).div_ceil(run) as u64;
            (1..=to.months - from.months).map(move |month| eaten(month) - eaten(month - 1))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The plan for one jar due in each of these months.
    fn plan(due: &[u32]) -> LevelPlan {
        LevelPlan::new(due.iter().map(|&month| (month, 1)))
    }

    fn months(due: &[u32]) -> Vec<u64> {
        plan(due).months().collect()
    }

    /// Runs `with` on every ascending list of `jars` months below `span`.
    fn every_shelf(jars: usize, span: u32, due: &mut Vec<u32>, with: &mut impl FnMut(&[u32])) {
        if jars == 0 {
            return with(due);
        }
        for month in due.last().copied().unwrap_or(0)..span {
            due.push(month);
            every_shelf(jars - 1, span, due, with);
            due.pop();
        }
    }

    /// Runs `with` on every plan that eats what is due by each month's end and all of it by the last.
    fn every_plan(due: &[u32], span: u32, plan: &mut Vec<u64>, eaten: u64, with: &mut impl FnMut(&[u64])) {
        let month = plan.len() as u32;
        if month == span {
            return with(plan);
        }
        let owed = due.iter().filter(|&&at| at <= month).count() as u64;
        for jars in owed.saturating_sub(eaten)..=due.len() as u64 - eaten {
            plan.push(jars);
            every_plan(due, span, plan, eaten + jars, with);
            plan.pop();
        }
    }

    fn squares(plan: &[u64]) -> u64 {
        plan.iter().map(|jars| jars * jars).sum()
    }

    #[test]
    fn no_plan_of_any_small_shelf_has_a_lower_peak_or_sum_of_squares() {
        // Not a sample: all 3,003 shelves of up to 8 jars over 6 months, and all plans of each.
        let (mut shelves, mut plans) = (0, 0);
        for jars in 0..=8 {
            every_shelf(jars, 6, &mut Vec::new(), &mut |due| {
                shelves += 1;
                let mut ours = months(due);
                ours.resize(6, 0);
                let mut is_feasible = false;
                every_plan(due, 6, &mut Vec::new(), 0, &mut |other| {
                    plans += 1;
                    is_feasible |= other == ours;
                    assert!(ours.iter().max() <= other.iter().max(), "{due:?}: {ours:?}, {other:?}");
                    assert!(squares(&ours) <= squares(other), "{due:?}: {ours:?}, {other:?}");
                });
                assert!(is_feasible, "{due:?}: {ours:?} eats too late or too much");
            });
        }
        assert_eq!(shelves, 3_003); // C(14, 6), by hand
        assert!(plans > 100_000, "{plans}");
    }

    #[test]
    fn a_hand_worked_shelf_is_eaten_at_its_steepest_slope_first() {
        // Two jars due this month, one next month, one five months on: N = 2 3 3 3 3 4.
        // Slopes from the origin: 2/1, 3/2, 4/6, so the curve bends at (1, 2), (2, 3) and ends at (6, 4).
        let plan = plan(&[0, 0, 1, 5]);
        assert_eq!(plan.months().collect::<Vec<_>>(), [2, 1, 1, 0, 0, 0]);
        // Seven jars due in the fourth month: 7/4 a month, rounded up along the sum: 2 4 6 7.
        assert_eq!(months(&[3; 7]), [2, 2, 2, 1]);
        assert_eq!(LevelPlan::new([(3, 7)]).months().collect::<Vec<_>>(), [2, 2, 2, 1]);
        assert_eq!(months(&[]), [0; 0]);
    }

    fn shelf() -> impl Strategy<Value = Vec<u32>> {
        proptest::collection::vec(0_u32..400, 1..300).prop_map(|mut due| {
            due.sort_unstable();
            due
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn every_plan_is_in_time_and_eats_just_what_there_is(due in shelf()) {
            let mut eaten = 0;
            for (month, jars) in months(&due).into_iter().enumerate() {
                eaten += jars;
                let owed = due.partition_point(|&at| at as usize <= month);
                prop_assert!(eaten >= owed as u64);
            }
            prop_assert_eq!(eaten, due.len() as u64);
        }

        #[test]
        fn before_rounding_the_curve_is_the_highest_chord_over_the_due_curve(due in shelf()) {
            // The least concave majorant by its definition: at each month the highest
            // of all chords between two points of N, quadratic where ours is linear.
            let points: Vec<(i64, i64)> = std::iter::once((0, 0))
                .chain((0..=due[due.len() - 1]).map(|m| {
                    (i64::from(m) + 1, due.partition_point(|&at| at <= m) as i64)
                }))
                .filter(|&(m, _)| m == 0 || due.contains(&(m as u32 - 1)))
                .collect();
            let plan = plan(&due);
            let mut eaten = 0;
            for (month, jars) in (1_i64..).zip(plan.months()) {
                eaten += jars as i64;
                let mut highest = 0;
                for (at, &(m0, j0)) in points.iter().enumerate().filter(|&(_, p)| p.0 <= month) {
                    for &(m1, j1) in points[at + 1..].iter().filter(|p| p.0 >= month) {
                        let rise = (j1 - j0) * (month - m0);
                        highest = highest.max(j0 + rise.div_euclid(m1 - m0) + i64::from(rise % (m1 - m0) != 0));
                    }
                }
                prop_assert_eq!(eaten, highest, "month {}", month);
            }
        }

        #[test]
        fn slopes_fall_from_corner_to_corner(due in shelf()) {
            let plan = plan(&due);
            let slopes: Vec<f64> = (0..plan.corners.len())
                .map(|at| (plan.corner_before(at), plan.corners[at]))
                .map(|(from, to)| (to.jars - from.jars) as f64 / (to.months - from.months) as f64)
                .collect();
            prop_assert!(slopes.is_sorted_by(|a, b| a > b), "{:?}", slopes);
        }
    }
}
