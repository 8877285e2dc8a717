//! What the household said: settings that are asked for by their key, recipes and runs of foods that have a process.

use std::collections::BTreeSet;

use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::recipe::written_recipe;
use crate::ledger::kitchen::setting::is_key;
use crate::ledger::schema::version::Version;
use crate::rules::recipe::recipe_file::{read, write};
use crate::tables::foods;
use crate::values::kinds::food::FoodId;

pub(super) fn kitchen(ledger: &Ledger, _: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    settings(ledger, checked)?;
    let own = own_foods(ledger)?;
    recipes(ledger, &own, checked)?;
    runs(ledger, &own, checked)
}

/// A setting under another key is one that was never said, and every ledger begins with an altitude.
fn settings(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let products: BTreeSet<String> = texts(ledger, "SELECT name_key FROM product")?.into_iter().collect();
    let stamp: i32 = ledger.conn.pragma_query_value(None, "user_version", |row| row.get(0))?;
    // A later release may have more of them.
    let are_ours = stamp <= Version::CURRENT.stamp();
    for key in texts(ledger, "SELECT DISTINCT key FROM setting ORDER BY key")? {
        if are_ours && !is_key(&key, &products) {
            checked.find(Kind::Value, format!("setting: nothing asks for {key:?}"));
        }
    }
    let entries: i64 = ledger.conn.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?;
    if entries > 0 && matches!(ledger.household(), Err(LedgerError::NotFound(_))) {
        checked.find(Kind::Lacking, "the ledger has no altitude");
    }
    Ok(())
}

/// Every version of a recipe as its file would be read: a count or a time out of its range stops who plans by it.
fn recipes(ledger: &Ledger, own: &[FoodId], checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement = ledger.conn.prepare("SELECT name, version, definition FROM recipe ORDER BY id")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (name, version, definition): (String, u32, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        // What cannot be read at all is found with the values.
        let Ok(recipe) = written_recipe(&name, &definition) else { continue };
        let problems = read(&write(&recipe), own).err().unwrap_or_default();
        // What a rule of this release is against may have been none of an earlier one's.
        for problem in problems.iter().filter(|problem| !problem.refused) {
            checked.find(Kind::Value, format!("recipe {name}, version {version}: {}", problem.what));
        }
    }
    Ok(())
}

fn runs(ledger: &Ledger, own: &[FoodId], checked: &mut CheckReport) -> Result<(), LedgerError> {
    for food in texts(ledger, "SELECT DISTINCT food FROM run ORDER BY food")? {
        // As above: what is no key at all is found with the values.
        let Ok(id) = food.parse::<FoodId>() else { continue };
        if foods::get(&id).is_none() && !own.contains(&id) {
            checked.find(Kind::Value, format!("run: \u{201c}{food}\u{201d} is not in the process tables"));
        }
    }
    Ok(())
}

/// The foods of processes that the household ever entered, those it took back included.
fn own_foods(ledger: &Ledger) -> Result<Vec<FoodId>, LedgerError> {
    let foods = texts(ledger, "SELECT DISTINCT food FROM household_process")?;
    Ok(foods.iter().filter_map(|food| food.parse().ok()).collect())
}

fn texts(ledger: &Ledger, sql: &str) -> Result<Vec<String>, LedgerError> {
    let mut statement = ledger.conn.prepare(sql)?;
    let texts = statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    Ok(texts)
}
