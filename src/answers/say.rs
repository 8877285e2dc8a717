//! Where an answer is said, line by line.

/// Takes lines.
pub(crate) trait Say {
    fn say(&mut self, line: impl AsRef<str>);
}

impl Say for Vec<String> {
    fn say(&mut self, line: impl AsRef<str>) {
        self.push(line.as_ref().to_owned());
    }
}
