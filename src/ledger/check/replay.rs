//! What the facts in force said at the moment of an earlier entry.

use std::collections::HashMap;

use chrono::{DateTime, FixedOffset, NaiveDate};
use rusqlite::Row;

use crate::ledger::check::scope::Scope;
use crate::ledger::entry::correct_field::Field;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::schema::row::{instant, parsed};
use crate::rules::jar::permit::Held;
use crate::rules::load::verdict::Verdict;

/// A hold, and the entries that ended it, all of facts in force or not.
pub(super) struct HoldFact {
    pub(super) id: i64,
    pub(super) jar: i64,
    pub(super) entry: i64,
    pub(super) in_force: bool,
    pub(super) cause: HoldCause,
    since: DateTime<FixedOffset>,
}

impl HoldFact {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            id: row.get("id")?,
            jar: row.get("jar_id")?,
            entry: row.get("entry_id")?,
            in_force: row.get::<_, Option<bool>>("effective")?.unwrap_or(false),
            cause: parsed(row, "cause")?,
            since: instant(row.get("at")?, row.get("at_offset")?)?,
        })
    }
}

/// A release in force.
pub(super) struct ReleaseFact {
    pub(super) hold: i64,
    pub(super) entry: i64,
}

/// A judgement in force.
struct JudgementFact {
    entry: i64,
    verdict: Verdict,
}

/// A correction, in force or not.
struct CorrectionFact {
    entry: i64,
    in_force: bool,
    old: Option<String>,
    new: Option<String>,
}

/// The corrections, oldest first, by field and row.
pub(super) struct Corrections(HashMap<(Field, i64), Vec<CorrectionFact>>);

impl Corrections {
    /// Few: nothing is gained by leaving those of other batches out.
    pub(super) fn read(ledger: &Ledger) -> Result<Self, LedgerError> {
        let mut of: HashMap<(Field, i64), Vec<CorrectionFact>> = HashMap::new();
        let mut statement = ledger.conn.prepare(
            "SELECT c.field, c.subject_id, c.entry_id, n.effective, c.old_value, c.new_value
             FROM correction c JOIN entry n ON n.id = c.entry_id ORDER BY c.id",
        )?;
        for correction in statement.query_and_then([], |row| {
            let fact = CorrectionFact {
                entry: row.get("entry_id")?,
                in_force: row.get("effective")?,
                old: row.get("old_value")?,
                new: row.get("new_value")?,
            };
            Ok::<_, LedgerError>(((parsed(row, "field")?, row.get("subject_id")?), fact))
        })? {
            let (key, fact) = correction?;
            of.entry(key).or_default().push(fact);
        }
        Ok(Self(of))
    }

    fn of(&self, field: Field, id: i64) -> &[CorrectionFact] {
        self.0.get(&(field, id)).map_or(&[], Vec::as_slice)
    }

    /// The entries in force that corrected a field, each with what it says since.
    pub(super) fn in_force(&self, field: Field, id: i64) -> impl Iterator<Item = (i64, Option<&str>)> {
        self.of(field, id).iter().filter(|fact| fact.in_force).map(|fact| (fact.entry, fact.new.as_deref()))
    }

    /// What a field said when `entry` was made; none where it was never corrected.
    pub(super) fn text_then(&self, field: Field, id: i64, entry: i64) -> Option<Option<&str>> {
        let corrections = self.of(field, id);
        match corrections.iter().rev().find(|fact| fact.in_force && fact.entry < entry) {
            Some(last) => Some(last.new.as_deref()),
            None => corrections.first().map(|first| first.old.as_deref()),
        }
    }

    /// The day a batch was held to be put up on when `entry` was made; `now` is what it says now.
    pub(super) fn put_up(&self, batch: i64, entry: i64, now: NaiveDate) -> NaiveDate {
        self.text_then(Field::PutUp, batch, entry).flatten().and_then(|day| day.parse().ok()).unwrap_or(now)
    }

    /// The moment a field said when `entry` was made; `now` is what it says now.
    pub(super) fn moment(
        &self,
        field: Field,
        id: i64,
        entry: i64,
        now: Option<DateTime<FixedOffset>>,
    ) -> Option<DateTime<FixedOffset>> {
        match self.text_then(field, id, entry) {
            Some(text) => text.and_then(|text| DateTime::parse_from_rfc3339(text).ok()),
            None => now,
        }
    }

    /// When a load was held to have come out when `entry` was made; `now` is what it says now.
    pub(super) fn out_at(&self, load: i64, entry: i64, now: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        self.moment(Field::Out, load, entry, Some(now)).unwrap_or(now)
    }
}

/// The facts that later ones stand on, by what they are about.
pub(super) struct Past {
    holds: HashMap<i64, Vec<HoldFact>>,
    releases: HashMap<i64, Vec<ReleaseFact>>,
    judgements: HashMap<i64, Vec<JudgementFact>>,
    corrections: Corrections,
}

