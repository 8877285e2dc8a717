//! Own processes that ask for less than another tested one for the same.
//!
//! A household may copy a figure wrongly, or from a leaflet that was withdrawn. Of
//! two processes for one food, pack, jar, canner and altitude, the one that asks
//! for fewer minutes at no higher pressure, or for less pressure and no more
//! minutes, would be met by loads that the other calls short. Where it is the
//! household's own it decides nothing. Fewer minutes at a higher pressure is
//! another process, which stands beside the first.
//!
//! Against the published tables an own process must hold at once: one that gives
//! less time or less pressure than a row for the same food, in that jar or a
//! smaller one, is refused as it is entered. A larger jar heats no faster.

use crate::rules::process::household::standing::Standing;
use crate::rules::process::household::{HouseholdProcess, band_in_words};
use crate::rules::process::tested::TestedProcess;
use crate::tables::processes;
use crate::tables::processes::ProcessRow;
use crate::values::kinds::jar_size::JarSize;
use crate::values::measures::pressure::Pressure;

/// What is asked of a load: minutes, and the pressure where there is one.
type Asked = (u32, Option<Pressure>);

/// Whether one process asks for less than another: in minutes or pressure, and in neither for more.
fn asks_less(one: Asked, other: Asked) -> bool {
    one != other && one.0 <= other.0 && one.1 <= other.1
}

/// Parts the household's processes for a question into those that count beside the published ones and those set aside.
pub(super) fn part(
    published: &[TestedProcess],
    own: Vec<TestedProcess>,
) -> (Vec<TestedProcess>, Vec<TestedProcess>) {
    let asked = |process: &TestedProcess| (process.minutes, process.psi);
    let all: Vec<Asked> = published.iter().chain(&own).map(asked).collect();
    own.into_iter().partition(|own| !all.iter().any(|&other| asks_less(asked(own), other)))
}

fn overlap(one: (i64, Option<i64>), other: (i64, Option<i64>)) -> bool {
    let reaches =
        |(_, max): (i64, Option<i64>), (min, _): (i64, Option<i64>)| max.is_none_or(|max| max >= min);
    reaches(one, other) && reaches(other, one)
}

impl Standing {
    fn published(row: &ProcessRow) -> Self {
        Self {
            minutes: row.minutes,
            psi: row.psi.map(Pressure::from_psi),
            altitude_min_ft: row.altitude_min_ft,
            altitude_max_ft: row.altitude_max_ft,
            source: row.source.to_string(),
        }
    }

    fn own(own: &HouseholdProcess) -> Self {
        Self {
            minutes: own.minutes,
            psi: own.psi,
            altitude_min_ft: own.altitude_min_ft,
            altitude_max_ft: own.altitude_max_ft,
            source: own.source(),
        }
    }

    /// The heights it is for: "0 to 1000 ft".
    pub fn band(&self) -> String {
        band_in_words(self.altitude_min_ft, self.altitude_max_ft)
    }
}

impl HouseholdProcess {
    /// The processes, published or of the household, that ask for more than this one at some height they share; there
    /// it is set aside.
    pub fn set_aside_by(&self, household: &[Self]) -> Vec<Standing> {
        let published = processes::of(&self.food)
            .filter(|row| row.pack == self.pack && row.size == self.size && row.method == self.method)
            .map(Standing::published)
            .filter(|other| self.yields_to(other));
        let own = household.iter().filter(|other| other.sets_aside(self)).map(Standing::own);
        published.chain(own).collect()
    }

