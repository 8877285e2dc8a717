//! What was given of a batch: by flags, by a note of the session, or by answers.

use chrono::{DateTime, FixedOffset};

use crate::cli::arguments::jar_counts::jar_counts;
use crate::cli::arguments::moment::Moment;
use crate::cli::arguments::pressure_given::PressureGiven;
use crate::cli::arguments::reason::Reason;
use crate::cli::arguments::whole_number::{minutes, whole};
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::kitchen::setting::MONTHS;
use crate::rules::load::run_time::Drop;
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::names::name::Name;
use crate::values::names::nothing::says_nothing;

/// What was given of a batch as a whole.
#[derive(Debug, Clone, Default, clap::Args)]
pub(super) struct Given {
    /// The recipe it was made by, which brings the product, the food, the pack and the months of best quality
    #[arg(long, value_name = "NAME")]
    pub(super) recipe: Option<Name>,
    /// What is in the jars, in your own words
    #[arg(long, value_name = "NAME")]
    pub(super) product: Option<Name>,
    /// The food of the process tables, such as green-beans; none: no food of the tables
    #[arg(long, value_name = "FOOD")]
    pub(super) food: Option<String>,
    /// low-acid, acid or acidified, for a food the tables do not know [default: treated as low-acid]
    #[arg(long)]
    pub(super) acidity: Option<Acidity>,
    /// hot or raw
    #[arg(long)]
    pub(super) pack: Option<Pack>,
    /// Sizes and counts, such as pint:14,quart:7; split into loads by what the canner takes
    #[arg(long, value_name = "SIZE:JARS", value_delimiter = ',', value_parser = crate::cli::arguments::jar_counts::jar_count)]
    pub(super) jars: Vec<(JarSize, u32)>,
    /// The day it was put up, on which the run began: a date, yesterday, -3d or a weekday [default: when it came out]
    #[arg(long, value_name = "DAY", allow_hyphen_values = true)]
    pub(super) on: Option<String>,
    /// Where the jars go
    #[arg(long, value_name = "NAME")]
    pub(super) place: Option<Name>,
    /// Lot of something that went in; may be repeated
    #[arg(long = "ingredient", value_name = "NAME=LOT", value_parser = ingredient)]
    pub(super) ingredients: Vec<(Name, Name)>,
    /// Months of best quality, 1 to 120 [default: what this product had, else 12]
    #[arg(long, value_name = "MONTHS", allow_negative_numbers = true, value_parser = whole(MONTHS))]
    pub(super) quality_months: Option<u32>,
    /// Anything worth keeping
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
    /// Why the name is right although it names another food than --food; kept as a finding
    #[arg(long, value_name = "TEXT")]
    pub(super) name_reason: Option<Reason>,
    /// One load by itself: canner=…,jars=pint:7,minutes=75,…; may be repeated
    #[arg(long = "load", value_name = "KEY=VALUE,…", value_parser = load)]
    pub(super) loads: Vec<LoadGiven>,
    #[command(flatten)]
    pub(super) every_load: LoadGiven,
}

/// What was given of one load, or of all of them.
#[derive(Debug, Clone, Default, PartialEq, clap::Args)]
#[command(next_help_heading = "Defaults for loads")]
pub(super) struct LoadGiven {
    /// Sizes and counts of this load; only in `--load` and a note of the session.
    #[arg(skip)]
    pub(super) jars: Vec<(JarSize, u32)>,
    /// The canner, by the name you gave it
    #[arg(long, value_name = "NAME")]
    pub(super) canner: Option<Name>,
    /// Where the canner stood, such as 850ft or 260m [default: the kitchen's altitude]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(super) altitude: Option<Altitude>,
    /// Lowest reading of the dial while the time ran, or the weight, such as 11 or 76kPa
    #[arg(long, value_name = "PSI", allow_negative_numbers = true)]
    pub(super) pressure: Option<PressureGiven>,
    /// Minutes at pressure or at a full boil
    #[arg(long, allow_negative_numbers = true, value_parser = minutes::<1440>)]
    pub(super) minutes: Option<u32>,
    /// Minutes of venting
    #[arg(long, value_name = "MINUTES", allow_negative_numbers = true, value_parser = minutes::<240>)]
    pub(super) vent: Option<u32>,
    /// Minutes from closing the vent to pressure
    #[arg(long, value_name = "MINUTES", allow_negative_numbers = true, value_parser = minutes::<600>)]
    pub(super) come_up: Option<u32>,
    /// Acid in every jar: lemon-juice, citric-acid, vinegar, none or unknown; lemon-juice:short for less than the measure
    #[arg(long)]
    pub(super) acid: Option<AcidGiven>,
    /// Lot of the lids
    #[arg(long, value_name = "LOT")]
    pub(super) lid_lot: Option<Name>,
    /// When pressure or a full boil was reached
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) reached: Option<Moment>,
    /// When the heat went off
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) ended: Option<Moment>,
    /// When the jars came out: 14:05, or 2026-08-14T14:05 [default: now; of a day before yesterday, the end of its run or of that day]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) out: Option<Moment>,
    /// When pressure or the boil was lost and regained: 14:05-14:12, or 20m-27m after it was reached; may be repeated
    #[arg(long = "drop", value_name = "FROM-TO")]
    pub(super) drops: Vec<Drop>,
    /// What went wrong
    #[arg(long, value_name = "TEXT")]
    pub(super) went_wrong: Option<String>,
    /// The run it was timed by, which brings the canner, the food, the times and when the jars came out
    #[arg(long, value_name = "N")]
    pub(super) run: Option<i64>,
}

