//! Amounts as kitchens write them, and the same for more or fewer jars.
//!
//! What does not parse stays as it was written, and does not scale. A scaled amount is written in figures that a
//! kitchen has measures for, never finer.

use std::fmt;

/// An amount as written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Amount {
    /// A quantity that scales.
    Measured(Measured),
    /// Anything else, word for word.
    AsWritten(String),
}

/// A quantity, or a range of them, in one unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    written: String,
    low: f64,
    high: Option<f64>,
    unit: Unit,
}

/// What an amount is measured in.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Unit {
    /// US spoons, cups, quarts; quantities are kept in teaspoons.
    Volume,
    /// Ounces and pounds; kept in ounces.
    Weight,
    /// Kept in grams.
    Grams,
    /// Kept in millilitres.
    Millilitres,
    /// Pieces, or a measure of the cook's own.
    Count(String),
}

/// US units by their names with how many of the least they hold (NIST Handbook 44, Appendix C: 1 gallon is 4 quarts, 8
/// pints, 16 cups, 256 tablespoons or 768 teaspoons; 1 pound is 16 ounces).
const UNITS: &[(&[&str], Unit, f64)] = &[
    (&["t", "tsp", "tsps", "teaspoon", "teaspoons"], Unit::Volume, 1.0),
    (&["T", "tbsp", "tbsps", "tbs", "tablespoon", "tablespoons"], Unit::Volume, 3.0),
    (&["cup", "cups", "c"], Unit::Volume, 48.0),
    (&["fl oz", "fluid ounce", "fluid ounces"], Unit::Volume, 6.0),
    (&["pint", "pints", "pt"], Unit::Volume, 96.0),
    (&["quart", "quarts", "qt", "qts"], Unit::Volume, 192.0),
    (&["gallon", "gallons", "gal"], Unit::Volume, 768.0),
    (&["oz", "ounce", "ounces"], Unit::Weight, 1.0),
    (&["lb", "lbs", "pound", "pounds"], Unit::Weight, 16.0),
    (&["g", "gram", "grams"], Unit::Grams, 1.0),
    (&["kg", "kilogram", "kilograms", "kilo", "kilos"], Unit::Grams, 1000.0),
    (&["ml", "mL", "milliliter", "milliliters", "millilitre", "millilitres"], Unit::Millilitres, 1.0),
    (&["cl", "centiliter", "centiliters"], Unit::Millilitres, 10.0),
    (&["dl", "deciliter", "deciliters"], Unit::Millilitres, 100.0),
    (&["l", "L", "liter", "liters", "litre", "litres"], Unit::Millilitres, 1000.0),
];

/// Characters of their own for fractions (Unicode, Number Forms and Latin-1).
const FRACTIONS: &[(char, &str)] = &[
    ('\u{bc}', "1/4"),
    ('\u{bd}', "1/2"),
    ('\u{be}', "3/4"),
    ('\u{2153}', "1/3"),
    ('\u{2154}', "2/3"),
    ('\u{2155}', "1/5"),
    ('\u{2156}', "2/5"),
    ('\u{2157}', "3/5"),
    ('\u{2158}', "4/5"),
    ('\u{2159}', "1/6"),
    ('\u{215a}', "5/6"),
    ('\u{215b}', "1/8"),
    ('\u{215c}', "3/8"),
    ('\u{215d}', "5/8"),
    ('\u{215e}', "7/8"),
];

/// Which way a scaled amount is rounded to what a kitchen can measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rounding {
    /// To the nearest.
    Nearest,
    /// Never to less: what keeps food acid.
    Up,
}

impl Amount {
    /// Reads an amount; it never fails, since what does not parse is kept as text.
    pub fn read(written: &str) -> Self {
        let written = written.trim();
        measured(written).map_or_else(|| Self::AsWritten(written.to_owned()), Self::Measured)
    }

    /// Whether it is a quantity.
    pub const fn scales(&self) -> bool {
        matches!(self, Self::Measured(_))
    }

