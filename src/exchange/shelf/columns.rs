//! Which column of a file is which of ours.

use std::collections::HashMap;

use strsim::damerau_levenshtein;

use crate::exchange::problem::{Problem, Problems};
use crate::values::names::quoted::quoted;

/// The columns of a shelf: name, whether it must be there, and what is in it.
pub const COLUMNS: [(&str, bool, &str); 12] = [
    ("product", true, "what is in the jars"),
    ("put_up", true, "the day it was put up, such as 2026-07-04 or July 4, 2026"),
    (
        "jar",
        true,
        "the jar's size: quarter-pint, half-pint, three-quarter-pint, pint, pint-and-half, quart, half-gallon",
    ),
    ("count", false, "how many such jars (1 where the column is missing or the cell empty)"),
    ("place", false, "where they stand"),
    ("best_by", false, "best quality until, a date (the product's months after put_up where empty)"),
    ("food", false, "the food of the process tables, such as green-beans"),
    ("pack", false, "hot or raw"),
    ("id", false, "the other list's own name for the row; a row with the same id comes in once"),
    ("note", false, "anything"),
    ("vouched", false, "your word, and whose, that the process was right, though none is on record here"),
    ("name_reason", false, "why a name that names another food than the food column is right"),
];

/// What the user says about a file's columns.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ColumnChoice {
    /// Theirs and ours.
    pub map: Vec<(String, String)>,
    /// Theirs, to be passed over.
    pub ignore: Vec<String>,
}

/// Where each of our columns stands in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::exchange) struct Columns {
    /// For each of [`COLUMNS`], its position and heading there.
    found: [Option<(usize, String)>; COLUMNS.len()],
    /// Cells in a row.
    pub(in crate::exchange) width: usize,
}

impl Columns {
    /// Position and heading of one of ours.
    pub(in crate::exchange) fn at(&self, ours: &str) -> Option<&(usize, String)> {
        self.found[COLUMNS.iter().position(|column| column.0 == ours)?].as_ref()
    }

    /// Reads the header; the error holds everything wrong with it at once.
    pub(in crate::exchange) fn read<'h>(
        header: impl Iterator<Item = &'h str>,
        choice: &ColumnChoice,
    ) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        let mut found: [Option<(usize, String)>; COLUMNS.len()] = Default::default();
        let mut seen: HashMap<String, usize> = HashMap::new();
        let mut width = 0;
        for (at, heading) in header.enumerate() {
            width = at + 1;
            let heading = heading.trim();
            if heading.is_empty() {
                problems.add(Problem::of_line(1, format!("column {width} has no heading")));
                continue;
            }
            if let Some(before) = seen.insert(heading.to_lowercase(), width) {
                problems.add(Problem::of_line(
                    1,
                    format!("columns {before} and {width} are both headed \u{201c}{heading}\u{201d}"),
                ));
                continue;
            }
            if choice.ignore.iter().any(|ignored| same(ignored, heading)) {
                continue;
            }
            let mapped = choice.map.iter().find(|(theirs, _)| same(theirs, heading));
            let ours = mapped.map_or(heading, |(_, ours)| ours);
            match COLUMNS.iter().position(|column| same(column.0, ours)) {
                None => problems.add(unknown(heading, width)),
                Some(which) => match &found[which] {
                    Some((before, other)) => problems.add(Problem::of_line(
                        1,
                        format!(
                            "columns {} \u{201c}{other}\u{201d} and {width} \u{201c}{heading}\u{201d} are both taken as {}",
                            before + 1,
                            COLUMNS[which].0
                        ),
                    )),
                    None => found[which] = Some((at, heading.to_owned())),
                },
            }
        }
        for theirs in choice.map.iter().map(|(theirs, _)| theirs).chain(&choice.ignore) {
            if !seen.contains_key(&theirs.trim().to_lowercase()) {
                problems.add(Problem::of_line(1, format!("there is no column \u{201c}{theirs}\u{201d}")));
            }
        }
        if found.iter().all(Option::is_none)
            && seen.keys().any(|heading| heading.starts_with(|c: char| c.is_ascii_digit()))
        {
            let mut no_heads = Problems::default();
            no_heads.add(
                Problem::of_line(1, "the first line must name the columns, and this one looks like a row")
                    .hint("put a line such as product,jar,put_up in front"),
            );
            return Err(no_heads);
        }
        for (which, (name, needed, _)) in COLUMNS.iter().enumerate() {
            if *needed && found[which].is_none() {
                problems.add(
                    Problem::of_line(1, format!("there is no column {name}"))
                        .hint(format!("say which it is with --map THEIRS={name}")),
                );
            }
        }
        if problems.is_empty() { Ok(Self { found, width }) } else { Err(problems) }
    }
}

fn same(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

fn unknown(heading: &str, at: usize) -> Problem {
    let near = COLUMNS
        .iter()
        .map(|column| (damerau_levenshtein(column.0, &heading.to_lowercase()), column.0))
        .min()
        .filter(|(distance, _)| *distance <= 2);
    let take = near.map_or_else(
        || format!("--map {}=OURS", quoted(heading)),
        |(_, ours)| format!("--map {}={ours}", quoted(heading)),
    );
    Problem::of_line(1, format!("column {at} \u{201c}{heading}\u{201d} is an unknown column"))
        .hint(format!("{take} takes it, --ignore {} leaves it out", quoted(heading)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems_of(header: &[&str], choice: &ColumnChoice) -> Vec<String> {
        let problems = Columns::read(header.iter().copied(), choice).unwrap_err();
        problems.kept.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn every_problem_of_a_header_is_reported_at_once() {
        assert_eq!(
            problems_of(&["product", "Product", "", "put_upp", "size"], &ColumnChoice::default()),
            [
                "line 1, columns 1 and 2 are both headed “Product”",
                "line 1, column 3 has no heading",
                "line 1, column 4 “put_upp” is an unknown column (--map put_upp=put_up takes it, --ignore put_upp leaves it out)",
                "line 1, column 5 “size” is an unknown column (--map size=OURS takes it, --ignore size leaves it out)",
                "line 1, there is no column put_up (say which it is with --map THEIRS=put_up)",
                "line 1, there is no column jar (say which it is with --map THEIRS=jar)",
            ]
        );
    }

    #[test]
    fn columns_come_in_any_order_under_any_name_that_was_said() {
        let choice = ColumnChoice {
            map: vec![
                ("Was ist drin".to_owned(), "product".to_owned()),
                ("Glas".to_owned(), "jar".to_owned()),
            ],
            ignore: vec!["Farbe".to_owned()],
        };
        let columns =
            Columns::read(["Glas", "farbe", "PUT_UP", "Was ist drin"].into_iter(), &choice).unwrap();
        assert_eq!(columns.at("product").unwrap().0, 3);
        assert_eq!(columns.at("put_up").unwrap().0, 2);
        assert_eq!(columns.at("jar").unwrap().0, 0);
        assert_eq!(columns.at("note"), None);
    }

    #[test]
    fn a_list_without_headings_is_told_so_alone() {
        assert_eq!(
            problems_of(&["Pears", "7", "quart", "2025-08-02"], &ColumnChoice::default()),
            [
                "line 1, the first line must name the columns, and this one looks like a row (put a line such as \
                 product,jar,put_up in front)"
            ]
        );
    }

    #[test]
    fn a_column_named_and_not_there_is_a_mistake() {
        let choice = ColumnChoice { map: Vec::new(), ignore: vec!["colour".to_owned()] };
        assert_eq!(
            problems_of(&["product", "put_up", "jar"], &choice),
            ["line 1, there is no column “colour”"]
        );
    }
}
