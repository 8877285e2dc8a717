//! Asks for what no flag gives, one fact at a time, and back where wanted.
//!
//! May use: arguments, talk, answers, ledger, rules, values.

mod asked;
pub(super) mod doubts;
mod load_questions;
mod review;

use crate::answers::jars::sizes::in_words;
use crate::answers::planning::process::key;
use crate::cli::arguments::food_arg;
use crate::cli::arguments::food_arg::{NO_FOOD, food_offers};
use crate::cli::arguments::jar_counts::jar_counts;
use crate::cli::canning_day::putup::given::{Given, LoadGiven};
use crate::cli::canning_day::putup::questions::asked::{LoadFact, Questions, keep};
use crate::cli::canning_day::putup::questions::review::{Decision, decide};
use crate::cli::canning_day::putup::settle;
use crate::cli::canning_day::putup::settle::Settled;
use crate::cli::canning_day::putup::times::times_can_be;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question, Reply, parsed};
use crate::cli::talk::offers::Offers;
use crate::cli::talk::stderr::complain;
use crate::ledger::batch::last_time::LastTime;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::rules::canning_day::loading;
use crate::rules::food::food_search::{Found, find};
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};

/// One question, in the order asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    Product,
    Food,
    Acidity,
    Pack,
    Canner,
    Jars,
    Load(usize, LoadFact),
    Place,
}

impl Step {
    /// The question in a list of answers to change.
    fn answer_to(self, several_loads: bool) -> String {
        match self {
            Self::Product => "what is in the jars".to_owned(),
            Self::Food => "food of the tables".to_owned(),
            Self::Acidity => "acidity".to_owned(),
            Self::Pack => "hot or raw pack".to_owned(),
            Self::Canner => "canner".to_owned(),
            Self::Jars => "jars".to_owned(),
            Self::Load(number, fact) if several_loads => format!("load {}: {}", number + 1, fact.answer_to()),
            Self::Load(_, fact) => fact.answer_to().to_owned(),
            Self::Place => "where the jars go".to_owned(),
        }
    }
}

/// A choice with words of its own.
struct Choice<T>(T, &'static str);

impl<T> std::fmt::Display for Choice<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.1)
    }
}

/// Asks until the batch is settled and the person says to save it.
///
/// `said` holds the flags alone, `flags` the flags filled up with the choices of the last batch, `suggested` its jars.
pub(super) fn ask(
    said: &Given,
    flags: Given,
    suggested: Vec<(JarSize, u32)>,
    ledger: &Ledger,
    ctx: &Context,
    asker: &Asker,
) -> Result<Settled, Failure> {
    let canners = ledger.canners()?;
    if canners.is_empty() {
        return Err(Failure::usage(
            "no canner is on record yet; nothing was saved",
            "`jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`",
        ));
    }
    // No answer to a question mends what the flags say.
    let on = settle::day_given(&flags, ctx.clock)?;
    let each = flags.loads.iter().map(|load| load.or(&flags.every_load));
    let all = flags.loads.is_empty().then(|| flags.every_load.clone());
    for load in each.chain(all) {
        times_can_be(load, on, ctx.clock)?;
    }
    complain("Enter takes what stands in brackets; Esc goes back; Ctrl-C ends with nothing saved.");
    let mut given = flags.clone();
    if given.jars.is_empty() {
        given.jars = suggested;
    }
    Questions { ledger, ctx, asker, said, flags, given, canners }.run()
}

