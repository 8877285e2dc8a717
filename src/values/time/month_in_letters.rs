//! Days with their month in letters, which nobody can misread: `July 4, 2026`, `4 Jul 2026`.

use chrono::NaiveDate;

/// The months, by their English names.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Reads month, day and year, or day, month and year; a year of two digits is one of this century.
pub(crate) fn in_letters(text: &str) -> Option<NaiveDate> {
    let mut words = text.split([' ', ',', '-', '.', '/']).filter(|word| !word.is_empty());
    let [a, b, year] = [words.next()?, words.next()?, words.next()?];
    if words.next().is_some() {
        return None;
    }
    let (month, day) = match month(a) {
        Some(month) => (month, b),
        None => (month(b)?, a),
    };
    let digits = |text: &str, most: usize| {
        let plain = (1..=most).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| text.parse::<i32>().ok())?
    };
    let day = ["st", "nd", "rd", "th"].iter().find_map(|ending| day.strip_suffix(ending)).unwrap_or(day);
    let year = match year.len() {
        2 => 2000 + digits(year, 2)?,
        4 => digits(year, 4)?,
        _ => return None,
    };
    NaiveDate::from_ymd_opt(year, month, u32::try_from(digits(day, 2)?).ok()?)
}

/// The number of a month by its name or three letters of it or more.
fn month(word: &str) -> Option<u32> {
    let word = word.to_lowercase();
    let at = MONTHS.iter().position(|name| word.len() >= 3 && name.starts_with(&word))?;
    u32::try_from(at + 1).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_month_may_come_first_or_second() {
        let fourth = NaiveDate::from_ymd_opt(2026, 7, 4);
        for text in
            ["July 4, 2026", "Jul 4 2026", "4 July 2026", "4-Jul-26", "july 4th, 2026", "4. July 2026"]
        {
            assert_eq!(in_letters(text), fourth, "{text}");
        }
        for text in [
            "July 2026",
            "Ju 4, 2026",
            "July 32, 2026",
            "July 4",
            "4 5 2026",
            "July four, 2026",
            "July 4, 26 BC",
        ] {
            assert_eq!(in_letters(text), None, "{text}");
        }
    }
}
