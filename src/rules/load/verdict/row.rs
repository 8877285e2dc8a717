//! One record held against one tested process.

use crate::rules::gauge::dial_gauge::GaugeError;
use crate::rules::load::finding::{Bearing, Finding, FindingCode, own_process};
use crate::rules::load::run_time::Unbroken;
use crate::rules::load::verdict::record::{Owed, RunRecord};
use crate::rules::process::tested::{TestedProcess, VENT_MINUTES};
use crate::values::kinds::acid::{Acid, AcidRecord};
use crate::values::kinds::basis::Basis;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::measures::pressure::WEIGHTS_IN_WORDS;

/// A record held against one row.
pub(super) struct Against<'a> {
    record: &'a RunRecord,
    size: JarSize,
    row: &'a TestedProcess,
    /// " (pair …)" where the food has several.
    pair: String,
    pub(super) findings: Vec<Finding>,
    /// Sum of the shortfalls, each in ten-thousandths of what is owed.
    shortfall: i64,
}

impl<'a> Against<'a> {
    pub(super) fn new(record: &'a RunRecord, owed: Owed<'_>, row: &'a TestedProcess) -> Self {
        let pair = match row.psi {
            Some(psi) if owed.options.len() > 1 => {
                format!(
                    " (against {} min at {psi}, the nearest of {} tested pairs)",
                    row.minutes,
                    owed.options.len()
                )
            }
            _ => String::new(),
        };
        let mut against = Self { record, size: owed.size, row, pair, findings: Vec::new(), shortfall: 0 };
        against.vent();
        against.pressure();
        against.time();
        against.acid();
        for note in &row.not_held {
            against.find(FindingCode::ProcessNotHeld, note.clone());
        }
        // Jars in boiling water for ten minutes or more need not be sterilized before.
        let held = match record.time.longest_unbroken() {
            Unbroken::Known(held) => held,
            Unbroken::AtMost(_) | Unbroken::Unknown => 0,
        };
        for condition in row.conditions.iter().filter(|one| one.below_min.is_none_or(|least| held < least)) {
            against.find(FindingCode::ProcessNote, condition.note.clone());
        }
        if against.is_own() {
            against.find(FindingCode::OwnProcess, own_process(&row.source));
        } else if let Some(warning) = row.basis.warning() {
            against.find(FindingCode::ProcessUnconfirmed, format!("the process: {warning}"));
        }
        against
    }

    /// Whether the row is a process of the household's own.
    pub(super) fn is_own(&self) -> bool {
        self.row.basis == Basis::Household
    }

    /// How far the record is from meeting the row: failing facts, missing facts, shortfall.
    pub(super) fn distance(&self) -> (usize, usize, i64) {
        let count = |bearing| self.findings.iter().filter(|finding| finding.bearing == bearing).count();
        (count(Bearing::Fails), count(Bearing::Missing), self.shortfall)
    }

    fn find(&mut self, code: FindingCode, message: String) {
        self.findings.push(Finding::new(code, self.size, message));
    }

    fn fall_short(&mut self, code: FindingCode, owed: i64, got: i64, message: String) {
        // A pressure above a weight is a failing fact with no shortfall, and what is owed may be zero.
        let share = (owed - got).max(0).saturating_mul(10_000).checked_div(owed).unwrap_or_default();
        self.shortfall = self.shortfall.saturating_add(share);
        self.find(code, message);
    }

    fn vent(&mut self) {
        if self.row.psi.is_none() {
            return;
        }
        let owed = self.row.vent_min.max(VENT_MINUTES);
        match self.record.vent_min {
            None => {
                self.find(
                    FindingCode::VentNotRecorded,
                    format!("no venting time is on record; {owed} min is owed"),
                );
            }
            Some(got) if got < owed => self.fall_short(
                FindingCode::VentShort,
                owed.into(),
                got.into(),
                format!("vented for {got} min; {owed} min is owed"),
            ),
            Some(_) => {}
        }
    }

