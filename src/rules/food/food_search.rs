//! Finding a food by everyday words, without ever choosing for the person.
//!
//! Words that name one food and no other are an answer: its key, its published name or
//! an everyday name, beside words that say nothing about the food. Everything else is a list to
//! choose from: a near word may stand for a food with another process. One shared
//! word among others that say something leads nowhere: banana bread is no pickle.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use crate::tables::foods;
use crate::tables::foods::Food;
use crate::tables::no_process;
use crate::tables::no_process::NoProcessRow;
use crate::tables::words;
use crate::values::kinds::food::FoodId;
use crate::values::names::everyday::singular;
use crate::values::names::named::named_enum;

/// How like two words must be for one to be a slip for the other (0 to 1).
const NEAR: f64 = 0.75;
/// Shortest word in which a slip is looked for: among three letters everything is near.
const SHORTEST_SLIP: usize = 4;
/// How many suggestions are shown.
const MOST: usize = 16;
/// How many ways to read several slips are tried.
const MOST_READINGS: usize = 16;
/// Words that say nothing about the food.
const IDLE: &[&str] = &[
    "a", "an", "and", "canned", "for", "from", "home", "in", "my", "of", "or", "our", "some", "the", "with",
];
/// Words that say how food was cut, packed or come by, and leave it the same food.
const HARMLESS: &[&str] = &[
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
    "homegrown",
    "homemade",
    "hot",
    "jar",
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
/// What spreads called butter are made of that have nothing of milk in them.
const NO_DAIRY: &[&str] = &[
    "almond",
    "apricot",
    "banana",
    "cashew",
    "cherry",
    "grape",
    "mango",
    "nut",
    "peach",
    "peanut",
    "pear",
    "plum",
    "quince",
    "seed",
    "strawberry",
    "sunflower",
];
/// Everyday names wider than the one food tested under them: most of what they name has another process or none, so
/// the food is offered and never taken.
const WIDE: &[&str] = &[
    "apple pie",
    "baby carrots",
    "bean and meat stew",
    "beans and meat",
    "beans with beef",
    "blueberry pie",
    "brussel sprouts",
    "brussels sprouts",
    "cauliflower",
    "cherry pie",
    "conserve",
    "curd",
    "escabeche",
    "fruit and nut jam",
    "fruit spread",
    "green tomato pie",
    "ice cream topping",
    "low sugar jam",
    "mango",
    "marinated beans",
    "meat and beans",
    "melon",
    "mini carrots",
    "peach pie",
    "reduced sugar jam",
    "relish",
    "shellfish",
    "stew beef",
    "sugar free jam",
    "watermelon",
    "yam bean",
];

named_enum! {
    /// Why a food is suggested.
    pub enum Likeness as "a likeness" {
        /// The words are an everyday name for it.
        EverydayName = "everyday name",
        /// Its published name has the words, or some of them.
        PublishedName = "published name",
        /// Two or more of the words are a name of it, and the others say more.
        SomeWords = "some of the words",
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
    /// The words name this food and no other.
    Exact(&'static Food),
    /// The foods that may be meant, likeliest first; none where nothing is like.
    Suggested(Vec<Suggestion>),
}

/// The food without any process that words name, if they do: such food is never taken for another.
///
/// A phrase names it among other words too. So does one word, unless it belongs to a tested food that the words name:
/// apple butter and butter beans are tested, rice pudding is not.
pub fn never(given: &str) -> Option<&'static NoProcessRow> {
    let asked = stems(without_exceptions(given));
    // Bread-and-butter zucchini is no zucchini bread.
    let tested: Vec<BTreeSet<String>> =
        if named(&asked).is_empty() { tested_within(&asked) } else { vec![asked.clone()] };
    let is_spread = asked.contains("butter") && NO_DAIRY.iter().any(|word| asked.contains(*word));
    let names = |(phrase, _): &&(BTreeSet<String>, &'static NoProcessRow)| {
        if is_spread && phrase.len() == 1 && phrase.contains("butter") {
            return false;
        }
        *phrase == asked || (phrase.is_subset(&asked) && !tested.iter().any(|name| phrase.is_subset(name)))
    };
    never_phrases().iter().find(names).map(|(_, row)| *row)
}

/// The rows of food without any process, each with its words in their plainest form.
fn never_phrases() -> &'static [(BTreeSet<String>, &'static NoProcessRow)] {
    static PHRASES: OnceLock<Vec<(BTreeSet<String>, &'static NoProcessRow)>> = OnceLock::new();
    PHRASES.get_or_init(|| no_process::all().iter().map(|row| (stems(&row.words), row)).collect())
}

/// Every name of a tested food, in its plainest form.
fn tested_names() -> &'static [BTreeSet<String>] {
    static NAMES: OnceLock<Vec<BTreeSet<String>>> = OnceLock::new();
    NAMES.get_or_init(|| {
        let names = foods::all().iter().flat_map(|food| [stems(food.id.as_str()), stems(head(&food.name))]);
        names.chain(words::all().iter().map(|row| stems(&row.words))).collect()
    })
}

