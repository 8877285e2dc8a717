//! Looking for spoilage, boiling before tasting, and getting rid of a suspect jar.

use crate::rules::food::care::Care;
use crate::rules::spoilage::cautions;
use crate::rules::spoilage::cautions::Caution;
use crate::tables::figures::Figure;
use crate::tables::spoilage;
use crate::tables::spoilage::Severity;
use crate::tables::spoilage::Sign;
use crate::tables::spoilage::Stage;
use crate::values::measures::altitude::Altitude;
use crate::values::names::named::named_enum;

/// The signs to look for at one stage.
pub fn signs(stage: Stage, care: Care) -> impl Iterator<Item = &'static Sign> {
    spoilage::all().iter().filter(move |sign| sign.stage == stage && care.hears(sign.applies_to))
}

/// Whether a sign speaks of age or quality alone: a jar thrown away for it is no suspect jar.
pub(crate) fn is_age_or_quality(sign: &Sign) -> bool {
    // Kept too long once opened (S21, S22): the published days are those of sound food.
    sign.severity == Severity::QualityOnly || matches!(sign.id.as_str(), "S21" | "S22")
}

/// Minutes to boil low-acid or tomato food before tasting it.
///
/// 10 minutes below 1,000 ft; from there on one more for each 1,000 ft, a part of
/// a thousand counting whole (USDA AIB 539, 1994, Guide 1, For Safety's Sake; that
/// parts are rounded up is the cautious reading). For scope see
/// [`cautions::BOIL_SCOPE`].
pub(crate) fn boil_before_tasting_minutes(altitude: Altitude) -> u32 {
    let base = Figure::BoilBeforeTasting.value();
    if altitude < Altitude::from_feet(1_000) {
        return base;
    }
    let begun_thousands = (altitude.feet_rounded_up() + 999) / 1_000;
    base + u32::try_from(begun_thousands).expect("an altitude is at most 30,000 ft")
}

named_enum! {
    /// Whether a suspect jar still holds its seal.
    pub enum Closure as "a closure" {
        /// Sealed, even if swollen.
        Sealed = "sealed",
        /// Unsealed, open or leaking.
        Open = "open",
    }
}

/// What to show when a suspect jar is thrown away, in order.
pub(crate) fn disposal(care: Care, closure: Closure) -> Vec<Caution> {
    match (care, closure) {
        (Care::LowAcid, Closure::Sealed) => vec![cautions::BOTULISM, cautions::DISCARD_SEALED],
        (Care::LowAcid, Closure::Open) => {
            vec![cautions::BOTULISM, cautions::DISCARD_OPEN, cautions::CLEAN_UP]
        }
        (Care::Acid, _) => vec![cautions::DISCARD_ACID],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boiling_takes_ten_minutes_and_one_more_for_each_thousand_feet() {
        // AIB 539 (1994), Guide 1, For Safety's Sake: 10 minutes below 1,000 ft and 1 more per 1,000 ft;
        // 5,000 ft worked by hand: 10 + 5. Parts of a thousand rounded up.
        for (altitude, minutes) in [
            ("-20m", 10),
            ("0ft", 10),
            ("999ft", 10),
            ("304m", 10),
            ("1000ft", 11),
            ("1001ft", 12),
            ("305m", 12),
            ("2000ft", 12),
            ("5000ft", 15),
            ("5001ft", 16),
            ("30000ft", 40),
        ] {
            assert_eq!(boil_before_tasting_minutes(altitude.parse().unwrap()), minutes, "{altitude}");
        }
    }

    fn ids(stage: Stage, care: Care) -> Vec<&'static str> {
        signs(stage, care).map(|sign| sign.id.as_str()).collect()
    }

    #[test]
    fn signs_fit_the_stage_and_the_acidity() {
        // The 24 signs as set down from AIB 539, Guide 1, and the CDC's page on home-canned foods.
        let closed = ids(Stage::BeforeOpening, Care::LowAcid);
        assert!(closed.contains(&"S13") && !closed.contains(&"S12"));
        let acid = ids(Stage::BeforeOpening, Care::Acid);
        assert!(acid.contains(&"S12") && !acid.contains(&"S13"));
        assert_eq!(ids(Stage::OnOpening, Care::Acid), ids(Stage::OnOpening, Care::LowAcid));
        assert_eq!(ids(Stage::OnOpening, Care::Acid).len(), 7);
        assert_eq!(ids(Stage::AfterOpening, Care::LowAcid), ["S21", "S23", "S24"]);
        assert_eq!(ids(Stage::AfterOpening, Care::Acid), ["S22", "S23", "S24"]);
        assert_eq!(spoilage::all().len(), 24);
    }

    #[test]
    fn a_sealed_suspect_is_bagged_unopened_and_an_open_one_is_boiled_first() {
        // AIB 539 (1994), Guide 1, Identifying and Handling Spoiled Canned Food, both routes.
        let sealed = disposal(Care::LowAcid, Closure::Sealed);
        assert!(sealed.contains(&cautions::DISCARD_SEALED) && !sealed.contains(&cautions::DISCARD_OPEN));
        let open = disposal(Care::LowAcid, Closure::Open);
        assert!(open.contains(&cautions::DISCARD_OPEN) && open.contains(&cautions::CLEAN_UP));
        assert!(!open.contains(&cautions::DISCARD_SEALED));
        assert_eq!(disposal(Care::Acid, Closure::Open), [cautions::DISCARD_ACID]);
    }
}