/// When a load reached its target, was done and came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Times {
    pub(super) reached_at: Option<DateTime<FixedOffset>>,
    pub(super) ended_at: Option<DateTime<FixedOffset>>,
    pub(super) out_at: DateTime<FixedOffset>,
}

/// What was given of the acid; none: that nobody knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct AcidGiven(pub(super) Option<AcidRecord>);

impl std::str::FromStr for AcidGiven {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        if text.trim() == "unknown" {
            return Ok(Self(None));
        }
        text.parse()
            .map(|record| Self(Some(record)))
            .map_err(|error: crate::values::kinds::acid::AcidRecordError| error.to_string())
    }
}

/// Reads `beans=lot 7`.
pub(super) fn ingredient(text: &str) -> Result<(Name, Name), String> {
    let (name, lot) = text.split_once('=').ok_or_else(|| {
        format!("\u{201c}{text}\u{201d}: write an ingredient and its lot, such as beans=7B")
    })?;
    let read =
        |text: &str| text.parse().map_err(|error: crate::values::names::name::NameError| error.to_string());
    Ok((read(name)?, read(lot)?))
}

/// Reads `canner=Big dial,jars=pint:7,minutes=75`; a piece without a key goes on with the one before.
pub(super) fn load(text: &str) -> Result<LoadGiven, String> {
    let mut pairs: Vec<(String, String)> = Vec::new();
    for piece in text.split(',') {
        match (piece.split_once('='), pairs.last_mut()) {
            (Some((key, value)), _) => pairs.push((key.trim().to_owned(), value.to_owned())),
            (None, Some((_, value))) => {
                value.push(',');
                value.push_str(piece);
            }
            (None, None) => return Err(format!("\u{201c}{piece}\u{201d} has no key; {}", known_keys())),
        }
    }
    let mut load = LoadGiven::default();
    let mut seen = std::collections::BTreeSet::new();
    for (key, value) in &pairs {
        if !seen.insert(key.as_str()) && key != "drop" {
            return Err(format!("\u{201c}{key}\u{201d} is given twice"));
        }
        load.set(key, value)?;
    }
    Ok(load)
}

/// The keys of a load, in `--load` and in a note of the session.
pub(super) const LOAD_KEYS: &[&str] = &[
    "jars",
    "canner",
    "altitude",
    "pressure",
    "minutes",
    "vent",
    "come-up",
    "acid",
    "lid-lot",
    "reached",
    "ended",
    "out",
    "drop",
    "went-wrong",
];

fn known_keys() -> String {
    format!("a load has {}", LOAD_KEYS.join(", "))
}

impl LoadGiven {
    /// Sets what a key stands for.
    pub(super) fn set(&mut self, key: &str, value: &str) -> Result<(), String> {
        match key {
            "jars" => self.jars = jar_counts(value)?,
            "canner" => self.canner = Some(read(key, value)?),
            "altitude" => self.altitude = Some(read(key, value)?),
            "pressure" => self.pressure = Some(read(key, value)?),
            "minutes" => self.minutes = Some(of_key(key, minutes::<1440>(value))?),
            "vent" => self.vent = Some(of_key(key, minutes::<240>(value))?),
            "come-up" => self.come_up = Some(of_key(key, minutes::<600>(value))?),
            "acid" => self.acid = Some(read(key, value)?),
            "lid-lot" => self.lid_lot = Some(read(key, value)?),
            "reached" => self.reached = Some(read(key, value)?),
            "ended" => self.ended = Some(read(key, value)?),
            "out" => self.out = Some(read(key, value)?),
            "drop" => self.drops.push(read(key, value)?),
            "went-wrong" => self.went_wrong = Some(value.trim().to_owned()),
            _ => return Err(format!("\u{201c}{key}\u{201d} is not a key; {}", known_keys())),
        }
        Ok(())
    }

