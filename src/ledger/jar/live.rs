//! The jars in the household's hands, each with what decides about it.

use chrono::{DateTime, FixedOffset};
use rusqlite::types::Value;
use rusqlite::{Row, params_from_iter};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::{Jar, process_columns};
use crate::ledger::jar::hold::{Hold, HoldCause};
use crate::ledger::schema::row::Columns;
use crate::rules::jar::jar_state::JarState;
use crate::rules::jar::keeps::{Keeps, keeps};
use crate::rules::jar::opened::once_opened;
use crate::rules::jar::permit::{Circumstances, Held};
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::name::Name;

/// Which jars to read; none of a kind means all of it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Which {
    /// Of these products.
    pub products: Vec<Name>,
    /// In these places.
    pub places: Vec<Name>,
    /// Of one batch.
    pub batch: Option<BatchCode>,
    /// Of this size.
    pub size: Option<JarSize>,
    /// In one of these states.
    pub states: Vec<JarState>,
    /// On hold.
    pub held: bool,
    /// Not to be eaten as they stand: not sealed, not checked, or on hold.
    pub not_good: bool,
}

/// The row of a jar; jars of a batch are in the order of their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct JarId(pub(in crate::ledger) i64);

/// A jar in the household's hands.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveJar {
    /// The jar.
    pub jar: Jar,
    /// The food of the process tables, where there is one.
    pub food: Option<FoodId>,
    /// When its load came out of the canner.
    pub out_at: Option<DateTime<FixedOffset>>,
    /// When it came to be unsealed, chilled, frozen or opened; none for other states and for jars that came so.
    pub since: Option<DateTime<FixedOffset>>,
    /// The holds in force on it, oldest first.
    pub holds: Vec<Hold>,
}

/// The states of [`LiveJar`], worded as in the index `jar_live` so that it serves.
pub(in crate::ledger) const LIVE: &str =
    "j.state IN ('cooling', 'sealed', 'unsealed', 'chilled', 'frozen', 'opened', 'missing')";

/// By product, then in the order to eat them.
const IN_ORDER: &str = "p.name_key, j.best_by, b.put_up, b.year, b.number, j.number";

impl LiveJar {
    /// What the rules decide by, the last thing that happened to it left out.
    pub(crate) fn circumstances(&self) -> Circumstances {
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

    /// Until when it is to be eaten, as things stand at `now`.
    pub fn keeps(&self, now: DateTime<FixedOffset>) -> Keeps {
        let opened = || once_opened(self.food.as_ref(), &self.jar.product);
        keeps(&self.circumstances(), self.jar.best_by, opened, now)
    }

    /// Reads a row of [`CASES`].
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let mut columns = Columns::of(row);
        Ok(Self {
            jar: Jar::from_columns(&mut columns)?,
            food: columns.parsed_opt()?,
            out_at: columns.instant_opt()?,
            since: columns.instant_opt()?,
            holds: Vec::new(),
        })
    }
}

impl Ledger {
    /// Reads the live jars, by product, then in the order to eat them.
    pub fn live_jars(&self, which: &Which) -> Result<Vec<LiveJar>, LedgerError> {
        let mut jars = Vec::new();
        self.each_live_jar(which, |live| {
            jars.push(live);
            Ok::<(), LedgerError>(())
        })?;
        Ok(jars)
    }

    /// Hands out the live jars one by one, by product, then in the order to eat them, in one pass; the holds are
    /// looked up jar by jar.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub(crate) fn each_live_jar<E: From<LedgerError>>(
        &self,
        which: &Which,
        mut each: impl FnMut(LiveJar) -> Result<(), E>,
    ) -> Result<(), E> {
        // Inside a write, or another reading, the transaction is there already.
        let _one_moment = if self.conn.is_autocommit() {
            Some(self.conn.unchecked_transaction().map_err(LedgerError::from)?)
        } else {
            None
        };
        let (conditions, parameters) = which.conditions();
        let mut statement = self
            .conn
            .prepare_cached(&format!("{CASES} WHERE {conditions} ORDER BY {IN_ORDER}"))
            .map_err(LedgerError::from)?;
        let mut rows = statement.query(params_from_iter(parameters)).map_err(LedgerError::from)?;
        while let Some(row) = rows.next().map_err(LedgerError::from)? {
            let mut live = LiveJar::from_row(row)?;
            if live.jar.on_hold {
                live.holds = self.holds_on(&live.jar)?;
            }
            each(live)?;
        }
        Ok(())
    }

    /// Reads a jar anew, whatever its state, with what decides about it.
    pub(in crate::ledger) fn case(&self, jar: &Jar) -> Result<LiveJar, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{CASES} WHERE j.id = ?1"))?;
        let mut rows = statement.query([jar.id])?;
        let row = rows
            .next()?
            .ok_or_else(|| LedgerError::NoJar { given: jar.code.to_string(), near: Vec::new() })?;
        let mut live = LiveJar::from_row(row)?;
        live.holds = self.holds_on(jar)?;
        Ok(live)
    }

    /// Hands out these jars, in this order.
    pub(crate) fn each_jar_of(
        &self,
        jars: impl IntoIterator<Item = JarId>,
        mut each: impl FnMut(LiveJar),
    ) -> Result<(), LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{CASES} WHERE j.id = ?1"))?;
        for jar in jars {
            let mut rows = statement.query([jar.0])?;
            while let Some(row) = rows.next()? {
                let mut live = LiveJar::from_row(row)?;
                if live.jar.on_hold {
                    live.holds = self.holds_on(&live.jar)?;
                }
                each(live);
            }
        }
        Ok(())
    }
}

