//! One question, or all that is tested for a food.

use serde::Serialize;

use crate::answers::planning::gauge_target::Gauge;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::rules::food::food_search;
use crate::rules::food::food_search::Found;
use crate::rules::process::absence::{Alternative, NoneBecause};
use crate::rules::process::household::HouseholdProcess;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess};
use crate::rules::process::{Answer, look_up, unknown_food};
use crate::rules::spoilage::cautions;
use crate::rules::spoilage::cautions::Caution;
use crate::tables::{foods, processes};
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;

const CAUTIONS: [Caution; 2] = [cautions::FIGURES_ONLY, cautions::ASK];

/// A process with the part of the question it answers.
#[derive(Debug, Serialize)]
pub(crate) struct ProcessShown {
    #[serde(flatten)]
    pub(crate) process: TestedProcess,
    pub(crate) pack: Pack,
    pub(crate) jar: JarSize,
    pub(crate) method: Method,
    /// What the dial of the canner asked for must show.
    #[serde(skip_serializing_if = "Option::is_none")]
    dial_target_psi: Option<Pressure>,
}

/// What is tested for it, or why nothing is.
#[derive(Debug, Serialize)]
pub(crate) struct Reply {
    food: Option<FoodId>,
    pub(crate) name: Option<&'static str>,
    altitude: Option<String>,
    #[serde(skip)]
    pub(crate) height: Option<Altitude>,
    pub(crate) options: Vec<ProcessShown>,
    pub(crate) household_options: Vec<ProcessShown>,
    /// The household's processes that ask for less than another one here, and decide nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) household_set_aside: Vec<ProcessShown>,
    none_because: Option<NoneBecause>,
    pub(crate) detail: String,
    tested_instead: Vec<Alternative>,
    suggestions: Vec<FoodId>,
    pub(crate) cautions: [Caution; 2],
}

/// A question of which some parts may be left open.
pub(crate) struct Asked {
    pub(crate) food: FoodId,
    pub(crate) pack: Option<Pack>,
    pub(crate) jar: Option<JarSize>,
    pub(crate) method: Option<Method>,
    pub(crate) altitude: Altitude,
}

impl Asked {
    const fn is_whole(&self) -> bool {
        self.pack.is_some() && self.jar.is_some() && self.method.is_some()
    }

    /// Every whole question that the open parts allow.
    fn questions(&self) -> Vec<ProcessQuestion> {
        let mut questions = Vec::new();
        for &pack in Pack::ALL.iter().filter(|&&pack| self.pack.is_none_or(|wanted| wanted == pack)) {
            for &size in JarSize::ALL.iter().filter(|&&size| self.jar.is_none_or(|wanted| wanted == size)) {
                for &method in
                    Method::ALL.iter().filter(|&&one| self.method.is_none_or(|wanted| wanted == one))
                {
                    let (food, altitude) = (self.food.clone(), self.altitude);
                    questions.push(ProcessQuestion { food, pack, size, method, altitude });
                }
            }
        }
        questions
    }

    /// The whole question that is nearest to being answered, for saying why there is no answer.
    fn nearest(&self) -> ProcessQuestion {
        let fits = |row: &processes::ProcessRow| {
            usize::from(self.method.is_none_or(|method| row.method == method)) * 4
                + usize::from(self.jar.is_none_or(|size| row.size == size)) * 2
                + usize::from(self.pack.is_none_or(|pack| row.pack == pack))
        };
        let row = processes::of(&self.food).max_by_key(|row| fits(row));
        ProcessQuestion {
            food: self.food.clone(),
            pack: self.pack.or(row.map(|row| row.pack)).unwrap_or(Pack::Hot),
            size: self.jar.or(row.map(|row| row.size)).unwrap_or(JarSize::Pint),
            method: self.method.or(row.map(|row| row.method)).unwrap_or(Method::PressureDial),
            altitude: self.altitude,
        }
    }
}

impl Reply {
    /// Answers a question; of one with open parts everything that is listed for the food, in the household's own kinds of
    /// canner first.
    pub(crate) fn read(
        ledger: Option<&Ledger>,
        own: &[HouseholdProcess],
        asked: &Asked,
        gauge: Option<&Gauge>,
    ) -> Result<Self, LedgerError> {
        let canners = ledger.map(Ledger::canners).transpose()?.unwrap_or_default();
        let kinds: Vec<Method> = canners.into_iter().map(|canner| canner.method).collect();
        let mut reply =
            Self::of(Some(asked.food.clone()), Some(asked.altitude), look_up(&asked.nearest(), own));
        reply.tested_instead.sort_by_key(|other| !kinds.contains(&other.method));
        let mut questions = asked.questions();
        questions.sort_by_key(|question| !kinds.contains(&question.method));
        for question in questions {
            // A steam canner takes the rows of boiling water: they are not said twice to somebody who has none.
            if asked.method.is_none() && question.method == Method::Steam && !kinds.contains(&Method::Steam) {
                continue;
            }
            let mut answer = look_up(&question, own);
            if asked.jar.is_none() {
                answer.options.retain(|option| option.as_jar.is_none());
            }
            let shown = |process: TestedProcess| ProcessShown {
                dial_target_psi: gauge.and_then(|gauge| gauge.target(process.psi?)),
                process,
                pack: question.pack,
                jar: question.size,
                method: question.method,
            };
            reply.options.extend(answer.options.into_iter().map(shown));
            reply.household_options.extend(answer.household_options.into_iter().map(shown));
            reply.household_set_aside.extend(answer.household_set_aside.into_iter().map(shown));
        }
        if !reply.options.is_empty() {
            reply.none_because = None;
            reply.tested_instead.clear();
            if !asked.is_whole() {
                reply.detail =
                    "Each line is a whole process: never the minutes of one with the pressure of another."
                        .to_owned();
            }
        }
        Ok(reply)
    }

    /// Answers where the tables hold no such food.
    pub(crate) fn unknown(words: &str, altitude: Option<Altitude>) -> Self {
        Self::of(None, altitude, unknown_food(words))
    }

    /// The processes of everything tested instead of what was asked for.
    pub(crate) fn tested_instead(&self) -> Vec<ProcessShown> {
        let (Some(food), Some(altitude)) = (&self.food, self.height) else { return Vec::new() };
        let mut instead = Vec::new();
        for &Alternative { pack, size, method } in &self.tested_instead {
            let question = ProcessQuestion { food: food.clone(), pack, size, method, altitude };
            instead.extend(look_up(&question, &[]).options.into_iter().map(|process| ProcessShown {
                dial_target_psi: None,
                process,
                pack,
                jar: size,
                method,
            }));
        }
        instead
    }

    fn of(food: Option<FoodId>, altitude: Option<Altitude>, answer: Answer) -> Self {
        Self {
            name: food.as_ref().and_then(foods::get).map(|food| food.name.as_str()),
            food,
            altitude: altitude.map(|altitude| altitude.to_string()),
            height: altitude,
            options: Vec::new(),
            household_options: Vec::new(),
            household_set_aside: Vec::new(),
            none_because: answer.none_because,
            detail: answer.detail,
            tested_instead: answer.tested_instead,
            suggestions: answer.suggestions,
            cautions: CAUTIONS,
        }
    }
}

/// The key meant by words, which is only a key itself: the tables' own or one of the household's.
pub(crate) fn key(words: &str, own: &[HouseholdProcess]) -> Option<FoodId> {
    if let Found::Exact(food) = food_search::find(words) {
        return Some(food.id.clone());
    }
    let id: FoodId = words.parse().ok()?;
    own.iter().any(|process| process.food == id).then_some(id)
}
