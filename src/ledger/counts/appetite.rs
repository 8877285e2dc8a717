//! How fast each product was eaten while there was some on the shelf.

use chrono::NaiveDate;
use rusqlite::Row;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::IN_FORCE;
use crate::ledger::schema::row::{date, parsed, parsed_opt};
use crate::rules::eating::past_use::{PastUse, days_with_stock};
use crate::values::kinds::jar_size::JarSize;

/// What the ledger knows of the appetite for one product.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appetite {
    /// The product.
    pub product: String,
    /// Jars of any size.
    pub past: PastUse,
    /// The same for each size it was put up in.
    pub sizes: Vec<(JarSize, PastUse)>,
    /// The last day a jar left the shelf; none where none ever did.
    pub last_left: Option<NaiveDate>,
    /// Whether a jar stands there still.
    pub in_stock: bool,
}

/// One jar's time on the shelf.
#[derive(Debug)]
struct Spell {
    size: JarSize,
    first: NaiveDate,
    last: Option<NaiveDate>,
    is_eaten: bool,
}

impl Spell {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            size: parsed(row, "size")?,
            first: date(row, "first")?,
            last: parsed_opt(row, "last")?,
            is_eaten: row.get("eaten")?,
        })
    }
}

/// Each jar that stood on the shelf: from the day it was put up, or for imported jars from the day the
/// ledger learnt of them, since what was eaten before is not on record.
///
/// A jar on hold left the shelf on the day the first of its holds in force began; one held from its first day never
/// stood there. A jar opened and thrown away on the same day was not eaten: that is what looking on opening is for
/// (our own rule, no source).
fn spells() -> String {
    format!(
        "SELECT p.name AS product, j.size,
        CASE b.origin WHEN 'import' THEN max(b.put_up, n.on_date) ELSE b.put_up END AS first,
        CASE WHEN h.on_date IS NOT NULL THEN min(h.on_date, coalesce(g.on_date, h.on_date))
             WHEN j.state IN ('cooling', 'sealed') THEN NULL ELSE g.on_date END AS last,
        coalesce(g.opened, 0) AND NOT (j.state = 'discarded' AND EXISTS
            (SELECT 1 FROM event d JOIN entry m ON m.id = d.entry_id AND m.effective = 1
             WHERE d.jar_id = j.id AND d.act = 'discard' AND d.on_date = g.on_date)) AS eaten
    FROM jar j
    JOIN batch b ON b.id = j.batch_id
    JOIN entry n ON n.id = b.entry_id
    JOIN product p ON p.id = b.product_id
    LEFT JOIN (SELECT v.jar_id, max(v.on_date) AS on_date, max(v.act = 'open') AS opened
               FROM event v JOIN entry m ON m.id = v.entry_id AND m.effective = 1
               WHERE v.from_state IN ('cooling', 'sealed') AND v.to_state NOT IN ('cooling', 'sealed')
               GROUP BY v.jar_id) g ON g.jar_id = j.id
    LEFT JOIN (SELECT f.jar_id, min(f.on_date) AS on_date FROM ({IN_FORCE}) f GROUP BY f.jar_id) h
        ON h.jar_id = j.id AND j.held = 1
    WHERE j.born IN ('cooling', 'sealed') AND j.state <> 'void' AND (h.on_date IS NULL OR h.on_date > first)
    ORDER BY p.name_key, first"
    )
}

impl Ledger {
    /// Reads the past use of every product, by product, in one pass.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn appetites(&self, today: NaiveDate) -> Result<Vec<Appetite>, LedgerError> {
        let mut statement = self.conn.prepare(&spells())?;
        let mut rows = statement.query([])?;
        let mut appetites = Vec::new();
        let (mut product, mut of_product) = (String::new(), Vec::new());
        while let Some(row) = rows.next()? {
            let of = row.get_ref("product")?.as_str().unwrap_or_default();
            if of != product {
                appetites.extend(appetite(&product, &of_product, today));
                of_product.clear();
                of.clone_into(&mut product);
            }
            of_product.push(Spell::from_row(row)?);
        }
        appetites.extend(appetite(&product, &of_product, today));
        Ok(appetites)
    }
}

/// Sums one product's spells, which come in the order of their first days.
fn appetite(product: &str, spells: &[Spell], today: NaiveDate) -> Option<Appetite> {
    if spells.is_empty() {
        return None;
    }
    let past = |size: Option<JarSize>| {
        let chosen = || spells.iter().filter(move |spell| size.is_none_or(|size| spell.size == size));
        PastUse {
            eaten: u32::try_from(chosen().filter(|spell| spell.is_eaten).count()).unwrap_or(u32::MAX),
            days: days_with_stock(chosen().map(|spell| (spell.first, spell.last)), today),
        }
    };
    let mut sizes: Vec<JarSize> = spells.iter().map(|spell| spell.size).collect();
    sizes.sort_unstable();
    sizes.dedup();
    Some(Appetite {
        product: product.to_owned(),
        past: past(None),
        sizes: sizes.into_iter().map(|size| (size, past(Some(size)))).collect(),
        last_left: spells.iter().filter_map(|spell| spell.last).max(),
        in_stock: spells.iter().any(|spell| spell.last.is_none()),
    })
}
