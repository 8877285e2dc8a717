//! Taking an entry back, and bringing it back again.
//!
//! May use: check, entry, error, file, jar, schema, trace, rules, values.
//!
//! Nothing is deleted: an undo is an entry of its own that `reverses` another,
//! and an entry counts while nothing in force reverses it. Undoing an undo adds
//! one more to that chain, so the entries of a chain are in force by turns:
//!
//! ```text
//! putup 7   ← undo 9    ← undo 12        12 in force: 9 is not, 7 is
//! ```

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, Row, params};

use crate::ledger::check::report::Problem;
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, parsed};
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::traced::Traced;
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::load_code::LoadCode;

mod missed_hold;

/// Most entries named in a refusal.
const NAMED: usize = 3;

/// What an undo did.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Undone {
    /// The entry asked for.
    pub undone: EntryId,
    /// The entry whose facts were taken back or brought back: the first of the chain.
    pub facts_of: EntryId,
    /// Its command.
    pub command: String,
    /// Its line in `history`.
    pub summary: String,
    /// Whether its facts count now.
    pub in_force: bool,
    /// The jars that are on hold since.
    pub put_on_hold: Vec<JarCode>,
    /// The jars that are on hold no longer.
    pub let_go: Vec<JarCode>,
    /// The jars of the loads that are withheld since, also those eaten, used or given away.
    #[serde(skip)]
    pub pulled: Option<Traced>,
}

/// How the jars and loads stand that an entry bears on.
#[derive(Default)]
struct Standing {
    held: BTreeSet<JarCode>,
    live: BTreeSet<JarCode>,
    withheld: BTreeSet<LoadCode>,
}

/// Jars an entry put on hold, let go, put up or did something with, and those of the loads it judged.
const JARS_OF_ENTRY: &str = "
    SELECT b.year, b.number AS batch_number, j.number, j.held, j.state
    FROM jar j JOIN batch b ON b.id = j.batch_id
    WHERE j.state <> 'void' AND j.id IN (
        SELECT jar_id FROM hold WHERE entry_id = ?1
        UNION SELECT h.jar_id FROM hold_release r JOIN hold h ON h.id = r.hold_id WHERE r.entry_id = ?1
        UNION SELECT jar_id FROM event WHERE entry_id = ?1
        UNION SELECT j.id FROM jar j JOIN batch b ON b.id = j.batch_id WHERE b.entry_id = ?1)";

/// An entry as the checks see it.
struct Found {
    id: i64,
    command: String,
    summary: String,
    effective: bool,
}

impl Found {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self { id: row.get(0)?, command: row.get(1)?, summary: row.get(2)?, effective: row.get(3)? })
    }

    /// What an undo makes of its facts.
    const fn way(&self) -> &'static str {
        if self.effective { "taken back" } else { "brought back" }
    }

    fn in_words(&self) -> String {
        format!("entry {} ({}: {})", self.id, self.command, self.summary)
    }
}

/// Rows imported while an import was not in force would stand on the shelf twice once it is brought back.
const IMPORTED_ALIKE: &str = "
    SELECT DISTINCT n.id, n.command, n.summary, n.effective
    FROM batch w JOIN batch u ON u.product_id = w.product_id AND u.put_up = w.put_up AND u.origin = 'import'
    JOIN entry n ON n.id = u.entry_id AND n.effective = 1
    WHERE w.origin = 'import' AND w.entry_id = ?1 AND n.id > ?1 ORDER BY n.id DESC";

impl Ledger {
    fn found(&self, id: i64) -> Result<Option<Found>, LedgerError> {
        Ok(self
            .conn
            .prepare_cached("SELECT command, summary, effective FROM entry WHERE id = ?1")?
            .query_row([id], |row| {
                Ok(Found { id, command: row.get(0)?, summary: row.get(1)?, effective: row.get(2)? })
            })
            .optional()?)
    }

    /// The chain an entry stands in: what it reverses down to the facts, then what reverses it up to the last.
    fn chain(&self, id: i64) -> Result<Vec<i64>, LedgerError> {
        let mut down = self.conn.prepare_cached("SELECT reverses FROM entry WHERE id = ?1")?;
        let mut up = self.conn.prepare_cached("SELECT id FROM entry WHERE reverses = ?1")?;
        let mut first = id;
        while let Some(earlier) = down.query_row([first], |row| row.get::<_, Option<i64>>(0))? {
            first = earlier;
        }
        let mut chain = vec![first];
        while let Some(later) = up.query_row([chain[chain.len() - 1]], |row| row.get(0)).optional()? {
            chain.push(later);
        }
        Ok(chain)
    }