    /// The amount for `jars` of what `of` jars take; as written where that is the same, and where it does not scale.
    pub fn scaled(&self, jars: f64, of: f64, rounding: Rounding) -> String {
        match self {
            Self::AsWritten(text) => text.clone(),
            Self::Measured(measured) if (jars - of).abs() < 1e-9 => measured.written.clone(),
            Self::Measured(Measured { low, high, unit, .. }) => {
                let one = |quantity: f64| unit.write(quantity * jars / of, rounding);
                let low = one(*low);
                match high.map(one).filter(|high| *high != low) {
                    Some(high) => format!("{low} to {high}"),
                    None => low,
                }
            }
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Measured(measured) => f.pad(&measured.written),
            Self::AsWritten(text) => f.pad(text),
        }
    }
}

fn measured(written: &str) -> Option<Measured> {
    let mut text = String::with_capacity(written.len());
    for letter in written.chars() {
        match FRACTIONS.iter().find(|(own, _)| *own == letter) {
            Some((_, plain)) => {
                text.push(' ');
                text.push_str(plain);
                text.push(' ');
            }
            None => text.push(match letter {
                '\u{2044}' | '\u{2215}' => '/',
                '\u{2012}'..='\u{2015}' | '\u{2212}' => '-',
                '\u{a0}' | '\u{2009}' | '\u{202f}' => ' ',
                other => other,
            }),
        }
    }
    let mut rest = text.as_str();
    let low = number(&mut rest)?;
    let mut after = rest.trim_start();
    let is_range = if let Some(further) = after.strip_prefix('-') {
        after = further;
        true
    } else if let Some(further) = after.strip_prefix("to ") {
        after = further;
        true
    } else {
        false
    };
    let high = if is_range { Some(number(&mut after)?) } else { None };
    let (unit, each) = unit(after)?;
    // "1 lb 4 oz", "1 cup and 2 tbsp": a second figure in a smaller unit of the same kind.
    let (unit, low, high) = match unit {
        Unit::Count(ref words) if words.chars().any(|letter| letter.is_ascii_digit()) => {
            let split = words.find(|letter: char| letter.is_ascii_digit())?;
            let first = words[..split].trim();
            let first = ["and", "+", "&"]
                .iter()
                .find_map(|joint| first.strip_suffix(joint))
                .unwrap_or(first)
                .trim_end();
            let (first, each) = unit_named(first.trim_end_matches('.'))?;
            let mut second = &words[split..];
            let more = number(&mut second)?;
            let (other, of_other) = unit_named(second.trim().trim_end_matches('.'))?;
            if other != first || of_other >= each || high.is_some() {
                return None;
            }
            (first, low * each + more * of_other, None)
        }
        unit => (unit, low * each, high.map(|high| high * each)),
    };
    if low <= 0.0 || high.is_some_and(|high| high <= low) {
        return None;
    }
    Some(Measured { written: written.to_owned(), low, high, unit })
}

/// Takes a number off the front: `2`, `1/2`, `1 1/2`, `1.5`, `1,5`. A comma before three digits could be either, so it
/// is no number.
fn number(rest: &mut &str) -> Option<f64> {
    let text = rest.trim_start();
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let whole: f64 = text.get(..end).filter(|digits| (1..=6).contains(&digits.len()))?.parse().ok()?;
    let after = &text[end..];
    if let Some(fraction) = after.strip_prefix(['.', ',']) {
        let length = fraction.find(|c: char| !c.is_ascii_digit()).unwrap_or(fraction.len());
        if length == 0 || length > 4 || (length == 3 && after.starts_with(',')) {
            return None;
        }
        *rest = &fraction[length..];
        return format!("{whole}.{}", &fraction[..length]).parse().ok();
    }
    if let Some((bottom, left)) = over(after) {
        *rest = left;
        return (bottom > 0.0).then(|| whole / bottom);
    }
    *rest = after;
    let next = after.trim_start();
    let digits = next.find(|c: char| !c.is_ascii_digit()).unwrap_or(next.len());
    if after.starts_with([' ', '\t'])
        && (1..=2).contains(&digits)
        && let Some((bottom, left)) = over(&next[digits..])
    {
        let top: f64 = next[..digits].parse().ok()?;
        *rest = left;
        return (bottom > top).then(|| whole + top / bottom);
    }
    Some(whole)
}

