//! The household's settings.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;

use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::units::Units;
use crate::values::names::name::Name;
use crate::values::time::day_words::DayOrder;

/// What the household said about itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Household {
    /// Where the kitchen stands.
    pub altitude: Altitude,
}

/// What was said, by kind; what was not is built in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Settings {
    /// Where the kitchen stands.
    pub altitude: Option<Altitude>,
    /// How labels and screens write a day.
    pub day_order: Option<DayOrder>,
    /// Which measures come first on screens.
    pub units: Option<Units>,
    /// Months of best quality of a product, by its name.
    pub quality_months: Vec<(String, u32)>,
}

const ALTITUDE: &str = "altitude";
const DAY_ORDER: &str = "day-order";
const UNITS: &str = "units";
const QUALITY_MONTHS_OF: &str = "quality-months/";

/// Months of best quality where nothing else was said (National Center for Home Food Preservation,
/// Storing home-canned foods: within one year).
pub(crate) const QUALITY_MONTHS: u32 = 12;

/// The range they are said in.
pub(crate) const MONTHS: RangeInclusive<u32> = 1..=120;

fn quality_key(product: &Name) -> String {
    format!("{QUALITY_MONTHS_OF}{}", product.key())
}

fn read_altitude(value: &str) -> Result<Altitude, LedgerError> {
    value.parse().map_err(|_| LedgerError::Unreadable(format!("altitude {value:?}")))
}

fn read_order(value: &str) -> Result<DayOrder, LedgerError> {
    value.parse().map_err(|_| LedgerError::Unreadable(format!("order of days {value:?}")))
}

fn read_units(value: &str) -> Result<Units, LedgerError> {
    value.parse().map_err(|_| LedgerError::Unreadable(format!("system of measures {value:?}")))
}

fn read_months(value: &str) -> Result<u32, LedgerError> {
    let months = value.parse().ok().filter(|months| MONTHS.contains(months));
    months.ok_or_else(|| LedgerError::Unreadable(format!("quality months {value:?}")))
}

/// Reads the value written under a key as the commands that ask for it do.
pub(in crate::ledger) fn written_setting(key: &str, value: &str) -> Result<(), LedgerError> {
    match key {
        ALTITUDE => read_altitude(value).map(drop),
        DAY_ORDER => read_order(value).map(drop),
        UNITS => read_units(value).map(drop),
        key if key.starts_with(QUALITY_MONTHS_OF) => read_months(value).map(drop),
        _ => Ok(()),
    }
}

/// Whether some command asks for a setting under this key, where the ledger has these products.
pub(in crate::ledger) fn is_key(key: &str, products: &BTreeSet<String>) -> bool {
    let of_product = key.strip_prefix(QUALITY_MONTHS_OF);
    matches!(key, ALTITUDE | DAY_ORDER | UNITS)
        || of_product.is_some_and(|product| products.contains(product))
}

impl Ledger {
    /// Reads the household's settings.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`] when no altitude was ever set.
    pub fn household(&self) -> Result<Household, LedgerError> {
        let altitude = self
            .setting(ALTITUDE)?
            .ok_or_else(|| LedgerError::NotFound("this ledger has no altitude yet".to_owned()))?;
        Ok(Household { altitude: read_altitude(&altitude)? })
    }

    /// How the household writes a day, where it said so.
    pub(crate) fn day_order(&self) -> Result<Option<DayOrder>, LedgerError> {
        self.setting(DAY_ORDER)?.map(|order| read_order(&order)).transpose()
    }

    /// Months of best quality of a product.
    pub fn quality_months(&self, product: &Name) -> Result<u32, LedgerError> {
        match self.setting(&quality_key(product))? {
            None => Ok(QUALITY_MONTHS),
            Some(months) => read_months(&months),
        }
    }

    /// Which measures the household reads first; US ones where it never said.
    pub fn units(&self) -> Result<Units, LedgerError> {
        self.setting(UNITS)?.map_or(Ok(Units::Us), |units| read_units(&units))
    }

    /// Everything that was said and is in force.
    pub fn settings(&self) -> Result<Settings, LedgerError> {
        let day_order = self.day_order()?;
        let units = self.setting(UNITS)?.as_deref().map(read_units).transpose()?;
        let altitude = self.setting(ALTITUDE)?.is_some().then(|| self.household()).transpose()?;
        let mut statement = self.conn.prepare(
            "SELECT p.name, s.value FROM product p
             JOIN setting s ON s.id = (
                 SELECT max(t.id) FROM setting t JOIN entry n ON n.id = t.entry_id AND n.effective = 1
                 WHERE t.key = 'quality-months/' || p.name_key)
             ORDER BY p.name_key",
        )?;
        let quality_months = statement
            .query_and_then([], |row| {
                let value: String = row.get("value")?;
                Ok((row.get("name")?, read_months(&value)?))
            })?
            .collect::<Result<_, LedgerError>>()?;
        let altitude = altitude.map(|household| household.altitude);
        Ok(Settings { altitude, day_order, units, quality_months })
    }

    /// The value in force for a key.
    pub(in crate::ledger) fn setting(&self, key: &str) -> Result<Option<String>, LedgerError> {
        Ok(self
            .conn
            .prepare_cached(
                "SELECT s.value FROM setting s JOIN entry n ON n.id = s.entry_id AND n.effective = 1
                 WHERE s.key = ?1 ORDER BY s.id DESC LIMIT 1",
            )?
            .query_row([key], |row| row.get(0))
            .optional()?)
    }
}

impl Write<'_> {
    /// Records a setting.
    pub(in crate::ledger) fn set(&self, key: &str, value: &str) -> Result<(), LedgerError> {
        self.conn.execute(
            "INSERT INTO setting (entry_id, key, value) VALUES (?1, ?2, ?3)",
            params![self.entry.0, key, value],
        )?;
        Ok(())
    }

    /// Records a product's months of best quality.
    pub(in crate::ledger) fn set_quality_months(
        &self,
        product: &Name,
        months: u32,
    ) -> Result<(), LedgerError> {
        self.set(&quality_key(product), &months.to_string())
    }

    /// Records how the household writes a day.
    pub(crate) fn set_day_order(&self, order: DayOrder) -> Result<(), LedgerError> {
        self.set(DAY_ORDER, order.as_str())
    }

    /// Records which measures the household reads first.
    pub(crate) fn set_units(&self, units: Units) -> Result<(), LedgerError> {
        self.set(UNITS, units.as_str())
    }

    /// Records where the kitchen stands.
    pub(crate) fn set_altitude(&self, altitude: Altitude) -> Result<(), LedgerError> {
        self.set(ALTITUDE, &altitude.to_string())
    }
}
