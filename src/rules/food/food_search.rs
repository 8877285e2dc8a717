//! Finding a food by everyday words, without ever choosing for the person.
//!
//! Only the key itself, however spaced, is an answer. Everything else is a list
//! of suggestions to choose from: a near word may stand for a food with another
//! process.

use std::collections::BTreeSet;

use crate::tables::foods;
use crate::tables::foods::Food;
use crate::tables::no_process;
use crate::tables::no_process::NoProcessRow;
use crate::tables::words;
use crate::values::kinds::food::FoodId;
use crate::values::names::named::named_enum;

/// How like two words must be for one to be a slip for the other (0 to 1).
const NEAR: f64 = 0.75;
/// Shortest word in which a slip is looked for: among three letters everything is near.
const SHORTEST_SLIP: usize = 4;
/// How many suggestions are told.
const MOST: usize = 6;
/// How many ways to read several slips are tried.
const MOST_READINGS: usize = 16;
/// Words that say nothing about the food.
const IDLE: &[&str] = &["a", "and", "canned", "for", "home", "in", "of", "or", "some", "the", "with"];
/// Words that tell foods of one kind apart but do not point to a food by themselves.
const GENERIC: &[&str] = &[
    "added", "black", "chunk", "cubed", "diced", "dried", "dry", "fresh", "green", "halved", "hot", "juice",
    "liquid", "mixed", "other", "packed", "pickled", "piece", "quick", "raw", "red", "sauce", "sliced",
    "sour", "standard", "stewed", "strip", "style", "sweet", "water", "white", "whole", "without",
];

named_enum! {
    /// Why a food is suggested.
    pub enum Likeness as "a likeness" {
        /// The words are an everyday name for it.
        EverydayName = "everyday name",
        /// Its published name has the words, or some of them.
        PublishedName = "published name",
        /// The words are nearly one of its names.
        NearSpelling = "near spelling",
    }
}

/// A food that may be meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Suggestion {
    /// The food.
    pub food: &'static Food,
    /// Why it is suggested.
    pub likeness: Likeness,
}

/// What everyday words lead to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// The words are the key of this food.
    Exact(&'static Food),
    /// The foods that may be meant, likeliest first; at most six, and none where nothing is like.
    Suggested(Vec<Suggestion>),
}

/// The food without any process that words name, if they do: such food is never taken for another.
///
/// One word alone names it only as the whole question, since apple butter and butter beans are tested; a phrase also
/// names it among other words.
pub fn never(given: &str) -> Option<&'static NoProcessRow> {
    let asked = stems(given);
    let names = |row: &&NoProcessRow| {
        let phrase = stems(&row.words);
        phrase == asked || (phrase.len() > 1 && phrase.is_subset(&asked))
    };
    no_process::all().iter().find(names)
}

/// Looks for the foods that words may mean; none where they name a food that must not be canned.
pub fn find(given: &str) -> Found {
    let key = given.trim().to_lowercase().split_whitespace().collect::<Vec<_>>().join("-");
    if let Some(food) = key.parse::<FoodId>().ok().and_then(|id| foods::get(&id)) {
        return Found::Exact(food);
    }
    if never(given).is_some() {
        return Found::Suggested(Vec::new());
    }
    let asked = stems(given);
    let suggest = |foods: Vec<&'static Food>, likeness| {
        Found::Suggested(foods.into_iter().take(MOST).map(|food| Suggestion { food, likeness }).collect())
    };
    let (foods, likeness) = matching(&asked);
    if !foods.is_empty() {
        return suggest(foods, likeness);
    }
    let mut near = Vec::new();
    for food in respellings(&asked).iter().flat_map(|reading| matching(reading).0) {
        if !near.contains(&food) {
            near.push(food);
        }
    }
    suggest(near, Likeness::NearSpelling)
}

