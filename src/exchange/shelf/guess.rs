//! Which of our columns a heading of somebody's own list most likely means. A guess is shown, and taken only with a yes.

use crate::exchange::shelf::columns::{COLUMNS, ColumnChoice};

/// What people head their columns with, by our names.
const HEADINGS: [(&str, &[&str]); 8] = [
    (
        "product",
        &[
            "item",
            "items",
            "contents",
            "content",
            "what",
            "what is it",
            "food item",
            "name",
            "description",
            "product name",
            "in the jar",
        ],
    ),
    (
        "put_up",
        &[
            "date",
            "put up",
            "date put up",
            "canned",
            "canned on",
            "date canned",
            "canning date",
            "made",
            "made on",
            "date made",
            "packed",
            "packed on",
            "processed",
            "when",
        ],
    ),
    ("jar", &["size", "jar size", "jars size", "jar type", "container", "container size", "size of jar"]),
    (
        "count",
        &[
            "qty",
            "quantity",
            "amount",
            "how many",
            "number",
            "jars",
            "number of jars",
            "no of jars",
            "jar count",
            "in stock",
            "on hand",
        ],
    ),
    ("place", &["location", "shelf", "where", "stored", "stored in", "storage", "room", "storage location"]),
    (
        "best_by",
        &[
            "best before",
            "use by",
            "expires",
            "expires on",
            "expiration",
            "expiration date",
            "eat by",
            "best by date",
            "good until",
        ],
    ),
    ("note", &["notes", "comment", "comments", "remark", "remarks", "memo"]),
    ("pack", &["pack type", "packing", "hot or raw", "hot raw"]),
];

/// What one heading is taken for.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Taken {
    /// The heading in the file.
    pub heading: String,
    /// Our column; none: it is left out.
    pub column: Option<&'static str>,
    /// Whether nobody said so.
    pub guessed: bool,
}

/// What every heading is taken for, and the same as a choice.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Guess {
    /// In the order of the file.
    pub taken: Vec<Taken>,
    /// With what the user said.
    pub choice: ColumnChoice,
}

impl Guess {
    /// Whether any of it is a guess.
    pub(crate) fn is_guessed(&self) -> bool {
        self.taken.iter().any(|taken| taken.guessed)
    }

    /// Takes what was said, then our own names, then the first heading that means a column still open; the rest is left
    /// out.
    pub fn of<'h>(header: impl Iterator<Item = &'h str>, said: &ColumnChoice) -> Self {
        let ours =
            |name: &str| COLUMNS.iter().map(|column| column.0).find(|ours| simple(ours) == simple(name));
        let mut taken: Vec<Taken> = header
            .map(|heading| {
                let heading = heading.trim().to_owned();
                let is = |theirs: &str| theirs.trim().to_lowercase() == heading.to_lowercase();
                let mapped = said.map.iter().find(|(theirs, _)| is(theirs)).and_then(|(_, name)| ours(name));
                let ignored = said.ignore.iter().any(|theirs| is(theirs));
                let column = mapped.or_else(|| ours(&heading).filter(|_| !ignored));
                Taken { guessed: column.is_none() && !ignored, column, heading }
            })
            .collect();
        for (ours, words) in HEADINGS {
            if taken.iter().any(|taken| taken.column == Some(ours)) {
                continue;
            }
            let means = |taken: &&mut Taken| {
                taken.guessed && taken.column.is_none() && words.contains(&simple(&taken.heading).as_str())
            };
            if let Some(found) = taken.iter_mut().find(means) {
                found.column = Some(ours);
            }
        }
        let mut choice = said.clone();
        for Taken { heading, column, .. } in
            taken.iter().filter(|taken| taken.guessed && !taken.heading.is_empty())
        {
            match column {
                Some(ours) => choice.map.push((heading.clone(), (*ours).to_owned())),
                None => choice.ignore.push(heading.clone()),
            }
        }
        // What is spelt with a space or a hyphen is ours all the same.
        for Taken { heading, column, .. } in taken.iter().filter(|taken| !taken.guessed) {
            if let Some(ours) = column.filter(|ours| !heading.eq_ignore_ascii_case(ours))
                && !choice.map.iter().any(|(theirs, _)| theirs.trim().eq_ignore_ascii_case(heading))
            {
                choice.map.push((heading.clone(), ours.to_owned()));
            }
        }
        Self { taken, choice }
    }
}

/// A heading in lower case, its words with one space between them.
fn simple(heading: &str) -> String {
    let words: Vec<String> = heading
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(header: &[&str], said: &ColumnChoice) -> Vec<(String, Option<&'static str>, bool)> {
        let guess = Guess::of(header.iter().copied(), said);
        guess.taken.into_iter().map(|taken| (taken.heading, taken.column, taken.guessed)).collect()
    }

    #[test]
    fn headings_of_somebodys_own_list_are_guessed_and_the_rest_left_out() {
        assert_eq!(
            taken(&["Item", "Qty", "Size", "Location", "Date Canned", "Color"], &ColumnChoice::default()),
            [
                ("Item".to_owned(), Some("product"), true),
                ("Qty".to_owned(), Some("count"), true),
                ("Size".to_owned(), Some("jar"), true),
                ("Location".to_owned(), Some("place"), true),
                ("Date Canned".to_owned(), Some("put_up"), true),
                ("Color".to_owned(), None, true),
            ]
        );
    }

    #[test]
    fn what_was_said_and_our_own_names_come_before_any_guess() {
        let said = ColumnChoice {
            map: vec![("what".to_owned(), "note".to_owned())],
            ignore: vec!["shelf".to_owned()],
        };
        assert_eq!(
            taken(&["What", "Item", "product", "Best by", "Shelf", "Date", "Made"], &said),
            [
                ("What".to_owned(), Some("note"), false),
                // There is a product already: it is not taken twice.
                ("Item".to_owned(), None, true),
                ("product".to_owned(), Some("product"), false),
                ("Best by".to_owned(), Some("best_by"), false),
                ("Shelf".to_owned(), None, false),
                ("Date".to_owned(), Some("put_up"), true),
                ("Made".to_owned(), None, true),
            ]
        );
    }
}
