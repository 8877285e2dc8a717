//! Jar sizes by their trade names.

use crate::values::names::counted::counted;
use crate::values::names::named::{UnknownName, named_enum, taken_from};

named_enum! {
    /// A jar size. Only half-pint, pint, quart and half-gallon occur in the
    /// published tables; the others are kept because people own them, and they
    /// have no tested process.
    pub enum JarSize as "a jar size" {
        /// 4 US fl oz, 118.3 mL.
        QuarterPint = "quarter-pint" | "quarter-pints" | "4 oz" | "4 ounce",
        /// 8 US fl oz, 236.6 mL.
        HalfPint = "half-pint" | "half-pints" | "hp" | "half pt" | "half pts" | "1/2 pint" | "1/2 pints" | "1/2 pt" | "8 oz" | "8 ounce",
        /// 12 US fl oz, 354.9 mL.
        ThreeQuarterPint = "three-quarter-pint" | "three-quarter-pints" | "12 oz" | "12 ounce",
        /// 16 US fl oz, 473.2 mL.
        Pint = "pint" | "pints" | "pt" | "pts" | "16 oz" | "16 ounce",
        /// 24 US fl oz, 709.8 mL.
        PintAndHalf = "pint-and-half" | "pints and a half" | "pint and a half" | "24 oz" | "24 ounce",
        /// 32 US fl oz, 946.4 mL.
        Quart = "quart" | "quarts" | "qt" | "qts" | "32 oz" | "32 ounce",
        /// 64 US fl oz, 1892.7 mL.
        HalfGallon = "half-gallon" | "half-gallons" | "half gal" | "64 oz" | "64 ounce",
    }
}

impl JarSize {
    /// Nominal contents in US fluid ounces.
    pub(crate) const fn fluid_ounces(self) -> u32 {
        match self {
            Self::QuarterPint => 4,
            Self::HalfPint => 8,
            Self::ThreeQuarterPint => 12,
            Self::Pint => 16,
            Self::PintAndHalf => 24,
            Self::Quart => 32,
            Self::HalfGallon => 64,
        }
    }

    /// The size that people mean by a word: its name, its plural, an abbreviation or its fluid ounces.
    pub fn meant_by(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        let word = word.strip_suffix(" jars").or_else(|| word.strip_suffix(" jar")).unwrap_or(&word);
        // How wide the mouth is plays no part.
        let mouths = ["wide mouth ", "wide-mouth ", "regular mouth ", "regular-mouth ", "regular "];
        let word = mouths.iter().find_map(|mouth| word.strip_prefix(mouth)).unwrap_or(word);
        let one = word.strip_prefix('1').map(|size| size.trim_start_matches([' ', '-']));
        one.filter(|size| ["quart", "pint", "qt", "pt"].contains(size)).unwrap_or(word).parse().ok()
    }

    /// Reads a size as people write it.
    pub fn read(given: &str) -> Result<Self, UnknownName> {
        Self::meant_by(given).map_or_else(|| given.parse(), Ok)
    }

    /// Takes the first size that words name out of them: `green beans half pint` leaves `green beans`.
    pub fn taken_from(words: &mut Vec<&str>) -> Option<Self> {
        taken_from(words, Self::meant_by)
    }

    /// A count of jars of this size: `1 pint`, `14 pints`.
    pub fn counted<N: std::fmt::Display + PartialEq + From<u8>>(self, count: N) -> String {
        counted(count, self.as_str(), self.plural())
    }

    /// The plural for a count of other than one: "half-pints", "pints and a half".
    pub(crate) const fn plural(self) -> &'static str {
        match self {
            Self::QuarterPint => "quarter-pints",
            Self::HalfPint => "half-pints",
            Self::ThreeQuarterPint => "three-quarter-pints",
            Self::Pint => "pints",
            Self::PintAndHalf => "pints and a half",
            Self::Quart => "quarts",
            Self::HalfGallon => "half-gallons",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_names_one_jar_or_several() {
        assert_eq!(JarSize::Quart.counted(1_u32), "1 quart");
        assert_eq!(JarSize::HalfPint.counted(14_u32), "14 half-pints");
    }

    #[test]
    fn a_size_is_meant_by_its_name_its_plural_an_abbreviation_or_its_ounces() {
        for (word, size) in [
            ("quart", JarSize::Quart),
            ("Quarts", JarSize::Quart),
            ("qt.", JarSize::Quart),
            ("pt", JarSize::Pint),
            ("half pints", JarSize::HalfPint),
            ("8 oz", JarSize::HalfPint),
            ("24oz", JarSize::PintAndHalf),
            ("half-gallon", JarSize::HalfGallon),
            ("quart jars", JarSize::Quart),
            ("1-quart jar", JarSize::Quart),
            ("wide-mouth pints", JarSize::Pint),
        ] {
            assert_eq!(JarSize::meant_by(word), Some(size), "{word}");
        }
        for word in ["", "jar", "q", "gallon", "9 oz", "oz"] {
            assert_eq!(JarSize::meant_by(word), None, "{word}");
        }
    }

    #[test]
    fn a_size_is_taken_out_of_the_words_around_it() {
        for (text, size, left) in [
            ("green beans qt", Some(JarSize::Quart), "green beans"),
            ("half pint peach jam", Some(JarSize::HalfPint), "peach jam"),
            ("pint and half jam", Some(JarSize::PintAndHalf), "jam"),
            ("pint and a half jam", Some(JarSize::PintAndHalf), "jam"),
            ("8 oz jam", Some(JarSize::HalfPint), "jam"),
            ("green beans", None, "green beans"),
        ] {
            let mut words = text.split(' ').collect();
            assert_eq!((JarSize::taken_from(&mut words), words.join(" ").as_str()), (size, left));
        }
    }

    #[test]
    fn contents_match_the_us_customary_measures() {
        // NIST Handbook 44, Appendix C: 4 fl oz a gill, 16 a pint, 32 a quart, 128 a gallon.
        let ounces: Vec<u32> = JarSize::ALL.iter().map(|size| size.fluid_ounces()).collect();
        assert_eq!(ounces, [4, 8, 12, 16, 24, 32, 64]);
    }
}
