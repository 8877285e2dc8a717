//! The fields a correction can amend: read and set in their text form.

use chrono::{DateTime, FixedOffset};
use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::names::Names;
use crate::ledger::schema::row::{instant, offset_minutes};
use crate::values::measures::pressure::Pressure;
use crate::values::names::name::Name;
use crate::values::names::named::named_enum;

named_enum! {
    /// What a correction is about.
    pub enum Subject as "a subject of corrections" {
        /// A batch as a whole.
        Batch = "batch",
        /// One canner-full.
        Load = "load",
        /// One jar.
        Jar = "jar",
    }
}

named_enum! {
    /// A field that can be amended.
    pub enum Field as "a field" {
        /// What a batch is.
        Product = "product",
        /// The food of the process tables.
        Food = "food",
        /// Its acidity.
        Acidity = "acidity",
        /// Hot or raw.
        Pack = "pack",
        /// The day a batch was put up.
        PutUp = "put-up",
        /// The note on a batch.
        BatchNote = "note",
        /// The household's word for its process.
        Vouched = "vouched",
        /// Why a name that names another food was let in.
        NameReason = "name-reason",
        /// The canner of a load.
        Canner = "canner",
        /// Where it stood.
        Altitude = "altitude",
        /// What the gauge read, as typed.
        Pressure = "pressure",
        /// Minutes at pressure or at a full boil.
        Minutes = "minutes",
        /// Minutes of venting.
        Vent = "vent",
        /// Minutes from closing the vent to pressure.
        ComeUp = "come-up",
        /// Acid added.
        Acid = "acid",
        /// When pressure was reached.
        Reached = "reached",
        /// When the heat went off.
        Ended = "ended",
        /// When the load came out.
        Out = "out",
        /// When pressure was lost and regained.
        Drops = "drops",
        /// What went wrong.
        WentWrong = "went-wrong",
        /// Best quality until then.
        BestBy = "best-by",
        /// The size of a jar.
        Size = "size",
        /// The lot of its lid.
        LidLot = "lid-lot",
        /// The note on a jar.
        JarNote = "jar-note",
    }
}

/// How a field is kept.
enum Kept {
    /// A text column of this table, read and set as it is.
    Text { read: &'static str, set: &'static str },
    /// A column of whole numbers.
    Number { read: &'static str, set: &'static str },
    /// In a way of its own.
    Apart,
}

impl Field {
    /// What kind of record has the field.
    pub const fn subject(self) -> Subject {
        match self {
            Self::Product
            | Self::Food
            | Self::Acidity
            | Self::Pack
            | Self::PutUp
            | Self::BatchNote
            | Self::Vouched
            | Self::NameReason => Subject::Batch,
            Self::Canner
            | Self::Altitude
            | Self::Pressure
            | Self::Minutes
            | Self::Vent
            | Self::ComeUp
            | Self::Acid
            | Self::Reached
            | Self::Ended
            | Self::Out
            | Self::Drops
            | Self::WentWrong => Subject::Load,
            Self::BestBy | Self::Size | Self::LidLot | Self::JarNote => Subject::Jar,
        }
    }

