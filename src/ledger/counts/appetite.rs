//! How fast each product was eaten while there was some on the shelf.

use chrono::{Months, NaiveDate};
use rusqlite::Row;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::IN_FORCE;
use crate::ledger::schema::row::{date, parsed, parsed_opt};
use crate::rules::eating::history::History;
use crate::rules::eating::past_use::PastUse;
use crate::values::kinds::jar_size::JarSize;

/// What the ledger knows of the appetite for one product.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appetite {
    /// The product.
    pub product: String,
    /// Jars of any size that the household itself took, to eat or for another batch.
    pub past: PastUse,
    /// What became of jars of any size.
    pub of_any_size: Used,
    /// The same for each size it was put up in.
    pub sizes: Vec<(JarSize, Used)>,
    /// The last day a jar left the shelf; none where none ever did.
    pub last_left: Option<NaiveDate>,
    /// Jars on the shelf at the end of this day of each of the past twelve months, today last.
    pub past_year: [u32; 13],
}

/// What was used of a product, and how jars left the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// When it stood on the shelf, and when a jar was opened, emptied into another batch or given away.
    pub history: History,
    /// Jars opened, also where the rest was thrown away.
    pub opened: u32,
    /// Jars emptied into another batch.
    pub in_batches: u32,
    /// Jars given away.
    pub given: u32,
    /// Jars that nobody can find.
    pub missing: u32,
}

/// How a jar was used, or that it is not to be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Opened,
    InBatch,
    Given,
    Missing,
}

/// One jar's time on the shelf.
#[derive(Debug)]
struct Spell {
    size: JarSize,
    first: NaiveDate,
    last: Option<NaiveDate>,
    /// None where the jar stands there still, or was thrown away or put aside unopened.
    went: Option<(Way, NaiveDate)>,
}

impl Spell {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            size: parsed(row, "size")?,
            first: date(row, "first")?,
            last: parsed_opt(row, "last")?,
            went: match row.get_ref("act")?.as_str().unwrap_or_default() {
                "open" => Some(Way::Opened),
                "use" => Some(Way::InBatch),
                "give" => Some(Way::Given),
                "miss" => Some(Way::Missing),
                _ => None,
            }
            .map(|way| Ok::<_, LedgerError>((way, date(row, "went")?)))
            .transpose()?,
        })
    }
}

/// Each jar that stood on the shelf: from the day it was put up, or for imported jars from the day the
/// ledger learnt of them, since what was eaten before is not on record.
///
/// A jar on hold left the shelf on the day the first of its holds in force began; one held from its first day never
/// stood there. How a jar went is what its last step off the shelf says; a jar that was found again stands there still.
fn spells() -> String {
    format!(
        "SELECT p.name AS product, j.size,
        CASE b.origin WHEN 'import' THEN max(b.put_up, n.on_date) ELSE b.put_up END AS first,
        CASE WHEN h.on_date IS NOT NULL THEN min(h.on_date, coalesce(g.on_date, h.on_date))
             WHEN j.state IN ('cooling', 'sealed') THEN NULL ELSE g.on_date END AS last,
        CASE WHEN j.state IN ('cooling', 'sealed') THEN NULL ELSE g.act END AS act, g.on_date AS went
    FROM jar j
    JOIN batch b ON b.id = j.batch_id
    JOIN entry n ON n.id = b.entry_id
    JOIN product p ON p.id = b.product_id
    LEFT JOIN (SELECT v.jar_id, max(v.id), v.on_date, v.act
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
    let used = |size: Option<JarSize>| {
        let chosen = || spells.iter().filter(move |spell| size.is_none_or(|size| spell.size == size));
        let went = |asked: Way| {
            let jars = chosen().filter(|spell| spell.went.is_some_and(|(way, _)| way == asked)).count();
            u32::try_from(jars).unwrap_or(u32::MAX)
        };
        let uses = chosen().filter_map(|spell| spell.went.filter(|&(way, _)| way != Way::Missing));
        Used {
            history: History::new(
                chosen().map(|spell| (spell.first, spell.last)),
                uses.map(|(_, day)| day),
                today,
            ),
            opened: went(Way::Opened),
            in_batches: went(Way::InBatch),
            given: went(Way::Given),
            missing: went(Way::Missing),
        }
    };
    let of_any_size = used(None);
    let mut sizes: Vec<JarSize> = spells.iter().map(|spell| spell.size).collect();
    sizes.sort_unstable();
    sizes.dedup();
    Some(Appetite {
        product: product.to_owned(),
        past: PastUse { eaten: of_any_size.opened + of_any_size.in_batches, ..of_any_size.history.past() },
        of_any_size,
        sizes: sizes.into_iter().map(|size| (size, used(Some(size)))).collect(),
        last_left: spells.iter().filter_map(|spell| spell.last).max(),
        past_year: std::array::from_fn(|month| {
            let back = Months::new(12 - month as u32);
            let day = today.checked_sub_months(back).unwrap_or(NaiveDate::MIN);
            let stood = |spell: &&Spell| spell.first <= day && spell.last.is_none_or(|last| last > day);
            u32::try_from(spells.iter().filter(stood).count()).unwrap_or(u32::MAX)
        }),
    })
}
