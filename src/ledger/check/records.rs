//! The records: what a correction amended says what the corrections in force leave it saying, and a
//! pressure is what was typed.

use chrono::DateTime;

use crate::ledger::check::{CheckReport, Kind};
use crate::ledger::entry::correct_field::Field;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, parsed};
use crate::values::codes::load_code::LoadCode;
use crate::values::measures::pressure::Pressure;

const CORRECTED: &str =
    "SELECT DISTINCT subject, subject_id, field FROM correction ORDER BY subject, subject_id, field";

const PRESSURES: &str = "
    SELECT b.year, b.number AS batch_number, o.number, o.pressure, o.pressure_entered
    FROM load o JOIN batch b ON b.id = o.batch_id
    WHERE o.pressure IS NOT NULL OR o.pressure_entered IS NOT NULL
    ORDER BY o.id";

pub(super) fn records(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut statement = ledger.conn.prepare(CORRECTED)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (subject, id): (String, i64) = (row.get("subject")?, row.get("subject_id")?);
        let field: Field = parsed(row, "field")?;
        if !ledger.has_row(field, id)? {
            checked.find(Kind::Reference, format!("a correction of {field} leads to no {subject} {id}"));
            continue;
        }
        let (says, leave) = (ledger.field_value(field, id)?, ledger.value_by_corrections(field, id)?);
        if !same(says.as_deref(), leave.as_deref()) {
            let word =
                |value: Option<String>| value.map_or("nothing".to_owned(), |value| format!("{value:?}"));
            checked.find(
                Kind::Correction,
                format!(
                    "{} of {subject} {id} says {}, and its corrections leave {}",
                    field,
                    word(says),
                    word(leave)
                ),
            );
        }
    }
    let mut statement = ledger.conn.prepare(PRESSURES)?;
    let mut rows = statement.query([])?;
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
    Ok(())
}

/// Whether two values in text form are the same; moments are, whatever offset they are told in.
fn same(a: Option<&str>, b: Option<&str>) -> bool {
    let moment = |text: Option<&str>| DateTime::parse_from_rfc3339(text?).ok();
    a == b || (moment(a).is_some() && moment(a) == moment(b))
}
