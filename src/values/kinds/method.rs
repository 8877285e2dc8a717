//! How food is packed and which kind of canner processes it.

use crate::values::names::named::named_enum;

named_enum! {
    /// How the food went into the jar.
    pub enum Pack as "a pack" {
        /// Heated before filling.
        Hot = "hot" | "hot pack" | "hot packed",
        /// Filled unheated and covered with hot liquid.
        Raw = "raw" | "raw pack" | "raw packed" | "cold pack",
    }
}

named_enum! {
    /// The kind of canner, which is also the column of the process tables.
    pub enum Method as "a canning method" {
        /// Pressure canner read from a dial gauge; the gauge needs testing.
        PressureDial = "pressure-dial" | "dial" | "dial gauge" | "dial-gauge pressure" | "dial-gauge pressure canner"
            | "dial pressure",
        /// Pressure canner regulated by a weight at 5, 10 or 15 psi.
        PressureWeighted = "pressure-weighted" | "weighted" | "weighted gauge" | "weighted-gauge pressure"
            | "weighted-gauge pressure canner" | "weighted pressure",
        /// Boiling-water canner.
        BoilingWater = "boiling-water" | "boiling-water canner" | "boiling-water bath" | "water bath"
            | "hot water bath" | "water-bath canner",
        /// Atmospheric steam canner.
        Steam = "steam" | "steam canner" | "atmospheric steam" | "atmospheric steam canner",
    }
}

impl Method {
    /// Whether the canner works above atmospheric pressure.
    pub(crate) const fn is_pressure(self) -> bool {
        !matches!(self, Self::BoilingWater | Self::Steam)
    }

    /// The way of canning: "dial-gauge pressure".
    pub(crate) const fn in_words(self) -> &'static str {
        match self {
            Self::PressureDial => "dial-gauge pressure",
            Self::PressureWeighted => "weighted-gauge pressure",
            Self::BoilingWater => "boiling water",
            Self::Steam => "steam",
        }
    }

    /// The column of the tables its processes stand in: a steam canner takes those of boiling water.
    pub(crate) const fn of_the_tables(self) -> Self {
        match self {
            Self::Steam => Self::BoilingWater,
            other => other,
        }
    }

    /// The canner in a sentence: "a dial-gauge pressure canner".
    pub(crate) const fn with_article(self) -> &'static str {
        match self {
            Self::PressureDial => "a dial-gauge pressure canner",
            Self::PressureWeighted => "a weighted-gauge pressure canner",
            Self::BoilingWater => "a boiling-water canner",
            Self::Steam => "an atmospheric steam canner",
        }
    }
}

named_enum! {
    /// Which side of pH 4.6 a food stands on (21 CFR 114.3), and whether it was put there.
    pub enum Acidity as "an acidity" {
        /// pH above 4.6: pressure only.
        LowAcid = "low-acid",
        /// pH 4.6 or below by nature.
        Acid = "acid",
        /// Brought to 4.6 or below by acid that must be added for the process to hold.
        Acidified = "acidified",
    }
}
