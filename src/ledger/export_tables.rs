//! The tables of a ledger as they are exported: the data dictionary.

/// One table.
#[derive(Debug, PartialEq, Eq)]
pub struct Table {
    /// Its name.
    pub name: &'static str,
    /// What a row is.
    pub about: &'static str,
    /// The columns its rows are ordered by, which no two rows share.
    pub(super) key: &'static str,
    /// Its columns, in order.
    pub columns: &'static [&'static str],
}

/// Every table, each after those it refers to.
pub const TABLES: &[Table] = &[
    Table {
        name: "ledger",
        about: "the ledger itself; made_at is an instant",
        key: "id",
        columns: &["id", "uuid", "made_at"],
    },
    Table {
        name: "entry",
        about: "one command that changed something; reverses: the entry it takes back; effective 0: taken back",
        key: "id",
        columns: &["id", "uuid", "command", "summary", "at", "at_offset", "on_date", "reverses", "effective"],
    },
    Table {
        name: "setting",
        about: "choices of the household; the last row in force for a key holds",
        key: "id",
        columns: &["id", "entry_id", "key", "value"],
    },
    Table {
        name: "product",
        about: "names of products; name_key: what they are found by",
        key: "id",
        columns: &["id", "name", "name_key"],
    },
    Table { name: "place", about: "names of places", key: "id", columns: &["id", "name", "name_key"] },
    Table { name: "lid_lot", about: "names of lid lots", key: "id", columns: &["id", "name", "name_key"] },
    Table {
        name: "canner",
        about: "canners",
        key: "id",
        columns: &["id", "entry_id", "name", "name_key", "method"],
    },
    Table {
        name: "canner_capacity",
        about: "how many jars of a size a canner takes",
        key: "canner_id, size",
        columns: &["canner_id", "size", "jars"],
    },
    Table {
        name: "gauge_test",
        about: "tests of dial gauges",
        key: "id",
        columns: &["id", "entry_id", "canner_id", "on_date", "new_gauge", "note"],
    },
    Table {
        name: "gauge_point",
        about: "what a gauge read beside the true pressure, in hundredths of a psi",
        key: "gauge_test_id, reads, actual",
        columns: &["gauge_test_id", "reads", "actual"],
    },
    Table {
        name: "household_process",
        about: "tested processes the household added; psi in hundredths, headspace in inches",
        key: "id",
        columns: &[
            "id",
            "entry_id",
            "food",
            "acidity",
            "pack",
            "size",
            "method",
            "altitude_min_ft",
            "altitude_max_ft",
            "minutes",
            "psi",
            "vent_min",
            "headspace",
            "publication",
            "page",
            "published_on",
        ],
    },
    Table {
        name: "batch",
        about: "one cooked lot of one product; year: its last two digits; origin import: no process record",
        key: "id",
        columns: &[
            "id",
            "entry_id",
            "year",
            "number",
            "product_id",
            "food",
            "acidity",
            "pack",
            "put_up",
            "origin",
            "note",
        ],
    },
    Table {
        name: "ingredient_lot",
        about: "lots of what went into a batch",
        key: "batch_id, ingredient, lot",
        columns: &["batch_id", "ingredient", "lot", "lot_key"],
    },
    Table {
        name: "load",
        about: "one canner-full; pressure in hundredths of a psi; reached_at, ended_at, out_at are instants",
        key: "id",
        columns: &[
            "id",
            "batch_id",
            "number",
            "canner_id",
            "altitude",
            "pressure",
            "pressure_entered",
            "minutes",
            "vent_min",
            "come_up_min",
            "acid",
            "reached_at",
            "ended_at",
            "out_at",
            "out_offset",
            "went_wrong",
            "verdict",
            "findings",
        ],
    },
    Table {
        name: "load_drop",
        about: "pressure lost and regained",
        key: "load_id, number",
        columns: &["load_id", "number", "told"],
    },
    Table {
        name: "judgement",
        about: "every verdict ever given on a load",
        key: "id",
        columns: &["id", "load_id", "entry_id", "verdict", "findings"],
    },
    Table {
        name: "jar",
        about: "one jar; born: how it came into the ledger; state, place_id and held as they are now",
        key: "id",
        columns: &[
            "id",
            "batch_id",
            "number",
            "size",
            "load_id",
            "lid_lot_id",
            "best_by",
            "born",
            "born_place_id",
            "state",
            "place_id",
            "held",
            "note",
        ],
    },
    Table {
        name: "event",
        about: "one thing that happened to a jar; at is an instant",
        key: "id",
        columns: &[
            "id",
            "jar_id",
            "entry_id",
            "act",
            "from_state",
            "to_state",
            "at",
            "at_offset",
            "on_date",
            "place_id",
            "who",
            "why",
        ],
    },
    Table {
        name: "seal_check",
        about: "how a lid was tested; early 1: before 12 hours",
        key: "event_id",
        columns: &["event_id", "jar_id", "sealed", "test", "early"],
    },
    Table {
        name: "hold",
        about: "a jar withheld from eating",
        key: "id",
        columns: &["id", "jar_id", "entry_id", "cause", "reason"],
    },
    Table {
        name: "hold_release",
        about: "a hold let go",
        key: "id",
        columns: &["id", "hold_id", "entry_id", "reason"],
    },
    Table {
        name: "correction",
        about: "one field amended, with the value it had",
        key: "id",
        columns: &["id", "entry_id", "subject", "subject_id", "field", "old_value", "new_value", "reason"],
    },
    Table {
        name: "supply",
        about: "empties, lids and bands counted; the last row in force for a kind and name holds",
        key: "id",
        columns: &["id", "entry_id", "kind", "name", "on_hand"],
    },
    Table {
        name: "label_sheet",
        about: "sheets of labels the household described",
        key: "id",
        columns: &["id", "entry_id", "name", "name_key", "definition"],
    },
    Table {
        name: "import_row",
        about: "rows that were imported, so that none comes in twice",
        key: "key",
        columns: &["key", "batch_id"],
    },
];

impl Table {
    /// Finds a table by its name.
    pub fn named(name: &str) -> Option<&'static Self> {
        TABLES.iter().find(|table| table.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The schema itself, read back from SQLite.
    #[test]
    fn the_dictionary_names_every_table_and_column_of_the_schema() {
        let fresh = rusqlite::Connection::open_in_memory().unwrap();
        fresh.execute_batch(include_str!("../../migrations/0001_ledger.sql")).unwrap();
        let mut found = fresh
            .prepare(
                "SELECT m.name, group_concat(c.name, ' ') FROM sqlite_schema m, pragma_table_info(m.name) c
                 WHERE m.type = 'table' GROUP BY m.name ORDER BY m.rowid",
            )
            .unwrap();
        let found: Vec<(String, String)> =
            found.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect();
        let told: Vec<(String, String)> =
            TABLES.iter().map(|table| (table.name.to_owned(), table.columns.join(" "))).collect();
        assert_eq!(told, found);
    }
}