    fn pressure(&mut self) {
        let Some(owed) = self.row.psi else { return };
        let Some(reading) = self.record.pressure else {
            let message = format!("no pressure is on record; {owed} is owed{}", self.pair);
            return self.find(FindingCode::PressureNotRecorded, message);
        };
        let weighted = self.record.method == Method::PressureWeighted;
        if weighted && !reading.is_of_a_weight() {
            let message = format!(
                "{reading} is on record, but a weighted gauge regulates at {WEIGHTS_IN_WORDS} only; {owed} is owed{}",
                self.pair
            );
            return self.fall_short(
                FindingCode::WeightFigure,
                owed.centi_psi(),
                reading.centi_psi(),
                message,
            );
        }
        if let Some(test) = self.record.gauge_uncredited.filter(|_| !weighted) {
            let message = format!(
                "read {reading} on a gauge that its test of {test} found more than 2 psi high, so that what it read \
                 counts for nothing; {owed} is required{}",
                self.pair
            );
            return self.fall_short(FindingCode::GaugeUncredited, owed.centi_psi(), 0, message);
        }
        let error =
            if weighted { GaugeError::NONE } else { self.record.gauge_error.unwrap_or(GaugeError::NONE) };
        let got = error.true_pressure(reading);
        if got < owed {
            let message = if error == GaugeError::NONE {
                format!("held {got}; {owed} is owed{}", self.pair)
            } else {
                format!(
                    "held a true {got} (read {reading} on a gauge that {error}); {owed} is owed{}",
                    self.pair
                )
            };
            self.fall_short(FindingCode::PressureLow, owed.centi_psi(), got.centi_psi(), message);
        }
    }

    fn time(&mut self) {
        let owed = self.row.minutes;
        let held = if self.row.psi.is_some() { "at pressure" } else { "at a full boil" };
        let drops = self.record.time.drops.len();
        match self.record.time.longest_unbroken() {
            Unbroken::Unknown => self.find(
                FindingCode::TimeNotRecorded,
                format!("no time {held} is on record; {owed} min is owed{}", self.pair),
            ),
            Unbroken::Known(got) | Unbroken::AtMost(got) if got < owed => {
                let why = if drops == 0 { "" } else { ", as a drop starts the full time again" };
                let message = format!("{got} min unbroken {held}{why}; {owed} min is owed{}", self.pair);
                self.fall_short(FindingCode::TimeShort, owed.into(), got.into(), message);
            }
            Unbroken::AtMost(got) => self.find(
                FindingCode::DropNotPlaced,
                format!(
                    "at most {got} min unbroken {held}, but when a drop fell within the run is not on record; \
                     {owed} min is owed{}",
                    self.pair
                ),
            ),
            Unbroken::Known(got) if drops > 0 => self.find(
                FindingCode::ClockRestarted,
                format!("a drop is on record; the longest unbroken time {held} was {got} min and {owed} min is owed"),
            ),
            Unbroken::Known(_) => {}
        }
    }

    fn acid(&mut self) {
        if !self.row.needs_acid {
            return;
        }
        match self.record.acid {
            None => self.find(
                FindingCode::AcidNotRecorded,
                "no acid is on record; this process holds only with its acid added".to_owned(),
            ),
            Some(AcidRecord { acid: Acid::Nothing, .. }) => self.find(
                FindingCode::AcidNotAdded,
                "no acid was added; this process holds only with its acid added".to_owned(),
            ),
            Some(AcidRecord { acid, full_measure: false }) => self.find(
                FindingCode::AcidShort,
                format!(
                    "less {} than the full measure was added; this process holds only with all of it",
                    acid.in_words()
                ),
            ),
            Some(AcidRecord { acid, .. })
                if !self.row.acid_kinds.is_empty() && !self.row.acid_kinds.contains(&acid) =>
            {
                let kinds: Vec<&str> = self.row.acid_kinds.iter().map(|acid| acid.in_words()).collect();
                self.find(
                    FindingCode::AcidWrong,
                    format!(
                        "{} does not count for this process; it holds only with {}",
                        acid.in_words(),
                        kinds.join(" or ")
                    ),
                );
            }
            Some(_) => {}
        }
    }
}
