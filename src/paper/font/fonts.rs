//! Where letters come from that the program's own font lacks, and what brings them where they are missing.

use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

use unicode_script::{Script, UnicodeScript};

/// Fonts to print with besides the program's own, which goes before them.
#[derive(Debug, Clone, Default)]
pub struct Fonts {
    /// A font file that goes before those of the machine.
    pub given: Option<FontFile>,
    /// Folders of fonts, those in them too.
    pub folders: Vec<PathBuf>,
    /// The household's language as a tag such as `ja`, by which Chinese characters look.
    pub language: Option<String>,
}

/// A font file, read.
#[derive(Clone)]
pub struct FontFile {
    /// What it is called in messages.
    pub name: String,
    /// What is in it.
    pub bytes: Arc<Vec<u8>>,
}

impl fmt::Debug for FontFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

/// Says why a font that was given cannot be printed with.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FontError {
    /// It is no font with outlines.
    #[error("{0} is no TrueType or OpenType font with outlines")]
    NoFont(String),
    /// Its maker forbids it.
    #[error("the maker of {0} does not allow it to stand in documents")]
    Restricted(String),
}

/// The Debian package whose font draws a character.
pub(crate) fn package(character: char) -> &'static str {
    use Script::{Bopomofo, Common, Han, Hangul, Hiragana, Katakana};
    match character.script() {
        Bopomofo | Han | Hangul | Hiragana | Katakana => "fonts-noto-cjk",
        Common if character >= '\u{1f000}' => "fonts-symbola",
        _ => "fonts-noto-core",
    }
}

/// The language by whose custom the Chinese characters in a text are drawn, where the text shows it.
pub(super) fn language_of(text: &str) -> Option<&'static str> {
    text.chars().find_map(|c| match c.script() {
        Script::Hiragana | Script::Katakana => Some("ja"),
        Script::Hangul => Some("ko"),
        Script::Bopomofo => Some("zh-tw"),
        _ => None,
    })
}
