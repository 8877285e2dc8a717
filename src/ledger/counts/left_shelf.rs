//! Jars that left the shelf of good jars since a day.

use chrono::{Days, NaiveDate, NaiveTime};

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::date;

/// A jar that was sealed, and then opened, used, given or thrown away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct LeftShelf {
    /// What was in it.
    pub product: String,
    /// Best quality until this day.
    pub best_by: NaiveDate,
}

impl Ledger {
    /// Jars that left the shelf from one day to another, both included, whenever that was written down.
    pub(crate) fn left_shelf(&self, from: NaiveDate, to: NaiveDate) -> Result<Vec<LeftShelf>, LedgerError> {
        // A local day begins up to a day before or after that of UTC.
        let begins = from
            .checked_sub_days(Days::new(1))
            .unwrap_or(from)
            .and_time(NaiveTime::MIN)
            .and_utc()
            .timestamp();
        // Nothing is written down before it happens. The entries are walked from the newest on, since only those of a
        // month or so are asked for.
        let mut statement = self.conn.prepare_cached(
            "SELECT p.name AS product, j.best_by FROM event v
             JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             JOIN jar j ON j.id = v.jar_id JOIN batch b ON b.id = j.batch_id JOIN product p ON p.id = b.product_id
             WHERE v.entry_id > coalesce((SELECT id FROM entry WHERE at < ?1 ORDER BY id DESC LIMIT 1), 0)
               AND v.from_state = 'sealed'
               AND (v.to_state = 'opened' OR v.to_state = 'used' OR v.to_state = 'given' OR v.to_state = 'discarded')
               AND v.on_date BETWEEN ?2 AND ?3",
        )?;
        let rows = statement.query_and_then((begins, from.to_string(), to.to_string()), |row| {
            Ok(LeftShelf { product: row.get("product")?, best_by: date(row, "best_by")? })
        })?;
        rows.collect()
    }
}

#[cfg(test)]
mod tests {
    use chrono::TimeDelta;

    use crate::ledger::tests::household::Household;
    use crate::ledger::tests::step::Step;
    use crate::rules::jar::jar_state::Act;

    #[test]
    fn jars_count_on_the_day_they_left_and_only_while_that_stands() {
        let mut household = Household::new();
        household.run(&Step::PutUp { product: 0, jars: 2, minutes: 20, canner: 0, lids: 0 }).unwrap();
        household.clock = household.clock.after(TimeDelta::hours(13));
        for jar in 0..2 {
            household.run(&Step::Check { jar, sealed: true }).unwrap();
        }
        household.clock = household.clock.after(TimeDelta::days(2));
        let today = household.clock.today();
        household.run(&Step::Do { jars: vec![0], act: Act::Open }).unwrap();
        let left = |days: i64| {
            let from = today - TimeDelta::days(days);
            household.ledger.left_shelf(from, from).unwrap().len()
        };
        assert_eq!((left(0), left(1)), (1, 0));
        household.run(&Step::Undo(0)).unwrap();
        assert_eq!(left(0), 0);
    }
}
