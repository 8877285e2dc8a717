//! Recipes: every version is kept, the newest one in force is offered.

use rusqlite::{Row, params};

use crate::ledger::entry::names::one_meant;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::recipe::definition::Recipe;
use crate::values::codes::jar_code::BatchCode;
use crate::values::names::name::Name;

/// A recipe with its version.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct RecipeOnRecord {
    /// Its row.
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// Counting from 1.
    pub version: u32,
    /// The recipe.
    #[serde(flatten)]
    pub recipe: Recipe,
}

/// A recipe as it was written down.
pub(in crate::ledger) fn written_recipe(name: &str, definition: &str) -> Result<Recipe, LedgerError> {
    serde_json::from_str(definition)
        .map_err(|error| LedgerError::Unreadable(format!("recipe {name}: {error}")))
}

impl RecipeOnRecord {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let (definition, name): (String, String) = (row.get("definition")?, row.get("name")?);
        Ok(Self {
            id: row.get("id")?,
            version: row.get("version")?,
            recipe: written_recipe(&name, &definition)?,
        })
    }
}

impl Ledger {
    /// Lists the recipes by name, each in its newest version.
    pub fn recipes(&self) -> Result<Vec<RecipeOnRecord>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT r.id, r.version, r.definition, r.name FROM recipe r
             JOIN entry n ON n.id = r.entry_id AND n.effective = 1
             WHERE r.removed = 0 AND r.id = (
                 SELECT max(l.id) FROM recipe l JOIN entry m ON m.id = l.entry_id AND m.effective = 1
                 WHERE l.name_key = r.name_key)
             ORDER BY r.name_key",
        )?;
        statement.query_and_then([], RecipeOnRecord::from_row)?.collect()
    }

    /// Reads the recipe that a batch was made by, in the version of that day; none where it was made without.
    pub(crate) fn recipe_of_batch(&self, batch: BatchCode) -> Result<Option<RecipeOnRecord>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT r.id, r.version, r.definition, r.name FROM batch b
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             JOIN recipe r ON r.id = b.recipe_id
             WHERE b.year = ?1 AND b.number = ?2",
        )?;
        statement.query_and_then((batch.year, batch.number), RecipeOnRecord::from_row)?.next().transpose()
    }

    /// Finds the recipe that everyday words name.
    ///
    /// # Errors
    /// [`LedgerError::SeveralNames`] where several answer to them, [`LedgerError::NotFound`], naming the recipes there
    /// are, where none does.
    pub fn recipe(&self, words: &Name) -> Result<RecipeOnRecord, LedgerError> {
        let mut recipes = self.recipes()?;
        let found = one_meant(words.as_str(), recipes.iter().map(|one| one.recipe.name.as_str()))?;
        let found = found.and_then(|name| recipes.iter().position(|one| one.recipe.name == name));
        let names: Vec<&str> = recipes.iter().map(|one| one.recipe.name.as_str()).collect();
        let known = if names.is_empty() {
            "none is on record yet".to_owned()
        } else {
            format!("there is {}", names.join(", "))
        };
        let found = found.ok_or_else(|| {
            LedgerError::NotFound(format!("there is no recipe \u{201c}{words}\u{201d}; {known}"))
        })?;
        Ok(recipes.swap_remove(found))
    }
}

impl Write<'_> {
    /// Keeps a recipe: the first version of its name, or the next.
    pub(crate) fn add_recipe(&self, recipe: &Recipe) -> Result<RecipeOnRecord, LedgerError> {
        self.keep_recipe(recipe, false)
    }

    /// Offers a recipe no longer; its versions stay.
    ///
    /// # Errors
    /// As [`Ledger::recipe`].
    pub(crate) fn remove_recipe(&self, words: &Name) -> Result<RecipeOnRecord, LedgerError> {
        let known = self.recipe(words)?;
        self.keep_recipe(&known.recipe, true)
    }

    fn keep_recipe(&self, recipe: &Recipe, is_removed: bool) -> Result<RecipeOnRecord, LedgerError> {
        let unreadable = |what: &dyn std::fmt::Display| LedgerError::Unreadable(format!("recipe: {what}"));
        let name: Name = recipe.name.parse().map_err(|error| unreadable(&error))?;
        let definition = serde_json::to_string(recipe).map_err(|error| unreadable(&error))?;
        // Versions that were undone count too, so that a number never stands for two texts.
        let version: u32 = self.conn.query_row(
            "SELECT coalesce(max(version), 0) + 1 FROM recipe WHERE name_key = ?1",
            [name.key()],
            |row| row.get(0),
        )?;
        self.conn.execute(
            "INSERT INTO recipe (entry_id, name, name_key, version, definition, removed)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![self.entry.0, name.as_str(), name.key(), version, definition, is_removed],
        )?;
        Ok(RecipeOnRecord { id: self.conn.last_insert_rowid(), version, recipe: recipe.clone() })
    }
}
