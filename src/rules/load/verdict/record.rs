//! What is held against each other: the record of a run, and the processes tested for its jars.

use chrono::NaiveDate;

use crate::rules::gauge::dial_gauge::GaugeError;
use crate::rules::load::run_time::RunTime;
use crate::rules::process::tested::TestedProcess;
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::measures::pressure::Pressure;

/// What was written down about a run of the canner.
#[derive(Debug, Clone, PartialEq)]
pub struct RunRecord {
    /// The kind of canner.
    pub method: Method,
    /// The lowest reading of the dial while the time ran, or the weight used.
    pub pressure: Option<Pressure>,
    /// The dial's error in force at that reading; none where it was never tested.
    pub gauge_error: Option<GaugeError>,
    /// The test that found the dial far too high, so that what it read counts for nothing.
    pub gauge_uncredited: Option<NaiveDate>,
    /// Whether the dial was tested, but never as high or as low as it read.
    pub gauge_tested_elsewhere: bool,
    /// Whether the dial had no test in the year before the run.
    pub gauge_untested: bool,
    /// Minutes of steady venting.
    pub vent_min: Option<u32>,
    /// Minutes, clock times and drops.
    pub time: RunTime,
    /// Acid added.
    pub acid: Option<AcidRecord>,
    /// Whether a note says that something went wrong.
    pub trouble_noted: bool,
}

/// The tested processes for the jars of one size in a load.
#[derive(Debug, Clone, Copy)]
pub struct Owed<'a> {
    /// The size.
    pub size: JarSize,
    /// Each a whole process; none where nothing was tested.
    pub options: &'a [TestedProcess],
    /// Why there are none, with what is tested instead.
    pub absence: &'a str,
}
