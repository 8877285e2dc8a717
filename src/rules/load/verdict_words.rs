//! The verdict on a load in one sentence, which names what the record was compared with.

use crate::rules::load::finding::{ELSEWHERE, Finding, FindingCode, OWN};
use crate::rules::load::verdict::Verdict;
use crate::tables::foods;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};

/// What a load was compared with; none: not on record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Compared<'a> {
    pub food: Option<&'a FoodId>,
    /// Hot or raw.
    pub pack: Option<Pack>,
    pub sizes: &'a [JarSize],
    /// The kind of canner.
    pub method: Option<Method>,
}

impl Compared<'_> {
    /// The food with what decides about its process: "Apple butter (hot pack, pints, boiling water)".
    pub(crate) fn in_words(&self) -> Option<String> {
        let food = self.food?;
        // Without what the tables add in brackets.
        let name =
            foods::get(food).map_or(food.as_str(), |food| food.name.split(" (").next().unwrap_or_default());
        let sizes: Vec<&str> = self.sizes.iter().map(|size| size.plural()).collect();
        let pack = self.pack.map(|pack| format!("{pack} pack"));
        let sizes = (!sizes.is_empty()).then(|| sizes.join(" and "));
        let parts: Vec<String> = pack
            .into_iter()
            .chain(sizes)
            .chain(self.method.map(|method| method.in_words().to_owned()))
            .collect();
        Some(if parts.is_empty() { name.to_owned() } else { format!("{name} ({})", parts.join(", ")) })
    }

    /// The verdict as a sentence.
    pub fn verdict(&self, verdict: Verdict, findings: &[Finding]) -> String {
        let what = self.in_words().map(|what| format!(" for {what}")).unwrap_or_default();
        match verdict {
            // Judged by a process of the household's own before these had a verdict of their own.
            Verdict::Meets if self.food.is_some_and(|food| foods::get(food).is_none()) => {
                format!("On record as meeting a process{what} that no table here holds: `jarledger check`.")
            }
            Verdict::Meets => format!("Meets the tested process{what}."),
            Verdict::MeetsOwn => {
                let own = findings.iter().find(|finding| finding.code == FindingCode::OwnProcess);
                let own = own.and_then(|own| own.message.split_once(OWN)).map_or(ELSEWHERE, |(_, from)| from);
                format!("Meets {OWN}{own}.")
            }
            Verdict::NotRecorded => "Process not on record: facts of it are missing.".to_owned(),
            Verdict::NoTestedProcess => "There is no tested process for this.".to_owned(),
            Verdict::Deviates if findings.iter().any(|finding| finding.code == FindingCode::OwnProcess) => {
                format!("Does not meet {OWN}{what}.")
            }
            Verdict::Deviates => format!("Does not meet the tested process{what}."),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::load::finding::own_process;

    #[test]
    fn a_verdict_names_what_was_compared() {
        let butter: FoodId = "apple-butter".parse().unwrap();
        let compared = Compared {
            food: Some(&butter),
            pack: Some(Pack::Hot),
            sizes: &[JarSize::Pint],
            method: Some(Method::BoilingWater),
        };
        // The wording is our own; the name is that of the tables.
        let name = &foods::get(&butter).unwrap().name;
        assert_eq!(
            compared.verdict(Verdict::Meets, &[]),
            format!("Meets the tested process for {name} (hot pack, pints, boiling water).")
        );
        let both = Compared { sizes: &[JarSize::Pint, JarSize::Quart], method: None, ..compared };
        assert!(both.verdict(Verdict::Deviates, &[]).ends_with("(hot pack, pints and quarts)."));
        let nothing = Compared { food: None, ..compared };
        assert_eq!(nothing.verdict(Verdict::Meets, &[]), "Meets the tested process.");
    }

    #[test]
    fn a_process_of_ones_own_is_never_called_tested() {
        let turnips: FoodId = "turnips".parse().unwrap();
        let compared = Compared { food: Some(&turnips), pack: None, sizes: &[], method: None };
        let found =
            Finding::new(FindingCode::OwnProcess, JarSize::Pint, own_process("County bulletin 7, page 12"));
        let sentence = compared.verdict(Verdict::MeetsOwn, &[found]);
        assert_eq!(
            sentence,
            "Meets your own process from County bulletin 7, page 12; no table here confirms it."
        );
        assert!(!compared.verdict(Verdict::MeetsOwn, &[]).contains("tested"));
        assert!(!compared.verdict(Verdict::Meets, &[]).contains("tested"));
    }
}
