//! Enums whose variants each have one fixed name, the same on screen, in JSON
//! and in the ledger.

use crate::values::names::near::near_names;

/// Says that a word is not one of the names an enum knows.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\u{201c}{given}\u{201d} is not {what}; {} {}", lead(given, known), known.join(", "))]
pub struct UnknownName {
    /// What was being named, with its article: "a jar size".
    pub what: &'static str,
    /// The word given.
    pub given: String,
    /// Every name that would have done.
    pub known: Vec<&'static str>,
}

/// What leads to the names that would have done.
fn lead(given: &str, known: &[&'static str]) -> String {
    match near_names(given, known.iter().copied()).first() {
        Some(near) => format!("did you mean {near}? There is"),
        None => "use".to_owned(),
    }
}

/// Whether two words are the same but for case, spaces, hyphens and a full stop.
pub(crate) fn is_same_word(one: &str, other: &str) -> bool {
    let letters = |word: &str| {
        word.chars()
            .filter(|letter| !matches!(letter, ' ' | '-' | '_' | '.'))
            .flat_map(char::to_lowercase)
            .collect::<String>()
    };
    letters(one) == letters(other)
}

/// Most words of one name, as in `pint and a half`.
const MOST_WORDS: usize = 4;

/// Takes the first name that `read` knows out of the words around it, the longest of those that begin with one word.
pub(crate) fn taken_from<T>(words: &mut Vec<&str>, read: impl Fn(&str) -> Option<T>) -> Option<T> {
    let mut spans = (0..words.len())
        .flat_map(|from| (1..=MOST_WORDS).rev().map(move |long| from..from + long))
        .filter(|span| span.end <= words.len());
    let (named, span) = spans.find_map(|span| Some((read(&words[span.clone()].join(" "))?, span)))?;
    words.drain(span);
    Some(named)
}

/// Declares an enum with fixed names, `ALL`, `as_str`, `Display`, `FromStr`, `Serialize` and `Deserialize`. Behind a
/// name may stand other words that people use for it, which are read and never written.
macro_rules! named_enum {
    (
        $(#[$meta:meta])*
        pub enum $name:ident as $what:literal {
            $( $(#[$vmeta:meta])* $variant:ident = $text:literal $(| $word:literal)* ),+ $(,)?
        }
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $( $(#[$vmeta])* $variant ),+
        }

        impl $name {
            /// Every variant, in order.
            pub const ALL: &'static [Self] = &[ $( Self::$variant ),+ ];

            /// The one name of this variant.
            pub const fn as_str(self) -> &'static str {
                match self { $( Self::$variant => $text ),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.as_str())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::values::names::named::UnknownName;

            fn from_str(given: &str) -> Result<Self, Self::Err> {
                // A ledger says every name as it is written; only people have other words.
                if let Some(known) = Self::ALL.iter().find(|known| known.as_str() == given) {
                    return Ok(*known);
                }
                let words: &[(Self, &[&str])] = &[ $( (Self::$variant, &[$text $(, $word)*]) ),+ ];
                words
                    .iter()
                    .find(|(_, words)| words.iter().any(|word| $crate::values::names::named::is_same_word(word, given)))
                    .map(|(known, _)| *known)
                    .ok_or_else(|| $crate::values::names::named::UnknownName {
                        what: $what,
                        given: given.to_owned(),
                        known: Self::ALL.iter().map(|known| known.as_str()).collect(),
                    })
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.as_str())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <std::borrow::Cow<'_, str>>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }
    };
}

pub(crate) use named_enum;

#[cfg(test)]
mod tests {
    use crate::values::kinds::jar_size::JarSize;
    use crate::values::kinds::method::{Method, Pack};
    use crate::values::kinds::run_step::RunStep;

    #[test]
    fn what_people_call_a_thing_is_read_and_its_name_is_written() {
        // Common practice, no source.
        for (word, method) in [
            ("Boiling water", Method::BoilingWater),
            ("water-bath", Method::BoilingWater),
            ("Dial gauge", Method::PressureDial),
            ("weighted", Method::PressureWeighted),
            ("Steam canner", Method::Steam),
        ] {
            assert_eq!(word.parse(), Ok(method), "{word}");
        }
        assert_eq!("Raw pack".parse(), Ok(Pack::Raw));
        assert_eq!("vent closed".parse(), Ok(RunStep::Closed));
        assert_eq!("jars out".parse(), Ok(RunStep::Out));
        assert_eq!("water bath".parse::<Method>().unwrap().to_string(), "boiling-water");
        // Which of the two pressure canners it is decides about the process.
        for word in ["pressure", "pressure canner", "", "bath"] {
            assert!(word.parse::<Method>().is_err(), "{word}");
        }
    }

    #[test]
    fn a_name_unknown_is_answered_with_a_near_one_and_with_all_there_are() {
        let refusal = |given: &str| given.parse::<JarSize>().map_err(|error| error.to_string()).unwrap_err();
        let all = "quarter-pint, half-pint, three-quarter-pint, pint, pint-and-half, quart, half-gallon";
        assert_eq!(
            refusal("quarz"),
            format!("\u{201c}quarz\u{201d} is not a jar size; did you mean quart? There is {all}")
        );
        assert_eq!(refusal("bucket"), format!("\u{201c}bucket\u{201d} is not a jar size; use {all}"));
    }
}
