//! The loads: each judged again by the rules, and its times held together.

use std::collections::BTreeSet;

use crate::ledger::check::replay::Corrections;
use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::entry::correct_field::{Field, Subject};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, date};
use crate::rules::load::load_times::{LoadTimes, out_fits};
use crate::rules::load::run_time::Drop;
use crate::values::codes::load_code::LoadCode;
use crate::values::time::on_screen;
use crate::values::time::on_screen::day_in_words;

/// Loads whose stored verdict or findings are not those of the last judgement in force.
const NOT_THE_LAST: &str = "
    SELECT b.year, b.number AS batch_number, o.number
    FROM load o JOIN batch b ON b.id = o.batch_id
    LEFT JOIN judgement j ON j.id = (
        SELECT max(k.id) FROM judgement k JOIN entry n ON n.id = k.entry_id AND n.effective = 1 WHERE k.load_id = o.id)
    WHERE (o.verdict, o.findings) IS NOT (j.verdict, j.findings)";

/// Loads in force; the caller adds a WHERE.
const LOADS: &str = "
    SELECT o.*, b.year, b.number AS batch_number, b.put_up, b.entry_id AS put_up_by
    FROM load o JOIN batch b ON b.id = o.batch_id JOIN entry n ON n.id = b.entry_id AND n.effective = 1";

/// What says on which day a load was put up and came out.
const OF_DAY: [Field; 2] = [Field::PutUp, Field::Out];

/// What says how long it was where.
const OF_TIME: [Field; 5] = [Field::Minutes, Field::Reached, Field::Ended, Field::Out, Field::Drops];

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
    times(ledger, scope, checked)
}

/// Says which entries left times of a load that cannot all be true, or a day on which it did not come out: its putting-up
/// and what was corrected since are taken again in order.
fn times(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let corrections = Corrections::read(ledger)?;
    let mut statement =
        ledger.conn.prepare(&format!("{LOADS} WHERE {} ORDER BY o.id", scope.holds("o.batch_id")))?;
    let mut rows = statement.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        let code = LoadCode { batch: batch_code(row)?, number: row.get("number")? };
        let (load, batch, put_up_by): (i64, i64, i64) =
            (row.get("id")?, row.get("batch_id")?, row.get("put_up_by")?);
        let row_of = |field: Field| if field.subject() == Subject::Batch { batch } else { load };
        let made_by = |fields: &[Field]| -> BTreeSet<i64> {
            let entries = fields.iter().flat_map(|&field| corrections.in_force(field, row_of(field)));
            entries.map(|(entry, _)| entry).chain([put_up_by]).collect()
        };
        let (of_day, of_time) = (made_by(&OF_DAY), made_by(&OF_TIME));
        let (facts, put_up) = (ledger.load_facts(row)?, date(row, "put_up")?);
        let mut last = None;
        for &entry in of_day.union(&of_time) {
            let after = entry + 1;
            let said = |field| corrections.text_then(field, load, after);
            let out_at = corrections.out_at(load, after, facts.out_at);
            let at_its_offset = |field, now| {
                corrections.moment(field, load, after, now).map(|at| at.with_timezone(out_at.offset()))
            };
            let put_up = corrections.put_up(batch, after, put_up);
            let drops: Option<Vec<Drop>> = said(Field::Drops).map(|text| {
                text.unwrap_or_default().split_whitespace().filter_map(|drop| drop.parse().ok()).collect()
            });
            let times = LoadTimes {
                minutes: match said(Field::Minutes) {
                    Some(text) => text.and_then(|text| text.parse().ok()),
                    None => facts.minutes,
                },
                reached_at: at_its_offset(Field::Reached, facts.reached_at),
                ended_at: at_its_offset(Field::Ended, facts.ended_at),
                out_at,
                drops: drops.as_ref().unwrap_or(&facts.drops),
            };
            let fault = if of_day.contains(&entry) && !out_fits(put_up, out_at.date_naive()) {
                let (out, day) = (on_screen::moment(out_at), day_in_words(put_up));
                Some(format!("load {code} came out {out}, and its batch was put up {day}"))
            } else if of_time.contains(&entry) {
                times.check().err().map(|fault| format!("load {code}: {fault}"))
            } else {
                None
            };
            // What an earlier entry left so is not held against one that left it alone.
            if let Some(fault) = fault.as_ref().filter(|_| fault != last) {
                checked.find_of(Kind::Times, entry, fault);
            }
            last = fault;
        }
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
