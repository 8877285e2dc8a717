//! Processes a household adds from a publication of its own.
//!
//! May use: food, tables, values.

pub(crate) mod standing;

use chrono::NaiveDate;

use crate::rules::food::acid;
use crate::rules::food::food_search::named_alike;
use crate::rules::food::name_check::{NameConflict, name_conflict};
use crate::rules::food::never_food::never;
use crate::rules::process::absence::never_in;
use crate::rules::process::household::standing::Standing;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess, VENT_MINUTES};
use crate::tables::foods;
use crate::tables::foods::AcidNeed;
use crate::tables::processes;
use crate::tables::processes::in_band;
use crate::values::kinds::basis::Basis;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Method, Pack};
use crate::values::measures::pressure::{Pressure, WEIGHTS_IN_WORDS};
use crate::values::time::on_screen;

/// A process from a publication that is not part of the built-in tables: the household's own, which nothing here confirms.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HouseholdProcess {
    /// The food, one of the tables' or a name of the household's own.
    pub food: FoodId,
    /// Which side of pH 4.6 the food stands on.
    pub acidity: Acidity,
    /// Hot or raw.
    pub pack: Pack,
    /// The jar.
    pub size: JarSize,
    /// The kind of canner.
    pub method: Method,
    /// Lower end of the band in feet, from 0.
    pub altitude_min_ft: i64,
    /// Upper end of the band in feet; none where the publication says "above".
    pub altitude_max_ft: Option<i64>,
    /// Minutes at pressure or at a full boil, 1 to 600.
    pub minutes: u32,
    /// Gauge pressure; none for boiling water.
    pub psi: Option<Pressure>,
    /// Minutes of venting, at least 10 in a pressure canner; 0 for boiling water.
    pub vent_min: u32,
    /// Headspace in hundredths of an inch, 25 to 300.
    pub headspace_hundredths_in: u32,
    /// Title of the publication.
    pub publication: String,
    /// Page or section within it.
    pub page: String,
    /// When it was published.
    pub published_on: NaiveDate,
    /// The day the household entered it; it counts for loads put up from then on.
    pub entered_on: NaiveDate,
}

/// Says why a process cannot be added.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HouseholdProcessError {
    /// No publication or no page.
    #[error("a process needs the {0} it is taken from")]
    NoSource(&'static str),
    /// Published after today.
    #[error("the publication is dated {}, after today", on_screen::day(*.0))]
    FromTheFuture(NaiveDate),
    /// Low-acid food in boiling water.
    #[error("{0} is low-acid food: there is no tested boiling-water process for low-acid food")]
    LowAcidInBoilingWater(FoodId),
    /// The tables know the food under another acidity.
    #[error(
        "the tables list {food} as {listed} food, not {given}; a food changed by its recipe needs a name of its own"
    )]
    OtherAcidity {
        /// The food.
        food: FoodId,
        /// What the tables say.
        listed: Acidity,
        /// What was given.
        given: Acidity,
    },
    /// A food that must not be canned.
    #[error("{food} has no tested process: {why}")]
    Never {
        /// The food.
        food: FoodId,
        /// Why not, and who says so.
        why: String,
    },
    /// A jar in which the food must not be canned.
    #[error("{food} has no tested process in {}: {why}", .jar.plural())]
    NeverInJar {
        /// The food.
        food: FoodId,
        /// The jar.
        jar: JarSize,
        /// Why not, and who says so.
        why: String,
    },
    /// A food of the tables under another key.
    #[error(
        "{food} is a food of the tables under another name, {listed}: a process for it goes by the key of the tables"
    )]
    OtherKey {
        /// The key given.
        food: FoodId,
        /// The table's keys, of which there may be several.
        listed: String,
    },
    /// A name that names food which needs more than the acidity given.
    #[error("{food} cannot be {given} food: {conflict}")]
    NamesOther {
        /// The food.
        food: FoodId,
        /// The acidity given.
        given: Acidity,
        /// What it names.
        conflict: NameConflict,
    },
    /// A pressure canner without a pressure, or boiling water with one.
    #[error("{0} process {1}")]
    Pressure(Method, &'static str),
    /// A weight that does not exist.
    #[error("a weighted gauge regulates at {WEIGHTS_IN_WORDS} only, not at {0}")]
    NotAWeight(Pressure),
    /// Low-acid food for less time than any published table gives it.
    #[error("no published table gives low-acid food less than {least} minutes, and this gives {given}")]
    LowAcidTooShort {
        /// The minutes given.
        given: u32,
        /// The fewest of the tables.
        least: u32,
    },
    /// Low-acid food under the lowest published pressure.
    #[error("no published table gives low-acid food less than 10 psi, and this gives {0}")]
    LowAcidTooLow(Pressure),
    /// Less time or pressure than the tables ask for the same food.
    #[error(
        "the tables ask {} for {food} in {}, {} ({}), and this gives {}",
        asked_in_words(.row.minutes, .row.psi), .jar.plural(), .row.band(), .row.source, asked_in_words(*.minutes, *.psi)
    )]
    UnderTheTables {
        /// The food.
        food: FoodId,
        /// The jar of the row: this one or a smaller one.
        jar: JarSize,
        /// The row that asks for more.
        row: Box<Standing>,
        /// The minutes given.
        minutes: u32,
        /// The pressure given.
        psi: Option<Pressure>,
    },
    /// A figure out of its range.
    #[error("{what} of {given} is outside {range}")]
    OutOfRange {
        /// Which figure.
        what: &'static str,
        /// What was given.
        given: i64,
        /// The range, with its unit.
        range: &'static str,
    },
    /// A band that ends below its start.
    #[error("the altitude band ends at {max_ft} ft, below its start at {min_ft} ft")]
    BandUpsideDown {
        /// Lower end in feet.
        min_ft: i64,
        /// Upper end in feet.
        max_ft: i64,
    },
}