/// Columns and joins of a [`LiveJar`], in the order it reads them, those of its [`Jar`] first; the caller adds a WHERE.
/// The joins go by primary key. Only jars whose state has a date of its own look for an event: what else a LEFT JOIN asks for
/// is asked once the row was looked up, hence the CASE. For IN, SQLite would fill a table with the states at every run.
const CASES: &str = concat!(
    "SELECT j.id, b.year, b.number AS batch_number, j.number, p.name AS product, j.size,
        b.put_up, j.best_by, j.state, j.held, l.name AS place, ",
    process_columns!(),
    ",
        b.food,
        o.out_at, o.out_offset, s.at AS since_at, s.at_offset AS since_offset
     FROM jar j
     JOIN batch b ON b.id = j.batch_id
     JOIN product p ON p.id = b.product_id
     LEFT JOIN place l ON l.id = j.place_id
     LEFT JOIN load o ON o.id = j.load_id
     LEFT JOIN event s ON s.id = CASE WHEN j.state = 'unsealed' OR j.state = 'chilled' OR j.state = 'frozen' OR j.state = 'opened' THEN
         (SELECT max(v.id) FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
          WHERE v.jar_id = j.id AND v.from_state <> v.to_state) END"
);

impl Which {
    /// What holds of the jars meant, as conditions on `j`, `b`, `p`, `l` and `o`, with their parameters.
    pub(in crate::ledger) fn conditions(&self) -> (String, Vec<Value>) {
        let (mut conditions, mut parameters) = (LIVE.to_owned(), Vec::new());
        let mut narrow = |sql: &str, values: &[Value]| {
            conditions.push_str(sql);
            parameters.extend_from_slice(values);
        };
        for (column, names) in [("p.name_key", &self.products), ("l.name_key", &self.places)] {
            if !names.is_empty() {
                let keys: Vec<Value> = names.iter().map(|name| name.key().into()).collect();
                let marks = vec!["?"; keys.len()].join(", ");
                narrow(&format!(" AND {column} IN ({marks})"), &keys);
            }
        }
        if let Some(batch) = self.batch {
            narrow(
                " AND j.batch_id = (SELECT id FROM batch WHERE year = ? AND number = ?)",
                &[batch.year.into(), batch.number.into()],
            );
        }
        if let Some(size) = self.size {
            narrow(" AND j.size = ?", &[size.as_str().to_owned().into()]);
        }
        if !self.states.is_empty() {
            let states: Vec<Value> =
                self.states.iter().map(|state| state.as_str().to_owned().into()).collect();
            narrow(&format!(" AND j.state IN ({})", vec!["?"; states.len()].join(", ")), &states);
        }
        if self.held {
            narrow(" AND j.held = 1", &[]);
        }
        if self.not_good {
            narrow(" AND (j.state <> 'sealed' OR j.held = 1)", &[]);
        }
        (conditions, parameters)
    }
}

#[cfg(test)]
mod tests {
    use chrono::Utc;
    use uuid::Uuid;

    use super::*;
    use crate::ledger::jar::find::JARS;
    use crate::values::time::clock::Clock;

    #[test]
    fn rows_of_live_jars_begin_with_what_is_read_of_any_jar() {
        let folder = tempfile::TempDir::new().unwrap();
        let clock = Clock { now: Utc::now().fixed_offset() };
        let ledger = Ledger::create(&folder.path().join("ledger"), Uuid::nil(), clock).unwrap();
        let names = |sql: &str| -> Vec<String> {
            ledger.conn.prepare(sql).unwrap().column_names().map(str::to_owned).collect()
        };
        let (jar, live) = (names(JARS), names(CASES));
        assert_eq!(live[..jar.len()], jar);
    }
}
