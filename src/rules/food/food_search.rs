//! Finding a food by everyday words, without ever choosing for the person.
//!
//! Words that name one food and no other are an answer: its key, its published name or
//! an everyday name, beside words that say nothing about the food. Everything else is a list to
//! choose from: a near word may stand for a food with another process. One shared
//! word among others that say something leads nowhere: banana bread is no pickle.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use crate::rules::food::food_words::{
    IDLE, MADE_INTO, TestedName, distinctive, head, is_same_thing, made_into, name_stems, named, stems,
    table_stems, tested_names, what_it_is, with_names, words_of,
};
use crate::rules::food::never_food::never;
use crate::rules::food::untested::is_untested;
use crate::tables::foods;
use crate::tables::foods::{AcidNeed, Food, FoodKind};
use crate::tables::words;
use crate::values::kinds::food::FoodId;
use crate::values::names::everyday::singular;
use crate::values::names::named::named_enum;

/// How like two words must be for one to be a slip for the other (0 to 1).
const NEAR: f64 = 0.75;

/// Shortest word in which a slip is looked for: among three letters everything is near.
const SHORTEST_SLIP: usize = 4;

/// The same for a word that stands alone: limes are no limas, and beer is no beef.
const SHORTEST_SLIP_ALONE: usize = 5;

/// Shortest word whose first letter may be the slip.
const LONG_ENOUGH_TO_BEGIN_WRONG: usize = 7;

/// How many suggestions are shown.
const MOST: usize = 16;

/// How many ways to read several slips are tried.
const MOST_READINGS: usize = 16;

/// Words that tell foods apart and name none by themselves: there is no food called sugar because some have none added.
const TELLING_APART: &[&str] = &[
    "added", "dry", "free", "green", "no", "quick", "red", "reduced", "sodium", "sour", "spicy", "style",
    "sugar", "sweet", "tangy", "white",
];

/// Words that say something was done to food which its tested process does not cover: fried, dried or stuffed it is
/// another food, unless its own name says so. Common usage, no source.
const DONE_TO_IT: &[&str] = &[
    "brandied",
    "breaded",
    "candied",
    "creamed",
    "curried",
    "dehydrated",
    "dried",
    "fermented",
    "fried",
    "mashed",
    "pickled",
    "pureed",
    "smoked",
    "stuffed",
];

/// How published names say that food is cut.
const CUT: &[&str] = &["cubed", "diced", "halved", "piece", "sliced", "slices"];

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
    "tomato relish",
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

/// Whether words are one of the names that say more than the food tested under them.
fn is_wide(asked: &BTreeSet<String>) -> bool {
    WIDE.iter().any(|name| *table_stems(name) == distinctive(asked))
}

/// Whether words speak of whole food where it was tested cut.
fn is_left_uncut(asked: &BTreeSet<String>, food: &Food) -> bool {
    let tested = stems(&food.name);
    asked.contains("whole") && !tested.contains("whole") && CUT.iter().any(|cut| tested.contains(*cut))
}

