//! Food that must not be canned, or has no process at all, known by its words.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use crate::rules::food::food_words::{
    named, stems, table_stems, tested_names, tested_within, what_is_in_it, what_it_is,
};
use crate::tables::no_process;
use crate::tables::no_process::NoProcessRow;

/// The same for a word of a food that must not be canned.
const NEAR_NEVER: f64 = 0.85;

/// Shortest word in which a slip for such a word is looked for.
const SHORTEST_NEVER_SLIP: usize = 6;

/// What spreads called butter are made of that have nothing of milk in them.
const NO_DAIRY: &[&str] = &[
    "almond",
    "apricot",
    "banana",
    "cashew",
    "blackberry",
    "blueberry",
    "cherry",
    "cranberry",
    "fig",
    "grape",
    "mango",
    "nectarine",
    "nut",
    "peach",
    "peanut",
    "pear",
    "plum",
    "quince",
    "raspberry",
    "rhubarb",
    "seed",
    "strawberry",
    "sunflower",
    "tomato",
];

/// What is pressed into a milk that has nothing of dairy in it.
const PLANT_MILK: &[&str] = &["almond", "cashew", "coconut", "hemp", "oat", "soy"];

/// The food without any process that words name, if they do: such food is never taken for another.
///
/// A phrase names it among other words too. So does one word, unless it belongs to a tested food that the words name:
/// apple butter and butter beans are tested, rice pudding is not.
pub fn never(given: &str) -> Option<&'static NoProcessRow> {
    let asked = stems(&what_is_in_it(given));
    let what = what_it_is(given);
    never_of(&asked, what.as_deref()).or_else(|| never_of(&respelt_never(&asked)?, what.as_deref()))
}

fn never_of(asked: &BTreeSet<String>, what: Option<&str>) -> Option<&'static NoProcessRow> {
    // Bread-and-butter zucchini is no zucchini bread.
    let tested: Vec<BTreeSet<String>> =
        if named(asked, what).is_empty() { tested_within(asked) } else { vec![asked.clone()] };
    let names = |(phrase, _): &&(&'static BTreeSet<String>, &'static NoProcessRow)| {
        if is_no_dairy(phrase, asked) {
            return false;
        }
        *phrase == asked || (phrase.is_subset(asked) && !tested.iter().any(|name| phrase.is_subset(name)))
    };
    never_phrases().iter().find(names).map(|(_, row)| *row)
}

/// The words with every slip in a word of the foods that must not be canned put right; none where there is no slip.
///
/// Only long words that begin alike are read so: mustard is no custard, and broad beans are no bread.
pub(super) fn respelt_never(asked: &BTreeSet<String>) -> Option<BTreeSet<String>> {
    static KNOWN: OnceLock<BTreeSet<&'static String>> = OnceLock::new();
    let known = KNOWN.get_or_init(|| never_phrases().iter().flat_map(|(phrase, _)| *phrase).collect());
    let tested = |word: &String| tested_names().iter().any(|name| name.words.contains(word));
    let meant = |word: &String| {
        if word.chars().count() < SHORTEST_NEVER_SLIP || known.contains(word) || tested(word) {
            return None;
        }
        let alike = |other: &&&String| {
            other.chars().next() == word.chars().next()
                && (letters(other) == letters(word)
                    || strsim::normalized_damerau_levenshtein(word, other) >= NEAR_NEVER)
        };
        known.iter().find(alike).map(|other| (*other).clone())
    };
    let respelt = asked.iter().map(|word| meant(word).unwrap_or_else(|| word.clone())).collect();
    (respelt != *asked).then_some(respelt)
}

/// The letters of a word in the order of the alphabet: the same in a word whose letters changed places.
fn letters(word: &str) -> Vec<char> {
    let mut letters: Vec<char> = word.chars().collect();
    letters.sort_unstable();
    letters
}

/// Whether a word for dairy, among those asked, stands for something made without milk: fig butter, and coconut milk.
pub(super) fn is_no_dairy(phrase: &BTreeSet<String>, asked: &BTreeSet<String>) -> bool {
    let has = |list: &[&str]| list.iter().any(|word| asked.contains(*word));
    let is = |dairy: &str| phrase.len() == 1 && phrase.contains(dairy);
    (is("butter") && (has(NO_DAIRY) || has(PLANT_MILK))) || ((is("milk") || is("cream")) && has(PLANT_MILK))
}

/// The rows of food without any process, each with its words in their plainest form.
fn never_phrases() -> &'static [(&'static BTreeSet<String>, &'static NoProcessRow)] {
    static PHRASES: OnceLock<Vec<(&'static BTreeSet<String>, &'static NoProcessRow)>> = OnceLock::new();
    PHRASES.get_or_init(|| no_process::all().iter().map(|row| (table_stems(&row.words), row)).collect())
}
