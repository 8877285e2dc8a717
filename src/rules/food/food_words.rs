//! The words of a food: read from what people type, and from the tables.

use std::collections::{BTreeSet, HashMap};
use std::sync::{LazyLock, Mutex, OnceLock, PoisonError};

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use crate::tables::foods;
use crate::tables::foods::Food;
use crate::tables::words;
use crate::values::names::everyday::singular;

/// Words that say nothing about the food.
pub(super) const IDLE: &[&str] = &[
    "a", "an", "and", "canned", "for", "from", "home", "in", "my", "n", "of", "or", "our", "some", "the",
    "with",
];

/// Words that say how food was cut, packed or come by, and leave it the same food.
pub(super) const HARMLESS: &[&str] = &[
    "canning",
    "chopped",
    "chunk",
    "cooked",
    "cubed",
    "cut",
    "diced",
    "fresh",
    "garden",
    "halved",
    "half",
    "heavy",
    "homegrown",
    "homemade",
    "hot",
    "jar",
    "light",
    "medium",
    "organic",
    "pack",
    "packed",
    "peeled",
    "piece",
    "pint",
    "plain",
    "quart",
    "raw",
    "ripe",
    "sliced",
    "slice",
    "syrup",
    "water",
    "whole",
];

/// What foods are made into, or kept as: a soup of squash is no squash, a paste of tomatoes no salsa, and chili beans
/// are no chili with beans.
pub(super) const MADE_INTO: &[&str] = &[
    "bisque",
    "blend",
    "brandy",
    "butter",
    "cake",
    "candy",
    "casserole",
    "catsup",
    "chili",
    "chowder",
    "chutney",
    "cobbler",
    "cocktail",
    "conserve",
    "curd",
    "curry",
    "dip",
    "dressing",
    "filling",
    "freezer",
    "fridge",
    "jam",
    "jelly",
    "jerky",
    "juice",
    "ketchup",
    "leather",
    "marmalade",
    "mincemeat",
    "paste",
    "pie",
    "powder",
    "preserve",
    "pudding",
    "puree",
    "refrigerator",
    "relish",
    "salad",
    "salsa",
    "sauce",
    "slaw",
    "soup",
    "spread",
    "stew",
    "stock",
    "syrup",
    "vinegar",
    "water",
    "wine",
];

/// A name of a tested food.
pub(super) struct TestedName {
    pub(super) food: &'static Food,
    /// Its words in their plainest form.
    pub(super) words: &'static BTreeSet<String>,
    /// Which of the words it is.
    pub(super) what: Option<String>,
}

/// Every name of every tested food: the keys first, then everyday words in the order of the table, then published names
/// as far as their first comma or bracket.
pub(super) fn tested_names() -> &'static [TestedName] {
    static NAMES: OnceLock<Vec<TestedName>> = OnceLock::new();
    NAMES.get_or_init(|| {
        let by_key = foods::all().map(|food| (food.id.as_str(), food));
        let by_word = words::all().iter().map(|row| {
            let food = foods::get(&row.food);
            (
                row.words.as_str(),
                food.expect("every everyday word leads to a listed food, as the tests check"),
            )
        });
        let by_head = foods::all().map(|food| (head(&food.name), food));
        let names = by_key.chain(by_word).chain(by_head);
        names
            .map(|(name, food)| TestedName { food, words: table_stems(name), what: what_it_is(name) })
            .collect()
    })
}

/// The foods with a name that passes a test, each once.
pub(super) fn with_names(wanted: impl Fn(&TestedName) -> bool) -> Vec<&'static Food> {
    let mut found: Vec<&'static Food> = Vec::new();
    for name in tested_names().iter().filter(|name| wanted(name)) {
        if !found.contains(&name.food) {
            found.push(name.food);
        }
    }
    found
}

/// The names of tested foods that are among the words.
pub(super) fn tested_within(asked: &BTreeSet<String>) -> Vec<BTreeSet<String>> {
    tested_names().iter().filter(|name| name.words.is_subset(asked)).map(|name| name.words.clone()).collect()
}

/// What a name says before it comes to what it leaves out.
pub(super) fn without_exceptions(name: &str) -> &str {
    name.split(" except ").next().unwrap_or_default()
}

