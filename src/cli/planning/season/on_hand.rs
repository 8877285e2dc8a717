//! Empty jars and lids the household has counted.

use crate::answers::eating::season::on_hand::OnHand;
use crate::values::kinds::jar_size::JarSize;

/// A kind of thing and how many there are.
#[derive(Debug, Clone, Copy)]
pub(super) enum Item {
    Jars(JarSize, u32),
    Lids(u32),
}

/// Reads `quart:12` or `lids:48`.
pub(super) fn item(given: &str) -> Result<Item, String> {
    let (kind, count) =
        given.split_once(':').ok_or("write a jar size or lids, and a count, such as quart:12")?;
    let count = count.trim().parse().ok().filter(|&count| count <= 1_000_000);
    let count = count.ok_or("a count is a whole number up to a million")?;
    if kind.trim().eq_ignore_ascii_case("lids") {
        return Ok(Item::Lids(count));
    }
    let size =
        kind.parse().map_err(|error: crate::values::names::named::UnknownName| format!("{error}, lids"))?;
    Ok(Item::Jars(size, count))
}

/// Adds up what was counted.
pub(super) fn all(items: &[Item]) -> OnHand {
    let mut counted = OnHand::default();
    for &item in items {
        match item {
            Item::Jars(size, count) => *counted.jars.entry(size).or_default() += count,
            Item::Lids(count) => counted.lids = Some(counted.lids.unwrap_or(0) + count),
        }
    }
    counted
}
