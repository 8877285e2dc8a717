//! A product's name held against the food it is said to be.
//!
//! A jar labelled "Green beans" that was processed as peaches is opened as green beans. So the name is read with the
//! everyday words of the tables, and where it names food that must not be canned, or food that needs more against
//! botulism than the food it is said to be, somebody has to say why.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::OnceLock;

use crate::rules::food::food_words::{
    distinctive, head, stems, table_stems, what_is_in_it, without_exceptions, words_of,
};
use crate::rules::food::never_food::{is_no_dairy, respelt_never};
use crate::rules::food::untested::{in_pickles_too, is_seafood, never_in_pickles};
use crate::tables::foods;
use crate::tables::foods::{AcidNeed, Food, FoodKind};
use crate::tables::no_process;
use crate::tables::no_process::NoProcessRow;
use crate::tables::processes;
use crate::tables::words;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::Acidity;
use crate::values::names::name::Name;

/// Words that tell foods of one kind apart but point to no food by themselves; common usage, no source.
const GENERIC: &[&str] = &[
    "black", "blend", "chunk", "diced", "dried", "dry", "festive", "fresh", "green", "halved", "hot",
    "juice", "liquid", "mixed", "piece", "quick", "raw", "red", "relish", "sauce", "sliced", "sour", "spicy",
    "stock", "style", "sweet", "syrup", "tangy", "water", "white", "whole",
];
/// Words that say a vegetable was put in vinegar; common usage, no source.
const PICKLED: &[&str] =
    &["chutney", "dill", "dilly", "marinated", "pickle", "pickled", "relish", "salsa", "vinegar"];
/// The vegetable of tested salsas.
const PEPPERS: &str = "peppers";
/// The soup that takes the longest.
const SEAFOOD_SOUP: &str = "soup-with-seafood";
/// The never-food that fruit spreads are named after.
const BUTTER: &str = "butter";

/// Another food that a product's name names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameConflict {
    /// Food that must not be canned.
    Never(&'static NoProcessRow),
    /// Food of the tables that needs more.
    Other(&'static Food),
    /// Low-acid food of the tables that takes longer than the low-acid food it is said to be.
    Longer(&'static Food),
    /// Low-acid food that the tables do not hold.
    Untested(&'static str),
}

impl fmt::Display for NameConflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Never(row) => write!(f, "it names {}, which must not be canned: {row}", row.words),
            Self::Longer(food) => write!(f, "it names {}, whose tested process takes longer", food.id),
            Self::Untested(word) => write!(f, "it names {word}, which is low-acid food"),
            Self::Other(Food { id, acidity: Acidity::LowAcid, .. }) => {
                write!(f, "it names {id}, which is low-acid food")
            }
            Self::Other(food) => write!(f, "it names {}, which needs acid added", food.id),
        }
    }
}

/// What to type where a name is doubted.
pub const WAY_OUT: &str = "correct the name or the food; if both are right, say why with --name-reason TEXT";

impl NameConflict {
    /// The conflict in a sentence, with the product and the food it is said to be.
    pub fn of(&self, product: &Name, food: Option<&FoodId>) -> String {
        let said = food.map_or_else(|| "food that no table knows".to_owned(), ToString::to_string);
        format!("{product} cannot be {said}: {self}")
    }
}

type Stems = BTreeSet<String>;

/// What a phrase stands for in the tables.
#[derive(Debug, Default)]
struct Meaning {
    never: Option<&'static NoProcessRow>,
    foods: Vec<&'static Food>,
    /// Those whose very name it is.
    named: Vec<&'static Food>,
}

