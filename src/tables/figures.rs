//! Single figures of the guide: minutes, days, temperatures.

use std::sync::OnceLock;

use crate::tables::sources::SourceRef;
use crate::values::kinds::basis::Basis;
use crate::values::names::named::named_enum;

named_enum! {
    /// Names a figure.
    pub enum Figure as "a figure" {
        /// Steady steam before a pressure canner is closed.
        Vent = "vent",
        /// Until an older heavy canner of pints has lost its pressure.
        DepressurisePints = "depressurise-pints",
        /// Until an older heavy canner of quarts has lost its pressure.
        DepressuriseQuarts = "depressurise-quarts",
        /// From pressure gone and the weight off until the lid may come off.
        WaitAfterPressure = "wait-after-pressure",
        /// From heat and lid off until jars leave a boiling-water canner.
        WaitAfterBoilingWater = "wait-after-boiling-water",
        /// Shortest cooling before the seal is checked.
        CoolAtLeast = "cool-at-least",
        /// Longest cooling before the seal is checked.
        CoolAtMost = "cool-at-most",
        /// Lower end of the storage range.
        StoreAtLeast = "store-at-least",
        /// Upper end of the storage range.
        StoreAtMost = "store-at-most",
        /// Warmth no jar should stand in.
        StoreNeverAbove = "store-never-above",
        /// An opened jar of low-acid food in the refrigerator.
        OpenedLowAcid = "opened-low-acid",
        /// An opened jar of acid food in the refrigerator.
        OpenedAcid = "opened-acid",
        /// An opened jar of jam, jelly or fruit butter in the refrigerator.
        OpenedSpread = "opened-spread",
        /// An opened jar of pickles in the refrigerator.
        OpenedPickle = "opened-pickle",
        /// Boiling before tasting, below 1,000 ft.
        BoilBeforeTasting = "boil-before-tasting",
        /// Boiling an open or leaking suspect jar before it is thrown away.
        DetoxifyBoil = "detoxify-boil",
        /// Water above the jars in that boil.
        DetoxifyWaterOver = "detoxify-water-over",
        /// Smallest pot for that boil.
        DetoxifyPot = "detoxify-pot",
        /// Parts of water to one part of bleach.
        BleachWaterParts = "bleach-water-parts",
        /// How long each wetting with bleach stands.
        BleachWet = "bleach-wet",
        /// Longest process in an atmospheric steam canner, time for altitude included.
        SteamLongest = "steam-longest",
        /// What the thermometer of a steam canner shows while the time runs.
        SteamTemperature = "steam-temperature",
        /// Length of the plume of steam while the time runs.
        SteamPlume = "steam-plume",
        /// The same by a stricter page.
        SteamPlumeCautious = "steam-plume-cautious",
    }
}

/// A figure with its unit, source and basis.
#[derive(Debug, Clone, PartialEq, Eq, serde::Deserialize)]
pub struct FigureRow {
    figure: Figure,
    /// The figure, in `unit`.
    pub value: u32,
    /// The unit, in the plural.
    pub unit: String,
    /// Publication and section.
    pub source: SourceRef,
    /// How sure the figure is.
    pub basis: Basis,
}

impl Figure {
    /// The row of this figure.
    pub fn row(self) -> &'static FigureRow {
        all().iter().find(|row| row.figure == self).expect("every figure has its row, as the tests check")
    }

    /// The figure alone, in the unit of its row.
    pub fn value(self) -> u32 {
        self.row().value
    }
}

/// Every figure, in the order of the table.
fn all() -> &'static [FigureRow] {
    static ROWS: OnceLock<Vec<FigureRow>> = OnceLock::new();
    ROWS.get_or_init(|| crate::tables::rows(include_str!("data/figures.tsv"), "figures.tsv"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_has_exactly_one_row() {
        for &figure in Figure::ALL {
            assert_eq!(all().iter().filter(|row| row.figure == figure).count(), 1, "{figure}");
        }
        assert_eq!(all().len(), Figure::ALL.len());
    }

    #[test]
    fn vent_and_cooling_are_the_well_known_figures() {
        // Common practice, no source: vent 10 minutes; leave jars 12 to 24 hours.
        assert_eq!(Figure::Vent.value(), 10);
        assert_eq!((Figure::CoolAtLeast.value(), Figure::CoolAtMost.value()), (12, 24));
    }

    #[test]
    fn storage_figures_are_those_of_the_guide() {
        // AIB 539 (1994), Guide 1, Storing Canned Foods: 50 to 70 °F is best, never above 95 °F.
        assert_eq!((Figure::StoreAtLeast.value(), Figure::StoreAtMost.value()), (50, 70));
        assert_eq!(Figure::StoreNeverAbove.value(), 95);
    }
}
