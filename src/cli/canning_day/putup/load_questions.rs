//! Questions about one load. A measured fact has no suggestion: Enter alone leaves it unrecorded.

use crate::answers::jars::sizes::in_words;
use crate::cli::arguments::moment::Moment;
use crate::cli::canning_day::putup::asked::{LoadFact, Questions, keep};
use crate::cli::canning_day::putup::settle::day_told;
use crate::cli::canning_day::putup::times::times_can_be;
use crate::cli::canning_day::putup::told::{AcidTold, LoadTold};
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Question, Reply};
use crate::cli::talk::offers::Offers;
use crate::ledger::batch::last_time::LastTime;
use crate::ledger::jar::glance::Named;
use crate::rules::load::run_time::Drop;
use crate::values::kinds::acid::{Acid, AcidRecord};

/// Which facts of a load are asked for, in order; `told` is what the flags told of it.
///
/// Loads given whole by flags are asked only for what cannot be left open.
pub(super) fn wanted(
    told: &LoadTold,
    pressure: bool,
    acidified: bool,
    given_whole: bool,
) -> [(LoadFact, bool); 8] {
    let open = !given_whole;
    [
        (LoadFact::Vent, open && pressure && told.vent.is_none()),
        (LoadFact::Pressure, open && pressure && told.pressure.is_none()),
        (LoadFact::Minutes, open && told.minutes.is_none()),
        (LoadFact::Drops, open && told.drops.is_empty()),
        (LoadFact::Acid, acidified && told.acid.is_none()),
        (LoadFact::LidLot, open && told.lid_lot.is_none()),
        (LoadFact::Out, open && told.out.is_none()),
        (LoadFact::WentWrong, open && told.went_wrong.is_none()),
    ]
}

/// What a question about a load says.
struct Wording {
    ask: &'static str,
    flag: &'static str,
    help: &'static str,
}

impl LoadFact {
    const fn wording(self) -> Wording {
        let (ask, flag, help) = match self {
            Self::Vent => ("Minutes of venting", "--vent MINUTES", "Enter alone: not recorded"),
            Self::Pressure => (
                "Lowest pressure while the time ran, or the weight",
                "--pressure PSI",
                "Such as 11 or 76kPa; Enter alone: not recorded",
            ),
            Self::Minutes => {
                ("Minutes at pressure or at a full boil", "--minutes MINUTES", "Enter alone: not recorded")
            }
            Self::Drops => (
                "Did the pressure or the boil drop?",
                "--drop FROM-TO",
                "Such as 14:05-14:12, several with spaces between; Enter alone: no",
            ),
            Self::Acid => ("Which acid went into every jar?", "--acid ACID", ""),
            Self::LidLot => ("Lot of the lids", "--lid-lot LOT", "- : not recorded"),
            Self::Out => ("When did it come out?", "--out TIME", "Such as 14:05; Enter alone: now"),
            Self::WentWrong => ("Did anything go wrong?", "--went-wrong TEXT", "Enter alone: no"),
        };
        Wording { ask, flag, help }
    }
}

/// Asks one fact of a load.
pub(super) fn ask(
    questions: &mut Questions<'_>,
    number: usize,
    fact: LoadFact,
    last: &LastTime,
) -> Result<Reply<()>, Failure> {
    let loads = questions.told.loads.len();
    let jars = in_words(&questions.told.loads[number].jars);
    let Wording { ask, flag, help } = fact.wording();
    let ask = if loads > 1 { format!("Load {} ({jars}): {ask}", number + 1) } else { ask.to_owned() };
    let default = last.lid_lot.as_deref().filter(|_| fact == LoadFact::LidLot);
    let question = Question { ask: &ask, flag, help, default };
    if fact == LoadFact::Acid {
        return acid(questions, number, question);
    }
    let day_is_today = questions.told.on.is_none();
    let offers = match fact {
        LoadFact::LidLot => Offers::new(questions.ledger.names_in_use(Named::LidLot)?),
        _ => Offers::default(),
    };
    let clock = questions.ctx.clock;
    let now = Moment::At(clock.now.naive_local());
    let so_far = questions.told.loads[number].or(&questions.told.every_load);
    let on = day_told(&questions.told, clock).ok().flatten();
    let answer = questions.asker.text(question, &offers, |text| {
        let mut read = LoadTold::default();
        let key = fact.key();
        match (fact, text) {
            (LoadFact::Drops, text) => {
                for drop in text.split_whitespace() {
                    read.drops.push(drop.parse::<Drop>().map_err(|error| error.to_string())?);
                }
            }
            (LoadFact::LidLot, "" | "-") | (_, "") => {}
            (_, text) => read.set(key, text)?,
        }
        if fact == LoadFact::Out && read.out.is_none() && !day_is_today {
            return Err("It was not today: write the time, such as 14:05.".to_owned());
        }
        let mut with = so_far.clone();
        match fact {
            LoadFact::Minutes => with.minutes = read.minutes,
            LoadFact::Drops => with.drops.clone_from(&read.drops),
            LoadFact::Out => with.out = read.out.or(Some(now)),
            _ => return Ok(read),
        }
        times_can_be(with, on, clock).map_err(Failure::in_one_line)?;
        Ok(read)
    })?;
    Ok(keep(answer, |read: LoadTold| {
        let load = &mut questions.told.loads[number];
        match fact {
            LoadFact::Vent => load.vent = read.vent,
            LoadFact::Pressure => load.pressure = read.pressure,
            LoadFact::Minutes => load.minutes = read.minutes,
            LoadFact::Drops => load.drops = read.drops,
            LoadFact::LidLot => load.lid_lot = read.lid_lot,
            LoadFact::Out => load.out = read.out.or(Some(now)),
            LoadFact::WentWrong => load.went_wrong = read.went_wrong,
            LoadFact::Acid => {}
        }
    }))
}

impl LoadFact {
    const fn key(self) -> &'static str {
        match self {
            Self::Vent => "vent",
            Self::Pressure => "pressure",
            Self::Minutes => "minutes",
            Self::Drops => "drop",
            Self::Acid => "acid",
            Self::LidLot => "lid-lot",
            Self::Out => "out",
            Self::WentWrong => "went-wrong",
        }
    }
}

/// An acid to choose.
struct AcidChoice(Option<AcidRecord>);

impl std::fmt::Display for AcidChoice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0 {
            None => f.write_str("not known"),
            Some(AcidRecord { acid: Acid::Nothing, .. }) => f.write_str("none was added"),
            Some(AcidRecord { acid, full_measure: true }) => {
                write!(f, "{}, the full measure", acid.in_words())
            }
            Some(AcidRecord { acid, full_measure: false }) => {
                write!(f, "{}, less than the measure", acid.in_words())
            }
        }
    }
}

fn acid(questions: &mut Questions<'_>, number: usize, question: Question<'_>) -> Result<Reply<()>, Failure> {
    let mut among = vec![AcidChoice(None)];
    for full_measure in [true, false] {
        for acid in [Acid::LemonJuice, Acid::CitricAcid, Acid::Vinegar] {
            among.push(AcidChoice(Some(AcidRecord { acid, full_measure })));
        }
    }
    among.push(AcidChoice(Some(AcidRecord { acid: Acid::Nothing, full_measure: false })));
    let answer = questions.asker.choose(question, among, 0)?;
    Ok(keep(answer, |AcidChoice(acid)| questions.told.loads[number].acid = Some(AcidTold(acid))))
}
