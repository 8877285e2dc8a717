//! What a batch is of.

use crate::ledger::batch::batch_story::Batch;

/// The food, its pack and acidity in one line.
pub(crate) fn what_it_is(batch: &Batch) -> String {
    let food = batch.food.as_ref().map_or("no food of the process tables", |food| food.as_str());
    let pack = batch.pack.map(|pack| format!(", {pack} pack")).unwrap_or_default();
    let acidity =
        batch.acidity.map_or_else(|| ", treated as low-acid".to_owned(), |acidity| format!(", {acidity}"));
    format!("{food}{pack}{acidity}")
}