/// Whether words are one of the names that say more than the food tested under them.
fn is_wide(asked: &BTreeSet<String>) -> bool {
    let telling = asked.iter().filter(|word| !HARMLESS.contains(&word.as_str())).cloned().collect();
    WIDE.iter().any(|name| stems(name) == telling)
}

/// The names of tested foods that are among the words.
fn tested_within(asked: &BTreeSet<String>) -> Vec<BTreeSet<String>> {
    tested_names().iter().filter(|name| name.is_subset(asked)).cloned().collect()
}

/// What a name says before it comes to what it leaves out.
fn without_exceptions(name: &str) -> &str {
    name.split(" except ").next().unwrap_or_default()
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
    match foods[..] {
        [] => {}
        [food] if likeness != Likeness::SomeWords && !is_wide(&asked) => return Found::Exact(food),
        _ => return suggest(foods, likeness),
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
pub(super) fn stems(text: &str) -> BTreeSet<String> {
    text.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !IDLE.contains(word))
        .map(singular)
        .collect()
}

/// A published name as far as its first comma or bracket.
fn head(name: &str) -> &str {
    name.split([',', '(']).next().unwrap_or_default()
}

/// The words of a food's key and of the head of its name.
fn head_stems(food: &Food) -> BTreeSet<String> {
    stems(&format!("{} {}", food.id.as_str(), head(&food.name)))
}

/// The words of a food's key and published name; what the name excepts is left out.
fn name_stems(food: &Food) -> BTreeSet<String> {
    stems(&format!("{} {}", food.id.as_str(), without_exceptions(&food.name)))
}

/// The foods whose names fit, best first.
fn matching(asked: &BTreeSet<String>) -> (Vec<&'static Food>, Likeness) {
    let telling: BTreeSet<String> =
        asked.iter().filter(|word| !HARMLESS.contains(&word.as_str())).cloned().collect();
    // What only says how food was packed names none.
    if telling.is_empty() {
        return (Vec::new(), Likeness::SomeWords);
    }
    for words in [asked, &telling] {
        let named = named(words);
        if !named.is_empty() {
            return (named, Likeness::EverydayName);
        }
        // A word alone is part of a name where the name is about it: banana peppers are no bananas.
        let stems_of = if words.len() > 1 { name_stems } else { head_stems };
        let within: Vec<_> = foods::all()
            .iter()
            .filter(|food| !words.is_empty() && words.is_subset(&stems_of(food)))
            .collect();
        if !within.is_empty() {
            return (within, Likeness::PublishedName);
        }
    }
    // Two words shared say more than one: green chile salsa with corn, but not banana bread.
    let longest = words::all()
        .iter()
        .map(|row| stems(&row.words))
        .filter(|phrase| phrase.len() > 1 && phrase.is_subset(&telling))
        .map(|phrase| phrase.len())
        .max();
    let Some(longest) = longest else { return (Vec::new(), Likeness::PublishedName) };
    let within = by_phrase(|phrase| phrase.len() == longest && phrase.is_subset(&telling));
    (within, Likeness::SomeWords)
}

/// The foods that words name whole: by their key, by their published name as far as its first comma or bracket, or by
/// an everyday name.
fn named(words: &BTreeSet<String>) -> Vec<&'static Food> {
    if words.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<&'static Food> =
        foods::all().iter().filter(|food| stems(food.id.as_str()) == *words).collect();
    let by_head = foods::all().iter().filter(|food| stems(head(&food.name)) == *words);
    for food in by_phrase(|phrase| phrase == words).into_iter().chain(by_head) {
        if !found.contains(&food) {
            found.push(food);
        }
    }
    found
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
    fn a_name_wider_than_its_one_tested_food_is_asked_about() {
        // Only the pickle, the sauce and the reduced-sugar spread of peaches have rows (USDA AIB 539, Guides 2, 6 and 7).
        assert_eq!(suggested("fresh cauliflower"), ["pickled-cauliflower-brussels-sprouts"]);
        assert_eq!(suggested("Low sugar jam"), ["peach-pineapple-spread"]);
        assert_eq!(suggested("mangoes"), ["mango-sauce"]);
        for name in WIDE {
            assert!(!suggested(name).is_empty(), "{name}");
        }
    }

    #[test]
    fn words_that_name_one_food_are_an_answer() {
        for key in [
            "green-beans",
            " Green Beans ",
            "GREEN-BEANS",
            "green bean",
            "snap beans",
            "our sliced green beans",
        ] {
            assert!(matches!(find(key), Found::Exact(food) if food.id.as_str() == "green-beans"), "{key}");
        }
        for several in ["beans", "okra pickle", "salsa", "Tomatoes"] {
            assert!(matches!(find(several), Found::Suggested(_) | Found::Exact(_)), "{several}");
        }
        assert!(matches!(find("salsa"), Found::Suggested(list) if list.len() > 9));
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
        for other in ["turnips", "bean stew", "rose-hips", "", "-", "s", "\u{1F41F}"] {
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
        assert!(suggested("tomatoes").len() >= 6);
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
    fn one_shared_word_among_others_leads_nowhere() {
        for words in ["fried okra", "banana bread pudding", "smoked peppers", "peach pit tea", "apple wood"] {
            assert_eq!(suggested(words), [""; 0], "{words}");
        }
        assert_eq!(suggested("banana"), [""; 0]);
    }

    #[test]
    fn no_slip_is_looked_for_in_three_letters() {
        assert_eq!(suggested("cor"), [""; 0]);
    }

    #[test]
    fn what_a_table_excepts_or_never_held_leads_nowhere() {
        // The fish table of Guide 5 leaves tuna out by name; it has its own.
        assert!(matches!(find("tuna"), Found::Exact(food) if food.id.as_str() == "tuna"));
        for words in ["turnips", "chocolate sauce", "eggs", "", " ", "-", "\u{1F41F}"] {
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
    fn everyday_questions_lead_where_the_publications_say() {
        let text = include_str!("../../../fixtures/food_questions.csv");
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let (mut asked, mut wrong) = (0, Vec::new());
        for row in reader.deserialize() {
            let (words, answer, keys): (String, String, String) = row.unwrap();
            asked += 1;
            let found = find(&words);
            let shown: Vec<&str> = match &found {
                Found::Exact(food) => vec![food.id.as_str()],
                Found::Suggested(list) => list.iter().map(|one| one.food.id.as_str()).collect(),
            };
            let is_right = match answer.as_str() {
                "never" => never(&words).is_some() && shown.is_empty(),
                "none" => never(&words).is_none() && shown.is_empty(),
                "which" => never(&words).is_none() && keys.split(' ').all(|key| shown.contains(&key)),
                key => matches!(found, Found::Exact(food) if food.id.as_str() == key),
            };
            if !is_right {
                wrong.push(format!(
                    "{words}: {answer} {keys}, and got {shown:?}, never: {}",
                    never(&words).is_some()
                ));
            }
        }
        assert!(asked >= 150, "{asked}");
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    #[test]
    fn every_food_is_reached_by_three_everyday_words_or_a_part_of_its_name() {
        for food in foods::all() {
            let names = words::all().iter().filter(|row| row.food == food.id).count();
            let is_reached = |words: &str| match find(words) {
                Found::Exact(found) => found.id == food.id,
                Found::Suggested(list) => list.iter().any(|one| one.food.id == food.id),
            };
            let by_name = is_reached(head(&food.name)) || is_reached(food.id.as_str());
            assert!(names >= 3 || by_name, "{}: {names}", food.id);
            // A word that is the key of another food leads there: okra, and pickled okra.
            let is_key = |words: &str| words.parse().is_ok_and(|id| foods::get(&id).is_some());
            for row in words::all().iter().filter(|row| row.food == food.id && !is_key(&row.words)) {
                assert!(is_reached(&row.words), "{} by {}", food.id, row.words);
            }
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
