//! What a judge of a load found: one code, one sentence, and how much it weighs.

use crate::values::kinds::jar_size::JarSize;
use crate::values::names::named::named_enum;

named_enum! {
    /// What a finding is about; stable names for other programs.
    pub enum FindingCode as "a finding" {
        /// No row for the food, pack, jar, method and altitude.
        NoTestedProcess = "no-tested-process",
        /// Vented for less than the row asks.
        VentShort = "vent-short",
        /// The canner is not on record.
        CannerNotRecorded = "canner-not-recorded",
        /// Hot or raw is not on record.
        PackNotRecorded = "pack-not-recorded",
        /// The altitude is not on record.
        AltitudeNotRecorded = "altitude-not-recorded",
        /// No venting time on record.
        VentNotRecorded = "vent-not-recorded",
        /// True pressure under the row's.
        PressureLow = "pressure-low",
        /// No pressure on record.
        PressureNotRecorded = "pressure-not-recorded",
        /// A weighted gauge said to have held what none can.
        WeightFigure = "weight-figure",
        /// Longest unbroken time under the row's.
        TimeShort = "time-short",
        /// No time on record.
        TimeNotRecorded = "time-not-recorded",
        /// A drop on record that cannot be placed within the run.
        DropNotPlaced = "drop-not-placed",
        /// Known to have had no acid where the row needs it.
        AcidNotAdded = "acid-not-added",
        /// Less acid than the measure.
        AcidShort = "acid-short",
        /// An acid that does not make the row's process hold.
        AcidWrong = "acid-wrong",
        /// No acid on record where the row needs it.
        AcidNotRecorded = "acid-not-recorded",
        /// The clock was started again after a drop.
        ClockRestarted = "clock-restarted",
        /// A dial gauge without a test in the year before.
        GaugeUntested = "gauge-untested",
        /// A dial gauge found far too high, whose readings count for nothing.
        GaugeUncredited = "gauge-uncredited",
        /// A dial gauge tested at other readings only.
        GaugeTestedElsewhere = "gauge-tested-elsewhere",
        /// A dial gauge off by more than may be corrected.
        GaugeToReplace = "gauge-to-replace",
        /// Part of the row's process is not held here.
        ProcessNotHeld = "process-not-held",
        /// The row holds under a condition that is not on record.
        ProcessNote = "process-note",
        /// The row is a process of the household's own.
        OwnProcess = "own-process",
        /// The product's name names another food, and a reason was given.
        NameDoubted = "name-doubted",
        /// The figures of the row were not seen in print.
        ProcessUnconfirmed = "process-unconfirmed",
        /// Something went wrong that no figure shows.
        TroubleNoted = "trouble-noted",
    }
}

named_enum! {
    /// How a finding bears on the verdict.
    pub enum Bearing as "a bearing" {
        /// A fact on record that falls short of what is owed.
        Fails = "fails",
        /// A fact that is not on record.
        Missing = "missing",
        /// Worth knowing; changes no verdict.
        Caution = "caution",
    }
}

impl FindingCode {
    /// How a finding of this code bears on the verdict.
    pub const fn bearing(self) -> Bearing {
        match self {
            Self::NoTestedProcess
            | Self::VentShort
            | Self::PressureLow
            | Self::WeightFigure
            | Self::GaugeUncredited
            | Self::TimeShort
            | Self::AcidNotAdded
            | Self::AcidWrong
            | Self::AcidShort => Bearing::Fails,
            Self::CannerNotRecorded
            | Self::PackNotRecorded
            | Self::AltitudeNotRecorded
            | Self::VentNotRecorded
            | Self::PressureNotRecorded
            | Self::TimeNotRecorded
            | Self::DropNotPlaced
            | Self::ProcessNotHeld
            | Self::AcidNotRecorded => Bearing::Missing,
            Self::ClockRestarted
            | Self::GaugeUntested
            | Self::GaugeToReplace
            | Self::GaugeTestedElsewhere
            | Self::ProcessNote
            | Self::OwnProcess
            | Self::NameDoubted
            | Self::ProcessUnconfirmed
            | Self::TroubleNoted => Bearing::Caution,
        }
    }
}

/// One thing found in a load's record.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Finding {
    /// What it is about.
    pub code: FindingCode,
    /// How it bears on the verdict.
    pub bearing: Bearing,
    /// One sentence, with what was owed and what was got.
    pub message: String,
    /// The jar sizes of the load it is true of.
    pub jars: Vec<JarSize>,
}

impl Finding {
    /// A finding about jars of one size.
    pub(crate) fn new(code: FindingCode, size: JarSize, message: String) -> Self {
        Self::of_load(code, &[size], message)
    }

    /// The message as it is shown. What is kept stays as it was written, so that a verdict judged again compares
    /// with it word for word; the word "owed" in it is what people call required.
    pub fn shown(&self) -> String {
        self.message.replace(" is owed", " is required")
    }

    /// A finding about jars of several sizes.
    pub(crate) fn of_load(code: FindingCode, sizes: &[JarSize], message: String) -> Self {
        Self { code, bearing: code.bearing(), message, jars: sizes.to_vec() }
    }
}

/// How a process of the household's own is named.
pub(super) const OWN: &str = "your own process";

/// What follows where the publication is not at hand.
pub(super) const ELSEWHERE: &str = "; no table here confirms it";

/// What is found of every load compared with a process of the household's own, from this publication.
pub(super) fn own_process(source: &str) -> String {
    format!("{OWN} from {source}{ELSEWHERE}")
}