impl Questions<'_> {
    fn run(mut self) -> Result<Settled, Failure> {
        let mut at = 0;
        loop {
            let steps = self.steps(&self.flags);
            if let Some(&step) = steps.get(at) {
                match self.ask_step(step)? {
                    Reply::Given(()) => at += 1,
                    Reply::Back => at = at.saturating_sub(1),
                }
                continue;
            }
            match settle::settle(&self.given, self.ledger, self.ctx.clock) {
                Err(unsettled) if steps.is_empty() => return Err(unsettled.into()),
                Err(unsettled) => {
                    complain(&Failure::from(unsettled).message);
                    at = steps.len() - 1;
                }
                Ok(settled) => match decide(&settled, self.ledger, self.ctx.clock, self.asker)? {
                    Decision::Save => return Ok(settled),
                    Decision::Change(short) => at = self.change(short)?,
                    Decision::Back => at = steps.len().saturating_sub(1),
                },
            }
        }
    }

    /// Lets the person choose a question to answer again, with the one about what fell short under the cursor. Answers
    /// that do not depend on it stay. Returns where to go on.
    fn change(&mut self, short: Option<(usize, LoadFact)>) -> Result<usize, Failure> {
        let steps = self.steps(self.said);
        let several = self.given.loads.len() > 1;
        let words: Vec<String> = steps.iter().map(|step| step.answer_to(several)).collect();
        let start =
            short.and_then(|(load, fact)| steps.iter().position(|step| *step == Step::Load(load, fact)));
        let question = Question { ask: "Which answer?", flag: "--product NAME", help: "", default: None };
        let at = match self.asker.choose(question, words.clone(), start.unwrap_or(0))? {
            Reply::Given(chosen) => words.iter().position(|word| *word == chosen),
            Reply::Back => None,
        };
        let Some(at) = at else { return Ok(usize::MAX) };
        let answer = self.ask_step(steps[at])?;
        let is_asked = |step: &Step| steps[..=at].contains(step);
        Ok(match (answer, steps[at]) {
            // These answers decide which questions there are.
            (Reply::Given(()), Step::Food | Step::Canner | Step::Jars) => {
                self.steps(&self.flags).iter().take_while(|step| is_asked(step)).count()
            }
            (Reply::Given(()) | Reply::Back, _) => usize::MAX,
        })
    }

    /// The questions there are, as far as the answers so far decide it.
    fn steps(&self, flags: &Given) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut add = |wanted: bool, step| {
            if wanted {
                steps.push(step);
            }
        };
        add(flags.product.is_none(), Step::Product);
        add(flags.food.is_none(), Step::Food);
        let known = food_arg::settle(self.given.food.as_deref(), self.given.acidity, self.ledger).ok();
        let listed = known.as_ref().is_some_and(|known| known.food.is_some());
        add(flags.acidity.is_none() && known.is_some() && !listed, Step::Acidity);
        add(flags.pack.is_none() && (listed || known.is_none()), Step::Pack);
        let own_loads = !flags.loads.is_empty();
        let needs_canner = !own_loads || flags.loads.iter().any(|load| load.canner.is_none());
        add(flags.every_load.canner.is_none() && needs_canner, Step::Canner);
        add(flags.jars.is_empty() && !own_loads, Step::Jars);
        let acidified = known.is_some_and(|known| known.acidity == Some(Acidity::Acidified));
        for (number, load) in self.given.loads.iter().enumerate() {
            let merged = load.or(&self.given.every_load);
            let pressure = self.canner_of(&merged).is_none_or(|canner| canner.method.is_pressure());
            let given = if own_loads { &flags.loads[number] } else { &flags.every_load };
            for (fact, wanted) in load_questions::wanted(given, pressure, acidified, own_loads) {
                add(wanted, Step::Load(number, fact));
            }
        }
        add(flags.place.is_none(), Step::Place);
        steps
    }

    pub(super) fn canner_of(&self, load: &LoadGiven) -> Option<&Canner> {
        let key = load.canner.as_ref()?.key();
        self.canners.iter().find(|canner| canner.name.to_lowercase() == key)
    }

    fn ask_step(&mut self, step: Step) -> Result<Reply<()>, Failure> {
        let last = self.ledger.last_time(self.given.product.as_ref())?;
        match step {
            Step::Product => self.product(),
            Step::Food => self.food(&last),
            Step::Acidity => self.acidity(),
            Step::Pack => self.pack(&last),
            Step::Canner => self.canner(&last),
            Step::Jars => self.jars(),
            Step::Load(number, fact) => load_questions::ask(self, number, fact, &last),
            Step::Place => self.place(&last),
        }
    }

    fn product(&mut self) -> Result<Reply<()>, Failure> {
        let question = Question {
            ask: "What is in the jars?",
            flag: "--product NAME",
            help: "In your own words",
            default: self.given.product.as_ref().map(crate::values::names::name::Name::as_str),
        };
        let answer =
            self.asker.text(question, &Offers::new(self.ledger.names_in_use(Named::Product)?), parsed)?;
        Ok(keep(answer, |name| self.given.product = Some(name)))
    }

    /// The food by its key, or by everyday words and a choice among those they may mean.
    fn food(&mut self, last: &LastTime) -> Result<Reply<()>, Failure> {
        let by_product = || key(self.given.product.as_ref()?.as_str(), &[]);
        let given = self
            .given
            .food
            .clone()
            .or_else(|| last.food.clone().or_else(by_product).map(|food| food.to_string()));
        let question = Question {
            ask: "Which food of the process tables?",
            flag: "--food FOOD",
            help: "Such as green beans; none: no food of the tables",
            default: given.as_deref(),
        };
        let listed = self.given.product.as_ref().and_then(|product| food_arg::is_listed(product.as_str()));
        let Reply::Given(words) =
            self.asker.text(question, &food_offers(), |text| match (text, &listed) {
                ("", _) => Err("Write the food, or none.".to_owned()),
                (none, Some((what, _))) if none.eq_ignore_ascii_case(NO_FOOD) => Err(format!("{what}.")),
                (words, _) => Ok(words.to_owned()),
            })?
        else {
            return Ok(Reply::Back);
        };
        if words.eq_ignore_ascii_case(NO_FOOD) {
            self.given.food = Some(NO_FOOD.to_owned());
            return Ok(Reply::Given(()));
        }
        let near = match find(&words) {
            Found::Exact(food) => {
                self.given.food = Some(food.id.to_string());
                return Ok(Reply::Given(()));
            }
            Found::Suggested(near) => near,
        };
        if self.ledger.household_processes()?.iter().any(|own| own.food.as_str() == words) {
            self.given.food = Some(words);
            return Ok(Reply::Given(()));
        }
        let mut among: Vec<String> =
            near.iter().map(|found| format!("{}  {}", found.food.id, found.food.name)).collect();
        among.push(format!("{NO_FOOD}  no food of the tables"));
        let question =
            Question { ask: "Which of these?", flag: "--food FOOD", help: "Esc: other words", default: None };
        match self.asker.choose(question, among, 0)? {
            Reply::Given(chosen) => {
                self.given.food = chosen.split_whitespace().next().map(str::to_owned);
                Ok(Reply::Given(()))
            }
            Reply::Back => self.food(last),
        }
    }

    fn acidity(&mut self) -> Result<Reply<()>, Failure> {
        let question = Question {
            ask: "Which acidity?",
            flag: "--acidity low-acid|acid|acidified",
            help: "Not known is treated as low-acid",
            default: None,
        };
        let among = vec![
            Choice(None, "not known"),
            Choice(Some(Acidity::LowAcid), "low-acid"),
            Choice(Some(Acidity::Acid), "acid"),
            Choice(Some(Acidity::Acidified), "acidified"),
        ];
        let answer = self.asker.choose(question, among, 0)?;
        Ok(keep(answer, |Choice(acidity, _)| self.given.acidity = acidity))
    }

    fn pack(&mut self, last: &LastTime) -> Result<Reply<()>, Failure> {
        let question = Question { ask: "Hot or raw pack?", flag: "--pack hot|raw", help: "", default: None };
        let start = usize::from(self.given.pack.or(last.pack) == Some(Pack::Raw));
        let answer = self.asker.choose(question, Pack::ALL.to_vec(), start)?;
        Ok(keep(answer, |pack| self.given.pack = Some(pack)))
    }

    fn canner(&mut self, last: &LastTime) -> Result<Reply<()>, Failure> {
        let question = Question { ask: "Which canner?", flag: "--canner NAME", help: "", default: None };
        let names: Vec<String> = self.canners.iter().map(|canner| canner.name.clone()).collect();
        let given =
            self.given.every_load.canner.as_ref().map(ToString::to_string).or_else(|| last.canner.clone());
        let start = names.iter().position(|name| Some(name) == given.as_ref()).unwrap_or(0);
        let answer = self.asker.choose(question, names, start)?;
        Ok(keep(answer, |name| {
            self.given.every_load.canner = name.parse().ok();
            if self.flags.loads.is_empty() {
                self.split();
            }
        }))
    }

    fn jars(&mut self) -> Result<Reply<()>, Failure> {
        let now: Vec<String> =
            self.given.jars.iter().map(|(size, count)| format!("{size}:{count}")).collect();
        let now = Some(now.join(",")).filter(|now| !now.is_empty());
        let question = Question {
            ask: "How many jars of each size?",
            flag: "--jars SIZE:JARS",
            help: "Such as pint:14,quart:7",
            default: now.as_deref(),
        };
        let canner = self.canner_of(&self.given.every_load).cloned();
        let answer = self.asker.text(question, &Offers::default(), |text| {
            let jars = jar_counts(text)?;
            if let Some(canner) = &canner {
                loading::split(&jars, &canner.holds).map_err(|error| {
                    format!("{}: {error}; add it with another canner, or use --load", canner.name)
                })?;
            }
            Ok(jars)
        })?;
        Ok(keep(answer, |jars| {
            self.given.jars = jars;
            self.split();
            if self.given.loads.len() > 1 {
                let loads: Vec<String> = self.given.loads.iter().map(|load| in_words(&load.jars)).collect();
                complain(&format!("{} loads: {}.", loads.len(), loads.join(", ")));
            }
        }))
    }

    /// Splits the jars into the loads that are asked about, one by one.
    fn split(&mut self) {
        let Some(canner) = self.canner_of(&self.given.every_load) else { return };
        let split = loading::split(&self.given.jars, &canner.holds).unwrap_or_default();
        self.given.loads =
            split.into_iter().map(|jars| LoadGiven { jars: vec![jars], ..LoadGiven::default() }).collect();
    }

    fn place(&mut self, last: &LastTime) -> Result<Reply<()>, Failure> {
        let given = self.given.place.as_ref().map(ToString::to_string).or_else(|| last.place.clone());
        let question = Question {
            ask: "Where do the jars go?",
            flag: "--place NAME",
            help: "A shelf by the name you gave it; - : nowhere yet",
            default: given.as_deref(),
        };
        let answer =
            self.asker.text(question, &Offers::new(self.ledger.names_in_use(Named::Place)?), |text| {
                match text {
                    "" | "-" => Ok(None),
                    place => place
                        .parse()
                        .map(Some)
                        .map_err(|error: crate::values::names::name::NameError| error.to_string()),
                }
            })?;
        Ok(keep(answer, |place| self.given.place = place))
    }
}
