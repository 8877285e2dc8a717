//! The loads: each judged again by the rules.

use crate::ledger::check::scope::Scope;
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
    WHERE (o.verdict, o.findings) IS NOT (j.verdict, j.findings)";

pub(super) fn loads(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let loads = scope.loads(&ledger.conn)?;
    checked.loads = loads.len() as i64;
    let mut statement =
        ledger.conn.prepare(&format!("{NOT_THE_LAST} AND {} ORDER BY o.id", scope.holds("o.batch_id")))?;
    let mut rows = statement.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        let batch = batch_code(row)?;
        let load = LoadCode { batch, number: row.get("number")? };
        checked.find(Kind::Judgement, format!("load {load}: its verdict is not the last one given"));
    }
    for differs in ledger.verdicts_that_differ(&loads)? {
        let stored = differs.stored.map_or("none", crate::rules::load::verdict::Verdict::as_str);
        let what = if differs.stored == Some(differs.anew.verdict) {
            format!("load {}: the rules give {stored} for other reasons than those on record", differs.load)
        } else {
            format!(
                "load {}: on record as {stored}, and the rules give {}",
                differs.load, differs.anew.verdict
            )
        };
        find(ledger, Kind::Verdict, differs.load, what, checked)?;
    }
    for (load, jar) in ledger.jars_not_withheld(&loads)? {
        let what = format!("{jar}: is not on hold, and the record of load {load} withholds it");
        find(ledger, Kind::Withheld, load, what, checked)?;
    }
    Ok(())
}

/// Keeps a finding about the last judgement on a load.
fn find(
    ledger: &Ledger,
    code: Kind,
    load: LoadCode,
    what: String,
    checked: &mut CheckReport,
) -> Result<(), LedgerError> {
    let judged_by: Option<i64> = ledger
        .conn
        .prepare_cached(
            "SELECT max(k.entry_id) FROM judgement k JOIN entry n ON n.id = k.entry_id AND n.effective = 1
             WHERE k.load_id = ?1",
        )?
        .query_row([ledger.load_id(load)?], |row| row.get(0))?;
    match judged_by {
        Some(entry) => checked.find_of(code, entry, what),
        None => checked.find(code, what),
    }
    Ok(())
}
