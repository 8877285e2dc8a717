//! Lengths of time as people write them: `75`, `75 min`, `1 h 15 min`, `1 1/2 hours`, `an hour and a half`.

use crate::values::names::number_words::number_word;

/// Minutes in an hour.
const HOUR: u64 = 60;

/// Longest text that is read; what is longer is no length of time.
const LONGEST: usize = 40;

/// A number of minutes or hours as it is summed up: so many parts of a whole.
#[derive(Clone, Copy)]
struct Parts {
    over: u64,
    under: u64,
}

const HALF: Parts = Parts { over: 1, under: 2 };
const QUARTER: Parts = Parts { over: 1, under: 4 };

/// Whole minutes, or none where the text is no length of time or has a part of a minute. A bare number is minutes.
pub fn minutes(text: &str) -> Option<u32> {
    if text.len() > LONGEST {
        return None;
    }
    let text = text
        .trim()
        .to_lowercase()
        .replace('\u{bd}', " 1/2")
        .replace('\u{bc}', " 1/4")
        .replace('\u{be}', " 3/4");
    let words = words(&text);
    let mut total = Parts { over: 0, under: 1 };
    let mut number: Option<Parts> = None;
    let (mut said, mut hours_said, mut joined) = (false, false, false);
    for (at, word) in words.iter().enumerate() {
        let is_part = |word: &&str| matches!(*word, "half" | "quarter");
        let times = match *word {
            "h" | "hr" | "hrs" | "hour" | "hours" if !said => HOUR,
            "m" | "min" | "mins" | "minute" | "minutes" => 1,
            "and" => {
                joined = true;
                continue;
            }
            "of" | "a" | "an" if at + 1 == words.len() => return None,
            // `half an hour`, `three quarters of an hour`, `and a half`.
            "of" | "a" | "an" if number.is_some() || words.get(at + 1).is_some_and(is_part) => continue,
            "half" | "quarter" => {
                let part = if *word == "half" { HALF } else { QUARTER };
                number = match number {
                    None => Some(part),
                    Some(whole) if joined && whole.under == 1 => Some(sum(whole, part)?),
                    Some(_) => return None,
                };
                continue;
            }
            "quarters" => {
                let Parts { over, under } = number.filter(|quarters| quarters.over < 4)?;
                number = Some(Parts { over, under: under.checked_mul(4)? });
                continue;
            }
            figure => {
                let next = read(figure)?;
                number = match number {
                    None => Some(next),
                    // `1 1/2`, and `thirty five`.
                    Some(whole)
                        if whole.under == 1
                            && (next.over < next.under || is_ten_and_unit(words[at - 1], figure)) =>
                    {
                        Some(sum(whole, next)?)
                    }
                    Some(_) => return None,
                };
                continue;
            }
        };
        let Parts { over, under } = number.take()?;
        total = sum(total, Parts { over: over.checked_mul(times)?, under })?;
        hours_said |= times == HOUR;
        (said, joined) = (true, false);
    }
    match number {
        // `an hour and a half`.
        Some(left) if hours_said && left.over < left.under => {
            total = sum(total, Parts { over: left.over * HOUR, ..left })?;
        }
        // `1 h 15`, or minutes alone.
        Some(left) if !said || hours_said => total = sum(total, left)?,
        Some(_) => return None,
        None if !said => return None,
        None => {}
    }
    total.over.is_multiple_of(total.under).then(|| u32::try_from(total.over / total.under).ok())?
}

/// Whether two words are one number: `thirty five`.
fn is_ten_and_unit(ten: &str, unit: &str) -> bool {
    let is = |word, of: &dyn Fn(u32) -> bool| number_word(word).is_some_and(of);
    is(ten, &|ten| ten >= 20 && ten.is_multiple_of(10)) && is(unit, &|unit| unit < 10)
}

