//! The fields a correction can amend: read and set in their text form.

use std::str::FromStr;

use chrono::DateTime;
use rusqlite::types::Value;
use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::names::Names;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
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

/// How a column keeps what a field says.
#[derive(Clone, Copy)]
enum Kept {
    /// In words, as they are.
    Text,
    /// As a whole number.
    Number,
    /// As seconds, at the offset of the load.
    Moment,
    /// As the row of a name.
    Name(Names),
    /// As the row of a canner.
    Canner,
    /// As typed, with the figure beside it.
    Pressure,
    /// In a table of their own.
    Drops,
}

impl Field {
    /// What has the field, the column that keeps it, and how. Subjects are called as their tables are.
    const fn place(self) -> (Subject, &'static str, Kept) {
        use Subject::{Batch, Jar, Load};
        match self {
            Self::Product => (Batch, "product_id", Kept::Name(Names::Product)),
            Self::Food => (Batch, "food", Kept::Text),
            Self::Acidity => (Batch, "acidity", Kept::Text),
            Self::Pack => (Batch, "pack", Kept::Text),
            Self::PutUp => (Batch, "put_up", Kept::Text),
            Self::BatchNote => (Batch, "note", Kept::Text),
            Self::Vouched => (Batch, "vouched", Kept::Text),
            Self::NameReason => (Batch, "name_reason", Kept::Text),
            Self::Canner => (Load, "canner_id", Kept::Canner),
            Self::Altitude => (Load, "altitude", Kept::Text),
            Self::Pressure => (Load, "pressure_entered", Kept::Pressure),
            Self::Minutes => (Load, "minutes", Kept::Number),
            Self::Vent => (Load, "vent_min", Kept::Number),
            Self::ComeUp => (Load, "come_up_min", Kept::Number),
            Self::Acid => (Load, "acid", Kept::Text),
            Self::Reached => (Load, "reached_at", Kept::Moment),
            Self::Ended => (Load, "ended_at", Kept::Moment),
            Self::Out => (Load, "out_at", Kept::Moment),
            Self::Drops => (Load, "told", Kept::Drops),
            Self::WentWrong => (Load, "went_wrong", Kept::Text),
            Self::BestBy => (Jar, "best_by", Kept::Text),
            Self::Size => (Jar, "size", Kept::Text),
            Self::LidLot => (Jar, "lid_lot_id", Kept::Name(Names::LidLot)),
            Self::JarNote => (Jar, "note", Kept::Text),
        }
    }

    /// Whether it says what was put up how, which the tables may contradict.
    pub(in crate::ledger) const fn says_what_it_is(self) -> bool {
        matches!(self, Self::Product | Self::Food | Self::Acidity | Self::Pack | Self::Size)
    }

    /// What kind of record has the field.
    pub const fn subject(self) -> Subject {
        self.place().0
    }
}

impl Ledger {
    /// What a field says now; none: not recorded.
    pub(in crate::ledger) fn field_value(
        &self,
        field: Field,
        id: i64,
    ) -> Result<Option<String>, LedgerError> {
        let (table, column, kept) = field.place();
        let named = |names: &str| {
            format!("SELECT n.name FROM {table} t JOIN {names} n ON n.id = t.{column} WHERE t.id = ?1")
        };
        let sql = match kept {
            Kept::Text | Kept::Number | Kept::Pressure => {
                format!("SELECT CAST({column} AS TEXT) FROM {table} WHERE id = ?1")
            }
            Kept::Name(names) => named(names.table()),
            Kept::Canner => named("canner"),
            Kept::Drops => format!(
                "SELECT group_concat({column}, ' ')
                 FROM (SELECT {column} FROM load_drop WHERE load_id = ?1 ORDER BY number)"
            ),
            Kept::Moment => return self.moment(column, id),
        };
        Ok(self.conn.prepare_cached(&sql)?.query_row([id], |row| row.get(0)).optional()?.flatten())
    }

    /// Whether what the field belongs to is there.
    pub(in crate::ledger) fn has_row(&self, field: Field, id: i64) -> Result<bool, LedgerError> {
        let sql = format!("SELECT 1 FROM {} WHERE id = ?1", field.subject());
        Ok(self.conn.prepare_cached(&sql)?.exists([id])?)
    }

    fn moment(&self, column: &str, id: i64) -> Result<Option<String>, LedgerError> {
        let sql = format!("SELECT {column}, out_offset FROM load WHERE id = ?1");
        let (seconds, offset): (Option<i64>, i64) =
            self.conn.prepare_cached(&sql)?.query_row([id], |row| Ok((row.get(0)?, row.get(1)?)))?;
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
        let (table, column, kept) = field.place();
        let unreadable = || LedgerError::Unreadable(format!("{field} {value:?}"));
        fn read<T: FromStr>(value: &str) -> Option<T> {
            value.parse().ok()
        }
        let set = |column: &str, value: Value| -> Result<(), LedgerError> {
            let sql = format!("UPDATE {table} SET {column} = ?2 WHERE id = ?1");
            self.conn.prepare_cached(&sql)?.execute(params![id, value])?;
            Ok(())
        };
        let Some(text) = value else {
            return match (field, kept) {
                (Field::Product | Field::Out, _) => Err(unreadable()),
                (_, Kept::Drops) => self.set_drops(id, ""),
                (_, Kept::Pressure) => {
                    set("pressure", Value::Null)?;
                    set(column, Value::Null)
                }
                _ => set(column, Value::Null),
            };
        };
        match kept {
            Kept::Text => set(column, text.to_owned().into()),
            Kept::Number => set(column, read::<i64>(text).ok_or_else(unreadable)?.into()),
            Kept::Name(names) => {
                let name: Name = read(text).ok_or_else(unreadable)?;
                set(column, self.name_id_or_new(names, &name)?.into())
            }
            Kept::Canner => {
                let name: Name = read(text).ok_or_else(unreadable)?;
                // By its whole name: what a correction wrote down must lead to the same canner ever after.
                let canner = self.canner_named(&name)?.map_or_else(|| self.canner(&name), Ok)?;
                set(column, canner.id.into())
            }
            Kept::Pressure => {
                let pressure: Pressure = read(text).ok_or_else(unreadable)?;
                set(column, text.to_owned().into())?;
                set("pressure", pressure.centi_psi().into())
            }
            Kept::Drops => self.set_drops(id, text),
            Kept::Moment => {
                let at = DateTime::parse_from_rfc3339(text).map_err(|_| unreadable())?;
                if field == Field::Out {
                    set("out_offset", offset_minutes(at).into())?;
                }
                set(column, at.timestamp().into())
            }
        }
    }

    fn set_drops(&self, load: i64, given: &str) -> Result<(), LedgerError> {
        self.conn.execute("DELETE FROM load_drop WHERE load_id = ?1", [load])?;
        for (drop, number) in given.split_whitespace().zip(1..) {
            self.conn.execute(
                "INSERT INTO load_drop (load_id, number, told) VALUES (?1, ?2, ?3)",
                params![load, number, drop],
            )?;
        }
        Ok(())
    }
}
