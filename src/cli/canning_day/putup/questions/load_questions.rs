//! Questions about one load. A measured fact has no suggestion: Enter alone leaves it unrecorded.

use crate::answers::jars::sizes::in_words;
use crate::cli::arguments::moment::Moment;
use crate::cli::canning_day::putup::given::{AcidGiven, LoadGiven};
use crate::cli::canning_day::putup::questions::asked::{LoadFact, Questions, keep};
use crate::cli::canning_day::putup::questions::doubts::doubt;
use crate::cli::canning_day::putup::settle::day_given;
use crate::cli::canning_day::putup::times::times_can_be;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Question, Reply};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::stderr::complain;
use crate::ledger::batch::last_time::LastTime;
use crate::ledger::entry::names_in_use::Named;
use crate::rules::load::run_time::Drop;
use crate::rules::load::slip::impossible_pressure;
use crate::values::kinds::acid::{Acid, AcidRecord};
use crate::values::kinds::method::Method;
use crate::values::names::nothing::says_nothing;

/// Which facts of a load are asked for, in order; `given` is what the flags gave of it.
///
/// Loads given whole by flags are asked only for what cannot be left open.
pub(in crate::cli::canning_day::putup) fn wanted(
    given: &LoadGiven,
    pressure: bool,
    acidified: bool,
    given_whole: bool,
) -> [(LoadFact, bool); 8] {
    let open = !given_whole;
    [
        (LoadFact::Vent, open && pressure && given.vent.is_none()),
        (LoadFact::Pressure, open && pressure && given.pressure.is_none()),
        (LoadFact::Minutes, open && given.minutes.is_none()),
        // A run knows its drops, and whether it went on to the end.
        (LoadFact::Drops, open && given.drops.is_empty() && given.run.is_none()),
        (LoadFact::Acid, acidified && given.acid.is_none()),
        (LoadFact::LidLot, open && given.lid_lot.is_none()),
        (LoadFact::Out, open && given.out.is_none()),
        (LoadFact::WentWrong, open && given.went_wrong.is_none() && given.run.is_none()),
    ]
}

/// What a question about a load says.
struct Wording {
    ask: &'static str,
    flag: &'static str,
    help: &'static str,
}