    /// Later imports in force that took in anew what `root` had taken in, while it was not in force; newest first.
    fn imported_meanwhile(&self, root: &Found) -> Result<Vec<Found>, LedgerError> {
        if root.effective {
            return Ok(Vec::new());
        }
        let mut statement = self.conn.prepare_cached(IMPORTED_ALIKE)?;
        let imports = statement.query_and_then([root.id], Found::from_row)?;
        let mut imports: Vec<Found> = imports.collect::<Result<_, LedgerError>>()?;
        let was_out = self.when_out(root)?;
        imports.retain(|import| was_out(import));
        Ok(imports)
    }

    /// Returns a test of a later entry: whether it was made while the facts of `root` were not in force.
    fn when_out(&self, root: &Found) -> Result<impl Fn(&Found) -> bool + use<>, LedgerError> {
        let chain = self.chain(root.id)?;
        Ok(move |later: &Found| chain[1..].iter().filter(|&&toggle| toggle < later.id).count() % 2 == 1)
    }

    fn standing(&self, entry: i64) -> Result<Standing, LedgerError> {
        let mut standing = Standing::default();
        let mut jars = self.conn.prepare_cached(JARS_OF_ENTRY)?;
        let mut rows = jars.query([entry])?;
        while let Some(row) = rows.next()? {
            let code = JarCode { batch: batch_code(row)?, number: row.get("number")? };
            if parsed::<JarState>(row, "state")?.is_live() {
                standing.live.insert(code);
                if row.get("held")? {
                    standing.held.insert(code);
                }
            }
        }
        let loads = self.load_ids("SELECT DISTINCT load_id FROM judgement WHERE entry_id = ?1", entry)?;
        for load in loads {
            standing.withheld.extend(self.withheld_if_in_force(load)?);
        }
        Ok(standing)
    }

    /// The newest entry in force that is not an undo.
    fn newest_in_force(&self) -> Result<i64, LedgerError> {
        self.conn
            .query_row(
                "SELECT id FROM entry WHERE effective = 1 AND reverses IS NULL AND summary <> ''
                 ORDER BY id DESC LIMIT 1",
                [],
                |row| row.get(0),
            )
            .optional()?
            .ok_or_else(|| LedgerError::NotFound("there is nothing to undo in this ledger".to_owned()))
    }
}

