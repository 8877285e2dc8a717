//! Somebody's word for the process of a batch, held against the tables.

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::food::name_check::name_conflict;
use crate::rules::process::contradiction;
use crate::values::codes::jar_code::BatchCode;
use crate::values::names::name::Name;

/// Why nobody can vouch for a batch, and what to do about it.
pub(in crate::ledger) struct Contradicted {
    pub(in crate::ledger) what: String,
    pub(in crate::ledger) hint: String,
}

impl Ledger {
    /// What the tables say against a word that stands for the process of a batch; none where they say nothing, or where
    /// no word does.
    pub(in crate::ledger) fn contradicted(
        &self,
        code: BatchCode,
    ) -> Result<Option<Contradicted>, LedgerError> {
        let batch = self.batch(code)?;
        let jars = self.jars_of_batch(code)?;
        if jars.iter().all(|jar| jar.process.vouched.is_none()) {
            return Ok(None);
        }
        let untested = |size| contradiction(batch.food.as_ref()?, batch.pack, size);
        if let Some(what) = jars.iter().find_map(|jar| untested(jar.size)) {
            return Ok(Some(Contradicted {
                what: format!("nobody can vouch for {code}: {what}"),
                hint: format!("see `jarledger batch {code}`"),
            }));
        }
        let product: Name =
            batch.product.parse().map_err(|_| LedgerError::Unreadable(batch.product.clone()))?;
        let conflict = name_conflict(&batch.product, batch.food.as_ref(), batch.acidity);
        Ok(conflict.map(|conflict| Contradicted {
            what: format!("nobody can vouch for {code}: {}", conflict.of(&product, batch.food.as_ref())),
            hint: "if the name or the food is wrong, correct it first".to_owned(),
        }))
    }
}
