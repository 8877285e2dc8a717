//! The loads: each judged again by the rules.

use crate::ledger::check::{CheckReport, Kind};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::batch_code;
use crate::values::codes::load_code::LoadCode;

/// Loads whose stored verdict or findings are not those of the last judgement in force.
const NOT_THE_LAST: &str = "
    SELECT b.year, b.number AS batch_number, o.number
    FROM load o JOIN batch b ON b.id = o.batch_id
    LEFT JOIN judgement j ON j.id = (
        SELECT max(k.id) FROM judgement k JOIN entry n ON n.id = k.entry_id AND n.effective = 1 WHERE k.load_id = o.id)
    WHERE (o.verdict, o.findings) IS NOT (j.verdict, j.findings)
    ORDER BY o.id";

pub(super) fn loads(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    checked.loads = ledger.conn.query_row("SELECT count(*) FROM load", [], |row| row.get(0))?;
    let mut statement = ledger.conn.prepare(NOT_THE_LAST)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let batch = batch_code(row)?;
        let load = LoadCode { batch, number: row.get("number")? };
        checked.find(Kind::Judgement, format!("load {load}: its verdict is not the last one given"));
    }
    for differs in ledger.verdicts_that_differ()? {
        let stored = differs.stored.map_or("none", crate::rules::load::verdict::Verdict::as_str);
        let what = if differs.stored == Some(differs.anew.verdict) {
            format!("load {}: the rules give {stored} for other reasons than those on record", differs.load)
        } else {
            format!(
                "load {}: on record as {stored}, and the rules give {}",
                differs.load, differs.anew.verdict
            )
        };
        checked.find(Kind::Verdict, what);
    }
    for (load, jar) in ledger.jars_not_withheld()? {
        checked.find(
            Kind::Withheld,
            format!("{jar}: is not on hold, and the record of load {load} withholds it"),
        );
    }
    Ok(())
}
