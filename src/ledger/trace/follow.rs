//! From one thing gone wrong to every jar that shares it.

use std::collections::BTreeSet;

use crate::ledger::entry::names::Names;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::date;
use crate::ledger::trace::query::{Conditions, TraceQuery, listed};
use crate::ledger::trace::reprocessed::{Follow, SameFood};
use crate::ledger::trace::traced::Traced;
use crate::ledger::trace::traced::Why;
use crate::rules::gauge::gauge_history::tests_in_force;
use crate::values::codes::jar_code::BatchCode;
use crate::values::names::name::Name;
use crate::values::time::on_screen;
use chrono::NaiveDate;

impl Ledger {
    /// Finds every jar that shares what is asked for.
    ///
    /// # Errors
    /// [`LedgerError`] where a jar, batch, load, lot, canner or gauge test is not in the ledger.
    pub fn trace(&self, query: &TraceQuery) -> Result<Traced, LedgerError> {
        let mut conditions = Conditions::default();
        let batches = self.by_code(query, &mut conditions)?;
        if !query.lid_lots.is_empty() {
            let ids = self.known_lid_lots(&query.lid_lots)?;
            conditions.add("j.lid_lot_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if !query.canners.is_empty() {
            let ids = query
                .canners
                .iter()
                .map(|name| Ok(self.canner(name)?.id))
                .collect::<Result<Vec<i64>, LedgerError>>()?;
            conditions.add(
                "j.load_id IN (SELECT id FROM load WHERE canner_id IN (SELECT value FROM json_each(?)))",
                listed(&ids),
            );
        }
        if !query.gauge_tests.is_empty() {
            let ids = self.loads_of_gauge_tests(&query.gauge_tests)?;
            conditions.add("j.load_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if !query.ingredient_lots.is_empty() {
            let own = self.batches_of_lots(&query.ingredient_lots)?;
            let reached = self.same_food(&listed(&own), Follow::Onward)?;
            let ids: Vec<i64> = reached.iter().map(|batch| batch.id).collect();
            conditions.add("j.batch_id IN (SELECT value FROM json_each(?))", listed(&ids));
        }
        if let Some(from) = query.from {
            conditions.add("b.put_up >= ?", from.to_string());
        }
        if let Some(to) = query.to {
            conditions.add("b.put_up <= ?", to.to_string());
        }
        self.traced(
            conditions,
            Why::Asked { query: Box::new(query.clone()), batches, shared: query.shared() },
        )
    }

    /// The jars of some loads, by their rows; the reason is what an entry judged of their load.
    pub(in crate::ledger) fn traced_of_loads(
        &self,
        loads: &[i64],
        judged: EntryId,
    ) -> Result<Traced, LedgerError> {
        let mut conditions = Conditions::default();
        conditions.add("j.load_id IN (SELECT value FROM json_each(?))", listed(loads));
        self.traced(conditions, Why::Judged(judged))
    }

    /// Adds the jars, batches and loads asked for; returns the batches, with those of the same food.
    fn by_code(&self, query: &TraceQuery, conditions: &mut Conditions) -> Result<Vec<SameFood>, LedgerError> {
        if query.jars.is_empty() && query.batches.is_empty() && query.loads.is_empty() {
            return Ok(Vec::new());
        }
        let mut batches = Vec::new();
        for &jar in &query.jars {
            batches.push(self.batch_row(self.jar(jar)?.code.batch)?);
        }
        for &batch in &query.batches {
            batches.push(self.batch_row(batch)?);
        }
        let batches = self.same_food(&listed(&batches), Follow::BothWays)?;
        let loads = query.loads.iter().map(|&load| self.load_id(load)).collect::<Result<Vec<_>, _>>()?;
        let ids: Vec<i64> = batches.iter().map(|batch| batch.id).collect();
        // Either list alone leads to its jars by an index.
        conditions.add(
            "(j.batch_id IN (SELECT value FROM json_each(?, '$.batches'))
              OR j.load_id IN (SELECT value FROM json_each(?, '$.loads')))",
            format!("{{\"batches\":{},\"loads\":{}}}", listed(&ids), listed(&loads)),
        );
        Ok(batches)
    }

    fn batch_row(&self, batch: BatchCode) -> Result<i64, LedgerError> {
        match self.batch_id(batch)? {
            Some(id) => Ok(id),
            None => Err(LedgerError::NoBatch { given: batch, near: self.batches_of_year(batch.year)? }),
        }
    }

    fn known_lid_lots(&self, given: &[Name]) -> Result<Vec<i64>, LedgerError> {
        given
            .iter()
            .map(|lot| match self.name_id(Names::LidLot, lot)? {
                Some(id) => Ok(id),
                None => Err(Self::no_name("lid lot", lot, &self.names_in_use(Named::LidLot)?)),
            })
            .collect()
    }

    fn batches_of_lots(&self, lots: &[Name]) -> Result<Vec<i64>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT DISTINCT i.batch_id FROM ingredient_lot i
                 JOIN batch b ON b.id = i.batch_id
                 JOIN entry n ON n.id = b.entry_id AND n.effective = 1
                 WHERE i.lot_key = ?1",
        )?;
        let mut batches = Vec::new();
        for lot in lots {
            let found: Vec<i64> = statement
                .query_and_then([lot.key()], |row| Ok::<_, LedgerError>(row.get(0)?))?
                .collect::<Result<_, _>>()?;
            if found.is_empty() {
                return Err(Self::no_name("ingredient lot", lot, &self.names_in_use(Named::IngredientLot)?));
            }
            batches.extend(found);
        }
        Ok(batches)
    }

    /// The loads for which a gauge test of one of these days speaks.
    fn loads_of_gauge_tests(&self, days: &[NaiveDate]) -> Result<Vec<i64>, LedgerError> {
        let mut loads = Vec::new();
        let mut seen = BTreeSet::new();
        let mut tested = BTreeSet::new();
        for canner in self.canners()? {
            let tests: Vec<_> =
                self.gauge_tests(&canner)?.into_iter().map(|recorded| recorded.test).collect();
            tested.extend(tests.iter().map(|test| test.date()));
            if !tests.iter().any(|test| days.contains(&test.date())) {
                continue;
            }
            for (load, day) in self.loads_of_canner(canner.id)? {
                let speaking = tests_in_force(&tests, day);
                if speaking.iter().any(|test| days.contains(&test.date())) {
                    loads.push(load);
                }
            }
            seen.extend(tests.iter().map(|test| test.date()).filter(|day| days.contains(day)));
        }
        match days.iter().find(|day| !seen.contains(day)) {
            None => Ok(loads),
            Some(day) => {
                let tested: Vec<String> = tested.iter().copied().map(on_screen::day).collect();
                let known =
                    if tested.is_empty() { "none is on record".to_owned() } else { tested.join(", ") };
                Err(LedgerError::NotFound(format!(
                    "no gauge was tested on {}; days of tests: {known}",
                    on_screen::day(*day)
                )))
            }
        }
    }

    /// The loads of a canner in force, with their days.
    pub(in crate::ledger) fn loads_of_canner(
        &self,
        canner_id: i64,
    ) -> Result<Vec<(i64, NaiveDate)>, LedgerError> {
        let mut statement = self.conn.prepare_cached(
            "SELECT o.id, b.put_up FROM load o
             JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.canner_id = ?1 ORDER BY o.id",
        )?;
        let loads =
            statement.query_and_then([canner_id], |row| Ok((row.get("id")?, date(row, "put_up")?)))?;
        loads.collect()
    }
}
