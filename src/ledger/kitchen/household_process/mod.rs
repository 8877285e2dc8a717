//! Processes the household added from publications of its own.
//!
//! May use: batch, entry, error, file, schema, rules, values.

use rusqlite::{Row, params};

use crate::ledger::batch::rejudged::Rejudged;
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{date, parsed};
use crate::rules::process::household::HouseholdProcess;
use crate::values::kinds::food::FoodId;
use crate::values::measures::pressure::Pressure;

/// A process of the household's own, with the entry that wrote it.
pub(in crate::ledger) struct ProcessEntered {
    pub(in crate::ledger) process: HouseholdProcess,
    pub(in crate::ledger) entry: i64,
    pub(in crate::ledger) in_force: bool,
}

fn from_row(row: &Row<'_>) -> Result<HouseholdProcess, LedgerError> {
    let inches: f64 = row.get("headspace")?;
    Ok(HouseholdProcess {
        food: parsed(row, "food")?,
        acidity: parsed(row, "acidity")?,
        pack: parsed(row, "pack")?,
        size: parsed(row, "size")?,
        method: parsed(row, "method")?,
        altitude_min_ft: row.get("altitude_min_ft")?,
        altitude_max_ft: row.get("altitude_max_ft")?,
        minutes: row.get("minutes")?,
        psi: row.get::<_, Option<i64>>("psi")?.map(Pressure::from_centi_psi),
        vent_min: row.get("vent_min")?,
        headspace_hundredths_in: (inches * 100.0).round() as u32,
        publication: row.get("publication")?,
        page: row.get("page")?,
        published_on: date(row, "published_on")?,
        entered_on: date(row, "on_date")?,
    })
}

impl Ledger {
    /// Lists the processes the household added, oldest first.
    pub fn household_processes(&self) -> Result<Vec<HouseholdProcess>, LedgerError> {
        let entered = self.processes_entered()?;
        Ok(entered.into_iter().filter(|one| one.in_force).map(|one| one.process).collect())
    }

    /// The same with those that were taken back.
    pub(in crate::ledger) fn processes_entered(&self) -> Result<Vec<ProcessEntered>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT h.food, h.acidity, h.pack, h.size, h.method, h.altitude_min_ft, h.altitude_max_ft, h.minutes,
                    h.psi, h.vent_min, h.headspace, h.publication, h.page, h.published_on, n.on_date,
                    h.entry_id, n.effective
             FROM household_process h JOIN entry n ON n.id = h.entry_id ORDER BY h.id",
        )?;
        let rows = statement.query_and_then([], |row| {
            Ok(ProcessEntered {
                process: from_row(row)?,
                entry: row.get("entry_id")?,
                in_force: row.get("effective")?,
            })
        })?;
        rows.collect()
    }

    /// The entry of the last process of the household's own for a food.
    pub(in crate::ledger) fn own_process_entered(
        &self,
        food: &FoodId,
    ) -> Result<Option<EntryId>, LedgerError> {
        let entry: Option<i64> = self.conn.query_row(
            "SELECT max(h.entry_id) FROM household_process h JOIN entry n ON n.id = h.entry_id AND n.effective = 1
             WHERE h.food = ?1",
            [food.as_str()],
            |row| row.get(0),
        )?;
        Ok(entry.map(EntryId))
    }
}

impl Write<'_> {
    /// Records a process of the household's own, and judges the loads of its food anew.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where the rules do not take the process, or it is on record already.
    pub(crate) fn add_household_process(&self, new: &HouseholdProcess) -> Result<Rejudged, LedgerError> {
        new.check(self.clock.today()).map_err(|error| LedgerError::Refused {
            what: error.to_string(),
            hint: "copy the figures from the publication, or ask your extension service".to_owned(),
        })?;
        let is_known =
            |known: HouseholdProcess| HouseholdProcess { entered_on: new.entered_on, ..known } == *new;
        if self.household_processes()?.into_iter().any(is_known) {
            return Err(LedgerError::Refused {
                what: format!("this process for {} is on record already", new.food),
                hint: "see `jarledger process --own`".to_owned(),
            });
        }
        self.conn.execute(
            "INSERT INTO household_process (entry_id, food, acidity, pack, size, method, altitude_min_ft,
                                            altitude_max_ft, minutes, psi, vent_min, headspace, publication,
                                            page, published_on)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15)",
            params![
                self.entry.0,
                new.food.as_str(),
                new.acidity.as_str(),
                new.pack.as_str(),
                new.size.as_str(),
                new.method.as_str(),
                new.altitude_min_ft,
                new.altitude_max_ft,
                new.minutes,
                new.psi.map(Pressure::centi_psi),
                new.vent_min,
                f64::from(new.headspace_hundredths_in) / 100.0,
                new.publication,
                new.page,
                new.published_on.to_string(),
            ],
        )?;
        let mut statement = self.conn.prepare(
            "SELECT o.id FROM load o JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE b.food = ?1 ORDER BY o.id",
        )?;
        let ids: Vec<i64> = statement
            .query_and_then([new.food.as_str()], |row| Ok::<_, LedgerError>(row.get(0)?))?
            .collect::<Result<_, _>>()?;
        self.rejudge(ids)
    }
}

#[cfg(test)]
mod tests;
