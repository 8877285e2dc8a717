//! Every caution the program shows; one place, so that none is worded twice.
//!
//! The texts never say of a jar that it can be eaten without harm: they say
//! what a record shows, what to do, and whom to ask.

use std::fmt;

use crate::values::kinds::basis::Basis;

/// A text shown to the person, with where its facts come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// The text: whole sentences.
    pub text: &'static str,
    /// Publication and section of its facts; the wording is our own.
    pub source: &'static str,
    /// How sure the facts are.
    pub basis: Basis,
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text)
    }
}

impl serde::Serialize for Caution {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text)
    }
}

/// What may be in a jar without a sign.
pub(crate) const BOTULISM: Caution = Caution {
    text: "Low-acid and tomato food that was processed wrongly can contain botulism toxin with little or \
           no sign. Never taste food to decide; treat every suspect jar as poisonous.",
    source: "USDA AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food; CDC, Home-Canned Foods",
    basis: Basis::Reprint,
};

/// Which symptoms are an emergency.
pub(crate) const SYMPTOMS: Caution = Caution {
    text: "Double or blurred vision, drooping eyelids, slurred speech, trouble swallowing, a dry mouth, weak \
           muscles or trouble breathing, from a few hours to 10 days after eating, may be botulism. Nausea, \
           vomiting and cramps may come too.",
    source: "Washington State University Extension, What You Need to Know About Botulism; Illinois Poison \
             Center, Botulism",
    basis: Basis::Reprint,
};

/// Where to go with them.
pub(crate) const EMERGENCY: Caution = Caution {
    text: "That is a medical emergency: call the emergency services or go to a hospital at once, do not wait, \
           and say that home-canned food was eaten. Then tell the poison control center and the local health \
           department, and keep what is left of the food, closed and labeled, for them.",
    source: "Washington State University Extension, What You Need to Know About Botulism; Illinois Poison \
             Center, Botulism",
    basis: Basis::Reprint,
};

/// Getting rid of a suspect low-acid or tomato jar that is still sealed.
pub(crate) const DISCARD_SEALED: Caution = Caution {
    text: "Still sealed, even if swollen: do not open it. Put the jar in a heavy bag, close the bag, put it in \
           a second one and tape it, and put it in an outdoor bin out of reach of people and animals, or bury \
           it. Pour none of it down a sink, a waste disposer or a toilet.",
    source: "USDA AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food; CDC, Home-Canned Foods",
    basis: Basis::Reprint,
};

/// Getting rid of a suspect low-acid or tomato jar that is not sealed any more.
pub(crate) const DISCARD_OPEN: Caution = Caution {
    text: "Unsealed, open or leaking: wear gloves. Lay the jars with their lids on their sides in a pot of 8 \
           quarts (7.6 L) or more, with water at least 1 in (2.5 cm) over them; cover, boil for 30 minutes, let \
           it cool, and only then bag everything and put it in an outdoor bin or bury it.",
    source: "USDA AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food; CDC, Home-Canned Foods",
    basis: Basis::Reprint,
};

/// Getting rid of spoiled acid food that holds no tomato.
pub(crate) const DISCARD_ACID: Caution = Caution {
    text: "Bag it and put it where neither people nor animals can eat it. If it is not certain that the food \
           is acid, treat it as low-acid food.",
    source: "Common practice, no source",
    basis: Basis::CommonPractice,
};

/// Cleaning whatever a suspect jar touched.
pub(crate) const CLEAN_UP: Caution = Caution {
    text: "Wear gloves. Wet everything the jar or the food may have touched with 1 part of unscented household \
           bleach (5 to 6 %) to 5 parts of water, leave it for 30 minutes, wipe up with paper towels, bag them, \
           wet again for 30 minutes and rinse. Throw away sponges and cloths, and wash your hands. (From \
           memory: check with your extension service.)",
    source: "USDA AIB 539 (2015), Guide 1, Identifying and Handling Spoiled Canned Food",
    basis: Basis::Memory,
};

/// What boiling before tasting is for, and what it is not for.
pub(crate) const BOIL_SCOPE: Caution = Caution {
    text: "Boiling before tasting is for low-acid and tomato food, whenever any departure from the tested \
           process is possible. It is never a rescue for a suspect jar: discard that one.",
    source: "USDA AIB 539 (1994), Guide 1, For Safety's Sake",
    basis: Basis::Reprint,
};

/// What the best-by date means.
pub(crate) const BEST_BY: Caution = Caution {
    text: "Best by is a matter of quality, not safety. Look every jar over before and on opening, whatever its \
           date.",
    source: "National Center for Home Food Preservation, Storing Home-Canned Jams and Jellies",
    basis: Basis::Reprint,
};

/// What a kept process means.
pub(crate) const ON_RECORD: Caution = Caution {
    text: "A load that meets the tested process on record is no more than that: the record cannot see into \
           the jar.",
    source: "Common practice, no source",
    basis: Basis::CommonPractice,
};