/// Every phrase of the tables by its words, but those that point to no food by themselves.
fn phrases() -> &'static BTreeMap<&'static Stems, Meaning> {
    static PHRASES: OnceLock<BTreeMap<&'static Stems, Meaning>> = OnceLock::new();
    PHRASES.get_or_init(|| {
        let mut phrases: BTreeMap<&'static Stems, Meaning> = BTreeMap::new();
        let mut add = |text: &'static str, with: &dyn Fn(&mut Meaning)| {
            let words = table_stems(text);
            if !words.iter().all(|word| GENERIC.contains(&word.as_str())) {
                with(phrases.entry(words).or_default());
            }
        };
        for food in foods::all() {
            for text in own_names(food) {
                add(text, &|meaning| {
                    meaning.foods.push(food);
                    meaning.named.push(food);
                });
            }
        }
        for row in words::all() {
            add(&row.words, &|meaning| meaning.foods.extend(foods::get(&row.food)));
        }
        for row in no_process::all() {
            add(&row.words, &|meaning| meaning.never = Some(row));
        }
        phrases
    })
}

/// A food's key, and its published name up to the first comma or bracket.
fn own_names(food: &'static Food) -> [&'static str; 2] {
    [food.id.as_str(), without_exceptions(head(&food.name))]
}

/// How much more a food needs than another: acid less than acidified, acidified less than low-acid.
const fn need(acidity: Acidity) -> u8 {
    match acidity {
        Acidity::Acid => 0,
        Acidity::Acidified => 1,
        Acidity::LowAcid => 2,
    }
}

/// Whether a product's name names another food than the one it is said to be, and one that needs more.
///
/// `acidity` is that of the food by the tables, or by the household's word. Where low-acid food goes by the name of
/// another, or a soup by that of seafood, the time decides. Of food nobody calls anything, only what must not be canned is
/// in doubt.
pub fn name_conflict(product: &str, food: Option<&FoodId>, acidity: Option<Acidity>) -> Option<NameConflict> {
    // What a name excepts is not in the jar.
    let asked = run_apart(stems(&what_is_in_it(product)));
    let asked = respelt_never(&asked).unwrap_or(asked);
    let known = food.and_then(foods::get);
    let given = need(known.map(|food| food.acidity).or(acidity).unwrap_or(Acidity::LowAcid));
    // A name of the household's own vouches for nothing.
    let own_words = known.map(words_of).unwrap_or_default();
    let within: Vec<(&Stems, &Meaning)> = phrases()
        .iter()
        .map(|(phrase, meaning)| (*phrase, meaning))
        .filter(|(phrase, _)| phrase.is_subset(&asked))
        .collect();
    let fruit = |meaning: &Meaning| meaning.foods.iter().any(|food| food.acidity == Acidity::Acid);
    let is_fruit_spread = within.iter().any(|(phrase, meaning)| fruit(meaning) && !phrase.contains(BUTTER));
    for (phrase, meaning) in &within {
        let is_whole = **phrase == asked;
        let is_bare_name =
            !meaning.named.is_empty() && meaning.named.iter().all(|other| need(other.acidity) > given);
        let is_own = meaning.foods.iter().any(|other| Some(&other.id) == food) && !(is_whole && is_bare_name);
        let is_part =
            within.iter().any(|(longer, _)| phrase.len() < longer.len() && phrase.is_subset(longer));
        if is_own || (!is_whole && (is_part || phrase.is_subset(&own_words))) {
            continue;
        }
        if let Some(row) = meaning.never {
            if (row.words == BUTTER && is_fruit_spread) || is_no_dairy(phrase, &asked) {
                continue;
            }
            return Some(NameConflict::Never(row));
        }
        if let Some(longer) = known.and_then(|food| longer(food, meaning, **phrase == distinctive(&asked))) {
            return Some(NameConflict::Longer(longer));
        }
        let stricter = |other: &&&Food| need(other.acidity) > given;
        let all_stricter = meaning.foods.iter().all(|other| need(other.acidity) > given);
        // Vegetables are pickled, and peppers go into salsa; meat and fish into no recipe of the tables.
        let is_pickle = known.is_none_or(|food| food.kind == FoodKind::Pickle);
        let excused = given > 0
            && asked.iter().any(|word| PICKLED.contains(&word.as_str()))
            && meaning.foods.iter().filter(stricter).all(|other| {
                other.kind == FoodKind::Vegetable && (is_pickle || other.id.as_str() == PEPPERS)
            });
        if !excused
            && (all_stricter || is_bare_name)
            && let Some(other) = meaning.foods.iter().filter(stricter).max_by_key(|other| need(other.acidity))
        {
            return Some(NameConflict::Other(other));
        }
    }
    let names = |word: &str| asked.contains(word) && !own_words.contains(word);
    if let Some(soup) =
        known.filter(|food| food.kind == FoodKind::Soup && is_seafood(names)).and_then(seafood_soup)
    {
        return Some(NameConflict::Longer(soup));
    }
    let nowhere = never_in_pickles(names).filter(|_| given < need(Acidity::LowAcid));
    // A relish of the household's own is no fruit, whatever acidity it is said to have.
    let is_own_pickle = known.is_none() && asked.iter().any(|word| PICKLED.contains(&word.as_str()));
    let holds_none = !is_own_pickle && (given == need(Acidity::Acid) || known.is_some_and(is_dosed_alone));
    let other = in_pickles_too(names).filter(|_| holds_none);
    nowhere.or(other).map(NameConflict::Untested)
}

