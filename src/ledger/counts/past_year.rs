//! What was put up since a day, and what became of jars since then, by product.

use chrono::NaiveDate;

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;

/// What a product went through since a day. Each jar counts once among those that left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SinceThen {
    pub product: String,
    /// Jars put up, those left out that went into a new load.
    pub put_up: u32,
    /// Jars eaten or being eaten, or emptied into another batch; those of which the rest was thrown away left out.
    pub eaten: u32,
    /// Jars given away.
    pub given: u32,
    /// Jars thrown away.
    pub thrown_away: u32,
}

impl Ledger {
    /// Counts what was put up, eaten, given and thrown away on `since` or later; products without any are left out.
    pub(crate) fn since_then(&self, since: NaiveDate) -> Result<Vec<SinceThen>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT p.name AS product,
                    count(*) FILTER (WHERE t.what = 'put-up') AS put_up,
                    count(*) FILTER (WHERE t.what = 'eaten') AS eaten,
                    count(*) FILTER (WHERE t.what = 'given') AS given,
                    count(*) FILTER (WHERE t.what = 'thrown-away') AS thrown_away
             FROM (SELECT b.product_id, 'put-up' AS what
                   FROM batch b JOIN jar j ON j.batch_id = b.id AND j.state NOT IN ('void', 'reprocessed')
                   WHERE b.put_up >= ?1
                   UNION ALL
                   SELECT b.product_id,
                          CASE WHEN v.act = 'discard' THEN 'thrown-away' WHEN v.act = 'give' THEN 'given'
                               ELSE 'eaten' END
                   FROM event v
                   JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                   JOIN jar j ON j.id = v.jar_id
                   JOIN batch b ON b.id = j.batch_id
                   WHERE v.on_date >= ?1
                     AND (v.act IN ('discard', 'give')
                          OR ((v.act IN ('open', 'use') OR (v.act = 'finish' AND v.from_state <> 'opened'))
                              AND j.state <> 'discarded'))) t
             JOIN product p ON p.id = t.product_id
             GROUP BY p.id
             ORDER BY p.name_key",
        )?;
        let rows = statement.query_and_then([since.to_string()], |row| {
            Ok(SinceThen {
                product: row.get("product")?,
                put_up: row.get("put_up")?,
                eaten: row.get("eaten")?,
                given: row.get("given")?,
                thrown_away: row.get("thrown_away")?,
            })
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
    fn each_jar_that_left_counts_once_and_only_while_that_stands() {
        let mut household = Household::new();
        household.run(&Step::PutUp { product: 0, jars: 4, minutes: 20, canner: 0, lids: 0 }).unwrap();
        let put_up_on = household.clock.today();
        household.clock = household.clock.after(TimeDelta::hours(13));
        for jar in 0..4 {
            household.run(&Step::Check { jar, sealed: jar != 3 }).unwrap();
        }
        household.clock = household.clock.after(TimeDelta::days(2));
        let today = household.clock.today();
        household.run(&Step::Do { jars: vec![0, 1], act: Act::Open }).unwrap();
        household.run(&Step::Do { jars: vec![2], act: Act::Give }).unwrap();
        // The rest of an opened jar goes: it is waste, not food.
        household.run(&Step::Do { jars: vec![1], act: Act::Discard }).unwrap();
        household.run(&Step::Do { jars: vec![0], act: Act::Finish }).unwrap();
        let counts = |household: &Household, since| {
            let all = household.ledger.since_then(since).unwrap();
            all.iter().map(|of| (of.put_up, of.eaten, of.given, of.thrown_away)).collect::<Vec<_>>()
        };
        assert_eq!(counts(&household, put_up_on), [(4, 1, 1, 1)]);
        assert_eq!(counts(&household, today), [(0, 1, 1, 1)]);
        assert_eq!(counts(&household, today + TimeDelta::days(1)), []);
    }
}
