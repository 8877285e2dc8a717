//! The jars: each one's life played again from its birth, event by event, by the rules that permitted it.

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::{Row, Rows, Statement};

use crate::ledger::check::replay::Past;
use crate::ledger::check::report::{CheckReport, Kind};
use crate::ledger::check::scope::Scope;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::schema::row::{date, instant, parsed};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::{Circumstances, permit, was_rescued};
use crate::rules::load::verdict::Verdict;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::values::codes::jar_code::{BatchCode, JarCode};

const JARS: &str = "
    SELECT j.id, b.year, b.number AS batch_number, j.number, j.born, j.born_place_id, j.state, j.place_id, j.held,
           n.effective AS put_up_in_force, b.entry_id AS put_up_by, j.batch_id, b.put_up, j.load_id,
           o.out_at, o.out_offset
    FROM jar j LEFT JOIN batch b ON b.id = j.batch_id LEFT JOIN entry n ON n.id = b.entry_id
    LEFT JOIN load o ON o.id = j.load_id";

const EVENTS: &str = "
    SELECT v.id, v.jar_id, v.act, v.from_state, v.to_state, v.place_id, v.entry_id, v.at, v.at_offset,
           n.effective, n.at AS made_at, n.at_offset AS made_offset,
           c.sealed AS check_sealed, c.jar_id AS check_jar, c.early AS check_early
    FROM event v LEFT JOIN entry n ON n.id = v.entry_id LEFT JOIN seal_check c ON c.event_id = v.id";

struct Event {
    id: i64,
    jar: i64,
    entry: i64,
    act: Act,
    from: JarState,
    to: JarState,
    place: Option<i64>,
    at: DateTime<FixedOffset>,
    /// When its entry was made.
    made_at: DateTime<FixedOffset>,
    in_force: bool,
    /// What the seal check of this event says: whether it sealed, of which jar, and whether before its time.
    seal: Option<(bool, i64, bool)>,
}