    const fn kept(self) -> Kept {
        const fn text(read: &'static str, set: &'static str) -> Kept {
            Kept::Text { read, set }
        }
        const fn number(read: &'static str, set: &'static str) -> Kept {
            Kept::Number { read, set }
        }
        match self {
            Self::Food => {
                text("SELECT food FROM batch WHERE id = ?1", "UPDATE batch SET food = ?2 WHERE id = ?1")
            }
            Self::Acidity => {
                text("SELECT acidity FROM batch WHERE id = ?1", "UPDATE batch SET acidity = ?2 WHERE id = ?1")
            }
            Self::Pack => {
                text("SELECT pack FROM batch WHERE id = ?1", "UPDATE batch SET pack = ?2 WHERE id = ?1")
            }
            Self::PutUp => {
                text("SELECT put_up FROM batch WHERE id = ?1", "UPDATE batch SET put_up = ?2 WHERE id = ?1")
            }
            Self::BatchNote => {
                text("SELECT note FROM batch WHERE id = ?1", "UPDATE batch SET note = ?2 WHERE id = ?1")
            }
            Self::Vouched => {
                text("SELECT vouched FROM batch WHERE id = ?1", "UPDATE batch SET vouched = ?2 WHERE id = ?1")
            }
            Self::NameReason => text(
                "SELECT name_reason FROM batch WHERE id = ?1",
                "UPDATE batch SET name_reason = ?2 WHERE id = ?1",
            ),
            Self::Altitude => {
                text("SELECT altitude FROM load WHERE id = ?1", "UPDATE load SET altitude = ?2 WHERE id = ?1")
            }
            Self::Minutes => {
                number("SELECT minutes FROM load WHERE id = ?1", "UPDATE load SET minutes = ?2 WHERE id = ?1")
            }
            Self::Vent => number(
                "SELECT vent_min FROM load WHERE id = ?1",
                "UPDATE load SET vent_min = ?2 WHERE id = ?1",
            ),
            Self::ComeUp => number(
                "SELECT come_up_min FROM load WHERE id = ?1",
                "UPDATE load SET come_up_min = ?2 WHERE id = ?1",
            ),
            Self::Acid => {
                text("SELECT acid FROM load WHERE id = ?1", "UPDATE load SET acid = ?2 WHERE id = ?1")
            }
            Self::WentWrong => text(
                "SELECT went_wrong FROM load WHERE id = ?1",
                "UPDATE load SET went_wrong = ?2 WHERE id = ?1",
            ),
            Self::BestBy => {
                text("SELECT best_by FROM jar WHERE id = ?1", "UPDATE jar SET best_by = ?2 WHERE id = ?1")
            }
            Self::Size => {
                text("SELECT size FROM jar WHERE id = ?1", "UPDATE jar SET size = ?2 WHERE id = ?1")
            }
            Self::JarNote => {
                text("SELECT note FROM jar WHERE id = ?1", "UPDATE jar SET note = ?2 WHERE id = ?1")
            }
            Self::Product
            | Self::Canner
            | Self::Pressure
            | Self::Reached
            | Self::Ended
            | Self::Out
            | Self::Drops
            | Self::LidLot => Kept::Apart,
        }
    }
}

impl Ledger {
    /// What a field says now; none: not recorded.
    pub(in crate::ledger) fn field_value(
        &self,
        field: Field,
        id: i64,
    ) -> Result<Option<String>, LedgerError> {
        let text = |sql: &str| -> Result<Option<String>, LedgerError> {
            Ok(self.conn.prepare_cached(sql)?.query_row([id], |row| row.get(0)).optional()?.flatten())
        };
        match (field.kept(), field) {
            (Kept::Text { read, .. }, _) => text(read),
            (Kept::Number { read, .. }, _) => {
                let number: Option<i64> =
                    self.conn.prepare_cached(read)?.query_row([id], |row| row.get(0))?;
                Ok(number.map(|number| number.to_string()))
            }
            (Kept::Apart, Field::Product) => {
                text("SELECT p.name FROM batch b JOIN product p ON p.id = b.product_id WHERE b.id = ?1")
            }
            (Kept::Apart, Field::Canner) => {
                text("SELECT c.name FROM load o JOIN canner c ON c.id = o.canner_id WHERE o.id = ?1")
            }
            (Kept::Apart, Field::LidLot) => {
                text("SELECT l.name FROM jar j JOIN lid_lot l ON l.id = j.lid_lot_id WHERE j.id = ?1")
            }
            (Kept::Apart, Field::Pressure) => text("SELECT pressure_entered FROM load WHERE id = ?1"),
            (Kept::Apart, Field::Drops) => text(
                "SELECT group_concat(told, ' ') FROM (SELECT told FROM load_drop WHERE load_id = ?1 ORDER BY number)",
            ),
            (Kept::Apart, Field::Reached) => {
                self.moment("SELECT reached_at, out_offset FROM load WHERE id = ?1", id)
            }
            (Kept::Apart, Field::Ended) => {
                self.moment("SELECT ended_at, out_offset FROM load WHERE id = ?1", id)
            }
            (Kept::Apart, _) => self.moment("SELECT out_at, out_offset FROM load WHERE id = ?1", id),
        }
    }