/// Looks for the foods that words may mean; none where they name a food that must not be canned.
pub fn find(given: &str) -> Found {
    let key = given.trim().to_lowercase().split_whitespace().collect::<Vec<_>>().join("-");
    if let Some(food) = key.parse::<FoodId>().ok().and_then(|id| foods::get(&id)) {
        return Found::Exact(food);
    }
    let lower = given.to_lowercase();
    let mut said = lower.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !IDLE.contains(word));
    if never(given).is_some() || said.all(|word| word.is_empty() || TELLING_APART.contains(&word)) {
        return Found::Suggested(Vec::new());
    }
    let asked = stems(given);
    let suggest = |foods: Vec<&'static Food>, likeness| {
        Found::Suggested(foods.into_iter().take(MOST).map(|food| Suggestion { food, likeness }).collect())
    };
    let (foods, likeness) = matching(&asked, what_it_is(given).as_deref());
    let is_said_whole = |food: &'static Food| match likeness {
        _ if is_left_uncut(&asked, food) => false,
        Likeness::EverydayName => !is_wide(&asked),
        // Lemons are no lemon curd, though no other name has them.
        Likeness::PublishedName => {
            !is_wide(&asked) && distinctive(table_stems(head(&food.name))).is_subset(&asked)
        }
        Likeness::SomeWords | Likeness::NearSpelling => false,
    };
    match foods[..] {
        [] => {}
        [food] if is_said_whole(food) => return Found::Exact(food),
        _ => return suggest(foods, likeness),
    }
    let mut near = Vec::new();
    let respelt = respellings(&asked);
    for food in
        respelt.iter().filter(|reading| **reading != asked).flat_map(|reading| matching(reading, None).0)
    {
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
    let is_alike = |name: &'static str| {
        if !words.is_empty() && *table_stems(name) == words {
            return true;
        }
        let name = run_together(name);
        asked.iter().any(|asked| !asked.is_empty() && name.contains(asked))
    };
    let by_name = |food: &&'static Food| is_alike(food.id.as_str()) || is_alike(&food.name);
    let mut found: Vec<&'static Food> = foods::all().filter(by_name).collect();
    if found.is_empty() {
        found.extend(foods::all().filter(|food| is_alike(head(&food.name))));
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

/// The foods whose names fit, best first.
fn matching(asked: &BTreeSet<String>, what: Option<&str>) -> (Vec<&'static Food>, Likeness) {
    let mut distinctive = distinctive(asked);
    // Peaches in syrup are peaches, and cherry syrup is none of the cherries.
    distinctive
        .extend(what.filter(|what| MADE_INTO.contains(what) && asked.contains(*what)).map(str::to_owned));
    // What only says how food was packed names none.
    if distinctive.is_empty() {
        return (Vec::new(), Likeness::SomeWords);
    }
    for words in [asked, &distinctive] {
        let named = named(words, what);
        if !named.is_empty() {
            return (named, Likeness::EverydayName);
        }
        // A word alone is part of a name where the name is about it: banana peppers are no bananas, and molasses no beans.
        let is_within = |food: &&'static Food| match words.len() {
            1 => words.is_subset(table_stems(head(&food.name))),
            _ => words.is_subset(&name_stems(food)),
        };
        let within: Vec<_> = foods::all()
            .filter(is_within)
            .filter(|food| words.len() == 1 || is_made_alike(table_stems(head(&food.name)), words, what))
            .collect();
        if !within.is_empty() {
            return (within, Likeness::PublishedName);
        }
    }
    // Two words shared say more than one: green chile salsa with corn, but not banana bread. What else is said must not
    // make it another thing: a dip of black beans, or a pie filling of rhubarb.
    let is_shared = |name: &TestedName| {
        name.words.len() > 1
            && name.words.is_subset(&distinctive)
            && is_same_thing(what, name.what.as_deref())
    };
    let longest = tested_names().iter().filter(|name| is_shared(name)).map(|name| name.words.len()).max();
    let may_be = |food: &&'static Food| {
        let known = words_of(food);
        let others = || distinctive.iter().filter(|word| !known.contains(*word)).map(String::as_str);
        let is_other_thing = others().any(|word| MADE_INTO.contains(&word) || DONE_TO_IT.contains(&word))
            || (is_tested_alone(food) && others().any(is_food_itself));
        let is_of_nothing_known =
            distinctive.iter().all(|word| !known.contains(word) || MADE_INTO.contains(&word.as_str()));
        !is_other_thing && !is_of_nothing_known
    };
    let within = with_names(|name| is_shared(name) && Some(name.words.len()) == longest);
    (within.into_iter().filter(may_be).collect(), Likeness::SomeWords)
}

/// Whether both name the same thing made of the food: tomato water is not tomatoes in water.
fn is_made_alike(head: &BTreeSet<String>, words: &BTreeSet<String>, what: Option<&str>) -> bool {
    let is_made = |word: &str| MADE_INTO.contains(&word);
    made_into(head).is_subset(&made_into(words))
        && what.is_none_or(|what| !is_made(what) || head.contains(what))
}

