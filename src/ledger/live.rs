//! The jars in the household's hands, each with what decides about it.

use std::collections::HashMap;

use chrono::{DateTime, FixedOffset};
use rusqlite::{Row, params};

use super::hold::{Hold, HoldCause, IN_FORCE};
use super::jar::Jar;
use super::row::{instant, parsed_opt};
use super::{Ledger, LedgerError};
use crate::rules::food::FoodId;
use crate::rules::jar_code::BatchCode;
use crate::rules::method::Acidity;
use crate::rules::name::Name;
use crate::rules::permit::{Circumstances, Held};

/// Which jars to read; none of a kind means all of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Which {
    /// Of one product.
    pub product: Option<Name>,
    /// In one place.
    pub place: Option<Name>,
    /// Of one batch.
    pub batch: Option<BatchCode>,
}

/// A jar in the household's hands.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveJar {
    /// The jar.
    pub jar: Jar,
    /// The food of the process tables, where there is one.
    pub food: Option<FoodId>,
    /// Its acidity, where the batch says it.
    pub acidity: Option<Acidity>,
    /// Whether no process is on record: kept elsewhere before, or a fact of its load was not written down.
    pub unrecorded: bool,
    /// When its load came out of the canner.
    pub out_at: Option<DateTime<FixedOffset>>,
    /// When it came to be unsealed, chilled, frozen or opened; none for other states and for jars that came so.
    pub since: Option<DateTime<FixedOffset>>,
    /// The holds in force on it, oldest first.
    pub holds: Vec<Hold>,
}

/// The states of [`LiveJar`], worded as in the index `jar_live` so that it serves.
const LIVE: &str = "j.state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing')";

impl LiveJar {
    /// What the rules decide by, the last thing that happened to it left out.
    pub fn circumstances(&self) -> Circumstances {
        Circumstances {
            state: self.jar.state,
            since: self.since,
            put_up: self.jar.put_up,
            out_at: self.out_at,
            last_at: None,
            held: self.held(),
        }
    }

    /// What withholds it, as the rules take it.
    fn held(&self) -> Option<Held> {
        let first = self.holds.first()?;
        let by_verdict = |hold: &Hold| hold.cause == HoldCause::Verdict;
        Some(Held {
            since: first.since_at,
            by_verdict: self.holds.iter().any(by_verdict),
            by_others: !self.holds.iter().all(by_verdict),
        })
    }

    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let moment = |at: &str, offset: &str| -> Result<Option<DateTime<FixedOffset>>, LedgerError> {
            let at: Option<i64> = row.get(at)?;
            at.map(|at| instant(at, row.get(offset)?)).transpose()
        };
        Ok(Self {
            jar: Jar::from_row(row)?,
            food: parsed_opt(row, "food")?,
            acidity: parsed_opt(row, "acidity")?,
            unrecorded: row.get("unrecorded")?,
            out_at: moment("out_at", "out_offset")?,
            since: moment("since_at", "since_offset")?,
            holds: Vec::new(),
        })
    }
}

impl Ledger {
    /// Reads the live jars in one pass, and the holds on them in another: by product, then in the
    /// order to eat them.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn live_jars(&self, which: &Which) -> Result<Vec<LiveJar>, LedgerError> {
        // Inside a write the transaction is there already.
        let _one_moment =
            if self.conn.is_autocommit() { Some(self.conn.unchecked_transaction()?) } else { None };
        let mut statement = self.conn.prepare_cached(&live_jars_sql())?;
        let batch = which.batch;
        let rows = statement.query_and_then(
            params![
                which.product.as_ref().map(Name::key),
                which.place.as_ref().map(Name::key),
                batch.map(|batch| batch.year),
                batch.map(|batch| batch.number),
            ],
            LiveJar::from_row,
        )?;
        let mut jars: Vec<LiveJar> = rows.collect::<Result<_, _>>()?;
        let mut holds = self.holds_on_live_jars()?;
        for live in jars.iter_mut().filter(|live| live.jar.on_hold) {
            live.holds = holds.remove(&live.jar.id).unwrap_or_default();
        }
        Ok(jars)
    }

    fn holds_on_live_jars(&self) -> Result<HashMap<i64, Vec<Hold>>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{IN_FORCE} AND h.jar_id IN (SELECT j.id FROM jar j WHERE {LIVE} AND j.held = 1) ORDER BY h.id"
        ))?;
        let mut holds: HashMap<i64, Vec<Hold>> = HashMap::new();
        for hold in statement.query_and_then([], Hold::from_row)? {
            let hold = hold?;
            holds.entry(hold.jar_id).or_default().push(hold);
        }
        Ok(holds)
    }

    /// Reads a jar anew, whatever its state, with what decides about it.
    pub(super) fn case(&self, jar: &Jar) -> Result<LiveJar, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{CASES} WHERE j.id = ?1"))?;
        let mut rows = statement.query([jar.id])?;
        let row = rows
            .next()?
            .ok_or_else(|| LedgerError::NoJar { given: jar.code.to_string(), near: Vec::new() })?;
        let mut live = LiveJar::from_row(row)?;
        live.holds = self.holds_on(jar)?;
        Ok(live)
    }
}

/// Columns and joins of a [`LiveJar`]; the caller adds a WHERE. The joins go by primary key, and only
/// jars whose state has a date of its own look up an event.
const CASES: &str = "SELECT j.id, b.year, b.number AS batch_number, j.number, p.name AS product, j.size,
        b.put_up, j.best_by, j.state, j.held, l.name AS place,
        b.food, b.acidity, b.origin = 'import' OR o.verdict IS 'not-recorded' AS unrecorded,
        o.out_at, o.out_offset, s.at AS since_at, s.at_offset AS since_offset
     FROM jar j
     JOIN batch b ON b.id = j.batch_id
     JOIN product p ON p.id = b.product_id
     LEFT JOIN place l ON l.id = j.place_id
     LEFT JOIN load o ON o.id = j.load_id
     LEFT JOIN event s ON j.state IN ('unsealed', 'chilled', 'frozen', 'opened') AND s.id =
         (SELECT max(v.id) FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
          WHERE v.jar_id = j.id AND v.from_state <> v.to_state)";

fn live_jars_sql() -> String {
    format!(
        "{CASES}
         WHERE {LIVE}
           AND (?1 IS NULL OR p.name_key = ?1)
           AND (?2 IS NULL OR l.name_key = ?2)
           AND (?3 IS NULL OR (b.year = ?3 AND b.number = ?4))
         ORDER BY p.name_key, j.best_by, b.put_up, b.year, b.number, j.number"
    )
}