/// Splits where numbers and letters meet, and at spaces.
fn words(text: &str) -> Vec<&str> {
    let is_letter = |c: char| c.is_alphabetic();
    let mut found = Vec::new();
    for word in text.split_whitespace() {
        match word.find(is_letter) {
            Some(at) if at > 0 => {
                found.push(&word[..at]);
                let rest = &word[at..];
                let end = rest.find(|c: char| !is_letter(c)).unwrap_or(rest.len());
                found.push(&rest[..end]);
                if end < rest.len() {
                    found.extend(words(&rest[end..]));
                }
            }
            _ => found.push(word.trim_end_matches('.')),
        }
    }
    found
}

/// Reads `75`, `1.5`, `1,5`, `1/2` or `seven`.
fn read(word: &str) -> Option<Parts> {
    let digits = |text: &str| -> Option<u64> {
        let plain = (1..=6).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| text.parse().ok())?
    };
    if let Some((over, under)) = word.split_once('/') {
        let (over, under) = (digits(over)?, digits(under)?);
        return (under > 0).then_some(Parts { over, under });
    }
    if let Some(number) = number_word(word) {
        return Some(Parts { over: number.into(), under: 1 });
    }
    // A comma before half or a quarter is where others write a point; before three figures it would be thousands.
    let has_comma = [",5", ",25", ",75"].iter().any(|part| word.ends_with(part));
    if let Some((whole, part)) = word.split_once('.').or_else(|| word.split_once(',').filter(|_| has_comma)) {
        let under = 10_u64.pow(u32::try_from(part.len()).ok().filter(|places| *places <= 6)?);
        return Some(Parts { over: digits(whole)? * under + digits(part)?, under });
    }
    Some(Parts { over: digits(word)?, under: 1 })
}

fn sum(one: Parts, other: Parts) -> Option<Parts> {
    let over = one.over.checked_mul(other.under)?.checked_add(other.over.checked_mul(one.under)?)?;
    Some(Parts { over, under: one.under.checked_mul(other.under)? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lengths_of_time_are_read_as_people_write_them() {
        // By hand: an hour has 60 minutes.
        for (text, shown) in [
            ("75", 75),
            ("0", 0),
            (" 10 min ", 10),
            ("10min", 10),
            ("20 minutes", 20),
            ("1 h 15 min", 75),
            ("1h15", 75),
            ("1 hour and 15 minutes", 75),
            ("1 1/2 hours", 90),
            ("1\u{bd} h", 90),
            ("1.5 hr", 90),
            ("1/2 hour", 30),
            ("2 hrs.", 120),
            ("an hour and a half", 90),
            ("one and a half hours", 90),
            ("half an hour", 30),
            ("half hour", 30),
            ("a quarter of an hour", 15),
            ("three quarters of an hour", 45),
            ("an hour and three quarters", 105),
            ("one hour", 60),
            ("an hour and ten minutes", 70),
            ("ten minutes", 10),
            ("thirty-five minutes", 35),
            ("thirty five", 35),
            ("1,5 h", 90),
            ("2 and 1/2 hours", 150),
        ] {
            assert_eq!(minutes(text), Some(shown), "{text}");
        }
        for wrong in [
            "",
            "min",
            "10 min 5",
            "-5",
            "1/0 h",
            "1.33 min",
            "30 20 min",
            "thirty ten",
            "one half hour",
            "1,500",
            "1,15 h",
            "five quarters of an hour",
            "about 30",
            "25-30",
            "a",
            "half",
            "1:30",
            "10 s",
            "1 h 1 h",
            "9999999",
            "1e3",
            "10 min of it",
        ] {
            assert_eq!(minutes(wrong), None, "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
            let _ = minutes(&text);
        }

        #[test]
        fn any_number_of_minutes_reads_back(count in 0_u32..10_000) {
            prop_assert_eq!(minutes(&count.to_string()), Some(count));
            prop_assert_eq!(minutes(&format!("{} h {} min", count / 60, count % 60)), Some(count));
        }
    }
}
