//! Facts about what must itself be in force: a batch, a canner, a run, a recipe; and jars in the load of their batch.

use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

/// Facts in force about something that is not, each with its entry and what it is; a batch's row for the scope.
const NOT_IN_FORCE: &str = "
    SELECT k.entry_id AS entry, o.batch_id AS batch, 'a verdict on a load of batch ' || printf('%02d-%03d', b.year, b.number) AS what
        FROM judgement k JOIN entry n ON n.id = k.entry_id AND n.effective = 1
        JOIN load o ON o.id = k.load_id JOIN batch b ON b.id = o.batch_id JOIN entry w ON w.id = b.entry_id
        WHERE w.effective = 0 OR w.id > n.id
    UNION ALL SELECT c.entry_id, b.id, 'a correction of ' || c.field || ' of batch ' || printf('%02d-%03d', b.year, b.number)
        FROM correction c JOIN entry n ON n.id = c.entry_id AND n.effective = 1
        JOIN batch b ON b.id = CASE c.subject
            WHEN 'batch' THEN c.subject_id
            WHEN 'load' THEN (SELECT batch_id FROM load WHERE id = c.subject_id)
            ELSE (SELECT batch_id FROM jar WHERE id = c.subject_id) END
        JOIN entry w ON w.id = b.entry_id WHERE w.effective = 0 OR w.id > n.id
    UNION ALL SELECT coalesce((SELECT max(c.entry_id) FROM correction c
                               JOIN entry m ON m.id = c.entry_id AND m.effective = 1
                               WHERE c.subject = 'load' AND c.subject_id = o.id AND c.field = 'canner'), b.entry_id),
            b.id, 'a load in the canner ' || k.name
        FROM load o JOIN batch b ON b.id = o.batch_id JOIN entry n ON n.id = b.entry_id AND n.effective = 1
        JOIN canner k ON k.id = o.canner_id JOIN entry w ON w.id = k.entry_id WHERE w.effective = 0
    UNION ALL SELECT c.entry_id, NULL, 'a correction to the canner ' || c.new_value
        FROM correction c JOIN entry n ON n.id = c.entry_id AND n.effective = 1
        WHERE c.field = 'canner' AND c.new_value NOT IN (
            SELECT k.name FROM canner k JOIN entry w ON w.id = k.entry_id AND w.effective = 1)
    UNION ALL SELECT t.entry_id, NULL, 'a gauge test of the canner ' || k.name
        FROM gauge_test t JOIN entry n ON n.id = t.entry_id AND n.effective = 1
        JOIN canner k ON k.id = t.canner_id JOIN entry w ON w.id = k.entry_id WHERE w.effective = 0
    UNION ALL SELECT b.entry_id, b.id, 'a batch by the recipe ' || r.name
        FROM batch b JOIN entry n ON n.id = b.entry_id AND n.effective = 1
        JOIN recipe r ON r.id = b.recipe_id JOIN entry w ON w.id = r.entry_id WHERE w.effective = 0
    UNION ALL SELECT b.entry_id, b.id, 'a load from run ' || r.id
        FROM load o JOIN batch b ON b.id = o.batch_id JOIN entry n ON n.id = b.entry_id AND n.effective = 1
        JOIN run r ON r.id = o.run_id JOIN entry w ON w.id = r.entry_id WHERE w.effective = 0
    UNION ALL SELECT r.entry_id, NULL, 'a run in the canner ' || k.name
        FROM run r JOIN entry n ON n.id = r.entry_id AND n.effective = 1
        JOIN canner k ON k.id = r.canner_id JOIN entry w ON w.id = k.entry_id WHERE w.effective = 0
    UNION ALL SELECT r.entry_id, NULL, 'a run by the recipe ' || c.name
        FROM run r JOIN entry n ON n.id = r.entry_id AND n.effective = 1
        JOIN recipe c ON c.id = r.recipe_id JOIN entry w ON w.id = c.entry_id WHERE w.effective = 0
    UNION ALL SELECT s.entry_id, NULL, 'a step of run ' || s.run_id
        FROM run_step s JOIN entry n ON n.id = s.entry_id AND n.effective = 1
        JOIN run r ON r.id = s.run_id JOIN entry w ON w.id = r.entry_id WHERE w.effective = 0
    UNION ALL SELECT v.entry_id, b.id, 'a jar emptied into batch ' || printf('%02d-%03d', b.year, b.number)
        FROM jar_use u JOIN event v ON v.id = u.event_id JOIN entry n ON n.id = v.entry_id AND n.effective = 1
        JOIN batch b ON b.id = u.batch_id JOIN entry w ON w.id = b.entry_id WHERE w.effective = 0";

/// Two canners in force under one name: only one can be meant.
const TWICE: &str = "
    SELECT max(k.entry_id) AS entry, NULL AS batch, 'the canner ' || k.name AS what
        FROM canner k JOIN entry n ON n.id = k.entry_id AND n.effective = 1
        GROUP BY k.name_key HAVING count(*) > 1";

/// Jars that are not one of their batch's loads, and numbers left out.
const MISPLACED: &str = "
    SELECT j.batch_id AS batch, 'jar row ' || j.id || ' is in a load of another batch' AS what
        FROM jar j JOIN load o ON o.id = j.load_id WHERE o.batch_id <> j.batch_id
    UNION ALL SELECT j.batch_id, 'jar row ' || j.id || ' is in no load of its batch'
        FROM jar j JOIN batch b ON b.id = j.batch_id WHERE b.origin = 'own' AND j.load_id IS NULL
    UNION ALL SELECT j.batch_id, 'batch row ' || j.batch_id || ' has ' || count(*) || ' jars, numbered up to ' || max(j.number)
        FROM jar j GROUP BY j.batch_id HAVING count(*) <> max(j.number)";

pub(super) fn standing(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let in_scope = format!("batch IS NULL OR {}", scope.holds("batch"));
    let facts = |sql: &str, mut each: Box<dyn FnMut(i64, String) + '_>| -> Result<(), LedgerError> {
        let mut statement =
            ledger.conn.prepare(&format!("SELECT entry, what FROM ({sql}) WHERE {in_scope}"))?;
        let mut rows = statement.query(scope.parameter())?;
        while let Some(row) = rows.next()? {
            each(row.get(0)?, row.get(1)?);
        }
        Ok(())
    };
    facts(
        NOT_IN_FORCE,
        Box::new(|entry, what| {
            checked.find_of(
                Kind::Standing,
                entry,
                format!("entry {entry} is {what}, which is not on record"),
            );
        }),
    )?;
    facts(
        TWICE,
        Box::new(|entry, what| {
            checked.find_of(
                Kind::Standing,
                entry,
                format!("{what} is there twice, the later by entry {entry}"),
            );
        }),
    )?;
    let mut statement =
        ledger.conn.prepare(&format!("SELECT what FROM ({MISPLACED}) WHERE {}", scope.holds("batch")))?;
    let mut rows = statement.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        checked.find(Kind::Misplaced, row.get::<_, String>(0)?);
    }
    Ok(())
}