/// The figure below a fraction's stroke, and what follows.
fn over(text: &str) -> Option<(f64, &str)> {
    let below = text.trim_start().strip_prefix('/')?.trim_start();
    let end = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
    let bottom = below.get(..end).filter(|digits| (1..=2).contains(&digits.len()))?.parse().ok()?;
    Some((bottom, &below[end..]))
}

fn unit(text: &str) -> Option<(Unit, f64)> {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some(known) = unit_named(words.trim_end_matches('.')) {
        return Some(known);
    }
    let is_plain = words.chars().all(|c| c.is_alphanumeric() || " -'.,/+&".contains(c));
    is_plain.then_some((Unit::Count(words), 1.0))
}

fn unit_named(word: &str) -> Option<(Unit, f64)> {
    let exact = UNITS.iter().find(|(names, ..)| names.contains(&word));
    let lower = word.to_lowercase();
    exact
        .or_else(|| UNITS.iter().find(|(names, ..)| names.contains(&lower.as_str())))
        .map(|(_, unit, each)| (unit.clone(), *each))
}

/// Parts of a cup that there are measures for, in teaspoons.
const CUP_PARTS: &[(f64, &str)] =
    &[(12.0, "1/4"), (16.0, "1/3"), (24.0, "1/2"), (32.0, "2/3"), (36.0, "3/4")];

impl Unit {
    fn write(&self, quantity: f64, rounding: Rounding) -> String {
        let to = |step: f64, quantity: f64| rounded(quantity, step, rounding);
        match self {
            Self::Volume => volume(quantity, rounding),
            Self::Weight => weight(quantity, rounding),
            Self::Grams => metric(quantity, "g", "kg", rounding),
            Self::Millilitres => metric(quantity, "ml", "l", rounding),
            Self::Count(words) => {
                let step = match quantity {
                    small if small < 4.0 => 0.25,
                    some if some < 10.0 => 0.5,
                    _ => 1.0,
                };
                let figure = figure(to(step, quantity));
                if words.is_empty() { figure } else { format!("{figure} {words}") }
            }
        }
    }
}

/// The nearest step, or the next one up; never nothing.
fn rounded(quantity: f64, step: f64, rounding: Rounding) -> f64 {
    let steps = quantity / step;
    let steps = match rounding {
        Rounding::Nearest => steps.round(),
        Rounding::Up => (steps - 1e-6).ceil(),
    };
    steps.max(1.0) * step
}

/// Teaspoons below a tablespoon, tablespoons below a quarter of a cup, then cups, quarts from four of them on.
fn volume(teaspoons: f64, rounding: Rounding) -> String {
    if teaspoons < 2.9 {
        let spoons = rounded(teaspoons, if teaspoons < 1.0 { 0.125 } else { 0.25 }, rounding);
        if spoons < 3.0 {
            return format!("{} tsp", figure(spoons));
        }
    }
    if teaspoons < 11.8 {
        let spoons = rounded(teaspoons, 0.5, rounding);
        let whole = (spoons / 3.0).floor();
        let rest = spoons - whole * 3.0;
        if whole < 4.0 {
            return match rest {
                none if none < 0.1 => format!("{} tbsp", figure(whole)),
                half if (half - 1.5).abs() < 0.1 => format!("{} tbsp", figure(whole + 0.5)),
                rest => format!("{} tbsp and {} tsp", figure(whole), figure(rest)),
            };
        }
    }
    if teaspoons >= 4.0 * 192.0 {
        let quarts = rounded(teaspoons, 48.0, rounding) / 192.0;
        return format!("{} qt", figure(quarts));
    }
    cups(teaspoons, rounding)
}

