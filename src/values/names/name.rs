//! Names people give to products, places, canners and lots.

use unicode_normalization::UnicodeNormalization;

/// Longest name, in characters.
const LONGEST: usize = 200;

/// A name as written, in NFC, trimmed, with single spaces; 1 to 200 characters, no control characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(String);

/// Says why a text is not a name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// Nothing but spaces and invisible characters.
    #[error("a name cannot be empty")]
    Empty,
    /// Too long.
    #[error("a name has at most {LONGEST} characters, and this one has {0}")]
    TooLong(usize),
    /// A control character.
    #[error("a name cannot hold the control character U+{:04X}", u32::from(*.0))]
    Control(char),
}

impl Name {
    /// The name as written.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// What the name is found by: lower case, so that `Pears` and `pears` are one.
    pub fn key(&self) -> String {
        composed(self.0.to_lowercase())
    }
}

impl std::str::FromStr for Name {
    type Err = NameError;

    fn from_str(given: &str) -> Result<Self, NameError> {
        let text = composed(given.split_whitespace().collect::<Vec<_>>().join(" "));
        if text.chars().all(|c| c == ' ' || shows_nothing(c)) {
            return Err(NameError::Empty);
        }
        if let Some(control) = text.chars().find(|c| c.is_control()) {
            return Err(NameError::Control(control));
        }
        let length = text.chars().count();
        if length > LONGEST {
            return Err(NameError::TooLong(length));
        }
        Ok(Self(text))
    }
}

/// Whether a character draws nothing: what is ignorable, and the blank of Braille, which is no space.
pub const fn shows_nothing(character: char) -> bool {
    is_ignorable(character) || character == '\u{2800}'
}

/// Characters that draw nothing by themselves or turn the text around: the default-ignorable code points of Unicode 16,
/// chapter 5.21 and DerivedCoreProperties.txt (from memory).
pub const fn is_ignorable(character: char) -> bool {
    matches!(character,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}'
        | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
        | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
}

/// Whether a character chooses the form of the one before it.
pub const fn is_variation_selector(character: char) -> bool {
    matches!(character, '\u{180b}'..='\u{180d}' | '\u{180f}' | '\u{fe00}'..='\u{fe0f}' | '\u{e0100}'..='\u{e01ef}')
}

/// The text in NFC; ASCII, which most names are, is that already.
fn composed(text: String) -> String {
    if text.is_ascii() { text } else { text.nfc().collect() }
}

impl std::fmt::Display for Name {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

impl serde::Serialize for Name {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_name_in_two_encodings_is_one_name() {
        // Unicode Standard Annex #15: U+00F1 is the NFC of n + U+0303.
        let composed: Name = "Jalape\u{f1}o".parse().unwrap();
        let decomposed: Name = " jalapen\u{303}o ".parse().unwrap();
        assert_eq!(composed.key(), decomposed.key());
        assert_eq!(decomposed.as_str(), "jalape\u{f1}o");
        assert_eq!((composed.as_str(), composed.key().as_str()), ("Jalape\u{f1}o", "jalape\u{f1}o"));
    }

    #[test]
    fn a_name_that_shows_nothing_is_none() {
        for nothing in [
            "\u{200b}",
            "\u{feff} \u{2060}",
            "\u{e0041}\u{e007f}",
            "\u{200d}",
            "\u{3164}",
            "\u{180e}\u{fe0f}",
            "\u{202e}\u{2066}",
        ] {
            assert_eq!(nothing.parse::<Name>(), Err(NameError::Empty), "{nothing:?}");
        }
        assert!("Pears\u{200d}".parse::<Name>().is_ok());
    }

    #[test]
    fn control_characters_and_emptiness_are_refused() {
        assert_eq!("a\u{1b}[2J".parse::<Name>(), Err(NameError::Control('\u{1b}')));
        assert_eq!("  ".parse::<Name>(), Err(NameError::Empty));
        assert_eq!("x".repeat(200).parse::<Name>().unwrap().as_str(), "x".repeat(200));
        assert_eq!("x".repeat(201).parse::<Name>(), Err(NameError::TooLong(201)));
    }
}