    /// Whether what the field belongs to is there.
    pub(in crate::ledger) fn has_row(&self, field: Field, id: i64) -> Result<bool, LedgerError> {
        let sql = match field.subject() {
            Subject::Batch => "SELECT 1 FROM batch WHERE id = ?1",
            Subject::Load => "SELECT 1 FROM load WHERE id = ?1",
            Subject::Jar => "SELECT 1 FROM jar WHERE id = ?1",
        };
        Ok(self.conn.prepare_cached(sql)?.exists([id])?)
    }

    fn moment(&self, sql: &str, id: i64) -> Result<Option<String>, LedgerError> {
        let (seconds, offset): (Option<i64>, i64) =
            self.conn.prepare_cached(sql)?.query_row([id], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(seconds.map(|seconds| instant(seconds, offset)).transpose()?.map(|at| at.to_rfc3339()))
    }
}

impl Write<'_> {
    /// Sets a field to a value in its text form; none: not recorded.
    pub(in crate::ledger) fn set_field(
        &self,
        field: Field,
        id: i64,
        value: Option<&str>,
    ) -> Result<(), LedgerError> {
        let unreadable = || LedgerError::Unreadable(format!("{field} {value:?}"));
        let name = |value: Option<&str>| -> Result<Option<Name>, LedgerError> {
            value.map(|name| name.parse().map_err(|_| unreadable())).transpose()
        };
        let set = |sql: &str, value: &dyn rusqlite::ToSql| -> Result<(), LedgerError> {
            self.conn.prepare_cached(sql)?.execute(params![id, value])?;
            Ok(())
        };
        match (field.kept(), field) {
            (Kept::Text { set: sql, .. }, _) => set(sql, &value),
            (Kept::Number { set: sql, .. }, _) => {
                let number: Option<i64> =
                    value.map(|number| number.parse().map_err(|_| unreadable())).transpose()?;
                set(sql, &number)
            }
            (Kept::Apart, Field::Product) => {
                let product = self.name_id_or_new(Names::Product, &name(value)?.ok_or_else(unreadable)?)?;
                set("UPDATE batch SET product_id = ?2 WHERE id = ?1", &product)
            }
            (Kept::Apart, Field::Canner) => {
                let canner = match name(value)? {
                    // By its whole name: what a correction wrote down must lead to the same canner ever after.
                    Some(name) => Some(self.canner_named(&name)?.map_or_else(|| self.canner(&name), Ok)?),
                    None => None,
                };
                set("UPDATE load SET canner_id = ?2 WHERE id = ?1", &canner.map(|canner| canner.id))
            }
            (Kept::Apart, Field::LidLot) => {
                let lot = name(value)?.map(|lot| self.name_id_or_new(Names::LidLot, &lot)).transpose()?;
                set("UPDATE jar SET lid_lot_id = ?2 WHERE id = ?1", &lot)
            }
            (Kept::Apart, Field::Pressure) => {
                let pressure: Option<Pressure> =
                    value.map(|given| given.parse().map_err(|_| unreadable())).transpose()?;
                set("UPDATE load SET pressure_entered = ?2 WHERE id = ?1", &value)?;
                set("UPDATE load SET pressure = ?2 WHERE id = ?1", &pressure.map(Pressure::centi_psi))
            }
            (Kept::Apart, Field::Drops) => {
                self.conn.execute("DELETE FROM load_drop WHERE load_id = ?1", [id])?;
                for (given, number) in value.unwrap_or_default().split_whitespace().zip(1..) {
                    self.conn.execute(
                        "INSERT INTO load_drop (load_id, number, told) VALUES (?1, ?2, ?3)",
                        params![id, number, given],
                    )?;
                }
                Ok(())
            }
            (Kept::Apart, _) => {
                let at: Option<DateTime<FixedOffset>> =
                    value.map(|at| DateTime::parse_from_rfc3339(at).map_err(|_| unreadable())).transpose()?;
                let seconds = at.map(|at| at.timestamp());
                match field {
                    Field::Reached => set("UPDATE load SET reached_at = ?2 WHERE id = ?1", &seconds),
                    Field::Ended => set("UPDATE load SET ended_at = ?2 WHERE id = ?1", &seconds),
                    _ => {
                        let at = at.ok_or_else(unreadable)?;
                        set("UPDATE load SET out_offset = ?2 WHERE id = ?1", &offset_minutes(at))?;
                        set("UPDATE load SET out_at = ?2 WHERE id = ?1", &at.timestamp())
                    }
                }
            }
        }
    }
}
