//! What is being typed at a question: the text, the cursor, and what each key does to them, as in other programs that
//! read a line.

use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};
use tui_input::backend::crossterm::to_input_request;
use tui_input::{Input, InputRequest};

/// A line of text with a cursor in it.
#[derive(Debug, Default)]
pub(super) struct TextField(Input);

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
    pub(super) fn text(&self) -> &str {
        self.0.value()
    }

    /// What stands before the cursor.
    pub(super) fn before_cursor(&self) -> String {
        self.text().chars().take(self.0.cursor()).collect()
    }

    /// Puts another text in its place, the cursor at its end.
    pub(super) fn set(&mut self, text: &str) {
        self.0 = Input::new(text.to_owned());
    }

    /// Puts a text in at the cursor; what is pasted is one line.
    pub(super) fn insert(&mut self, text: &str) {
        for letter in text.trim_end_matches(['\r', '\n']).chars() {
            let letter = if letter.is_whitespace() { ' ' } else { letter };
            if !letter.is_control() {
                self.0.handle(InputRequest::InsertChar(letter));
            }
        }
    }

    /// Does what a key asks for.
    pub(super) fn press(&mut self, key: KeyEvent) -> Asked {
        let with = |modifier| key.modifiers.contains(modifier);
        let request = match key.code {
            KeyCode::Enter => return Asked::Enter,
            KeyCode::Esc => return Asked::Back,
            KeyCode::Tab => return Asked::Complete,
            KeyCode::Up => return Asked::Up,
            KeyCode::Down => return Asked::Down,
            KeyCode::Char(letter) if with(KeyModifiers::CONTROL) => match letter.to_ascii_lowercase() {
                'c' => return Asked::Leave,
                'd' if self.text().is_empty() => return Asked::Leave,
                'j' | 'm' => return Asked::Enter,
                'l' => return Asked::Clear,
                'n' => return Asked::Down,
                'p' => return Asked::Up,
                'd' => Some(InputRequest::DeleteNextChar),
                'u' => Some(InputRequest::DeleteFromStart),
                _ => to_input_request(&Event::Key(key)),
            },
            KeyCode::Char('b') if with(KeyModifiers::ALT) => Some(InputRequest::GoToPrevWord),
            KeyCode::Char('f') if with(KeyModifiers::ALT) => Some(InputRequest::GoToNextWord),
            KeyCode::Char('d') if with(KeyModifiers::ALT) => Some(InputRequest::DeleteNextWord),
            _ => to_input_request(&Event::Key(key)),
        };
        if let Some(request) = request {
            self.0.handle(request);
        }
        Asked::Nothing
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