impl Past {
    pub(super) fn read(ledger: &Ledger, scope: &Scope) -> Result<Self, LedgerError> {
        let mut past = Self {
            holds: HashMap::new(),
            releases: HashMap::new(),
            judgements: HashMap::new(),
            corrections: Corrections::read(ledger)?,
        };
        let conn = &ledger.conn;
        let mut statement = conn.prepare(&format!(
            "SELECT h.id, h.jar_id, h.entry_id, n.effective, h.cause, n.at, n.at_offset
             FROM hold h JOIN entry n ON n.id = h.entry_id JOIN jar j ON j.id = h.jar_id
             WHERE {} ORDER BY h.id",
            scope.holds("j.batch_id")
        ))?;
        for hold in statement.query_and_then(scope.parameter(), HoldFact::from_row)? {
            let hold: HoldFact = hold?;
            past.holds.entry(hold.jar).or_default().push(hold);
        }
        let mut statement = conn.prepare(&format!(
            "SELECT r.hold_id, r.entry_id FROM hold_release r JOIN entry n ON n.id = r.entry_id AND n.effective = 1
             JOIN hold h ON h.id = r.hold_id JOIN jar j ON j.id = h.jar_id
             WHERE {} ORDER BY r.id",
            scope.holds("j.batch_id")
        ))?;
        for release in statement.query_map(scope.parameter(), |row| {
            Ok(ReleaseFact { hold: row.get("hold_id")?, entry: row.get("entry_id")? })
        })? {
            let release = release?;
            past.releases.entry(release.hold).or_default().push(release);
        }
        let mut statement = conn.prepare(&format!(
            "SELECT k.load_id, k.entry_id, k.verdict FROM judgement k
             JOIN entry n ON n.id = k.entry_id AND n.effective = 1 JOIN load o ON o.id = k.load_id
             WHERE {} ORDER BY k.id",
            scope.holds("o.batch_id")
        ))?;
        for judgement in statement.query_and_then(scope.parameter(), |row| {
            let fact = JudgementFact { entry: row.get("entry_id")?, verdict: parsed(row, "verdict")? };
            Ok::<_, LedgerError>((row.get("load_id")?, fact))
        })? {
            let (load, fact): (i64, JudgementFact) = judgement?;
            past.judgements.entry(load).or_default().push(fact);
        }
        Ok(past)
    }

    /// The holds on a jar, in force or not.
    pub(super) fn holds_on(&self, jar: i64) -> &[HoldFact] {
        self.holds.get(&jar).map_or(&[], Vec::as_slice)
    }

    /// The releases in force of a hold, oldest first.
    pub(super) fn releases_of(&self, hold: i64) -> &[ReleaseFact] {
        self.releases.get(&hold).map_or(&[], Vec::as_slice)
    }

    /// Whether a hold stood when `entry` was made; what that entry itself released still stood then.
    pub(super) fn stood(&self, hold: &HoldFact, entry: i64) -> bool {
        hold.in_force
            && hold.entry < entry
            && self.releases_of(hold.id).iter().all(|release| release.entry >= entry)
    }

    /// What withheld a jar when `entry` was made.
    pub(super) fn held(&self, jar: i64, entry: i64) -> Option<Held> {
        let standing: Vec<&HoldFact> =
            self.holds_on(jar).iter().filter(|hold| self.stood(hold, entry)).collect();
        let by_verdict = |hold: &&HoldFact| hold.cause == HoldCause::Verdict;
        Some(Held {
            since: standing.first()?.since,
            by_verdict: standing.iter().any(by_verdict),
            by_others: !standing.iter().all(by_verdict),
        })
    }

    /// The verdict on a load once `entry` was made.
    pub(super) fn verdict(&self, load: i64, entry: i64) -> Option<Verdict> {
        let judgements = self.judgements.get(&load)?;
        judgements.iter().rev().find(|judgement| judgement.entry <= entry).map(|judgement| judgement.verdict)
    }

    /// The day a batch was held to be put up on when `entry` was made; `now` is what it says now.
    pub(super) fn put_up(&self, batch: i64, entry: i64, now: NaiveDate) -> NaiveDate {
        self.corrections.put_up(batch, entry, now)
    }

    /// When a load was held to have come out when `entry` was made; `now` is what it says now.
    pub(super) fn out_at(&self, load: i64, entry: i64, now: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        self.corrections.out_at(load, entry, now)
    }

    /// The entries in which somebody gave a word for the process of a batch.
    pub(super) fn vouched(&self, batch: i64) -> impl Iterator<Item = i64> {
        let words = self.corrections.in_force(Field::Vouched, batch);
        words.filter(|(_, word)| word.is_some()).map(|(entry, _)| entry)
    }
}