/// The foods that a text names but for case, spaces, hyphens, plural endings and the order of its words: by their key, their published name,
/// as it is whole or before its first comma or bracket, or an everyday word for them.
///
/// Where such a text stands for anything but these foods, it is a way round what is tested for them.
pub fn named_alike(given: &str) -> Vec<&'static Food> {
    let asked = run_together(given);
    let words = stems(given);
    let is_alike = |name: &str| {
        if !words.is_empty() && stems(name) == words {
            return true;
        }
        let name = run_together(name);
        asked.iter().any(|asked| !asked.is_empty() && name.contains(asked))
    };
    let head = |name: &'static str| name.split([',', '(']).next().unwrap_or_default();
    let by_name = |food: &&Food| is_alike(food.id.as_str()) || is_alike(&food.name);
    let mut found: Vec<&'static Food> = foods::all().iter().filter(by_name).collect();
    if found.is_empty() {
        found.extend(foods::all().iter().filter(|food| is_alike(head(&food.name))));
        for row in words::all().iter().filter(|row| is_alike(&row.words)) {
            found.extend(foods::get(&row.food).filter(|food| !found.contains(food)));
        }
    }
    found
}

/// A text without what lies between its words, each word singular or only the last.
fn run_together(text: &str) -> [String; 2] {
    let text = text.to_lowercase();
    let words = || text.split(|letter: char| !letter.is_alphanumeric());
    [words().map(singular).collect(), singular(&words().collect::<String>())]
}

/// The words of a text in their plainest form, without idle ones.
fn stems(text: &str) -> BTreeSet<String> {
    text.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !IDLE.contains(word))
        .map(singular)
        .collect()
}

/// A word without its plural ending, roughly; both sides of a comparison go through here.
fn singular(word: &str) -> String {
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        return format!("{stem}y");
    }
    let es = ["oes", "ches", "shes"].iter().any(|ending| word.ends_with(ending));
    let stem = if es { word.strip_suffix("es") } else { word.strip_suffix('s') };
    stem.filter(|stem| stem.len() > 2 && !stem.ends_with('s')).unwrap_or(word).to_owned()
}

/// The words of a food's key and published name; what the name excepts is left out.
fn name_stems(food: &Food) -> BTreeSet<String> {
    let name = food.name.split(" except ").next().unwrap_or_default();
    stems(&format!("{} {name}", food.id.as_str()))
}

/// The foods whose names fit, best first.
fn matching(asked: &BTreeSet<String>) -> (Vec<&'static Food>, Likeness) {
    if asked.is_empty() {
        return (Vec::new(), Likeness::PublishedName);
    }
    let everyday = by_phrase(|phrase| phrase == asked);
    if !everyday.is_empty() {
        return (everyday, Likeness::EverydayName);
    }
    let whole: Vec<_> = foods::all().iter().filter(|food| asked.is_subset(&name_stems(food))).collect();
    if !whole.is_empty() {
        return (whole, Likeness::PublishedName);
    }
    let longest = words::all()
        .iter()
        .map(|row| stems(&row.words))
        .filter(|phrase| phrase.is_subset(asked))
        .map(|phrase| phrase.len())
        .max();
    let within = by_phrase(|phrase| phrase.is_subset(asked) && Some(phrase.len()) == longest);
    if !within.is_empty() {
        return (within, Likeness::EverydayName);
    }
    let telling = |food: &Food| {
        name_stems(food).intersection(asked).filter(|word| !GENERIC.contains(&word.as_str())).count()
    };
    let mut partly: Vec<_> = foods::all().iter().filter(|food| telling(food) > 0).collect();
    partly.sort_by_key(|food| std::cmp::Reverse(telling(food)));
    (partly, Likeness::PublishedName)
}

/// The foods of the everyday phrases that pass a test, in the order of the table, each once.
fn by_phrase(wanted: impl Fn(&BTreeSet<String>) -> bool) -> Vec<&'static Food> {
    let mut found: Vec<&'static Food> = Vec::new();
    for row in words::all().iter().filter(|row| wanted(&stems(&row.words))) {
        let food =
            foods::get(&row.food).expect("every everyday word leads to a listed food, as the tests check");
        if !found.contains(&food) {
            found.push(food);
        }
    }
    found
}

/// The ways to read the words with every slip replaced by one of the nearest words known.
fn respellings(asked: &BTreeSet<String>) -> Vec<BTreeSet<String>> {
    let mut known: BTreeSet<String> = foods::all().iter().flat_map(name_stems).collect();
    known.extend(words::all().iter().flat_map(|row| stems(&row.words)));
    let mut readings = vec![BTreeSet::new()];
    for word in asked {
        let near = if word.chars().count() < SHORTEST_SLIP || known.contains(word) {
            vec![word]
        } else {
            nearest(word, &known)
        };
        readings = readings
            .iter()
            .flat_map(|reading| {
                near.iter().map(|&other| reading.iter().cloned().chain([other.clone()]).collect())
            })
            .take(MOST_READINGS)
            .collect();
    }
    readings
}

