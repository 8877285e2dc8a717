//! What words behind `shelf` name: a product, a place, a size, how the jars stand, or several of these.

use crate::ledger::jar::live::Which;
use crate::rules::jar::jar_state::JarState;
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::everyday::{names_meant, naming_words};

/// Narrows down what is shown to what words name; whether they name anything.
pub(super) fn narrowed(which: &mut Which, words: &str, products: &[String], places: &[String]) -> bool {
    let mut one_name = |words: &str| {
        let (of_product, at_place) = (names_meant(words, products), names_meant(words, places));
        let is_any = !of_product.is_empty() || !at_place.is_empty();
        if of_product.is_empty() {
            which.places = at_place;
        } else {
            which.products = of_product;
        }
        is_any
    };
    if one_name(words) {
        return true;
    }
    which.held = words.to_lowercase().contains("on hold");
    let mut left: Vec<&str> = naming_words(words);
    left.retain(|word| {
        let word = word.to_lowercase();
        let states = states_called(&word);
        let is_held = word == "held" || (which.held && word == "hold");
        which.held |= is_held;
        which.states.extend(states);
        states.is_empty() && !is_held
    });
    which.size = JarSize::taken_from(&mut left);
    if left.is_empty() {
        return which.held || which.size.is_some() || !which.states.is_empty();
    }
    // All of it one name, else a product and a place one after the other.
    (0..left.len()).any(|at| {
        let (front, back) = (left[..at].join(" "), left[at..].join(" "));
        let both = [(&front, &back), (&back, &front)]
            .map(|(product, place)| (names_meant(product, products), names_meant(place, places)))
            .into_iter()
            .find(|(of_product, at_place)| {
                let wanted = if at == 0 { 1 } else { 2 };
                usize::from(!of_product.is_empty()) + usize::from(!at_place.is_empty()) == wanted
            });
        if let Some((of_product, at_place)) = both {
            (which.products, which.places) = (of_product, at_place);
            return true;
        }
        false
    })
}

/// The states that a word stands for.
fn states_called(word: &str) -> &'static [JarState] {
    match word {
        "sealed" => &[JarState::Sealed],
        "unsealed" => &[JarState::Unsealed],
        "cooling" => &[JarState::Cooling],
        "opened" | "open" => &[JarState::Opened],
        "frozen" | "freezer" => &[JarState::Frozen],
        "fridge" | "refrigerator" | "refrigerated" => &[JarState::Chilled, JarState::Opened],
        "chilled" => &[JarState::Chilled],
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::values::names::name::Name;

    #[test]
    fn words_of_a_question_are_a_product_a_size_a_state_and_a_place() {
        let names = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
        let products =
            names(&["Green beans", "White beans", "Peach halves", "Tomatoes in quarters", "Pantry soup"]);
        let places = names(&["Cellar north", "Cellar south", "Pantry low"]);
        // What the words mean, by hand: products; places; size; on hold; states.
        for (words, meaning) in [
            ("peaches", "Peach halves;;;false;"),
            ("green beans qt", "Green beans;;quart;false;"),
            ("what beans do I have", "Green beans,White beans;;;false;"),
            ("where are the peaches?", "Peach halves;;;false;"),
            ("peaches in the cellar", "Peach halves;Cellar north,Cellar south;;false;"),
            ("cellar north peaches", "Peach halves;Cellar north;;false;"),
            ("Tomatoes in quarters", "Tomatoes in quarters;;;false;"),
            ("pantry", "Pantry soup;;;false;"),
            ("pantry low", ";Pantry low;;false;"),
            ("half pints", ";;half-pint;false;"),
            ("on hold", ";;;true;"),
            ("beans held", "Green beans,White beans;;;true;"),
            ("in the fridge", ";;;false;chilled,opened"),
            ("frozen peaches", "Peach halves;;;false;frozen"),
        ] {
            let mut which = Which::default();
            assert!(narrowed(&mut which, words, &products, &places), "{words}");
            let list = |names: &[Name]| names.iter().map(ToString::to_string).collect::<Vec<_>>().join(",");
            let states: Vec<&str> = which.states.iter().map(|state| state.as_str()).collect();
            let size = which.size.map(|size| size.to_string()).unwrap_or_default();
            let read = format!(
                "{};{};{size};{};{}",
                list(&which.products),
                list(&which.places),
                which.held,
                states.join(",")
            );
            assert_eq!(read, meaning, "{words}");
        }
        for words in ["plums", "peaches in the attic", "the", "plum jam qt"] {
            assert!(!narrowed(&mut Which::default(), words, &products, &places), "{words}");
        }
    }
}
