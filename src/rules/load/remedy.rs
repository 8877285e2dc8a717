//! What can still be done with a jar whose seal or whose load failed.

use crate::values::names::named::named_enum;

named_enum! {
    /// A way to deal with a jar that cannot go on the shelf as it is.
    pub enum Remedy as "a remedy" {
        /// Into a new load, under a new lid, for the full time.
        Reprocess = "reprocess",
        /// Into the refrigerator.
        Chill = "chill",
        /// Into the freezer.
        Freeze = "freeze",
        /// Thrown away.
        Discard = "discard",
    }
}

/// Days a chilled jar keeps: the shortest of the published figures (2 days, several days, one week).
pub(crate) const CHILLED_DAYS: u32 = 2;

/// Headspace for freezing, in inches (the larger of the published figures, 1 in and 1 1/2 in).
pub(crate) const FREEZING_HEADSPACE_IN: f64 = 1.5;

/// Everything that may be done while there is still time.
pub(crate) const IN_TIME: &[Remedy] = &[Remedy::Reprocess, Remedy::Chill, Remedy::Freeze];

/// All that is left when the time has passed.
pub(crate) const TOO_LATE: &[Remedy] = &[Remedy::Discard];

impl Remedy {
    /// How it is done, in one sentence.
    ///
    /// Figures: USDA AIB 539, Guide 1, Reprocessing unsealed jars, as reprinted by
    /// university extension services; the hot-pack condition and the 2 days in the
    /// refrigerator are extension services' own.
    pub(crate) const fn how(self) -> &'static str {
        match self {
            Self::Reprocess => {
                "check the rim for nicks and change the jar if needed, reheat the food, use a new lid \
                 and give it the full time of the tested hot-pack process again (without a tested hot pack, chill \
                 or freeze instead)"
            }
            Self::Chill => "keep it in the refrigerator and use it within 2 days",
            Self::Freeze => "leave 1 1/2 in of headspace and put it in the freezer",
            Self::Discard => "do not taste it",
        }
    }
}

impl Remedy {
    /// The same in a few words, for a screen that must keep its main line in view.
    pub(crate) const fn in_short(self) -> &'static str {
        match self {
            Self::Reprocess => "reprocess (new lids, full hot-pack time)",
            Self::Chill => "refrigerate (use within 2 days)",
            Self::Freeze => "freeze (1 1/2 in of headspace)",
            Self::Discard => "discard, untasted",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sentences_carry_the_figures_the_rules_use() {
        assert_eq!(CHILLED_DAYS, 2);
        for sentence in [Remedy::Chill.how(), Remedy::Chill.in_short()] {
            assert!(sentence.contains("within 2 days"));
        }
        // USDA AIB 539, Guide 1, Reprocessing unsealed jars: freeze with 1 1/2 in of headspace.
        assert!((FREEZING_HEADSPACE_IN - 1.5).abs() < f64::EPSILON);
        for sentence in [Remedy::Freeze.how(), Remedy::Freeze.in_short()] {
            assert!(sentence.contains("1 1/2 in"));
        }
        assert!(Remedy::Reprocess.how().contains("new lid"));
        assert!(Remedy::Reprocess.how().contains("full time"));
    }
}