impl Write<'_> {
    /// Takes back an entry, or with an undo given, what that undo took back; none: the newest in force.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where it is undone already, or a later entry in force relies on it;
    /// [`LedgerError::NotFound`] where there is no such entry.
    pub fn undo(&self, target: Option<EntryId>) -> Result<Undone, LedgerError> {
        let target = target.map_or_else(|| self.newest_in_force(), |entry| Ok(entry.0))?;
        let found = self
            .found(target)?
            .filter(|found| found.id != self.entry.0)
            .ok_or_else(|| LedgerError::NotFound(format!("there is no entry {target} in this ledger")))?;
        let chain = self.chain(target)?;
        let (facts, last) = (chain[0], chain[chain.len() - 1]);
        if !found.effective {
            return Err(LedgerError::Refused {
                what: format!("{} is undone already", found.in_words()),
                hint: format!("`jarledger undo {last}` brings it back"),
            });
        }
        let root = self.found(facts)?.ok_or_else(|| LedgerError::Unreadable(format!("entry {facts}")))?;
        self.must_miss_no_hold(&root, target)?;
        self.must_revive_no_hold_missed(&root)?;
        let imports = self.imported_meanwhile(&root)?;
        if !imports.is_empty() {
            return Err(built_on(&root, &imports, None));
        }
        let scope = Scope::of_entry(&self.conn, facts)?;
        let before = self.derived_anew(&scope)?;
        let stood = self.standing(facts)?;
        self.conn.execute("UPDATE entry SET reverses = ?2 WHERE id = ?1", params![self.entry.0, last])?;
        // The entry with the facts is set last: the others have none, so only its trigger folds anything.
        for entry in chain.iter().rev() {
            self.conn.execute("UPDATE entry SET effective = 1 - effective WHERE id = ?1", [entry])?;
        }
        self.reapply_corrections(EntryId(facts))?;
        let after = self.derived_anew(&Scope::of_entry(&self.conn, facts)?)?;
        let is_new = |problem: &Problem| problem.entry.is_some() && !before.contains(problem);
        self.must_break_nothing(&root, after.into_iter().filter(is_new).collect())?;
        self.must_have_altitude(facts)?;
        let stands = self.standing(facts)?;
        let withheld: Vec<LoadCode> = stands.withheld.difference(&stood.withheld).copied().collect();
        let pulled = if withheld.is_empty() {
            None
        } else {
            Some(self.trace(&TraceQuery { loads: withheld, ..TraceQuery::default() })?)
        };
        Ok(Undone {
            put_on_hold: stands.held.difference(&stood.held).copied().collect(),
            let_go: stood
                .held
                .difference(&stands.held)
                .copied()
                .filter(|jar| stands.live.contains(jar))
                .collect(),
            pulled,
            undone: EntryId(target),
            facts_of: EntryId(facts),
            command: root.command,
            summary: root.summary,
            in_force: !root.effective,
        })
    }

    /// Refuses where facts in force could no longer have happened.
    fn must_break_nothing(&self, root: &Found, broken: Vec<Problem>) -> Result<(), LedgerError> {
        let Some(first) = broken.first() else { return Ok(()) };
        let mut entries: Vec<i64> = broken.iter().filter_map(|problem| problem.entry).collect();
        entries.sort_unstable_by(|a, b| b.cmp(a));
        entries.dedup();
        let mut users = Vec::new();
        for entry in entries.into_iter().filter(|&entry| entry > root.id) {
            users.extend(self.found(entry)?);
        }
        if !users.is_empty() {
            let fact = broken.iter().find(|problem| problem.entry == users.last().map(|user| user.id));
            return Err(built_on(root, &users, fact));
        }
        Err(LedgerError::Refused {
            what: format!(
                "{} cannot be {}: what it was built on is no longer so: {}",
                root.in_words(),
                root.way(),
                first.what
            ),
            hint: "see `jarledger history`, and undo in the opposite order".to_owned(),
        })
    }

    /// Refuses to undo the only altitude on record: a kitchen must stand somewhere.
    fn must_have_altitude(&self, facts: i64) -> Result<(), LedgerError> {
        let sets_altitude: bool = self.conn.query_row(
            "SELECT EXISTS (SELECT 1 FROM setting WHERE entry_id = ?1 AND key = 'altitude')",
            [facts],
            |row| row.get(0),
        )?;
        if sets_altitude && self.household().is_err() {
            return Err(LedgerError::Refused {
                what: "without that entry the ledger would know no altitude".to_owned(),
                hint: "`jarledger setup --altitude HEIGHT` changes it".to_owned(),
            });
        }
        Ok(())
    }
}

/// The refusal of an undo that later entries forbid: which, the first fact that could not have happened, and the way.
fn built_on(root: &Found, users: &[Found], fact: Option<&Problem>) -> LedgerError {
    let steps: Vec<String> =
        users.iter().take(NAMED).map(|user| format!("`jarledger undo {}`", user.id)).collect();
    let fact = fact.map(|fact| format!(" ({})", fact.what)).unwrap_or_default();
    LedgerError::Refused {
        what: format!(
            "{} cannot be {} while later entries build on it: {}{fact}",
            root.in_words(),
            root.way(),
            in_a_row(users)
        ),
        hint: format!(
            "first {}{}",
            steps.join(", then "),
            if users.len() > NAMED { ", and so on" } else { "" }
        ),
    }
}

/// Names the first entries and counts the rest.
fn in_a_row(entries: &[Found]) -> String {
    let mut named: Vec<String> = entries.iter().take(NAMED).map(Found::in_words).collect();
    if entries.len() > NAMED {
        named.push(format!("{} more", entries.len() - NAMED));
    }
    named.join(", ")
}

#[cfg(test)]
mod built_on_tests;
#[cfg(test)]
mod missed_hold_tests;
#[cfg(test)]
mod tests;
