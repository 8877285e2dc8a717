//! What is being typed at a question: the text, the cursor, and what each key does to them, as in other programs that
//! read a line.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

/// A line of text with a cursor in it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct TextField {
    text: Vec<char>,
    cursor: usize,
    /// What was cut last, for Ctrl-Y.
    cut: Vec<char>,
}

/// What a key asks for beyond the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    /// Nothing more.
    Nothing,
    /// The answer is given.
    Enter,
    /// Back to the question before.
    Back,
    /// The command is left.
    Leave,
    /// One line down, or up, in what is offered.
    Down,
    Up,
    /// The offer is taken into the text.
    Complete,
    /// The screen is cleared.
    Clear,
}

impl TextField {
    /// What is typed.
    pub(super) fn text(&self) -> String {
        self.text.iter().collect()
    }

    /// What stands before the cursor.
    pub(super) fn before_cursor(&self) -> String {
        self.text[..self.cursor].iter().collect()
    }

    /// Puts another text in its place, the cursor at its end.
    pub(super) fn set(&mut self, text: &str) {
        self.text = text.chars().collect();
        self.cursor = self.text.len();
    }

    /// Puts a text in at the cursor; what is pasted is one line.
    pub(super) fn insert(&mut self, text: &str) {
        for letter in text.trim_end_matches(['\r', '\n']).chars() {
            let letter = if letter.is_whitespace() { ' ' } else { letter };
            if !letter.is_control() {
                self.text.insert(self.cursor, letter);
                self.cursor += 1;
            }
        }
    }

    /// Does what a key asks for.
    pub(super) fn press(&mut self, key: KeyEvent) -> Asked {
        let with = |modifier| key.modifiers.contains(modifier);
        let (control, alt) = (with(KeyModifiers::CONTROL), with(KeyModifiers::ALT));
        match key.code {
            KeyCode::Enter => return Asked::Enter,
            KeyCode::Esc => return Asked::Back,
            KeyCode::Tab => return Asked::Complete,
            KeyCode::Up => return Asked::Up,
            KeyCode::Down => return Asked::Down,
            KeyCode::Left if control || alt => self.cursor = self.word_left(),
            KeyCode::Right if control || alt => self.cursor = self.word_right(),
            KeyCode::Left => self.cursor = self.cursor.saturating_sub(1),
            KeyCode::Right => self.cursor = (self.cursor + 1).min(self.text.len()),
            KeyCode::Home => self.cursor = 0,
            KeyCode::End => self.cursor = self.text.len(),
            KeyCode::Backspace if control || alt => self.cut(self.word_left(), self.cursor),
            KeyCode::Backspace => self.delete(self.cursor.saturating_sub(1), self.cursor),
            KeyCode::Delete if control => self.cut(self.cursor, self.word_right()),
            KeyCode::Delete => self.delete(self.cursor, self.cursor + 1),
            KeyCode::Char(letter) if control => return self.press_with_control(letter.to_ascii_lowercase()),
            KeyCode::Char(letter) if alt => match letter {
                'b' => self.cursor = self.word_left(),
                'f' => self.cursor = self.word_right(),
                'd' => self.cut(self.cursor, self.word_right()),
                _ => {}
            },
            KeyCode::Char(letter) => self.insert(letter.encode_utf8(&mut [0; 4])),
            _ => {}
        }
        Asked::Nothing
    }

    fn press_with_control(&mut self, letter: char) -> Asked {
        let end = self.text.len();
        match letter {
            'a' => self.cursor = 0,
            'b' => self.cursor = self.cursor.saturating_sub(1),
            'c' => return Asked::Leave,
            'd' if self.text.is_empty() => return Asked::Leave,
            'd' => self.delete(self.cursor, self.cursor + 1),
            'e' => self.cursor = end,
            'f' => self.cursor = (self.cursor + 1).min(end),
            'h' => self.delete(self.cursor.saturating_sub(1), self.cursor),
            'j' | 'm' => return Asked::Enter,
            'k' => self.cut(self.cursor, end),
            'l' => return Asked::Clear,
            'n' => return Asked::Down,
            'p' => return Asked::Up,
            'u' => self.cut(0, self.cursor),
            'w' => self.cut(self.word_left(), self.cursor),
            'y' => {
                let cut: String = self.cut.iter().collect();
                self.insert(&cut);
            }
            _ => {}
        }
        Asked::Nothing
    }