impl HouseholdProcess {
    /// Checks that the process may be recorded on `today`.
    ///
    /// # Errors
    /// [`HouseholdProcessError`] for the first thing wrong with it.
    pub fn check(&self, today: NaiveDate) -> Result<(), HouseholdProcessError> {
        use HouseholdProcessError as Wrong;
        for (what, text) in [("publication", &self.publication), ("page", &self.page)] {
            if text.trim().is_empty() {
                return Err(Wrong::NoSource(what));
            }
        }
        if self.published_on > today {
            return Err(Wrong::FromTheFuture(self.published_on));
        }
        self.check_acidity()?;
        if let Some(row) = never_in(&self.food, self.size) {
            let (food, jar) = (self.food.clone(), self.size);
            return Err(Wrong::NeverInJar { food, jar, why: row.to_string() });
        }
        self.check_pressure()?;
        let in_range = |what, given: u32, least: u32, most: u32, range| {
            if (least..=most).contains(&given) {
                Ok(())
            } else {
                Err(Wrong::OutOfRange { what, given: i64::from(given), range })
            }
        };
        in_range("a time", self.minutes, 1, 600, "1 to 600 minutes")?;
        self.check_time()?;
        if self.method.is_pressure() {
            in_range("a venting", self.vent_min, VENT_MINUTES, 60, "10 to 60 minutes")?;
        } else {
            in_range("a venting", self.vent_min, 0, 0, "0 minutes: boiling water is not vented")?;
        }
        in_range("a headspace", self.headspace_hundredths_in, 25, 300, "25 to 300 hundredths of an inch")?;
        self.check_band()?;
        match self.row_missed() {
            Some((food, jar, row)) => Err(Wrong::UnderTheTables {
                food,
                jar,
                row: Box::new(row),
                minutes: self.minutes,
                psi: self.psi,
            }),
            None => Ok(()),
        }
    }

    fn check_acidity(&self) -> Result<(), HouseholdProcessError> {
        if foods::get(&self.food).is_none() {
            if let Some(row) = never(&self.food.as_str().replace('-', " ")) {
                return Err(HouseholdProcessError::Never { food: self.food.clone(), why: row.to_string() });
            }
            let alike = named_alike(self.food.as_str());
            if !alike.is_empty() {
                let keys: Vec<&str> = alike.iter().map(|food| food.id.as_str()).collect();
                return Err(HouseholdProcessError::OtherKey {
                    food: self.food.clone(),
                    listed: keys.join(" or "),
                });
            }
            if let Some(conflict) = self.doubt(self.acidity) {
                let (food, given) = (self.food.clone(), self.acidity);
                return Err(HouseholdProcessError::NamesOther { food, given, conflict });
            }
        }
        if let Some(food) = foods::get(&self.food).filter(|food| food.acidity != self.acidity) {
            return Err(HouseholdProcessError::OtherAcidity {
                food: self.food.clone(),
                listed: food.acidity,
                given: self.acidity,
            });
        }
        if self.acidity == Acidity::LowAcid && !self.method.is_pressure() {
            return Err(HouseholdProcessError::LowAcidInBoilingWater(self.food.clone()));
        }
        Ok(())
    }

    /// What a name of the household's own names that needs more than food of this acidity.
    fn doubt(&self, acidity: Acidity) -> Option<NameConflict> {
        if foods::get(&self.food).is_some() {
            return None;
        }
        name_conflict(&self.food.as_str().replace('-', " "), None, Some(acidity))
    }

    /// The row that this process stays under: one of its food, or of the low-acid food that its name names.
    fn row_missed(&self) -> Option<(FoodId, JarSize, Standing)> {
        let food = match self.doubt(Acidity::Acid) {
            Some(NameConflict::Other(named)) if self.acidity == Acidity::LowAcid => named.id.clone(),
            _ => self.food.clone(),
        };
        let (jar, row) = Self { food: food.clone(), ..self.clone() }.row_above()?;
        Some((food, jar, row))
    }