    /// The first row of the tables that this process stays under, in minutes or in pressure, with its jar: a row of the same
    /// food in this jar or a smaller one, at heights they share.
    ///
    /// Rows of the same pack and canner count where there are any; else those of the other pack, or by their minutes alone
    /// those of the canner that heats alike (dial and weighted gauge, boiling water and steam). Where a row has
    /// alternatives, standing up to one of them is enough.
    pub(super) fn row_above(&self) -> Option<(JarSize, Standing)> {
        let band = (self.altitude_min_ft, self.altitude_max_ft);
        let rows: Vec<&ProcessRow> = processes::of(&self.food)
            .filter(|row| row.size <= self.size && row.method.is_pressure() == self.method.is_pressure())
            .filter(|row| overlap(band, (row.altitude_min_ft, row.altitude_max_ft)))
            .collect();
        let narrowed = |rows: Vec<&'static ProcessRow>, fits: &dyn Fn(&ProcessRow) -> bool| {
            if rows.iter().any(|row| fits(row)) {
                rows.into_iter().filter(|row| fits(row)).collect()
            } else {
                rows
            }
        };
        let rows = narrowed(rows, &|row| row.method == self.method);
        let rows = narrowed(rows, &|row| row.pack == self.pack);
        let is_under = |row: &ProcessRow| {
            self.minutes < row.minutes
                || (row.method == self.method && self.psi < row.psi.map(Pressure::from_psi))
        };
        let alternatives = |row: &ProcessRow| {
            let place = |row: &ProcessRow| (row.size, row.method, row.pack, row.altitude_min_ft);
            let place_of_row = place(row);
            rows.iter().filter(move |other| place(other) == place_of_row)
        };
        let above = rows.iter().find(|row| alternatives(row).all(|other| is_under(other)))?;
        Some((above.size, Standing::published(above)))
    }

    /// Whether this one asks for more than another of the household at some height they share.
    pub fn sets_aside(&self, other: &Self) -> bool {
        (&self.food, self.pack, self.size, self.method) == (&other.food, other.pack, other.size, other.method)
            && other.yields_to(&Standing::own(self))
    }

    fn yields_to(&self, other: &Standing) -> bool {
        asks_less((self.minutes, self.psi), (other.minutes, other.psi))
            && overlap(
                (self.altitude_min_ft, self.altitude_max_ft),
                (other.altitude_min_ft, other.altitude_max_ft),
            )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::process::look_up;
    use crate::rules::process::tested::ProcessQuestion;
    use crate::values::kinds::method::Acidity;
    use crate::values::measures::altitude::Altitude;

    fn psi(psi: i64) -> Option<Pressure> {
        Some(Pressure::from_psi(psi))
    }

    /// An invented process of an invented bulletin.
    fn own(food: &str, minutes: u32, psi: Option<Pressure>, band: (i64, Option<i64>)) -> HouseholdProcess {
        HouseholdProcess {
            food: food.parse().unwrap(),
            acidity: Acidity::LowAcid,
            pack: "raw".parse().unwrap(),
            size: "pint".parse().unwrap(),
            method: "pressure-weighted".parse().unwrap(),
            altitude_min_ft: band.0,
            altitude_max_ft: band.1,
            minutes,
            psi,
            vent_min: 10,
            headspace_hundredths_in: 100,
            publication: format!("Invented Bulletin {minutes}"),
            page: "4".to_owned(),
            published_on: "2020-01-01".parse().unwrap(),
            entered_on: "2020-06-01".parse().unwrap(),
        }
    }

    fn counted(food: &str, feet: i64, household: &[HouseholdProcess]) -> (Vec<u32>, Vec<u32>) {
        let question = ProcessQuestion {
            food: food.parse().unwrap(),
            pack: "raw".parse().unwrap(),
            size: "pint".parse().unwrap(),
            method: "pressure-weighted".parse().unwrap(),
            altitude: Altitude::from_feet(feet),
        };
        let answer = look_up(&question, household);
        let minutes = |list: &[TestedProcess]| list.iter().map(|process| process.minutes).collect();
        (minutes(&answer.household_options), minutes(&answer.household_set_aside))
    }

    // USDA AIB 539, Guide 4, Beans, snap and Italian: raw pack, pints, weighted gauge, 20 min at 10 psi to 1,000 ft and
    // at 15 psi above.
    #[test]
    fn an_own_process_that_asks_less_than_the_table_decides_nothing() {
        let beans = "green-beans";
        let to_1000 = (0, Some(1_000));
        for (minutes, pressure, counts) in [
            (5, psi(10), false),
            (19, psi(10), false),
            (20, psi(10), true),
            (25, psi(10), true),
            // Fewer minutes at a higher pressure is another process.
            (15, psi(15), true),
        ] {
            let (counted, set_aside) = counted(beans, 500, &[own(beans, minutes, pressure, to_1000)]);
            let expected = if counts { (vec![minutes], vec![]) } else { (vec![], vec![minutes]) };
            assert_eq!((counted, set_aside), expected, "{minutes} {pressure:?}");
        }
        // The same minutes at less pressure: above 1,000 ft the table asks 15 psi.
        let anywhere = [own(beans, 20, psi(10), (0, None))];
        assert_eq!(counted(beans, 1_000, &anywhere), (vec![20], vec![]));
        assert_eq!(counted(beans, 1_001, &anywhere), (vec![], vec![20]));
    }

    #[test]
    fn of_two_own_processes_the_one_that_asks_more_counts() {
        let two = [own("turnips", 30, psi(10), (0, None)), own("turnips", 25, psi(10), (0, Some(1_000)))];
        assert_eq!(counted("turnips", 500, &two), (vec![30], vec![25]));
        assert_eq!(counted("turnips", 500, &two[1..]), (vec![25], vec![]));
        // Entered twice, it stands twice.
        let same = [two[0].clone(), two[0].clone()];
        assert_eq!(counted("turnips", 500, &same), (vec![30, 30], vec![]));
    }

    #[test]
    fn what_stands_against_an_own_process_is_named_with_its_band() {
        let short = own("green-beans", 5, psi(10), (0, Some(1_000)));
        let standing = short.set_aside_by(&[]);
        let processes: Vec<_> = standing.iter().map(|one| (one.minutes, one.psi, one.band())).collect();
        assert_eq!(processes, [(20, psi(10), "0 to 1000 ft".to_owned())]);
        assert!(standing[0].source.contains("Guide 4"), "{}", standing[0].source);
        // A band that only begins where the other ended shares no height with it.
        let above = own("green-beans", 5, psi(10), (1_001, None));
        let bands: Vec<_> = above.set_aside_by(&[]).iter().map(Standing::band).collect();
        assert_eq!(bands, ["from 1001 ft up"]);
        let turnips =
            [own("turnips", 30, psi(10), (0, Some(2_000))), own("turnips", 25, psi(10), (2_000, None))];
        assert_eq!(turnips[1].set_aside_by(&turnips).len(), 1);
        assert_eq!(turnips[0].set_aside_by(&turnips), []);
    }
}