/// The known words that are most like a word, itself if none is near.
fn nearest<'a>(word: &'a String, known: &'a BTreeSet<String>) -> Vec<&'a String> {
    let likeness = |other: &String| strsim::normalized_damerau_levenshtein(word, other);
    let best = known.iter().map(likeness).fold(NEAR, f64::max);
    let near: Vec<&String> = known.iter().filter(|other| likeness(other) >= best).collect();
    if near.is_empty() { vec![word] } else { near }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn suggested(words: &str) -> Vec<&'static str> {
        match find(words) {
            Found::Exact(food) => panic!("{words} is exactly {}", food.id),
            Found::Suggested(list) => list.iter().map(|one| one.food.id.as_str()).collect(),
        }
    }

    #[test]
    fn only_the_key_itself_is_an_answer() {
        for key in ["green-beans", " Green Beans ", "GREEN-BEANS", "green  beans"] {
            assert!(matches!(find(key), Found::Exact(food) if food.id.as_str() == "green-beans"), "{key}");
        }
        for near in ["green bean", "greenbeans", "snap beans", "peach"] {
            assert!(matches!(find(near), Found::Suggested(_)), "{near}");
        }
    }

    #[test]
    fn a_name_is_a_food_s_own_however_it_is_run_together() {
        let alike = |text: &str| named_alike(text).iter().map(|food| food.id.as_str()).collect::<Vec<_>>();
        for near in ["green-beans", "greenbeans", "greenbean", "Green Bean", "GREEN_BEANS", " green  beans"] {
            assert_eq!(alike(near), ["green-beans"], "{near}");
        }
        // Everyday words, common usage, and the published names, whole or before the first comma.
        for (text, foods) in [
            ("String beans", &["green-beans"][..]),
            ("stringbean", &["green-beans"]),
            ("venison", &["ground-meat", "meat-chunks"]),
            ("Corn", &["corn-whole-kernel", "corn-cream-style"]),
            ("carrot", &["carrots"]),
            ("Berry", &["berries"]),
            ("Tomatoes, crushed, no added liquid", &["tomatoes-crushed"]),
            ("pickled beet", &["pickled-beets"]),
            ("soup", &["soup"]),
        ] {
            let mut told = alike(text);
            told.sort_unstable();
            let mut foods = foods.to_vec();
            foods.sort_unstable();
            assert_eq!(told, foods, "{text}");
        }
        for other in ["turnips", "bean stew", "rose-hips", "corn relish", "", "-", "s", "\u{1F41F}"] {
            assert_eq!(alike(other), [""; 0], "{other}");
        }
    }

    #[test]
    fn everyday_words_lead_to_foods_to_choose_from() {
        // Common usage, no source.
        for (words, first) in [
            ("string beans", "green-beans"),
            ("String Bean", "green-beans"),
            ("deer", "meat-chunks"),
            ("venison", "meat-chunks"),
            ("stock", "meat-stock"),
            ("broth", "meat-stock"),
            ("salmon", "fish"),
            ("kraut", "sauerkraut"),
            ("garbanzo", "beans-peas-dried-shelled"),
            ("chickpeas", "beans-peas-dried-shelled"),
            ("blueberry", "berries"),
            ("peach", "peaches"),
            ("tomato juice", "tomato-juice"),
        ] {
            match find(words) {
                Found::Exact(food) => assert_eq!(food.id.as_str(), first, "{words}"),
                Found::Suggested(list) => assert_eq!(list[0].food.id.as_str(), first, "{words}"),
            }
        }
        assert_eq!(suggested("deer"), ["meat-chunks", "ground-meat"]);
        assert_eq!(suggested("tomatoes").len(), 6);
        assert_eq!(suggested("our canned string beans in pints"), ["green-beans"]);
    }

    #[test]
    fn slips_are_suggested_and_marked() {
        for (slip, meant) in [
            ("asparagas", "asparagus"),
            ("grean beens", "green-beans"),
            ("sauerkruat", "sauerkraut"),
            ("samlon", "fish"),
        ] {
            let Found::Suggested(list) = find(slip) else { panic!("{slip}") };
            assert!(list.iter().any(|one| one.food.id.as_str() == meant), "{slip}: {list:?}");
            assert!(list.iter().all(|one| one.likeness == Likeness::NearSpelling), "{slip}");
        }
    }

    #[test]
    fn a_plural_is_read_as_its_singular() {
        // English spelling, common usage.
        for (plural, one) in [
            ("berries", "berry"),
            ("fries", "fry"),
            ("pies", "pie"),
            ("tomatoes", "tomato"),
            ("peaches", "peach"),
            ("radishes", "radish"),
            ("pears", "pear"),
            ("peas", "pea"),
            ("gas", "gas"),
            ("glass", "glass"),
            ("corn", "corn"),
        ] {
            assert_eq!(singular(plural), one);
        }
    }

    #[test]
    fn one_telling_word_among_others_is_enough_and_is_no_slip() {
        let Found::Suggested(list) = find("fried okra") else { panic!("no food is called so") };
        let told: Vec<_> = list.iter().map(|one| (one.food.id.as_str(), one.likeness)).collect();
        assert_eq!(told, [("okra", Likeness::PublishedName)]);
    }

    #[test]
    fn no_slip_is_looked_for_in_three_letters() {
        assert_eq!(suggested("cor"), [""; 0]);
    }

    #[test]
    fn what_a_table_excepts_or_never_held_leads_nowhere() {
        // The fish table of Guide 5 leaves tuna out by name.
        for words in ["tuna", "turnips", "chocolate sauce", "eggs", "", " ", "-", "\u{1F41F}"] {
            assert_eq!(suggested(words), [""; 0], "{words}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_searched_without_panic(text in "\\PC{0,40}") {
            if let Found::Suggested(list) = find(&text) {
                proptest::prop_assert!(list.len() <= MOST);
            }
        }
    }

    #[test]
    fn food_that_must_not_be_canned_is_known_by_its_words() {
        // Kansas State University Extension (pumpkin); Clemson Cooperative Extension (summer squash); Penn State
        // Extension, What not to can (bread, dairy, eggs, oil, pesto, starch, puree); National Center for Home Food
        // Preservation (smoked seafood, horseradish); University of Wisconsin Extension (white peaches); University
        // of Maine Extension (elderberries).
        for words in [
            "pumpkin butter",
            "Spiced Pumpkin Butter",
            "butter, pumpkin",
            "zucchini",
            "Courgettes",
            "yellow squash",
            "banana bread",
            "Grandma's zucchini bread",
            "cake in a jar",
            "butter",
            "cream",
            "milk",
            "cheese",
            "eggs",
            "pickled eggs",
            "garlic in oil",
            "peppers in oil",
            "infused oil",
            "pesto",
            "pasta",
            "rice",
            "noodles",
            "chicken noodle soup",
            "gravy",
            "refried beans",
            "mashed potatoes",
            "smoked oysters",
            "blue crab",
            "horseradish",
            "white peaches",
            "white peaches in syrup",
            "white nectarine",
            "white nectarines",
            "elderberries",
            "elderberry jelly",
            "banana puree",
            "baby food",
        ] {
            assert!(never(words).is_some(), "{words}");
            assert_eq!(find(words), Found::Suggested(Vec::new()), "{words}");
        }
    }

    #[test]
    fn no_tested_food_is_taken_for_one_that_must_not_be_canned() {
        for words in [
            "apple butter",
            "butter beans",
            "cream-style corn",
            "creamed corn",
            "tomatoes with zucchini",
            "bread and butter pickles",
            "peaches",
            "crab",
            "smoked salmon",
            "green beans",
            "chicken soup",
        ] {
            assert_eq!(never(words), None, "{words}");
        }
        for food in foods::all() {
            assert_eq!(never(&food.name), None, "{}", food.name);
            assert_eq!(never(&food.id.as_str().replace('-', " ")), None, "{}", food.id);
        }
        for row in words::all() {
            assert_eq!(never(&row.words), None, "{}", row.words);
        }
    }

    #[test]
    fn the_words_of_a_food_in_another_order_still_name_it() {
        let keys =
            |words: &str| named_alike(words).iter().map(|food| food.id.to_string()).collect::<Vec<_>>();
        assert_eq!(keys("beans-green"), ["green-beans"]);
        assert_eq!(keys("Beans, green"), ["green-beans"]);
    }
}
