//! The fields of a form as browsers write it.

use std::collections::BTreeMap;

/// Most fields of a form; a walk ticks a box a jar.
const MOST_FIELDS: usize = 2_000;

/// The fields of a form, or of what stands behind the question mark.
#[derive(Debug, Default)]
pub struct Form(BTreeMap<String, Vec<String>>);

impl Form {
    /// Reads one as browsers write it.
    pub fn read(text: &[u8]) -> Self {
        let mut fields: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, value) in form_urlencoded::parse(text).take(MOST_FIELDS) {
            fields.entry(name.into_owned()).or_default().push(value.into_owned());
        }
        Self(fields)
    }

    /// A field that says something.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name)?.iter().map(|value| value.trim()).find(|value| !value.is_empty())
    }

    /// Every value of a field.
    pub fn all(&self, name: &str) -> &[String] {
        self.0.get(name).map_or(&[], Vec::as_slice)
    }

    /// The fields whose names begin so, with what follows.
    pub fn beginning<'f>(&'f self, with: &'f str) -> impl Iterator<Item = (&'f str, &'f str)> {
        self.0
            .iter()
            .filter_map(move |(name, values)| Some((name.strip_prefix(with)?, values.first()?.trim())))
    }
}