impl LoadFact {
    const fn wording(self, method: Option<Method>) -> Wording {
        let (ask, flag, help) = match self {
            Self::Vent => ("Minutes of venting", "--vent MINUTES", "Enter alone: not recorded"),
            Self::Pressure => match method {
                Some(Method::PressureWeighted) => {
                    ("Which weight was on it?", "--pressure PSI", "5, 10 or 15; Enter alone: not recorded")
                }
                _ => (
                    "Lowest pressure while the time ran",
                    "--pressure PSI",
                    "Such as 11 or 76kPa; Enter alone: not recorded",
                ),
            },
            Self::Minutes => {
                let ask = match method {
                    Some(Method::BoilingWater) => "Minutes at a full boil",
                    Some(Method::Steam) => "Minutes in full steam",
                    _ => "Minutes at pressure",
                };
                (ask, "--minutes MINUTES", "Enter alone: not recorded")
            }
            Self::Drops => (
                match method {
                    Some(Method::BoilingWater | Method::Steam) => "Did the boil stop?",
                    _ => "Did the pressure drop?",
                },
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

    /// The fact in a list of answers to change.
    pub(in crate::cli::canning_day::putup) const fn answer_to(self) -> &'static str {
        match self {
            Self::Vent => "venting",
            Self::Pressure => "pressure",
            Self::Minutes => "minutes",
            Self::Drops => "drops",
            Self::Acid => "acid",
            Self::LidLot => "lot of the lids",
            Self::Out => "when it came out",
            Self::WentWrong => "what went wrong",
        }
    }
}

/// Asks one fact of a load; an answer that looks mistyped is asked for again, and taken when it is given again.
pub(in crate::cli::canning_day::putup) fn ask(
    questions: &mut Questions<'_>,
    number: usize,
    fact: LoadFact,
    last: &LastTime,
) -> Result<Reply<()>, Failure> {
    if fact == LoadFact::Acid {
        return acid(questions, number);
    }
    let mut doubted = None;
    loop {
        let answer = ask_text(questions, number, fact, last, doubted.as_deref())?;
        let Reply::Given((read, typed)) = answer else { return Ok(Reply::Back) };
        let mut load = questions.given.loads[number].clone();
        put(&mut load, fact, read);
        if doubted.as_ref() != Some(&typed)
            && let Some(why) = doubt(questions, &load.or(&questions.given.every_load), fact)
        {
            complain(&format!("{why} Enter if it was so, or type it again."));
            doubted = Some(typed);
            continue;
        }
        questions.given.loads[number] = load;
        return Ok(Reply::Given(()));
    }
}

/// Asks for a fact once; `again` is what was typed before and looked mistyped.
fn ask_text(
    questions: &Questions<'_>,
    number: usize,
    fact: LoadFact,
    last: &LastTime,
    again: Option<&str>,
) -> Result<Reply<(LoadGiven, String)>, Failure> {
    let so_far = questions.given.loads[number].or(&questions.given.every_load);
    let method = questions.canner_of(&so_far).map(|canner| canner.method);
    let Wording { ask, flag, help } = fact.wording(method);
    let ask = of_load(questions, number, ask);
    let default = again.or(last.lid_lot.as_deref().filter(|_| fact == LoadFact::LidLot));
    let question = Question { ask: &ask, flag, help, default };
    let day_is_today = questions.given.on.is_none();
    let offers = match fact {
        LoadFact::LidLot => Offers::new(questions.ledger.names_in_use(Named::LidLot)?),
        _ => Offers::default(),
    };
    let clock = questions.ctx.clock;
    let now = Moment::At(clock.now.naive_local());
    let on = day_given(&questions.given, clock).ok().flatten();
    questions.asker.text(question, &offers, |text| {
        let mut read = LoadGiven::default();
        match (fact, text) {
            (LoadFact::Drops | LoadFact::LidLot, nothing) if says_nothing(nothing) => {}
            (LoadFact::Drops, text) => {
                for drop in text.split_whitespace() {
                    read.drops.push(drop.parse::<Drop>().map_err(|error| error.to_string())?);
                }
            }
            (_, "") => {}
            (_, text) => read.set(fact.key(), text)?,
        }
        if let (Some(given), Some(method)) = (&read.pressure, method)
            && let Some(why) = impossible_pressure(method, given.0)
        {
            return Err(format!("{why}."));
        }
        if fact == LoadFact::Out {
            if read.out.is_none() && !day_is_today {
                return Err("It was not today: write the time, such as 14:05.".to_owned());
            }
            read.out = read.out.or(Some(now));
        }
        if matches!(fact, LoadFact::Minutes | LoadFact::Drops | LoadFact::Out) {
            let mut with = so_far.clone();
            put(&mut with, fact, read.clone());
            times_can_be(with, on, clock).map_err(Failure::in_one_line)?;
        }
        Ok((read, text.to_owned()))
    })
}

/// A question, with the load it is about where there are several.
fn of_load(questions: &Questions<'_>, number: usize, ask: &str) -> String {
    let loads = &questions.given.loads;
    if loads.len() > 1 {
        format!("Load {} ({}): {ask}", number + 1, in_words(&loads[number].jars))
    } else {
        ask.to_owned()
    }
}

/// Puts one fact of what was read into a load.
fn put(load: &mut LoadGiven, fact: LoadFact, read: LoadGiven) {
    match fact {
        LoadFact::Vent => load.vent = read.vent,
        LoadFact::Pressure => load.pressure = read.pressure,
        LoadFact::Minutes => load.minutes = read.minutes,
        LoadFact::Drops => load.drops = read.drops,
        LoadFact::LidLot => load.lid_lot = read.lid_lot,
        LoadFact::Out => load.out = read.out,
        LoadFact::WentWrong => load.went_wrong = read.went_wrong,
        LoadFact::Acid => load.acid = read.acid,
    }
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

fn acid(questions: &mut Questions<'_>, number: usize) -> Result<Reply<()>, Failure> {
    let Wording { ask, flag, help } = LoadFact::Acid.wording(None);
    let ask = of_load(questions, number, ask);
    let question = Question { ask: &ask, flag, help, default: None };
    let mut among = vec![AcidChoice(None)];
    for full_measure in [true, false] {
        for acid in [Acid::LemonJuice, Acid::CitricAcid, Acid::Vinegar] {
            among.push(AcidChoice(Some(AcidRecord { acid, full_measure })));
        }
    }
    among.push(AcidChoice(Some(AcidRecord { acid: Acid::Nothing, full_measure: false })));
    let answer = questions.asker.choose(question, among, 0)?;
    Ok(keep(answer, |AcidChoice(acid)| questions.given.loads[number].acid = Some(AcidGiven(acid))))
}