/// Whether a food was tested by itself: green beans with bacon are none, and soup, sauce and pickles are mixtures anyway.
const fn is_tested_alone(food: &Food) -> bool {
    matches!(food.kind, FoodKind::Vegetable | FoodKind::Fruit | FoodKind::Meat | FoodKind::Fish)
        && !matches!(food.acid, AcidNeed::InRecipe)
}

/// Whether a word by itself names food.
fn is_food_itself(word: &str) -> bool {
    let is_only = |name: &TestedName| name.words.len() == 1 && name.words.contains(word);
    tested_names().iter().any(is_only) || is_untested(word)
}

/// The ways to read the words with every slip replaced by one of the nearest words known.
fn respellings(asked: &BTreeSet<String>) -> Vec<BTreeSet<String>> {
    let known = known_words();
    let shortest = if asked.len() == 1 { SHORTEST_SLIP_ALONE } else { SHORTEST_SLIP };
    let mut readings = vec![BTreeSet::new()];
    for word in asked {
        let near = if word.chars().count() < shortest || known.contains(word) {
            vec![word]
        } else {
            nearest(word, known)
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

/// Every word of the foods' names and everyday names.
fn known_words() -> &'static BTreeSet<String> {
    static KNOWN: OnceLock<BTreeSet<String>> = OnceLock::new();
    KNOWN.get_or_init(|| {
        let everyday = words::all().iter().flat_map(|row| table_stems(&row.words)).cloned();
        foods::all().flat_map(name_stems).chain(everyday).collect()
    })
}

/// The known words that are most like a word, itself if none is near. Short ones must begin alike: feet are no beets.
fn nearest<'a>(word: &'a String, known: &'a BTreeSet<String>) -> Vec<&'a String> {
    let is_long = word.chars().count() >= LONG_ENOUGH_TO_BEGIN_WRONG;
    let begins_alike = |other: &&String| is_long || other.chars().next() == word.chars().next();
    let likeness = |other: &String| strsim::normalized_damerau_levenshtein(word, other);
    let best = known.iter().filter(begins_alike).map(likeness).fold(NEAR, f64::max);
    let near: Vec<&String> =
        known.iter().filter(begins_alike).filter(|other| likeness(other) >= best).collect();
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
            let mut found = alike(text);
            found.sort_unstable();
            let mut foods = foods.to_vec();
            foods.sort_unstable();
            assert_eq!(found, foods, "{text}");
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
    fn what_kitchens_call_food_is_never_taken_for_another_food() {
        let text = include_str!("../../../fixtures/kitchen_phrases.csv");
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let (mut asked, mut wrong) = (0, Vec::new());
        for row in reader.deserialize() {
            let (words, answer, keys, ground): (String, String, String, String) = row.unwrap();
            asked += 1;
            let found = find(&words);
            let shown: BTreeSet<&str> = match &found {
                Found::Exact(food) => [food.id.as_str()].into(),
                Found::Suggested(list) => list.iter().map(|one| one.food.id.as_str()).collect(),
            };
            let keys: BTreeSet<&str> = keys.split_whitespace().collect();
            assert!(keys.iter().all(|key| key.parse().is_ok_and(|id| foods::get(&id).is_some())), "{words}");
            let is_never = never(&words).is_some();
            let is_taken = matches!(found, Found::Exact(_));
            let is_right = match answer.as_str() {
                "never" => is_never && shown.is_empty(),
                "none" => !is_never && shown.is_empty(),
                "nothing" => shown.is_empty(),
                "which" => !is_never && !is_taken && shown == keys,
                "offered" => !is_never && !is_taken && shown.is_subset(&keys),
                "among" => !is_never && shown.is_subset(&keys),
                key => is_taken && shown == BTreeSet::from([key]),
            };
            if !is_right {
                wrong.push(format!(
                    "{words} ({ground}): {answer} {keys:?}, and got {found:?}, never: {is_never}"
                ));
            }
        }
        assert!(asked >= 500, "{asked}");
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