/// The low-acid food that a phrase stands for, where all it may mean takes longer than the low-acid food at hand. What
/// seafood makes of a soup is the soup with seafood; anything else may be in one.
fn longer(food: &Food, meaning: &Meaning, is_whole: bool) -> Option<&'static Food> {
    if food.kind == FoodKind::Soup {
        let is_seafood = meaning.foods.iter().all(|other| other.kind == FoodKind::Fish);
        return is_seafood.then(|| seafood_soup(food)).flatten();
    }
    let takes_longer =
        |other: &Food| other.acidity == Acidity::LowAcid && most_minutes(food) < least_minutes(other);
    let is_meant =
        is_whole && food.acidity == Acidity::LowAcid && meaning.foods.iter().all(|other| takes_longer(other));
    meaning.foods.first().copied().filter(|_| is_meant)
}

/// The soup with seafood, where this is another.
fn seafood_soup(food: &Food) -> Option<&'static Food> {
    foods::all().find(|other| other.id.as_str() == SEAFOOD_SOUP && other.id != food.id)
}

/// The minutes of every process of a food in its smallest listed jar.
fn minutes(food: &Food) -> impl Iterator<Item = u32> {
    let smallest = processes::of(&food.id).map(|row| row.size).min();
    processes::of(&food.id).filter(move |row| Some(row.size) == smallest).map(|row| row.minutes)
}

fn least_minutes(food: &Food) -> u32 {
    minutes(food).min().unwrap_or_default()
}

fn most_minutes(food: &Food) -> u32 {
    minutes(food).max().unwrap_or(u32::MAX)
}

/// Whether the acid for a jar is measured for this fruit or these tomatoes and nothing besides.
fn is_dosed_alone(food: &Food) -> bool {
    food.acid == AcidNeed::InJar && matches!(food.kind, FoodKind::Fruit | FoodKind::Tomato)
}

/// The words with every one that is a name of two words written as one taken apart.
fn run_apart(asked: Stems) -> Stems {
    let mut apart = Stems::new();
    for word in asked {
        let name = phrases().keys().find(|name| {
            let mut parts = name.iter();
            let (Some(one), Some(other), None) = (parts.next(), parts.next(), parts.next()) else {
                return false;
            };
            word == format!("{one}{other}") || word == format!("{other}{one}")
        });
        match name {
            Some(name) => apart.extend(name.iter().cloned()),
            None => {
                apart.insert(word);
            }
        }
    }
    apart
}