impl Event {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let sealed: Option<bool> = row.get("check_sealed")?;
        let seal = match sealed {
            Some(sealed) => Some((sealed, row.get("check_jar")?, row.get("check_early")?)),
            None => None,
        };
        Ok(Self {
            id: row.get("id")?,
            jar: row.get("jar_id")?,
            entry: row.get("entry_id")?,
            act: parsed(row, "act")?,
            from: parsed(row, "from_state")?,
            to: parsed(row, "to_state")?,
            place: row.get("place_id")?,
            at: instant(row.get("at")?, row.get("at_offset")?)?,
            made_at: instant(row.get("made_at")?, row.get("made_offset")?)?,
            in_force: row.get::<_, Option<bool>>("effective")?.unwrap_or(false),
            seal,
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
        scope: &Scope,
        read: fn(&Row<'_>) -> Result<T, LedgerError>,
        jar_of: fn(&T) -> i64,
    ) -> Result<Self, LedgerError> {
        let mut ahead = Self { rows: statement.query(scope.parameter())?, read, jar_of, next: None };
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

/// A jar as its row has it.
struct JarRow {
    id: i64,
    code: JarCode,
    batch: i64,
    put_up_by: i64,
    put_up: NaiveDate,
    load: Option<i64>,
    out_at: Option<DateTime<FixedOffset>>,
    in_force: bool,
}

/// Where a jar stood from an entry on.
struct Stand {
    entry: i64,
    state: JarState,
    since: Option<DateTime<FixedOffset>>,
    last_at: Option<DateTime<FixedOffset>>,
}

impl JarRow {
    /// What the rules decided by when `entry` was made, the jar standing as `stand` says.
    fn circumstances(&self, stand: &Stand, past: &Past, entry: i64) -> Circumstances {
        Circumstances {
            state: stand.state,
            since: stand.since,
            put_up: past.put_up(self.batch, entry, self.put_up),
            out_at: self.out_at(past, entry),
            last_at: stand.last_at,
            held: past.held(self.id, entry),
        }
    }

    fn out_at(&self, past: &Past, entry: i64) -> Option<DateTime<FixedOffset>> {
        Some(past.out_at(self.load?, entry, self.out_at?))
    }
}

pub(super) fn jars(ledger: &Ledger, scope: &Scope, checked: &mut CheckReport) -> Result<(), LedgerError> {
    let past = Past::read(ledger, scope)?;
    let mut jars =
        ledger.conn.prepare(&format!("{JARS} WHERE {} ORDER BY j.id", scope.holds("j.batch_id")))?;
    let of_jars = scope.holds("(SELECT batch_id FROM jar WHERE id = v.jar_id)");
    let mut events = ledger.conn.prepare(&format!("{EVENTS} WHERE {of_jars} ORDER BY v.jar_id, v.id"))?;
    let mut events = Ahead::new(&mut events, scope, Event::from_row, |event| event.jar)?;
    let mut rows = jars.query(scope.parameter())?;
    while let Some(row) = rows.next()? {
        checked.jars += 1;
        let Some(code) = readable_code(row, checked)? else { continue };
        let out_at: Option<i64> = row.get("out_at")?;
        let jar = JarRow {
            id: row.get("id")?,
            code,
            batch: row.get("batch_id")?,
            put_up_by: row.get("put_up_by")?,
            put_up: date(row, "put_up")?,
            load: row.get("load_id")?,
            out_at: out_at.map(|at| instant(at, row.get("out_offset")?)).transpose()?,
            in_force: row.get::<_, Option<bool>>("put_up_in_force")?.unwrap_or(false),
        };
        let mut place: Option<i64> = row.get("born_place_id")?;
        let born = Stand { entry: jar.put_up_by, state: parsed(row, "born")?, since: None, last_at: None };
        let mut life = vec![born];
        let mut ends = 0;
        while let Some(event) = events.of(jar.id)? {
            checked.events += 1;
            seal_fits(&event, code, checked);
            if event.in_force {
                life.push(replayed(&jar, &event, &life[life.len() - 1], &past, checked));
                ends += usize::from(ends_it(event.act));
                place = event.place.or(place);
            }
        }
        if ends > 1 {
            checked.find(
                Kind::Twice,
                format!("{code}: eaten, given, used, reprocessed or thrown away {ends} times"),
            );
        }
        let state = if jar.in_force { life[life.len() - 1].state } else { JarState::Void };
        let stored: JarState = parsed(row, "state")?;
        if stored != state {
            checked.find(Kind::State, format!("{code}: stands as {stored}, and its events lead to {state}"));
        }
        if jar.in_force && row.get::<_, Option<i64>>("place_id")? != place {
            checked.find(Kind::Place, format!("{code}: its place is not the one its events put it in"));
        }
        holds_stand(&jar, &life, &past, checked);
        vouched_free(&jar, &life, &past, checked);
        let on_hold = past.holds_on(jar.id).iter().any(|hold| past.stood(hold, i64::MAX));
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

const fn ends_it(act: Act) -> bool {
    matches!(act, Act::Finish | Act::Give | Act::Use | Act::Discard | Act::Reprocess)
}

/// Plays one event, and says what of it could not have happened.
fn replayed(jar: &JarRow, event: &Event, before: &Stand, past: &Past, checked: &mut CheckReport) -> Stand {
    let code = jar.code;
    let Event { id, act, from, to, entry, at, .. } = *event;
    let mut find = |what: String| checked.find_of(Kind::Event, entry, format!("{code}: event {id}{what}"));
    if !jar.in_force || entry < jar.put_up_by {
        find(format!(", {act}, is of a jar that was not put up"));
    } else if from != before.state {
        find(format!(", {act}, starts from {from}, and the jar was {}", before.state));
    } else {
        match from.after(act) {
            Err(error) => find(format!(": {error}")),
            Ok(leads) if leads != to => find(format!(" leads to {to} where {act} leads to {leads}")),
            Ok(_) => {
                let circumstances = jar.circumstances(before, past, entry);
                if let Err(refusal) = permit(act, &circumstances, at, event.made_at) {
                    find(format!(", {act}, was not permitted: {refusal}"));
                }
            }
        }
    }
    if let (Some((.., early)), Some(out_at)) = (event.seal, jar.out_at(past, entry))
        && early != (SealWindow::after(out_at).stage(at) == SealStage::TooEarly)
    {
        let word = if early { "before" } else { "after" };
        checked.find_of(
            Kind::Seal,
            entry,
            format!("{code}: the seal check of event {id} is written down as {word} 12 hours, and was not"),
        );
    }
    let since = if to == before.state { before.since } else { Some(at) };
    Stand { entry, state: to, since, last_at: Some(at) }
}

/// Says which holds on a jar, and which releases of them, could not have been made.
fn holds_stand(jar: &JarRow, life: &[Stand], past: &Past, checked: &mut CheckReport) {
    let code = jar.code;
    let then = |entry: i64| life.iter().rev().find(|stand| stand.entry <= entry).unwrap_or(&life[0]);
    let verdict = |entry: i64| jar.load.and_then(|load| past.verdict(load, entry));
    let holds = past.holds_on(jar.id);
    let by_verdict_then = |entry: i64| {
        holds.iter().any(|hold| {
            hold.cause == HoldCause::Verdict
                && past.stood(hold, entry)
                && past.releases_of(hold.id).iter().all(|release| release.entry > entry)
        })
    };
    for hold in holds {
        let is_by_verdict = hold.cause == HoldCause::Verdict;
        if hold.in_force {
            let mut find = |what: &str| {
                checked.find_of(Kind::Hold, hold.entry, format!("{code}: its hold {} {what}", hold.id));
            };
            if !jar.in_force || hold.entry < jar.put_up_by {
                find("is on a jar that was not put up");
            } else if !then(hold.entry).state.is_live() {
                find("was put on when the jar had left the household");
            } else if is_by_verdict
                && !matches!(verdict(hold.entry), Some(Verdict::Deviates | Verdict::NoTestedProcess))
            {
                find("is by a verdict on its load that was not given");
            } else if is_by_verdict
                && past.stood(hold, i64::MAX)
                && then(i64::MAX).state.is_live()
                && verdict(i64::MAX) == Some(Verdict::Meets)
            {
                find("is by an earlier verdict, and its load meets its process");
            }
        }
        for (release, nth) in past.releases_of(hold.id).iter().zip(0..) {
            let mut find = |what: &str| {
                checked.find_of(
                    Kind::Hold,
                    release.entry,
                    format!("{code}: the release of its hold {} {what}", hold.id),
                );
            };
            if !hold.in_force || hold.entry > release.entry {
                find("is of a hold that was not put on");
            } else if nth > 0 {
                find("is not the first");
            } else if is_by_verdict {
                let rescued = was_rescued(&jar.circumstances(then(release.entry), past, release.entry + 1));
                if !matches!(verdict(release.entry), Some(Verdict::Meets | Verdict::MeetsOwn)) && !rescued {
                    find("is for a verdict on its load that was not given");
                }
            } else if by_verdict_then(release.entry) {
                find("was made while the verdict on its load withheld it");
            }
        }
    }
}

/// Says which words for the process of a batch were given while one of its jars was on hold: nobody can vouch for those.
fn vouched_free(jar: &JarRow, life: &[Stand], past: &Past, checked: &mut CheckReport) {
    for entry in past.vouched(jar.batch) {
        let then = life.iter().rev().find(|stand| stand.entry < entry).unwrap_or(&life[0]);
        if then.state.is_live() && past.held(jar.id, entry).is_some() {
            let what = format!("{}: was on hold when entry {entry} vouched for its batch", jar.code);
            checked.find_of(Kind::Hold, entry, what);
        }
    }
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
        Some((sealed, jar, _)) if Some(sealed) != expected || jar != event.jar => checked
            .find(Kind::Seal, format!("{code}: the seal check of event {id} says something else than it")),
        _ => {}
    }
}
