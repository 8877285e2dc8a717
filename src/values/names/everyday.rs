//! Names found by everyday words: in any case, singular or plural, by a part of the name.

use crate::values::names::name::Name;

/// The names that words mean: the one spelt so, else those of just these words, else those that have all of them, else
/// those in which each begins a word.
pub fn meant<'n>(words: &str, names: impl IntoIterator<Item = &'n str>) -> Vec<&'n str> {
    let asked = singulars(words);
    let names: Vec<&str> = names.into_iter().collect();
    if asked.is_empty() {
        return Vec::new();
    }
    let is_spelt_so = |name: &str| name.trim().to_lowercase() == words.trim().to_lowercase();
    let has_just = |name: &str| sorted(singulars(name)) == sorted(asked.clone());
    let has_all = |name: &str| {
        let name = singulars(name);
        asked.iter().all(|word| name.contains(word))
    };
    let begins = |name: &str| {
        let name = singulars(name);
        asked.iter().all(|word| name.iter().any(|of_name| of_name.starts_with(word.as_str())))
    };
    let levels: [&dyn Fn(&str) -> bool; 4] = [&is_spelt_so, &has_just, &has_all, &begins];
    for is_meant in levels {
        let found: Vec<&str> = names.iter().copied().filter(|name| is_meant(name)).collect();
        if !found.is_empty() {
            return found;
        }
    }
    Vec::new()
}

/// As [`meant`], of names on record.
pub(crate) fn names_meant(words: &str, known: &[String]) -> Vec<Name> {
    let found = meant(words, known.iter().map(String::as_str));
    found.into_iter().filter_map(|name| name.parse().ok()).collect()
}

/// Words of a question or a sentence that name nothing themselves.
const FILLERS: &[&str] = &[
    "a", "all", "an", "any", "are", "at", "can", "do", "does", "from", "got", "have", "how", "i", "in", "is",
    "jar", "jars", "left", "many", "me", "much", "my", "of", "on", "one", "our", "show", "some", "the",
    "there", "we", "what", "where", "which", "with",
];

/// The words of a text that may name something: `the peaches in the cellar` is `peaches cellar`.
pub fn naming_words(text: &str) -> Vec<&str> {
    text.split_whitespace()
        .map(|word| word.trim_matches(['?', '!', ',', '.']))
        .filter(|word| !word.is_empty() && !FILLERS.contains(&word.to_lowercase().as_str()))
        .collect()
}

fn sorted(mut words: Vec<String>) -> Vec<String> {
    words.sort_unstable();
    words
}

/// The words of a text, in lower case and each singular.
pub fn singulars(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(singular)
        .collect()
}

/// A word without its plural ending, roughly; both sides of a comparison go through here.
pub fn singular(word: &str) -> String {
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        return format!("{stem}y");
    }
    if word == "halves" {
        return "half".to_owned();
    }
    let es = ["oes", "ches", "shes"].iter().any(|ending| word.ends_with(ending));
    let stem = if es { word.strip_suffix("es") } else { word.strip_suffix('s') };
    stem.filter(|stem| stem.len() > 2 && !stem.ends_with('s')).unwrap_or(word).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_found_by_what_people_type_for_it() {
        let names = ["Peach halves", "Pears", "Green beans", "Green tomato relish", "Tomatoes", "Pantry top"];
        // English plurals and parts of a name, common usage.
        for (words, found) in [
            ("peaches", &["Peach halves"][..]),
            ("PEACH", &["Peach halves"]),
            ("halves", &["Peach halves"]),
            ("pear", &["Pears"]),
            ("tomatoes", &["Tomatoes"]),
            ("tomato", &["Tomatoes"]),
            ("beans green", &["Green beans"]),
            ("green", &["Green beans", "Green tomato relish"]),
            ("pant", &["Pantry top"]),
            ("pe", &["Peach halves", "Pears"]),
            ("plums", &[]),
            ("", &[]),
            ("-", &[]),
        ] {
            assert_eq!(meant(words, names), found, "{words}");
        }
    }

    #[test]
    fn the_name_itself_comes_before_longer_ones() {
        assert_eq!(meant("pantry", ["Pantry top", "Pantry", "Pantry low"]), ["Pantry"]);
        assert_eq!(meant("pantrys", ["Pantry top", "Pantry low"]), ["Pantry top", "Pantry low"]);
    }
}