    fn check_time(&self) -> Result<(), HouseholdProcessError> {
        let low_acid = processes::all()
            .iter()
            .filter(|row| foods::get(&row.food).is_some_and(|food| food.acidity == Acidity::LowAcid));
        let least = low_acid.map(|row| row.minutes).min().unwrap_or_default();
        if self.acidity == Acidity::LowAcid && self.minutes < least {
            return Err(HouseholdProcessError::LowAcidTooShort { given: self.minutes, least });
        }
        Ok(())
    }

    fn check_pressure(&self) -> Result<(), HouseholdProcessError> {
        use HouseholdProcessError as Wrong;
        match (self.method, self.psi) {
            (Method::BoilingWater | Method::Steam, None) => Ok(()),
            (Method::BoilingWater | Method::Steam, Some(_)) => {
                Err(Wrong::Pressure(self.method, "has no pressure"))
            }
            (_, None) => Err(Wrong::Pressure(self.method, "needs its pressure")),
            (_, Some(psi)) if self.acidity == Acidity::LowAcid && psi < Pressure::from_psi(10) => {
                Err(Wrong::LowAcidTooLow(psi))
            }
            (Method::PressureWeighted, Some(psi)) if !psi.is_of_a_weight() => Err(Wrong::NotAWeight(psi)),
            (_, Some(psi)) if psi < Pressure::from_psi(1) => Err(Wrong::OutOfRange {
                what: "a pressure",
                given: psi.centi_psi(),
                range: "100 to 3,000 hundredths of a psi",
            }),
            _ => Ok(()),
        }
    }

    fn check_band(&self) -> Result<(), HouseholdProcessError> {
        let in_feet = |what, given: i64| {
            if (0..=30_000).contains(&given) {
                Ok(())
            } else {
                Err(HouseholdProcessError::OutOfRange { what, given, range: "0 to 30,000 ft" })
            }
        };
        in_feet("a start of the altitude band", self.altitude_min_ft)?;
        let Some(max_ft) = self.altitude_max_ft else { return Ok(()) };
        in_feet("an end of the altitude band", max_ft)?;
        if max_ft < self.altitude_min_ft {
            return Err(HouseholdProcessError::BandUpsideDown { min_ft: self.altitude_min_ft, max_ft });
        }
        Ok(())
    }

    /// Whether it is a process for exactly this question; never where the food must not be in that jar, or is low-acid by
    /// its name and not by the household's word, whatever an older release took.
    pub(crate) fn answers(&self, question: &ProcessQuestion) -> bool {
        self.food == question.food
            && self.pack == question.pack
            && self.size == question.size
            && self.method == question.method
            && in_band(question.altitude, self.altitude_min_ft, self.altitude_max_ft)
            // Last, since to read a name takes longer than all the rest.
            && never_in(&self.food, self.size).is_none()
            && self.doubt(self.acidity).is_none()
    }

    /// The heights it is for: "0 to 1000 ft".
    pub fn band(&self) -> String {
        band_in_words(self.altitude_min_ft, self.altitude_max_ft)
    }

    /// Publication, page and date; a bare number is a page.
    pub(super) fn source(&self) -> String {
        let page = self.page.trim();
        let word = if page.bytes().all(|byte| byte.is_ascii_digit()) { "page " } else { "" };
        format!("{}, {word}{page} ({})", self.publication.trim(), self.published_on)
    }

    /// What it owes a load, marked as the household's own.
    pub fn tested(&self) -> TestedProcess {
        let in_jar = foods::get(&self.food).is_some_and(|food| food.acid == AcidNeed::InJar);
        TestedProcess {
            minutes: self.minutes,
            psi: self.psi,
            vent_min: self.vent_min,
            headspace_in: f64::from(self.headspace_hundredths_in) / 100.0,
            as_jar: None,
            needs_acid: in_jar || self.acidity == Acidity::Acidified,
            acid_kinds: acid::accepted(&self.food),
            source: self.source(),
            basis: Basis::Household,
            acid: acid::doses(&self.food, self.size),
            notes: Basis::Household.warning().into_iter().map(str::to_owned).collect(),
            conditions: Vec::new(),
            not_held: Vec::new(),
        }
    }
}

/// Minutes, and the pressure where there is one: "20 min at 10 psi".
fn asked_in_words(minutes: u32, psi: Option<Pressure>) -> String {
    psi.map_or_else(|| format!("{minutes} min"), |psi| format!("{minutes} min at {psi}"))
}

/// A band of altitudes in feet, open at its top where there is no most.
pub(super) fn band_in_words(min_ft: i64, max_ft: Option<i64>) -> String {
    max_ft.map_or_else(|| format!("from {min_ft} ft up"), |max_ft| format!("{min_ft} to {max_ft} ft"))
}

#[cfg(test)]
mod tests;
