//! Signs of spoilage in a word or two, for a screen that must keep its main line in view.

use crate::tables::spoilage::Sign;

/// The sign in a word or two.
pub(crate) fn in_short(sign: &Sign) -> &str {
    match sign.id.as_str() {
        "S01" => "swollen lid",
        "S02" => "leak",
        "S03" => "crack",
        "S04" => "loose lid",
        "S05" => "dried streaks from the rim",
        "S06" => "rising bubbles",
        "S07" => "wrong color",
        "S08" => "cloudy or yeasty liquid",
        "S09" | "S16" => "mold",
        "S10" => "rust on the lid",
        "S11" => "lost liquid",
        "S12" => "darkened top",
        "S13" => "wrong or unknown process",
        "S14" => "spurting or foam",
        "S15" => "off smell",
        "S17" => "discolored food",
        "S18" => "fizzing",
        "S19" => "slime",
        "S20" => "black food",
        "S21" => "more than 4 days in the refrigerator",
        "S22" => "more than 7 days in the refrigerator",
        "S23" => "more than 2 hours at room temperature",
        "S24" => "new mold, gas or off smell",
        _ => &sign.sign,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::spoilage::all;

    #[test]
    fn every_sign_has_its_word_or_two() {
        for sign in all() {
            assert!(in_short(sign).len() < sign.sign.len(), "{}", sign.id);
        }
    }
}