    /// What is on record of the load, with these times.
    pub(super) fn facts(&self, times: Times, kitchen: Altitude) -> LoadFacts {
        let Times { reached_at, ended_at, out_at } = times;
        LoadFacts {
            altitude: Some(self.altitude.unwrap_or(kitchen)),
            pressure: self.pressure.as_ref().map(|given| given.0),
            pressure_entered: self.pressure.as_ref().map(|given| given.1.clone()),
            minutes: self.minutes,
            vent_min: self.vent,
            come_up_min: self.come_up,
            acid: self.acid.and_then(|given| given.0),
            reached_at,
            ended_at,
            drops: self.drops.clone(),
            out_at,
            went_wrong: self.went_wrong.clone().filter(|given| !says_nothing(given)),
        }
    }

    /// This load, with what it leaves open taken from `every`.
    pub(super) fn or(&self, every: &Self) -> Self {
        let own = self.clone();
        Self {
            jars: own.jars,
            canner: own.canner.or_else(|| every.canner.clone()),
            altitude: own.altitude.or(every.altitude),
            pressure: own.pressure.or_else(|| every.pressure.clone()),
            minutes: own.minutes.or(every.minutes),
            vent: own.vent.or(every.vent),
            come_up: own.come_up.or(every.come_up),
            acid: own.acid.or(every.acid),
            lid_lot: own.lid_lot.or_else(|| every.lid_lot.clone()),
            reached: own.reached.or(every.reached),
            ended: own.ended.or(every.ended),
            out: own.out.or(every.out),
            drops: if own.drops.is_empty() { every.drops.clone() } else { own.drops },
            went_wrong: own.went_wrong.or_else(|| every.went_wrong.clone()),
            run: own.run.or(every.run),
        }
    }
}

impl Given {
    /// What these flags give, with what they leave open taken from a note of the session.
    pub(super) fn or(self, note: Self) -> Self {
        Self {
            recipe: self.recipe.or(note.recipe),
            product: self.product.or(note.product),
            food: self.food.or(note.food),
            acidity: self.acidity.or(note.acidity),
            pack: self.pack.or(note.pack),
            jars: if self.jars.is_empty() { note.jars } else { self.jars },
            on: self.on.or(note.on),
            place: self.place.or(note.place),
            ingredients: if self.ingredients.is_empty() { note.ingredients } else { self.ingredients },
            quality_months: self.quality_months.or(note.quality_months),
            note: self.note.or(note.note),
            name_reason: self.name_reason.or(note.name_reason),
            loads: if self.loads.is_empty() { note.loads } else { self.loads },
            every_load: self.every_load.or(&note.every_load),
        }
    }
}

fn read<T: std::str::FromStr>(key: &str, value: &str) -> Result<T, String>
where
    T::Err: std::fmt::Display,
{
    value.trim().parse().map_err(|error: T::Err| format!("{key}: {error}"))
}

fn of_key<T>(key: &str, read: Result<T, String>) -> Result<T, String> {
    read.map_err(|error| format!("{key}: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_is_read_key_by_key() {
        let given =
            load("canner=Big dial,jars=pint:7,quart:2,minutes=75,drop=14:05-14:12,drop=20m-27m").unwrap();
        assert_eq!(given.canner.unwrap().as_str(), "Big dial");
        assert_eq!(given.jars, [(JarSize::Pint, 7), (JarSize::Quart, 2)]);
        assert_eq!((given.minutes, given.drops.len()), (Some(75), 2));
        for (wrong, given) in [
            ("pint:7", "has no key"),
            ("minutes=75,minutes=80", "given twice"),
            ("minutes=-1", "0 to 1440"),
            ("jars=pint", "a size and a count"),
            ("colour=red", "is not a key; a load has jars, canner"),
        ] {
            assert!(load(wrong).unwrap_err().contains(given), "{wrong}");
        }
    }

    #[test]
    fn every_documented_key_is_taken() {
        for key in LOAD_KEYS {
            let error = LoadGiven::default().set(key, "\u{1}").err().unwrap_or_default();
            assert!(!error.contains("is not a key"), "{key}");
        }
    }
}