    fn delete(&mut self, from: usize, to: usize) {
        self.text.drain(from..to.min(self.text.len()).max(from));
        self.cursor = from;
    }

    fn cut(&mut self, from: usize, to: usize) {
        if from < to {
            self.cut = self.text[from..to].to_vec();
            self.delete(from, to);
        }
    }

    /// Where the word before the cursor begins.
    fn word_left(&self) -> usize {
        let before = &self.text[..self.cursor];
        let word = before.iter().rposition(|letter| !letter.is_whitespace()).map_or(0, |at| at + 1);
        before[..word].iter().rposition(|letter| letter.is_whitespace()).map_or(0, |at| at + 1)
    }

    /// Where the word after the cursor ends.
    fn word_right(&self) -> usize {
        let end = self.text.len();
        let word = (self.cursor..end).find(|&at| !self.text[at].is_whitespace()).unwrap_or(end);
        (word..end).find(|&at| self.text[at].is_whitespace()).unwrap_or(end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Types a text in which `^U` is Ctrl-U, `<` the left arrow and `~` backspace, and shows the cursor as `|`.
    fn typed(keys: &str) -> String {
        let mut field = TextField::default();
        let mut letters = keys.chars();
        while let Some(letter) = letters.next() {
            let (code, modifiers) = match letter {
                '^' => (KeyCode::Char(letters.next().unwrap().to_ascii_lowercase()), KeyModifiers::CONTROL),
                '<' => (KeyCode::Left, KeyModifiers::NONE),
                '~' => (KeyCode::Backspace, KeyModifiers::NONE),
                other => (KeyCode::Char(other), KeyModifiers::NONE),
            };
            assert_eq!(field.press(KeyEvent::new(code, modifiers)), Asked::Nothing, "{keys}");
        }
        let before = field.before_cursor();
        format!("{before}|{}", &field.text()[before.len()..])
    }

    // What these keys do: readline's default bindings (GNU Readline manual, Bindable Readline Commands).
    #[test]
    fn keys_do_what_they_do_in_other_programs_that_read_a_line() {
        for (keys, shown) in [
            ("850ft", "850ft|"),
            ("850ft^U", "|"),
            ("850ft<<^U", "|ft"),
            ("50ft^A8", "8|50ft"),
            ("50^A8^Eft", "850ft|"),
            ("850ft^A^K", "|"),
            ("850ft<<^K", "850|"),
            ("green beans^W", "green |"),
            ("green beans ^W", "green |"),
            ("green beans^W^Y", "green beans|"),
            ("green^U^Y^Y", "greengreen|"),
            ("85ft^B^B0", "850|ft"),
            ("85ft^A^F^F0", "850|ft"),
            ("85xft^B^B^H0", "850|ft"),
            ("85xft<<<^D0", "850|ft"),
            ("pint:9~7", "pint:7|"),
            ("~", "|"),
            ("\u{e9}~e", "e|"),
            // Keys that do nothing write nothing.
            ("8^G5^T0^X", "850|"),
        ] {
            assert_eq!(typed(keys), shown, "{keys}");
        }
    }

    #[test]
    fn what_is_pasted_is_one_line_without_control_characters() {
        let mut field = TextField::default();
        field.insert("26-041-03-3\r\n");
        field.insert(" 26-041\n4\u{1b}[2J");
        assert_eq!(field.text(), "26-041-03-3 26-041 4[2J");
    }

    #[test]
    fn ctrl_d_leaves_where_nothing_is_typed() {
        let key = |letter| KeyEvent::new(KeyCode::Char(letter), KeyModifiers::CONTROL);
        let mut field = TextField::default();
        assert_eq!((field.press(key('d')), field.press(key('c'))), (Asked::Leave, Asked::Leave));
        field.insert("x");
        assert_eq!(field.press(key('d')), Asked::Nothing);
    }
}