/// The nearest amount that cup measures make, where one is within a fortieth; else a cup measure and spoons besides.
fn cups(teaspoons: f64, rounding: Rounding) -> String {
    let cup = 48.0;
    let least = if rounding == Rounding::Up { teaspoons - 1e-6 } else { teaspoons * 0.975 };
    let most = teaspoons * 1.025;
    let whole = (teaspoons / cup).floor();
    let name = |whole: f64, part: &str| match (whole, part) {
        (0.0, "") => String::new(),
        (0.0, part) => format!("{part} cup"),
        (1.0, "") => "1 cup".to_owned(),
        (whole, "") => format!("{whole} cups"),
        (whole, part) => format!("{whole} {part} cups"),
    };
    let mut plain: Vec<(f64, String)> = Vec::new();
    for whole in [whole, whole + 1.0] {
        plain.push((whole * cup, name(whole, "")));
        plain.extend(CUP_PARTS.iter().map(|(part, words)| (whole * cup + part, name(whole, words))));
    }
    let off = |size: f64| (size - teaspoons).abs();
    let near = plain
        .iter()
        .filter(|(size, _)| (least..=most).contains(size))
        .min_by(|(a, _), (b, _)| off(*a).total_cmp(&off(*b)));
    if let Some((_, words)) = near {
        return words.clone();
    }
    let Some((size, words)) =
        plain.iter().rev().find(|(size, words)| *size <= teaspoons && !words.is_empty())
    else {
        return format!("{} tbsp", figure(rounded(teaspoons, 1.5, rounding) / 3.0));
    };
    let spoons = rounded(teaspoons - size, 1.5, rounding) / 3.0;
    format!("{words} and {} tbsp", figure(spoons))
}

fn weight(ounces: f64, rounding: Rounding) -> String {
    let step = match ounces {
        small if small < 4.0 => 0.25,
        some if some < 16.0 => 0.5,
        some if some < 160.0 => 1.0,
        _ => 4.0,
    };
    let ounces = rounded(ounces, step, rounding);
    let (pounds, rest) = ((ounces / 16.0).floor(), ounces % 16.0);
    match (pounds, rest) {
        (0.0, rest) => format!("{} oz", figure(rest)),
        (pounds, 0.0) => format!("{pounds} lb"),
        (pounds, rest) => format!("{pounds} lb {} oz", figure(rest)),
    }
}

fn metric(quantity: f64, small: &str, large: &str, rounding: Rounding) -> String {
    let step = match quantity {
        least if least < 10.0 => 0.5,
        little if little < 100.0 => 1.0,
        some if some < 1000.0 => 5.0,
        much if much < 10_000.0 => 50.0,
        _ => 100.0,
    };
    let quantity = rounded(quantity, step, rounding);
    if quantity < 1000.0 { format!("{quantity} {small}") } else { format!("{} {large}", quantity / 1000.0) }
}

