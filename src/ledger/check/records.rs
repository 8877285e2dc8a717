//! The records: what a correction amended says what the corrections in force leave it saying, and a
//! pressure is what was typed.

use chrono::DateTime;

use crate::ledger::batch::vouched::Contradicted;
use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, parsed};
use crate::values::codes::load_code::LoadCode;
use crate::values::measures::pressure::Pressure;

/// Every correction of the batches of a scope, those of one field together and in order.
const CORRECTED: &str = "
    SELECT c.subject, c.subject_id, c.field, c.old_value, c.new_value, c.entry_id, n.effective,
           CASE c.subject
                WHEN 'batch' THEN c.subject_id
                WHEN 'load' THEN (SELECT batch_id FROM load WHERE id = c.subject_id)
                ELSE (SELECT batch_id FROM jar WHERE id = c.subject_id) END AS batch
    FROM correction c JOIN entry n ON n.id = c.entry_id";

const PRESSURES: &str = "
    SELECT b.year, b.number AS batch_number, o.number, o.pressure, o.pressure_entered
    FROM load o JOIN batch b ON b.id = o.batch_id
    WHERE (o.pressure IS NOT NULL OR o.pressure_entered IS NOT NULL)";

/// Batches for which somebody's word stands, with the last entry that said what they are.
const VOUCHED: &str = "
    SELECT b.year, b.number AS batch_number, coalesce((
        SELECT max(c.entry_id) FROM correction c JOIN entry m ON m.id = c.entry_id AND m.effective = 1
        WHERE c.subject = 'batch' AND c.subject_id = b.id AND c.field IN ('vouched', 'product', 'food', 'acidity', 'pack')
           OR c.subject = 'jar' AND c.field = 'size' AND c.subject_id IN (SELECT id FROM jar WHERE batch_id = b.id)
        ), b.entry_id) AS entry
    FROM batch b JOIN entry n ON n.id = b.entry_id AND n.effective = 1
    WHERE b.vouched IS NOT NULL";

/// The corrections of one field, and what those read so far leave it saying.
struct Chain {
    field: Field,
    id: i64,
    says: Option<String>,
}

pub(super) fn records(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement = ledger.conn.prepare(&format!(
        "SELECT * FROM ({CORRECTED}) WHERE {} ORDER BY subject, subject_id, field, entry_id",
        scope.holds("batch")
    ))?;
    let mut rows = statement.query(scope.parameter())?;
    let mut chain: Option<Chain> = None;
    while let Some(row) = rows.next()? {
        let (field, id): (Field, i64) = (parsed(row, "field")?, row.get("subject_id")?);
        let old: Option<String> = row.get("old_value")?;
        if chain.as_ref().is_none_or(|chain| (chain.field, chain.id) != (field, id)) {
            ends_as_it_says(ledger, chain.take(), checked)?;
            // The first correction ever, in force or not, has what was written down at first.
            chain = Some(Chain { field, id, says: old.clone() });
        }
        let Some(chain) = chain.as_mut().filter(|_| row.get("effective") == Ok(true)) else { continue };
        let entry: i64 = row.get("entry_id")?;
        if !same(chain.says.as_deref(), old.as_deref()) {
            checked.find_of(
                Kind::Correction,
                entry,
                format!(
                    "{field} of {} {id} was corrected by entry {entry} from {}, and said {}",
                    field.subject(),
                    word(old.as_deref()),
                    word(chain.says.as_deref())
                ),
            );
        }
        chain.says = row.get("new_value")?;
    }
    ends_as_it_says(ledger, chain, checked)?;
    let mut statement =
        ledger.conn.prepare(&format!("{PRESSURES} AND {} ORDER BY o.id", scope.holds("o.batch_id")))?;
    let mut rows = statement.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        let kept: Option<i64> = row.get("pressure")?;
        let typed: Option<String> = row.get("pressure_entered")?;
        let read = typed.as_deref().and_then(|typed| typed.parse().ok()).map(Pressure::centi_psi);
        if read != kept {
            let load = LoadCode { batch: batch_code(row)?, number: row.get("number")? };
            checked.find(
                Kind::Pressure,
                format!("load {load}: its pressure is not the {} that was typed", typed.unwrap_or_default()),
            );
        }
    }
    words(ledger, scope, checked)
}

/// Says which entry left somebody's word for a batch that the tables contradict.
fn words(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement =
        ledger.conn.prepare(&format!("{VOUCHED} AND {} ORDER BY b.id", scope.holds("b.id")))?;
    let mut rows = statement.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        if let Some(Contradicted { what, .. }) = ledger.contradicted(batch_code(row)?)? {
            checked.find_of(Kind::Correction, row.get("entry")?, what);
        }
    }
    Ok(())
}

/// Says where a corrected field does not hold what its corrections in force leave it saying.
fn ends_as_it_says(
    ledger: &Ledger,
    chain: Option<Chain>,
    checked: &mut CheckReport,
) -> Result<(), LedgerError> {
    let Some(Chain { field, id, says: leave }) = chain else { return Ok(()) };
    let subject = field.subject();
    if !ledger.has_row(field, id)? {
        checked.find(Kind::Reference, format!("a correction of {field} leads to no {subject} {id}"));
        return Ok(());
    }
    let says = ledger.field_value(field, id)?;
    if !same(says.as_deref(), leave.as_deref()) {
        checked.find(
            Kind::Correction,
            format!(
                "{field} of {subject} {id} says {}, and its corrections leave {}",
                word(says.as_deref()),
                word(leave.as_deref())
            ),
        );
    }
    Ok(())
}

fn word(value: Option<&str>) -> String {
    value.map_or("nothing".to_owned(), |value| format!("{value:?}"))
}

/// Whether two values in text form are the same; moments are compared whatever their offset.
fn same(one: Option<&str>, other: Option<&str>) -> bool {
    let moment = |text: Option<&str>| DateTime::parse_from_rfc3339(text?).ok();
    one == other || (moment(one).is_some() && moment(one) == moment(other))
}
