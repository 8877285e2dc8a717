//! Numbers in words: `seven`, `twenty-five`, `a dozen`.

/// The words for one to nineteen.
const UNITS: [&str; 19] = [
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

/// The words for twenty to ninety.
const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// The number that a word stands for: 1 to 99, `a` and `an` being one.
pub fn number_word(word: &str) -> Option<u32> {
    let word = word.to_lowercase();
    if matches!(word.as_str(), "a" | "an") {
        return Some(1);
    }
    let place = |names: &[&str], word: &str| {
        names.iter().position(|name| *name == word).and_then(|at| u32::try_from(at + 1).ok())
    };
    let tens = |word: &str| place(&TENS, word).map(|at| 10 * (at + 1));
    place(&UNITS, &word).or_else(|| tens(&word)).or_else(|| {
        let (ten, unit) = word.split_once('-')?;
        Some(tens(ten)? + place(&UNITS, unit).filter(|unit| *unit < 10)?)
    })
}

/// A text with each number in words in digits: `eight quarts` is `8 quarts`, `a dozen pints` is `12 pints`.
pub fn in_digits(text: &str) -> String {
    // Nearly every count of a long list.
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        return text.to_owned();
    }
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match (number_word(word), word.to_lowercase().as_str()) {
            (_, "dozen") => match words.last().map(|last| last.parse::<u32>()) {
                Some(Ok(before)) => {
                    words.pop();
                    words.push((12 * before.min(999)).to_string());
                }
                _ => words.push("12".to_owned()),
            },
            (Some(number), _) => words.push(number.to_string()),
            (None, _) => words.push(word.to_owned()),
        }
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_words_are_read() {
        // English numerals, common usage.
        for (text, digits) in [
            ("eight quarts", "8 quarts"),
            ("a dozen pints", "12 pints"),
            ("two dozen half pints", "24 half pints"),
            ("Twenty-five", "25"),
            ("ninety-nine", "99"),
            ("nineteen", "19"),
            ("an hour", "1 hour"),
            ("quarts", "quarts"),
            ("tenth", "tenth"),
            ("twenty-ten", "twenty-ten"),
            ("dozen", "12"),
        ] {
            assert_eq!(in_digits(text), digits);
        }
    }
}
