//! Words that many jars share, kept once.

use std::collections::HashSet;
use std::fmt;
use std::ops::Deref;
use std::rc::Rc;

use serde::Serialize;

/// A name or a sentence, in the eight bytes that lead to it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Word(Rc<Box<str>>);

impl Deref for Word {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl std::borrow::Borrow<str> for Word {
    fn borrow(&self) -> &str {
        self
    }
}

impl fmt::Display for Word {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self)
    }
}

impl Serialize for Word {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self)
    }
}

/// The words so far.
#[derive(Debug, Default)]
pub(crate) struct Words(HashSet<Word>);

impl Words {
    /// The word that says this.
    pub(crate) fn of(&mut self, text: &str) -> Word {
        if let Some(word) = self.0.get(text) {
            return word.clone();
        }
        let word = Word(Rc::new(text.into()));
        self.0.insert(word.clone());
        word
    }

    /// The same where there may be nothing to say.
    pub(crate) fn of_some(&mut self, text: Option<&str>) -> Option<Word> {
        text.map(|text| self.of(text))
    }
}