/// Whether a product's name names food that is acid by the tables, and nothing that needs more.
pub(super) fn names_acid_food(product: &str) -> bool {
    let asked = stems(product);
    let acid = |meaning: &Meaning| meaning.foods.iter().any(|food| food.acidity == Acidity::Acid);
    name_conflict(product, None, Some(Acidity::Acid)).is_none()
        && phrases().iter().any(|(phrase, meaning)| acid(meaning) && phrase.is_subset(&asked))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn conflict(product: &str, food: &str) -> Option<NameConflict> {
        let food: FoodId = food.parse().unwrap();
        assert!(foods::get(&food).is_some(), "{food}");
        name_conflict(product, Some(&food), None)
    }

    #[test]
    fn low_acid_food_that_no_table_holds_is_caught_too() {
        // Which food is low-acid: common knowledge, no source; food that is in no table has no tested process here.
        for (product, food) in [
            ("Bacon jam", "jam-jelly"),
            ("Shrimp", "pickled-pearl-onions"),
            ("Garlic jelly", "jam-jelly"),
            ("Red onion jam", "jam-jelly"),
            ("Bananas", "peaches"),
            ("Coconut milk", "berry-syrup"),
            ("Stock", "apple-juice"),
            ("Olives", "grapes-whole"),
        ] {
            let found = conflict(product, food);
            assert!(matches!(found, Some(NameConflict::Untested(_))), "{product} as {food}: {found:?}");
        }
        // Vinegar is what pickles have against it, and garlic is in many.
        for (product, food) in [
            ("Garlic dills", "dill-pickles-fresh-pack"),
            ("Pickled onions", "pickled-pearl-onions"),
            ("Banana peppers", "pickled-hot-peppers"),
            ("Salsa with onion and garlic", "choice-salsa"),
        ] {
            assert_eq!(conflict(product, food), None, "{product} as {food}");
        }
        // A slip hides no food that must not be canned.
        assert!(matches!(conflict("Zuchini", "peaches"), Some(NameConflict::Never(_))));
    }

    #[test]
    fn a_name_that_names_food_needing_more_is_caught() {
        // Which food is low-acid, and which must not be canned: the tables. The words: common usage, no source.
        for (product, food, named) in [
            ("Green beans", "peaches", "green-beans"),
            ("Grandma's green beans 2026", "peaches", "green-beans"),
            ("Green beans", "dilly-beans", "green-beans"),
            // The bare name of the vegetable says nothing of vinegar.
            ("Beets", "pickled-beets", "beets"),
            ("Pickled trout", "dilly-beans", "fish"),
            ("Chicken soup", "applesauce", "soup"),
            ("Trout", "jam-jelly", "fish"),
            ("Clam chowder", "tomato-juice", "clams"),
            ("Tuna", "peaches", "tuna"),
            ("Low sugar fig jam", "jam-jelly", "figs"),
            ("Corn on the side", "jam-jelly", "corn"),
            ("Spaghetti sauce with meat", "tomato-sauce-standard", "spaghetti-sauce-with-meat"),
            ("Tomato jam", "jam-jelly", "tomato"),
            ("Sweet potato butter", "apple-butter", "sweet-potatoes"),
        ] {
            match conflict(product, food) {
                Some(NameConflict::Other(other)) => {
                    assert!(other.id.as_str().starts_with(named), "{product} as {food}: {}", other.id);
                }
                other => panic!("{product} as {food}: {other:?}"),
            }
        }
        for (product, food) in [
            ("Pesto", "jam-jelly"),
            ("Basil pesto", "jam-jelly"),
            ("Pumpkin butter", "apple-butter"),
            ("Zucchini", "applesauce"),
            ("Banana bread", "bread-and-butter-pickles"),
            ("Garlic in oil", "dilly-beans"),
            ("Pesto", "green-beans"),
        ] {
            let found = conflict(product, food);
            assert!(matches!(found, Some(NameConflict::Never(_))), "{product} as {food}: {found:?}");
        }
    }

    #[test]
    fn a_name_that_fits_its_food_is_let_be() {
        for (product, food) in [
            ("Peaches", "peaches"),
            ("Peaches in light syrup", "peaches"),
            ("Peach butter", "jam-jelly"),
            ("Apple butter", "apple-butter"),
            ("Strawberry jam", "jam-jelly"),
            ("Bread and butter pickles", "bread-and-butter-pickles"),
            ("Dilly beans", "dilly-beans"),
            ("Pickled green beans", "dilly-beans"),
            ("Pickled beets", "pickled-beets"),
            ("Pickled okra", "dilly-beans"),
            ("Green tomato pickles", "dill-pickles-fresh-pack"),
            ("Tomatoes", "tomatoes-crushed"),
            ("Green beans", "green-beans"),
            ("Chicken soup", "soup"),
            ("Butter beans", "lima-beans"),
            ("Salsa", "choice-salsa"),
            ("Sweet cherries", "cherries"),
            ("Green grape juice", "grape-juice"),
            ("Tuesday's jars", "peaches"),
            ("Gift", "jam-jelly"),
            // Soup is a mixture, and its time covers what the guide lets into it.
            ("Ham and bean soup", "soup"),
            ("Split pea soup", "soup"),
            ("Beef stew", "soup"),
            ("Venison stock", "meat-stock"),
            ("Deer", "meat-chunks"),
            ("Tuna", "fish"),
        ] {
            assert_eq!(conflict(product, food), None, "{product} as {food}");
        }
    }

    #[test]
    fn low_acid_food_by_the_name_of_one_that_takes_longer_is_caught() {
        // Minutes in pints (USDA AIB 539, Guides 4 and 5): snap beans 20, asparagus 30, meat 75, dried beans 75, fish
        // and soup with seafood 100; soup 60.
        for (product, food) in [
            ("Kidney beans", "green-beans"),
            ("Salmon", "asparagus"),
            ("Fish", "meat-chunks"),
            ("Fish chowder", "soup"),
            ("Clam chowder", "soup"),
            ("Shrimp gumbo", "soup"),
        ] {
            let found = conflict(product, food);
            assert!(matches!(found, Some(NameConflict::Longer(_))), "{product} as {food}: {found:?}");
        }
        for (product, food) in
            [("Green beans", "beans-peas-dried-shelled"), ("Fish chowder", "soup-with-seafood")]
        {
            assert_eq!(conflict(product, food), None, "{product} as {food}");
        }
    }

    #[test]
    fn what_households_write_on_jars_is_doubted_where_it_must_be_and_nowhere_else() {
        let text = include_str!("../../../fixtures/product_names.csv");
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let mut wrong = Vec::new();
        for row in reader.deserialize() {
            let (product, food, answer, ground): (String, String, String, String) = row.unwrap();
            let found = conflict(&product, &food);
            if found.is_some() != (answer == "refused") {
                wrong.push(format!("{product} as {food} ({ground}): {answer}, and got {found:?}"));
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    #[test]
    fn every_food_goes_by_its_own_name() {
        let mut caught = Vec::new();
        for food in foods::all() {
            for name in [food.name.as_str(), food.id.as_str()] {
                if let Some(conflict) = name_conflict(name, Some(&food.id), None) {
                    caught.push(format!("{name} as {}: {conflict:?}", food.id));
                }
            }
        }
        assert!(caught.is_empty(), "{caught:#?}");
    }

    #[test]
    fn a_household_s_word_is_doubted_like_a_table_s() {
        let own: FoodId = "grandmas-mix".parse().unwrap();
        assert!(name_conflict("Grandma's green beans", Some(&own), Some(Acidity::Acid)).is_some());
        assert!(name_conflict("Grandma's green beans", None, Some(Acidity::Acidified)).is_some());
        assert_eq!(name_conflict("Grandma's green beans", Some(&own), Some(Acidity::LowAcid)), None);
        assert_eq!(name_conflict("Grandma's mix", Some(&own), Some(Acidity::Acid)), None);
    }
}
