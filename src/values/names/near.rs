//! Names near a mistyped one.

use strsim::normalized_damerau_levenshtein;

use crate::values::names::everyday::singulars;

/// How like a name must be to count as near; 1 is the same name.
const LEAST: f64 = 0.7;

/// Letters of the shortest word that makes a name near.
const SHORTEST: usize = 3;

/// Most names offered.
const OFFERED: usize = 3;

/// The names most like `given`, the most like first: at most three, upper and lower case being alike.
///
/// A name that `given` begins or is a whole word of is near, whatever follows it; where none is, those that share a word.
pub fn near_names<'n>(given: &str, known: impl IntoIterator<Item = &'n str>) -> Vec<&'n str> {
    let given = given.trim().to_lowercase();
    let known: Vec<&str> = known.into_iter().collect();
    let mut near: Vec<(f64, &str)> = known
        .iter()
        .map(|name| (likeness(&given, &name.to_lowercase()), *name))
        .filter(|(likeness, _)| *likeness >= LEAST)
        .collect();
    near.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let mut near: Vec<&str> = near.into_iter().map(|(_, name)| name).collect();
    if near.is_empty() {
        let words = |text: &str| -> Vec<String> {
            singulars(text).into_iter().filter(|word| word.chars().count() >= SHORTEST).collect()
        };
        let of_given = words(&given);
        near = known;
        near.retain(|name| words(name).iter().any(|word| of_given.contains(word)));
    }
    near.truncate(OFFERED);
    near
}

fn likeness(given: &str, name: &str) -> f64 {
    let begins = given.chars().count() >= SHORTEST && name.starts_with(given);
    let is_word = given.chars().count() >= SHORTEST && name.split([' ', '-']).any(|word| word == given);
    let spelt = normalized_damerau_levenshtein(given, name);
    if begins || is_word { spelt.max(LEAST) } else { spelt }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_near_and_another_word_is_not() {
        let places = ["Cellar", "Pantry top", "Pantry bottom", "Garage"];
        assert_eq!(near_names("cellr", places), ["Cellar"]);
        assert_eq!(near_names("Pantrytop", places), ["Pantry top"]);
        assert_eq!(near_names("bottom", places), ["Pantry bottom"]);
        assert_eq!(near_names("pan", places), ["Pantry top", "Pantry bottom"]);
        assert_eq!(near_names("top", places), ["Pantry top"]);
        assert_eq!(near_names("bottoms of the pantry", places), ["Pantry top", "Pantry bottom"]);
        // Two letters of seven are wrong: 5/7 is near.
        assert_eq!(near_names("grenery", ["Granary"]), ["Granary"]);
        assert_eq!(near_names("shelf 2", ["Shelf 12", "Shelf 2", "Shelf 3", "Shelf 4"])[0], "Shelf 2");
        assert_eq!(near_names("shelf", ["Shelf 1", "Shelf 2", "Shelf 3", "Shelf 4"]).len(), 3);
        // Two letters begin too many names, and are a whole word of too many.
        assert!(near_names("pa", places).is_empty());
        assert!(near_names("of", ["Back of the van"]).is_empty());
        assert!(near_names("attic", places).is_empty());
        assert!(near_names("", places).is_empty());
    }
}