/// What a name says is in the jar: "dairy-free" and "without pesto" say what is not.
pub(super) fn what_is_in_it(name: &str) -> String {
    let name = without_exceptions(name).to_lowercase();
    let mut said: Vec<&str> = Vec::new();
    let mut words =
        name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).peekable();
    while let Some(word) = words.next() {
        match word {
            "no" | "without" => {
                words.next();
            }
            // Pesto free of nuts is pesto, and free-range chicken is chicken.
            "free" if !words.peek().is_some_and(|next| matches!(*next, "from" | "of" | "range")) => {
                said.pop();
            }
            other => said.push(other),
        }
    }
    said.join(" ")
}

/// The words of a text in their plainest form, without idle ones.
pub(super) fn stems(text: &str) -> BTreeSet<String> {
    let mut text = text.to_lowercase();
    if !text.is_ascii() {
        // People leave out the accents of puree and jalapeno.
        text = text.nfd().filter(|letter| !is_combining_mark(*letter)).collect();
    }
    text.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !IDLE.contains(word))
        .map(singular)
        .collect()
}

/// The words of a text of the tables, as [`stems`] reads them: every name is held against them, so they are kept.
pub(super) fn table_stems(text: &'static str) -> &'static BTreeSet<String> {
    type Kept = HashMap<&'static str, &'static BTreeSet<String>>;
    static KEPT: LazyLock<Mutex<Kept>> = LazyLock::new(Mutex::default);
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    kept.entry(text).or_insert_with(|| Box::leak(Box::new(stems(text))))
}

/// A published name as far as its first comma or bracket.
pub(super) fn head(name: &str) -> &str {
    name.split([',', '(']).next().unwrap_or_default()
}

/// The words of a food's key and published name; what the name excepts is left out.
pub(super) fn name_stems(food: &Food) -> BTreeSet<String> {
    stems(&format!("{} {}", food.id.as_str(), without_exceptions(&food.name)))
}

/// The words that say which food it is.
pub(super) fn distinctive(words: &BTreeSet<String>) -> BTreeSet<String> {
    words.iter().filter(|word| !HARMLESS.contains(&word.as_str())).cloned().collect()
}

/// Words after which a name only says what goes with the food.
const WITH: &[&str] = &["for", "from", "in", "of", "with"];

/// The word that says what a name stands for: beef stew is a stew, and stew beef is beef. None where its words do not
/// simply follow each other, as in "jam, strawberry" and "beans and ham".
pub(super) fn what_it_is(name: &str) -> Option<String> {
    let name = name.to_lowercase();
    let said = name.split_whitespace().take_while(|word| !WITH.contains(word));
    let words: Vec<&str> =
        said.filter(|word| matches!(*word, "and" | "or") || !IDLE.contains(word)).collect();
    let is_joined = |word: &&str| IDLE.contains(word) || word.contains(|c: char| !c.is_alphanumeric());
    words.last().filter(|_| !words.iter().any(is_joined)).map(|word| singular(word))
}

/// Whether two phrases of the same words may mean the same food.
pub(super) fn is_same_thing(one: Option<&str>, other: Option<&str>) -> bool {
    let (Some(one), Some(other)) = (one, other) else { return true };
    one == other || !(MADE_INTO.contains(&one) || MADE_INTO.contains(&other))
}

/// What a food of the tables is made into, where its name says so.
pub(super) fn made_into(words: &BTreeSet<String>) -> BTreeSet<&str> {
    words.iter().map(String::as_str).filter(|word| MADE_INTO.contains(word)).collect()
}

/// Every word that the tables use for a food.
pub(super) fn words_of(food: &Food) -> BTreeSet<String> {
    let everyday = words::all().iter().filter(|row| row.food == food.id);
    everyday.flat_map(|row| table_stems(&row.words)).chain(&name_stems(food)).cloned().collect()
}

/// The foods that words name whole: by their key, by their published name as far as its first comma or bracket, or by
/// an everyday name.
///
/// `what` says which of the words it is, where that is known.
pub(super) fn named(words: &BTreeSet<String>, what: Option<&str>) -> Vec<&'static Food> {
    with_names(|name| name.words == words && is_same_thing(what, name.what.as_deref()))
}
