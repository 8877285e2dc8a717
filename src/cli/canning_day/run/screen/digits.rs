//! Very large digits for the time left, drawn in dots so that they can be read across the kitchen.

/// Rows of dots of a digit.
const ROWS: usize = 5;

/// Each digit, row by row; the highest of three bits is the dot at the left.
const DIGITS: [[u8; ROWS]; 10] = [
    [0b111, 0b101, 0b101, 0b101, 0b111],
    [0b010, 0b110, 0b010, 0b010, 0b111],
    [0b111, 0b001, 0b111, 0b100, 0b111],
    [0b111, 0b001, 0b111, 0b001, 0b111],
    [0b101, 0b101, 0b111, 0b001, 0b001],
    [0b111, 0b100, 0b111, 0b001, 0b111],
    [0b111, 0b100, 0b111, 0b101, 0b111],
    [0b111, 0b001, 0b001, 0b001, 0b001],
    [0b111, 0b101, 0b111, 0b101, 0b111],
    [0b111, 0b101, 0b111, 0b001, 0b111],
];

/// The colon is one dot wide.
const COLON: [u8; ROWS] = [0, 1, 0, 1, 0];

/// How large: a dot is twice as many columns as rows, since a letter's place is about twice as high as wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Scale(usize);

impl Scale {
    /// The sizes at which the text is at most so wide and so high, the largest first.
    pub(super) fn that_fit(text: &str, columns: usize, rows: usize) -> impl Iterator<Item = Self> {
        (0..=rows / ROWS)
            .rev()
            .map(Self)
            .filter(move |scale| scale.width(text) <= columns && scale.height() <= rows)
    }

    /// Rows that a text takes.
    fn height(self) -> usize {
        ROWS * self.0.max(1)
    }

    /// Columns of a dot, and between two characters.
    fn dot(self) -> (usize, usize) {
        ((2 * self.0).max(1), self.0.max(1))
    }

    fn width(self, text: &str) -> usize {
        let (dot, gap) = self.dot();
        let wide: usize = text.chars().map(|letter| glyph(letter).1 * dot + gap).sum();
        wide.saturating_sub(gap)
    }
}

/// The dots of a character and how many stand beside each other.
fn glyph(letter: char) -> ([u8; ROWS], usize) {
    match letter.to_digit(10) {
        Some(digit) => (DIGITS[digit as usize], 3),
        None => (COLON, 1),
    }
}

/// Seconds as digits show them: minutes and seconds.
pub(super) fn clock(seconds: u64) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// The rows of a text of digits and colons.
pub(super) fn drawn(text: &str, scale: Scale) -> Vec<String> {
    let (dot, gap) = scale.dot();
    let row_of = |row: usize| {
        let letters: Vec<String> = text
            .chars()
            .map(|letter| {
                let (rows, wide) = glyph(letter);
                let dots =
                    (0..wide).rev().map(|bit| if rows[row] >> bit & 1 == 1 { "\u{2588}" } else { " " });
                dots.map(|place| place.repeat(dot)).collect()
            })
            .collect();
        letters.join(&" ".repeat(gap)).trim_end().to_owned()
    };
    (0..ROWS).flat_map(|row| std::iter::repeat_n(row_of(row), scale.height() / ROWS)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_grow_with_the_room_there_is() {
        // Drawn by hand.
        let small = ["███   ███ ███", "  █ █ █   █ █", "  █   ███ █ █", "  █ █   █ █ █", "  █   ███ ███"];
        let fits = |columns, rows| Scale::that_fit("7:50", columns, rows).next();
        assert_eq!(drawn("7:50", fits(13, 9).unwrap()), small);
        assert_eq!((fits(12, 9), fits(13, 4)), (None, None));
        // Three digits of three dots, a colon of one and three gaps of half a dot; a dot is two columns, then four.
        assert_eq!(fits(22, 5), fits(13, 5));
        assert_eq!(drawn("1:00", fits(23, 5).unwrap())[0], "  ██      ██████ ██████");
        let large = drawn("7:50", fits(46, 14).unwrap());
        assert_eq!((large.len(), large[0].chars().count()), (10, 46));
        assert_eq!(large[2], large[3]);
    }

    #[test]
    fn a_time_is_shown_in_minutes_and_seconds() {
        assert_eq!([0, 59, 60, 5_400].map(clock), ["0:00", "0:59", "1:00", "90:00"]);
    }
}