/// A figure with its fraction: `2 3/4`. It is a multiple of an eighth.
fn figure(quantity: f64) -> String {
    let whole = quantity.floor();
    let part = match ((quantity - whole) * 8.0).round() as u32 {
        1 => "1/8",
        2 => "1/4",
        3 => "3/8",
        4 => "1/2",
        5 => "5/8",
        6 => "3/4",
        7 => "7/8",
        _ => return quantity.round().to_string(),
    };
    if whole == 0.0 { part.to_owned() } else { format!("{whole} {part}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn scaled(written: &str, jars: f64, of: f64) -> String {
        Amount::read(written).scaled(jars, of, Rounding::Nearest)
    }

    #[test]
    fn amounts_scale_up_and_down_the_units_in_kitchen_figures() {
        // Each worked by hand with the equivalents of NIST Handbook 44, Appendix C.
        for (written, jars, of, expected) in [
            ("1/2 tsp", 27.0, 9.0, "1 1/2 tsp"),
            ("1 1/2 tsp", 18.0, 9.0, "1 tbsp"),
            ("1 tbsp", 4.5, 9.0, "1 1/2 tsp"),
            ("1 1/2 tsp", 27.0, 9.0, "1 1/2 tbsp"),
            ("2 tbsp", 18.0, 9.0, "1/4 cup"),
            ("1/4 cup", 9.0, 18.0, "2 tbsp"),
            ("1 3/8 cups", 18.0, 9.0, "2 3/4 cups"),
            ("\u{2154} cup", 18.0, 9.0, "1 1/3 cups"),
            ("1\u{bd} cups", 18.0, 9.0, "3 cups"),
            ("2 1/2 cups", 21.0, 7.0, "7 1/2 cups"),
            ("1 cup", 9.0, 8.0, "1 cup and 2 tbsp"),
            ("6 cups", 27.0, 9.0, "4 1/2 qt"),
            ("10 oz", 18.0, 9.0, "1 lb 4 oz"),
            ("1 lb 4 oz", 9.0, 18.0, "10 oz"),
            ("1 cup and 2 tbsp", 8.0, 9.0, "1 cup"),
            ("1 cup + 2 tbsp", 8.0, 9.0, "1 cup"),
            ("2.5 lb", 18.0, 9.0, "5 lb"),
            ("1,5 kg", 18.0, 9.0, "3 kg"),
            ("1,5 kg", 3.0, 9.0, "500 g"),
            ("350 ml", 36.0, 9.0, "1.4 l"),
            ("3 cloves", 18.0, 9.0, "6 cloves"),
            ("5", 3.0, 9.0, "1 3/4"),
            ("1 1/2-2 cups", 18.0, 9.0, "3 cups to 4 cups"),
            ("1 1/2 \u{2013} 2 cups", 18.0, 9.0, "3 cups to 4 cups"),
            ("2 to 3 lb", 18.0, 9.0, "4 lb to 6 lb"),
            ("2 T", 9.0, 18.0, "1 tbsp"),
            ("2 t", 9.0, 18.0, "1 tsp"),
        ] {
            assert_eq!(scaled(written, jars, of), expected, "{written} times {jars}/{of}");
        }
    }

    #[test]
    fn what_does_not_parse_is_kept_and_does_not_scale() {
        for text in [
            "a pinch",
            "to taste",
            "1,000 g",
            "1/0 cup",
            "0 cups",
            "3-2 cups",
            "1 3/2 cups",
            "-1 cup",
            "1 lb 4 cups",
            "2 (14 oz) cans",
            "1/2/3 cup",
        ] {
            let amount = Amount::read(text);
            assert!(!amount.scales(), "{text}: {amount:?}");
            assert_eq!(amount.scaled(18.0, 9.0, Rounding::Nearest), text);
        }
    }

    #[test]
    fn the_same_jars_take_what_is_written() {
        assert_eq!(scaled("1 \u{2154} cups", 9.0, 9.0), "1 \u{2154} cups");
    }

    #[test]
    fn what_keeps_food_acid_is_never_rounded_down() {
        // 1 cup for 9 jars is 10/9 cup for 10: 53.3 tsp, of which a cup is 48; 5.3 more are under 2 tbsp.
        let vinegar = Amount::read("1 cup");
        assert_eq!(vinegar.scaled(10.0, 9.0, Rounding::Up), "1 cup and 2 tbsp");
        // 49 g for 48 would be nearest 49; 1.02 oz goes up to the next quarter.
        assert_eq!(Amount::read("1 oz").scaled(51.0, 50.0, Rounding::Up), "1 1/4 oz");
    }

    proptest! {
        #[test]
        fn any_text_is_read_without_a_panic(text in ".*", jars in 1_u32..500) {
            let _ = Amount::read(&text).scaled(f64::from(jars), 9.0, Rounding::Nearest);
        }

        #[test]
        fn a_scaled_amount_reads_back_near_what_it_stands_for(
            number in 1_u32..400, unit in prop::sample::select(vec!["tsp", "tbsp", "cup", "oz", "lb", "g", "ml"]),
            jars in 1_u32..60,
        ) {
            let written = format!("{number} {unit}");
            let Amount::Measured(before) = Amount::read(&written) else { panic!("{written}") };
            let out = Amount::read(&written).scaled(f64::from(jars), 12.0, Rounding::Up);
            // Every part is a figure and a unit of the same kind: sum them.
            let words: Vec<&str> = out.split(' ').filter(|word| *word != "and").collect();
            let mut sum = 0.0;
            let mut part = Vec::new();
            for word in words {
                part.push(word);
                if let Some((_, each)) = unit_named(word) {
                    let text = part.join(" ");
                    let mut rest = text.as_str();
                    sum += number_of(&mut rest) * each;
                    part.clear();
                }
            }
            let exact = before.low * f64::from(jars) / 12.0;
            prop_assert!(sum >= exact - 1e-3, "{} for {}", out, exact);
            let slack = if exact < 4.0 { 0.5 } else { exact * 0.25 };
            prop_assert!(sum <= exact + slack, "{} for {}", out, exact);
        }
    }

    fn number_of(rest: &mut &str) -> f64 {
        number(rest).unwrap()
    }
}
