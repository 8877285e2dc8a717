//! What `eat` answers: decisions first, then the jars of the month's plan.

use chrono::NaiveDate;
use serde::Serialize;

use super::decide::{ToDecide, to_decide};
use crate::ledger::{Hold, LiveJar};
use crate::rules::care::Care;
use crate::rules::cautions::{ASK, BEST_BY, BOTULISM, NO_RECORD};
use crate::rules::clock::Clock;
use crate::rules::consequence::RESCUE_SOURCES;
use crate::rules::decide_now::Matter;
use crate::rules::jar_code::JarCode;
use crate::rules::jar_size::JarSize;
use crate::rules::jar_state::JarState;
use crate::rules::level_plan::LevelPlan;
use crate::rules::month::Month;
use crate::rules::permit::was_rescued;
use crate::rules::rotation::{Turn, rotate};
use crate::rules::spoilage::{Sign, Stage, signs};

/// Everything `eat` tells.
#[derive(Serialize)]
pub(in crate::cli) struct Answer<'a> {
    /// The month of `eat_first`.
    pub(in crate::cli) month: Month,
    /// Jars to decide on, the most urgent first.
    pub(in crate::cli) decide_now: Vec<ToDecide<'a>>,
    /// Jars owed in the month, oldest first.
    pub(in crate::cli) eat_first: Vec<ToEat<'a>>,
    /// Jars past their best by: a matter of quality.
    pub(in crate::cli) past_best: Vec<ToEat<'a>>,
    /// Jars of each product a month.
    pub(in crate::cli) months: Vec<Owed<'a>>,
    /// Jars withheld from eating.
    pub(in crate::cli) on_hold: Vec<Withheld<'a>>,
    /// Jars in the freezer that may be eaten.
    pub(in crate::cli) frozen: Vec<InFreezer<'a>>,
    /// Signs of spoilage for the stages these jars are in.
    pub(in crate::cli) signs: Vec<&'static Sign>,
    /// What else to bear in mind.
    pub(in crate::cli) cautions: Vec<String>,
}

/// A jar to be eaten.
#[derive(Serialize)]
pub(in crate::cli) struct ToEat<'a> {
    pub(in crate::cli) jar: JarCode,
    pub(in crate::cli) product: &'a str,
    pub(in crate::cli) size: JarSize,
    pub(in crate::cli) put_up: NaiveDate,
    pub(in crate::cli) best_by: NaiveDate,
    pub(in crate::cli) place: Option<&'a str>,
    pub(in crate::cli) why: String,
}

/// How many jars of a product to eat in a month.
#[derive(Serialize)]
pub(in crate::cli) struct Owed<'a> {
    pub(in crate::cli) month: Month,
    pub(in crate::cli) product: &'a str,
    pub(in crate::cli) jars: u64,
}

/// A jar on hold.
#[derive(Serialize)]
pub(in crate::cli) struct Withheld<'a> {
    pub(in crate::cli) jar: JarCode,
    pub(in crate::cli) product: &'a str,
    pub(in crate::cli) state: JarState,
    pub(in crate::cli) place: Option<&'a str>,
    pub(in crate::cli) reasons: &'a [Hold],
    /// Whether it was chilled or frozen in time, and may be eaten up all the same.
    pub(in crate::cli) rescued: bool,
}

/// A jar in the freezer.
#[derive(Serialize)]
pub(in crate::cli) struct InFreezer<'a> {
    pub(in crate::cli) jar: JarCode,
    pub(in crate::cli) product: &'a str,
    pub(in crate::cli) since: Option<NaiveDate>,
    pub(in crate::cli) place: Option<&'a str>,
}

impl<'a> Answer<'a> {
    /// Answers from the live jars, which come by product.
    pub(in crate::cli) fn new(jars: &'a [LiveJar], clock: Clock, month: Month, ahead: u32) -> Self {
        let today = clock.today();
        let mut answer = Self {
            month,
            decide_now: to_decide(jars, clock.now),
            eat_first: Vec::new(),
            past_best: Vec::new(),
            months: Vec::new(),
            on_hold: jars.iter().filter(|live| live.jar.on_hold).map(withheld).collect(),
            frozen: jars
                .iter()
                .filter(|live| live.jar.state == JarState::Frozen)
                .filter(|live| !live.jar.on_hold || is_rescued(live))
                .map(in_freezer)
                .collect(),
            signs: Vec::new(),
            cautions: Vec::new(),
        };
        let mut good: Vec<&LiveJar> =
            jars.iter().filter(|live| live.jar.state == JarState::Sealed && !live.jar.on_hold).collect();
        for of_product in good.chunk_by_mut(|a, b| a.jar.product == b.jar.product) {
            answer.plan(of_product, today, ahead);
        }
        let turn = |jar: &ToEat<'_>| Turn { best_by: jar.best_by, put_up: jar.put_up, code: jar.jar };
        answer.eat_first.sort_by_key(turn);
        answer.past_best.sort_by_key(turn);
        answer.months.sort_by(|a, b| (a.month, a.product).cmp(&(b.month, b.product)));
        answer.tell_signs(&good, jars);
        answer
    }

