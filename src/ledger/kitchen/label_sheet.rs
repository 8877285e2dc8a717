//! Label sheets the household defined.

use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::name::Name;

/// The definitions in force: the last of each name.
const SHEETS: &str = "SELECT s.name, s.definition FROM label_sheet s
     WHERE s.id = (SELECT max(t.id) FROM label_sheet t JOIN entry n ON n.id = t.entry_id AND n.effective = 1
                   WHERE t.name_key = s.name_key)";

impl Ledger {
    /// Lists the household's label sheets by name: what each is called and its definition in JSON.
    pub(crate) fn label_sheets(&self) -> Result<Vec<(String, String)>, LedgerError> {
        let mut statement = self.conn.prepare(&format!("{SHEETS} ORDER BY s.name_key"))?;
        let rows = statement.query_and_then([], |row| Ok((row.get("name")?, row.get("definition")?)))?;
        rows.collect()
    }

    /// The definition of one of the household's label sheets, in JSON.
    pub fn label_sheet(&self, name: &Name) -> Result<Option<String>, LedgerError> {
        Ok(self
            .conn
            .prepare_cached(&format!("{SHEETS} AND s.name_key = ?1"))?
            .query_row([name.key()], |row| row.get("definition"))
            .optional()?)
    }
}

impl Write<'_> {
    /// Records a label sheet; one of the same name is in force no more.
    pub(crate) fn define_label_sheet(&self, name: &Name, definition: &str) -> Result<(), LedgerError> {
        self.conn.execute(
            "INSERT INTO label_sheet (entry_id, name, name_key, definition) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry.0, name.as_str(), name.key(), definition],
        )?;
        Ok(())
    }
}
