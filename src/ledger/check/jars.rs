//! The jars: each one's life played again from its birth, event by event.

use rusqlite::{Row, Rows, Statement};

use crate::ledger::check::{CheckReport, Kind};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::codes::jar_code::{BatchCode, JarCode};

const JARS: &str = "
    SELECT j.id, b.year, b.number AS batch_number, j.number, j.born, j.born_place_id, j.state, j.place_id, j.held,
           n.effective AS put_up
    FROM jar j LEFT JOIN batch b ON b.id = j.batch_id LEFT JOIN entry n ON n.id = b.entry_id
    ORDER BY j.id";

const EVENTS: &str = "
    SELECT v.id, v.jar_id, v.act, v.from_state, v.to_state, v.place_id, n.effective,
           c.sealed AS check_sealed, c.jar_id AS check_jar
    FROM event v LEFT JOIN entry n ON n.id = v.entry_id LEFT JOIN seal_check c ON c.event_id = v.id
    ORDER BY v.jar_id, v.id";

const HELD: &str = "
    SELECT DISTINCT h.jar_id FROM hold h JOIN entry n ON n.id = h.entry_id AND n.effective = 1
    WHERE NOT EXISTS (SELECT 1 FROM hold_release r JOIN entry m ON m.id = r.entry_id AND m.effective = 1
                      WHERE r.hold_id = h.id)
    ORDER BY h.jar_id";

struct Event {
    id: i64,
    jar: i64,
    act: Act,
    from: JarState,
    to: JarState,
    place: Option<i64>,
    in_force: bool,
    /// What the seal check of this event says, and of which jar.
    seal: Option<(bool, i64)>,
}

impl Event {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let sealed: Option<bool> = row.get("check_sealed")?;
        let jar: Option<i64> = row.get("check_jar")?;
        Ok(Self {
            id: row.get("id")?,
            jar: row.get("jar_id")?,
            act: parsed(row, "act")?,
            from: parsed(row, "from_state")?,
            to: parsed(row, "to_state")?,
            place: row.get("place_id")?,
            in_force: row.get::<_, Option<bool>>("effective")?.unwrap_or(false),
            seal: sealed.zip(jar),
        })
    }
}

/// Rows in the order of jars, taken as far as one jar reaches: all are read in one pass side by side.
struct Ahead<'s, T> {
    rows: Rows<'s>,
    read: fn(&Row<'_>) -> Result<T, LedgerError>,
    jar_of: fn(&T) -> i64,
    next: Option<T>,
}

impl<'s, T> Ahead<'s, T> {
    fn new(
        statement: &'s mut Statement<'_>,
        read: fn(&Row<'_>) -> Result<T, LedgerError>,
        jar_of: fn(&T) -> i64,
    ) -> Result<Self, LedgerError> {
        let mut ahead = Self { rows: statement.query([])?, read, jar_of, next: None };
        ahead.advance()?;
        Ok(ahead)
    }

    fn advance(&mut self) -> Result<Option<T>, LedgerError> {
        let next = self.rows.next()?.map(self.read).transpose()?;
        Ok(std::mem::replace(&mut self.next, next))
    }

    /// The next row of `jar`, once those of jars before it are passed over.
    fn of(&mut self, jar: i64) -> Result<Option<T>, LedgerError> {
        while self.next.as_ref().is_some_and(|next| (self.jar_of)(next) < jar) {
            self.advance()?;
        }
        if self.next.as_ref().is_some_and(|next| (self.jar_of)(next) == jar) {
            self.advance()
        } else {
            Ok(None)
        }
    }
}

pub(super) fn jars(ledger: &Ledger, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let mut jars = ledger.conn.prepare(JARS)?;
    let mut events = ledger.conn.prepare(EVENTS)?;
    let mut held = ledger.conn.prepare(HELD)?;
    let mut events = Ahead::new(&mut events, Event::from_row, |event| event.jar)?;
    let mut held = Ahead::new(&mut held, |row| Ok(row.get::<_, i64>(0)?), |jar| *jar)?;
    let mut rows = jars.query([])?;
    while let Some(row) = rows.next()? {
        checked.jars += 1;
        let id: i64 = row.get("id")?;
        let Some(code) = readable_code(row, checked)? else { continue };
        let put_up = row.get::<_, Option<bool>>("put_up")?.unwrap_or(false);
        let born: JarState = parsed(row, "born")?;
        let (mut state, mut place) = (born, row.get::<_, Option<i64>>("born_place_id")?);
        let mut ends = 0;
        while let Some(event) = events.of(id)? {
            checked.events += 1;
            seal_fits(&event, code, checked);
            if !event.in_force {
                continue;
            }
            if event.from != state {
                let Event { id, act, from, .. } = event;
                checked.find(
                    Kind::Event,
                    format!("{code}: event {id}, {act}, starts from {from}, and the jar was {state}"),
                );
            }
            match event.from.after(event.act) {
                Ok(to) if to == event.to => {}
                Ok(to) => checked.find(
                    Kind::Event,
                    format!(
                        "{code}: event {} leads to {} where {} leads to {to}",
                        event.id, event.to, event.act
                    ),
                ),
                Err(error) => checked.find(Kind::Event, format!("{code}: event {}: {error}", event.id)),
            }
            if matches!(event.act, Act::Finish | Act::Give | Act::Discard | Act::Reprocess) {
                ends += 1;
            }
            state = event.to;
            place = event.place.or(place);
        }
        if ends > 1 {
            checked
                .find(Kind::Twice, format!("{code}: eaten, given, reprocessed or thrown away {ends} times"));
        }
        let state = if put_up { state } else { JarState::Void };
        let stored: JarState = parsed(row, "state")?;
        if stored != state {
            checked.find(Kind::State, format!("{code}: stands as {stored}, and its events lead to {state}"));
        }
        if put_up && row.get::<_, Option<i64>>("place_id")? != place {
            checked.find(Kind::Place, format!("{code}: its place is not the one its events put it in"));
        }
        let on_hold = held.of(id)?.is_some();
        if row.get::<_, bool>("held")? != on_hold {
            let what = if on_hold {
                "has a hold in force and is not withheld"
            } else {
                "is withheld without a hold in force"
            };
            checked.find(Kind::Hold, format!("{code}: {what}"));
        }
    }
    Ok(())
}

/// The jar's code, where it can be read back from a label.
fn readable_code(row: &Row<'_>, checked: &mut CheckReport) -> Result<Option<JarCode>, LedgerError> {
    let numbers: (Option<u8>, Option<u32>, u32) =
        (row.get("year")?, row.get("batch_number")?, row.get("number")?);
    let (Some(year), Some(batch), number) = numbers else { return Ok(None) };
    let code = JarCode { batch: BatchCode { year, number: batch }, number };
    if code.to_string().parse() != Ok(code) {
        checked.find(Kind::Code, format!("{code} is not read back as the jar it names"));
        return Ok(None);
    }
    Ok(Some(code))
}

fn seal_fits(event: &Event, code: JarCode, checked: &mut CheckReport) {
    let expected = match event.act {
        Act::CheckSealed => Some(true),
        Act::CheckFailed => Some(false),
        _ => None,
    };
    let id = event.id;
    match event.seal {
        None if expected.is_some() => {
            checked.find(Kind::Seal, format!("{code}: event {id} has lost its seal check"));
        }
        Some((sealed, jar)) if Some(sealed) != expected || jar != event.jar => checked
            .find(Kind::Seal, format!("{code}: the seal check of event {id} says something else than it")),
        _ => {}
    }
}