/// What a missing process means.
pub(crate) const NO_RECORD: Caution = Caution {
    text: "Where a jar's process is not on record, this ledger cannot tell whether it got a tested one. Unless \
           you know that yourself, do not eat it.",
    source: "USDA AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food",
    basis: Basis::Memory,
};

/// What the process tables leave out.
pub(crate) const FIGURES_ONLY: Caution = Caution {
    text: "These are times, pressures and headspace only. Prepare, acidify, fill and vent as the publication \
           says.",
    source: "Common practice, no source",
    basis: Basis::CommonPractice,
};

/// Where jars keep best.
pub(crate) const STORAGE: Caution = Caution {
    text: "Jars keep best at 50 to 70 °F (10 to 21 °C), clean, dark and dry, without their bands, and never \
           above 95 °F (35 °C) or beside pipes, a stove or in the sun.",
    source: "USDA AIB 539 (1994), Guide 1, Storing Canned Foods; National Center for Home Food Preservation, \
             Storing Home-Canned Jams and Jellies",
    basis: Basis::Reprint,
};

/// Whom to ask.
pub(crate) const ASK: Caution = Caution {
    text: "This is a record, not advice. Your local extension service knows the processes, your health \
           department the rules: where they say otherwise, they are right.",
    source: "Common practice, no source",
    basis: Basis::CommonPractice,
};

/// What giving jars away is not.
pub(crate) const LOCAL_LAW: Caution = Caution {
    text: "A gift is one thing: whether home-canned food may be sold or served to the public is a matter of local \
           law. Ask your health department first.",
    source: "Common practice, no source",
    basis: Basis::CommonPractice,
};

/// What may be in the jars of a load that failed, for a screen that must keep its main line in view.
pub(crate) const FAILED_LOAD: Caution = Caution {
    text: "Never taste food to decide: botulism toxin can be there with little or no sign.",
    source: "USDA AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food; CDC, Home-Canned Foods",
    basis: Basis::Reprint,
};

/// Every caution.
pub const ALL: &[Caution] = &[
    BOTULISM,
    SYMPTOMS,
    EMERGENCY,
    DISCARD_SEALED,
    DISCARD_OPEN,
    DISCARD_ACID,
    CLEAN_UP,
    BOIL_SCOPE,
    BEST_BY,
    FAILED_LOAD,
    ON_RECORD,
    NO_RECORD,
    FIGURES_ONLY,
    STORAGE,
    ASK,
    LOCAL_LAW,
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::figures::Figure;

    #[test]
    fn no_caution_calls_a_jar_safe() {
        for caution in ALL {
            let text = caution.text.to_lowercase();
            for word in text.split(|letter: char| !letter.is_alphabetic()) {
                assert!(!["safe", "safely", "harmless", "guaranteed"].contains(&word), "{}", caution.text);
            }
        }
    }

    #[test]
    fn a_caution_is_whole_sentences_with_a_source_and_no_web_address() {
        for caution in ALL {
            assert!(caution.text.ends_with(['.', ')']) && !caution.text.contains("  "), "{}", caution.text);
            assert!(!caution.source.is_empty());
            for text in [caution.text, caution.source] {
                assert!(!text.contains("://") && !text.contains("www."), "{text}");
            }
        }
    }

    #[test]
    fn no_caution_stands_outside_the_list() {
        let written = include_str!("cautions.rs").matches(": Caution = Caution {").count();
        assert_eq!(ALL.len(), written - 1, "this line is one of them");
    }

    #[test]
    fn what_was_not_seen_is_not_called_a_reprint() {
        for caution in ALL {
            let has_source = !caution.source.contains("no source");
            assert_eq!(caution.basis != Basis::CommonPractice, has_source, "{}", caution.text);
        }
    }

    #[test]
    fn the_figures_in_the_texts_are_those_of_the_table() {
        let gives = |caution: Caution, figure: Figure, around: &str| {
            let words = around.replace('#', &figure.value().to_string());
            assert!(caution.text.contains(&words), "{words}: {}", caution.text);
        };
        gives(DISCARD_OPEN, Figure::DetoxifyBoil, "boil for # minutes");
        gives(DISCARD_OPEN, Figure::DetoxifyWaterOver, "at least # in");
        gives(DISCARD_OPEN, Figure::DetoxifyPot, "pot of # quarts");
        gives(CLEAN_UP, Figure::BleachWaterParts, "to # parts of water");
        gives(CLEAN_UP, Figure::BleachWet, "leave it for # minutes");
        gives(CLEAN_UP, Figure::BleachWet, "wet again for # minutes");
        gives(STORAGE, Figure::StoreAtLeast, "at # to");
        gives(STORAGE, Figure::StoreAtMost, "to # °F");
        gives(STORAGE, Figure::StoreNeverAbove, "above # °F");
    }

    #[test]
    fn a_caution_is_shown_by_its_text_alone() {
        assert_eq!(EMERGENCY.to_string(), EMERGENCY.text);
    }

    #[test]
    fn symptoms_are_sent_to_emergency_care_at_once() {
        assert!(EMERGENCY.text.contains("emergency services") && EMERGENCY.text.contains("at once"));
    }
}
