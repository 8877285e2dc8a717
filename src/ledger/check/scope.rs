//! How much of a ledger is derived anew: all of it, or the batches that an entry's facts are about.

use rusqlite::Connection;

use crate::ledger::error::LedgerError;

/// The batches that facts of entry ?1 are about, a line for each table that has an `entry_id`.
///
/// A test holds this list to the schema.
const BATCHES_OF_ENTRY: &[(&str, &str)] = &[
    ("batch", "SELECT id FROM batch WHERE entry_id = ?1"),
    ("event", "SELECT j.batch_id FROM event v JOIN jar j ON j.id = v.jar_id WHERE v.entry_id = ?1
               UNION SELECT u.batch_id FROM event v JOIN jar_use u ON u.event_id = v.id WHERE v.entry_id = ?1"),
    ("hold", "SELECT j.batch_id FROM hold h JOIN jar j ON j.id = h.jar_id WHERE h.entry_id = ?1"),
    ("hold_release", "SELECT j.batch_id FROM hold_release r JOIN hold h ON h.id = r.hold_id
                      JOIN jar j ON j.id = h.jar_id WHERE r.entry_id = ?1"),
    ("judgement", "SELECT o.batch_id FROM judgement k JOIN load o ON o.id = k.load_id WHERE k.entry_id = ?1"),
    ("correction", "SELECT subject_id FROM correction WHERE entry_id = ?1 AND subject = 'batch'
                    UNION SELECT o.batch_id FROM correction c JOIN load o ON o.id = c.subject_id
                          WHERE c.entry_id = ?1 AND c.subject = 'load'
                    UNION SELECT j.batch_id FROM correction c JOIN jar j ON j.id = c.subject_id
                          WHERE c.entry_id = ?1 AND c.subject = 'jar'"),
    ("canner", "SELECT o.batch_id FROM canner c JOIN load o ON o.canner_id = c.id WHERE c.entry_id = ?1"),
    ("gauge_test", "SELECT o.batch_id FROM gauge_test t JOIN load o ON o.canner_id = t.canner_id
                    WHERE t.entry_id = ?1"),
    ("household_process", "SELECT b.id FROM household_process p JOIN batch b ON b.food = p.food
                           WHERE p.entry_id = ?1"),
    ("recipe", "SELECT b.id FROM recipe r JOIN batch b ON b.recipe_id = r.id WHERE r.entry_id = ?1"),
    ("run", "SELECT o.batch_id FROM run r JOIN load o ON o.run_id = r.id WHERE r.entry_id = ?1"),
    ("run_step", "SELECT o.batch_id FROM run_step s JOIN load o ON o.run_id = s.run_id WHERE s.entry_id = ?1"),
    ("setting", "SELECT NULL WHERE 0"),
    ("label_sheet", "SELECT NULL WHERE 0"),
];

/// Which batches are looked at.
pub(in crate::ledger) struct Scope {
    /// Their rows as a JSON list; none for all.
    batches: Option<String>,
}

impl Scope {
    /// The whole ledger.
    pub(in crate::ledger) const ALL: Self = Self { batches: None };

    /// The batches that the facts of an entry are about.
    pub(in crate::ledger) fn of_entry(conn: &Connection, entry: i64) -> Result<Self, LedgerError> {
        let parts: Vec<&str> = BATCHES_OF_ENTRY.iter().map(|(_, batches)| *batches).collect();
        let list = conn.query_row(
            &format!("SELECT json_group_array(id) FROM ({})", parts.join(" UNION ")),
            [entry],
            |row| row.get(0),
        )?;
        Ok(Self { batches: Some(list) })
    }

    /// A condition on a column that holds a batch's row; its one parameter is [`Self::parameter`].
    pub(in crate::ledger) fn holds(&self, column: &str) -> String {
        match self.batches {
            None => "?1 IS NULL".to_owned(),
            Some(_) => format!("{column} IN (SELECT value FROM json_each(?1))"),
        }
    }

    /// What [`Self::holds`] compares with.
    pub(in crate::ledger) fn parameter(&self) -> [Option<&str>; 1] {
        [self.batches.as_deref()]
    }

    /// The loads of these batches.
    pub(in crate::ledger) fn loads(&self, conn: &Connection) -> Result<Vec<i64>, LedgerError> {
        let mut statement =
            conn.prepare(&format!("SELECT id FROM load WHERE {} ORDER BY id", self.holds("batch_id")))?;
        let loads = statement.query_map(self.parameter(), |row| row.get(0))?;
        Ok(loads.collect::<Result<_, _>>()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::schema::migrate::STEPS;

    #[test]
    fn every_table_whose_rows_belong_to_an_entry_says_which_batches_they_are_about() {
        let conn = Connection::open_in_memory().unwrap();
        crate::ledger::schema::migrate::migrate(&conn, STEPS).unwrap();
        let mut statement = conn
            .prepare(
                "SELECT t.name FROM sqlite_schema t, pragma_table_info(t.name) c
                 WHERE t.type = 'table' AND c.name = 'entry_id' ORDER BY t.name",
            )
            .unwrap();
        let tables: Vec<String> =
            statement.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap();
        let mut listed: Vec<&str> = BATCHES_OF_ENTRY.iter().map(|(table, _)| *table).collect();
        listed.sort_unstable();
        assert_eq!(tables, listed);
        Scope::of_entry(&conn, 1).unwrap();
    }
}