    /// Plans one product's jars.
    fn plan(&mut self, jars: &mut [&'a LiveJar], today: NaiveDate, ahead: u32) {
        let current = Month::of(today);
        let rotation = rotate(jars, today, |live| turn(live));
        self.past_best.extend(
            rotation
                .past_best
                .iter()
                .map(|live| to_eat(live, format!("past its best by, {}", live.jar.best_by))),
        );
        let product = match (rotation.this_month, rotation.later) {
            ([first, ..], _) | ([], [first, ..]) => first.jar.product.as_str(),
            ([], []) => return,
        };
        let planned = rotation.plan.by_month(current).take(ahead as usize + 1);
        self.months.extend(planned.filter(|&(_, jars)| jars > 0).map(|(month, jars)| Owed {
            month,
            product,
            jars,
        }));
        let before = self.month.since(current) as usize;
        let mut months = rotation.plan.months();
        let skipped: u64 = months.by_ref().take(before).sum();
        let owed = months.next().unwrap_or(0);
        let pace = pace(&rotation.plan);
        let jars = rotation.this_month.iter().chain(rotation.later);
        for live in jars.skip(skipped as usize).take(owed as usize) {
            let why = if Month::of(live.jar.best_by) <= self.month {
                format!("best by {}", live.jar.best_by)
            } else {
                pace.clone()
            };
            self.eat_first.push(to_eat(live, why));
        }
    }

    /// Gathers the signs and cautions that fit the jars shown.
    fn tell_signs(&mut self, good: &[&LiveJar], jars: &[LiveJar]) {
        let careful = |live: &LiveJar| Care::of(live.food.as_ref(), live.acidity) == Care::LowAcid;
        let care = |any: bool| if any { Care::LowAcid } else { Care::Acid };
        let mut cautions = Vec::new();
        if !good.is_empty() {
            let low_acid = good.iter().any(|live| careful(live));
            self.signs.extend(signs(Stage::BeforeOpening, care(low_acid)));
            if low_acid {
                cautions.push(BOTULISM.text);
            }
            if good.iter().any(|live| live.unrecorded) {
                cautions.push(NO_RECORD.text);
            }
            cautions.push(BEST_BY.text);
        }
        let mut opened = jars.iter().filter(|live| live.jar.state == JarState::Opened).peekable();
        if opened.peek().is_some() {
            self.signs.extend(signs(Stage::AfterOpening, care(opened.any(careful))));
        }
        cautions.push(ASK.text);
        self.cautions = cautions.into_iter().map(str::to_owned).collect();
        if self.decide_now.iter().any(|due| due.matter == Matter::Rescue) {
            self.cautions.push(format!("Where a load failed, {RESCUE_SOURCES}."));
        }
    }
}

fn turn(live: &LiveJar) -> Turn {
    Turn { best_by: live.jar.best_by, put_up: live.jar.put_up, code: live.jar.code }
}

/// The pace that leaves none past its best by.
fn pace(plan: &LevelPlan) -> String {
    match plan.pace() {
        Some(pace) if pace.months > 1 => format!("{} due in {} months", pace.jars, pace.months),
        _ => "due this month".to_owned(),
    }
}

fn to_eat(live: &LiveJar, mut why: String) -> ToEat<'_> {
    if live.unrecorded {
        why.push_str("; no process on record");
    }
    let jar = &live.jar;
    ToEat {
        jar: jar.code,
        product: &jar.product,
        size: jar.size,
        put_up: jar.put_up,
        best_by: jar.best_by,
        place: jar.place.as_deref(),
        why,
    }
}

fn withheld(live: &LiveJar) -> Withheld<'_> {
    let jar = &live.jar;
    Withheld {
        jar: jar.code,
        product: &jar.product,
        state: jar.state,
        place: jar.place.as_deref(),
        reasons: &live.holds,
        rescued: is_rescued(live),
    }
}

fn is_rescued(live: &LiveJar) -> bool {
    let circumstances = live.circumstances();
    circumstances.held.is_some_and(|held| was_rescued(&circumstances, held))
}

fn in_freezer(live: &LiveJar) -> InFreezer<'_> {
    InFreezer {
        jar: live.jar.code,
        product: &live.jar.product,
        since: live.since.map(|since| since.date_naive()),
        place: live.jar.place.as_deref(),
    }
}
