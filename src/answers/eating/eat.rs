//! What `eat` answers: decisions first, then the jars of the month's plan.
//!
//! The plan is drawn from how many jars have their best by on each day, so of the jars that may be eaten only those
//! that are shown are read one by one.

use std::collections::HashMap;
use std::rc::Rc;

use chrono::NaiveDate;
use serde::Serialize;

use crate::answers::eating::decide::{ToDecide, decision_on, in_order};
use crate::answers::word::{Word, Words};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::alike::AlikeJars;
use crate::ledger::jar::hold::Hold;
use crate::ledger::jar::live::LiveJar;
use crate::rules::eating::rotation::{Stock, Turn, rotate};
use crate::rules::food::care::Care;
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::JarState;
use crate::rules::load::consequence::RESCUE_SOURCES;
use crate::rules::load::process_record::ProcessMark;
use crate::rules::spoilage::cautions::{ASK, BEST_BY, BOTULISM, NO_RECORD};
use crate::rules::spoilage::signs::signs;
use crate::tables::spoilage::{Sign, Stage};
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::clock::Clock;
use crate::values::time::month::Month;
use crate::values::time::on_screen;

/// Months of the plan after the current one, where the whole of it is shown: jars put up today are in the last of them.
pub(crate) const MONTHS_AHEAD: u32 = 12;

/// Everything `eat` shows.
#[derive(Serialize)]
pub(crate) struct Answer {
    /// The month of `eat_first`.
    pub(crate) month: Month,
    /// Jars to decide on, the most urgent first.
    pub(crate) decide_now: Vec<ToDecide>,
    /// Jars owed in the month, oldest first.
    pub(crate) eat_first: Vec<ToEat>,
    /// The products some of whose jars are owed in the month, and others later.
    pub(crate) spread: Vec<Spread>,
    /// Low-acid and tomato jars whose process is not on record, which nobody vouched for: in no plan.
    pub(crate) unrecorded: Vec<ToEat>,
    /// Jars past their best by: a matter of quality.
    pub(crate) past_best: Vec<ToEat>,
    /// Jars of each product a month.
    pub(crate) months: Vec<Owed>,
    /// Jars withheld from eating.
    pub(crate) on_hold: Vec<Withheld>,
    /// Jars in the freezer that may be eaten.
    pub(crate) frozen: Vec<InFreezer>,
    /// Signs of spoilage for the stages these jars are in.
    pub(crate) signs: Vec<&'static Sign>,
    /// What else to bear in mind.
    pub(crate) cautions: Vec<String>,
}

/// A jar to be eaten.
#[derive(Serialize)]
pub(crate) struct ToEat {
    pub(crate) jar: JarCode,
    pub(crate) product: Word,
    pub(crate) size: JarSize,
    pub(crate) put_up: NaiveDate,
    pub(crate) best_by: NaiveDate,
    pub(crate) place: Option<Word>,
    pub(crate) why: Word,
    /// What must be said of its process.
    #[serde(flatten)]
    pub(crate) process: ProcessMark,
}

/// A product of which some jars are owed in the month, so that none of those left passes its best by.
#[derive(Serialize)]
pub(crate) struct Spread {
    pub(crate) product: Word,
    /// Jars owed in the month.
    pub(crate) jars: u64,
    /// Jars on the shelf whose best by is ahead, those among them.
    pub(crate) left: u64,
    /// The first best by of those left.
    pub(crate) first_best_by: NaiveDate,
}

/// How many jars of a product to eat in a month.
#[derive(Serialize)]
pub(crate) struct Owed {
    pub(crate) month: Month,
    pub(crate) product: Word,
    pub(crate) jars: u64,
}

/// A jar on hold.
#[derive(Serialize)]
pub(crate) struct Withheld {
    pub(crate) jar: JarCode,
    pub(crate) product: Word,
    pub(crate) state: JarState,
    pub(crate) place: Option<Word>,
    #[serde(serialize_with = "one_by_one")]
    pub(crate) reasons: Rc<Vec<Hold>>,
}

/// A jar in the freezer.
#[derive(Serialize)]
pub(crate) struct InFreezer {
    pub(crate) jar: JarCode,
    pub(crate) product: Word,
    pub(crate) since: Option<NaiveDate>,
    pub(crate) place: Option<Word>,
    #[serde(flatten)]
    pub(crate) process: ProcessMark,
}

fn one_by_one<S: serde::Serializer>(holds: &Rc<Vec<Hold>>, to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(holds.iter())
}

/// The jars of a product that may be eaten.
#[derive(Default)]
struct Good {
    stock: Stock,
    alike: Vec<AlikeJars>,
}

/// What the jars that may be eaten have among them.
#[derive(Default)]
struct Among {
    any: bool,
    low_acid: bool,
    unrecorded: bool,
}

/// What is shared between the jars read one by one.
#[derive(Default)]
struct Shared {
    words: Words,
    reasons: HashMap<String, Rc<Vec<Hold>>>,
    cares: HashMap<(Option<FoodId>, String), Care>,
    opened: Among,
    /// Jars in the house that are neither opened nor to be eaten as they stand.
    kept: Among,
}

impl Shared {
    /// The care a product needs, asked of the tables once.
    fn care_of(&mut self, food: Option<&FoodId>, product: &str) -> Care {
        // A food of the tables needs no name.
        let key = (food.cloned(), if food.is_some() { String::new() } else { product.to_owned() });
        *self.cares.entry(key).or_insert_with(|| Care::of(food, product))
    }
}

impl Answer {
    /// Answers from the live jars.
    pub(crate) fn read(ledger: &Ledger, clock: Clock, month: Month, ahead: u32) -> Result<Self, LedgerError> {
        ledger.at_one_moment(|ledger| Self::read_at_one_moment(ledger, clock, month, ahead))
    }

    fn read_at_one_moment(
        ledger: &Ledger,
        clock: Clock,
        month: Month,
        ahead: u32,
    ) -> Result<Self, LedgerError> {
        let mut answer = Self {
            month,
            decide_now: Vec::new(),
            eat_first: Vec::new(),
            spread: Vec::new(),
            unrecorded: Vec::new(),
            past_best: Vec::new(),
            months: Vec::new(),
            on_hold: Vec::new(),
            frozen: Vec::new(),
            signs: Vec::new(),
            cautions: Vec::new(),
        };
        let mut shared = Shared::default();
        let mut among = Among::default();
        let mut products: HashMap<String, Good> = HashMap::new();
        let (mut past_best, mut eat_first, mut unrecorded) = (Vec::new(), Vec::new(), Vec::new());
        let mut others = Vec::new();
        ledger.alike_jars(|jars| {
            if !jars.good {
                let order =
                    (Rc::<str>::from(jars.product.to_lowercase()), jars.best_by, jars.put_up, jars.batch);
                others.extend(jars.ids.into_iter().map(|jar| (order.clone(), jar)));
                return;
            }
            let care = shared.care_of(jars.food.as_ref(), &jars.product);
            among.add(care, jars.process.unrecorded);
            if jars.process.unrecorded && care == Care::LowAcid {
                unrecorded.extend(jars.ids);
                return;
            }
            let good = products.entry(jars.product.clone()).or_default();
            *good.stock.here.entry(jars.best_by).or_default() += jars.ids.len() as u64;
            good.alike.push(jars);
        })?;
        let today = clock.today();
        for left in ledger.left_shelf(Month::of(today).first_day().unwrap_or(today), today)? {
            if let Some(good) = products.get_mut(&left.product) {
                *good.stock.done.entry(left.best_by).or_default() += 1;
            }
        }
        for (product, Good { stock, mut alike }) in products {
            let rotation = rotate(&stock, today);
            let current = Month::of(today);
            let planned = rotation.by_month(current).take(ahead as usize + 1);
            let product = shared.words.of(&product);
            answer.months.extend(planned.filter(|&(_, jars)| jars > 0).map(|(month, jars)| Owed {
                month,
                product: product.clone(),
                jars,
            }));
            let owed = rotation.turns_in(month.since(current));
            let (left, first) = rotation.ahead();
            let jars = owed.end - owed.start;
            if let Some(first_best_by) = first.filter(|_| 0 < jars && jars < left) {
                answer.spread.push(Spread { product, jars, left, first_best_by });
            }
            alike.sort_by_key(|jars| (jars.best_by, jars.put_up, jars.batch));
            let turns = || alike.iter().flat_map(|jars| &jars.ids).copied();
            past_best.extend(turns().take(rotation.past_best as usize));
            eat_first.extend(turns().skip(owed.start as usize).take(jars as usize));
        }
        for (jars, why, list) in [
            (past_best, "past its best by, ", &mut answer.past_best),
            (eat_first, "best by ", &mut answer.eat_first),
            (unrecorded, "best by ", &mut answer.unrecorded),
        ] {
            ledger.each_jar_of(jars, |live| list.push(to_eat(&live, why, &mut shared)))?;
        }
        others.sort();
        let others = others.into_iter().map(|(_, jar)| jar);
        ledger.each_jar_of(others, |live| answer.add(&live, clock, &mut shared))?;
        in_order(&mut answer.decide_now);
        let turn = |jar: &ToEat| Turn { best_by: jar.best_by, put_up: jar.put_up, code: jar.jar };
        answer.eat_first.sort_by_key(turn);
        answer.unrecorded.sort_by_key(turn);
        answer.past_best.sort_by_key(turn);
        answer.spread.sort_by(|a, b| a.product.cmp(&b.product));
        answer.months.sort_by(|a, b| (a.month, &a.product).cmp(&(b.month, &b.product)));
        answer.gather_signs(&among, &shared);
        Ok(answer)
    }

    /// Adds a jar that may not be eaten as it stands to the lists that show it.
    fn add(&mut self, live: &LiveJar, clock: Clock, shared: &mut Shared) {
        let jar = &live.jar;
        let care = shared.care_of(live.food.as_ref(), &jar.product);
        if jar.state == JarState::Opened {
            shared.opened.add(care, jar.process.unrecorded);
        } else if jar.state != JarState::Missing {
            shared.kept.add(care, jar.process.unrecorded);
        }
        self.decide_now.extend(decision_on(live, clock, &mut shared.words));
        if jar.on_hold {
            self.on_hold.push(withheld(live, shared));
        }
        if jar.state == JarState::Frozen && !jar.on_hold {
            self.frozen.push(in_freezer(live, shared));
        }
    }

    /// Gathers the signs and cautions that fit the jars shown.
    fn gather_signs(&mut self, good: &Among, Shared { opened, kept, .. }: &Shared) {
        let care = |among: &Among| if among.low_acid { Care::LowAcid } else { Care::Acid };
        let mut cautions = Vec::new();
        if good.any || kept.low_acid {
            self.signs.extend(signs(Stage::BeforeOpening, care(if kept.low_acid { kept } else { good })));
        }
        if good.low_acid || kept.low_acid || opened.low_acid {
            cautions.push(BOTULISM.text);
        }
        if good.any {
            cautions.push(BEST_BY.text);
        }
        if good.unrecorded || opened.unrecorded || kept.unrecorded {
            cautions.push(NO_RECORD.text);
        }
        if opened.any {
            self.signs.extend(signs(Stage::AfterOpening, care(opened)));
        }
        cautions.push(ASK.text);
        self.cautions = cautions.into_iter().map(str::to_owned).collect();
        if self.decide_now.iter().any(|due| due.matter == Matter::Rescue) {
            self.cautions.push(format!("Where a load failed, {RESCUE_SOURCES}."));
        }
    }
}

impl Among {
    fn add(&mut self, care: Care, unrecorded: bool) {
        self.any = true;
        self.low_acid |= care == Care::LowAcid;
        self.unrecorded |= unrecorded;
    }
}

fn to_eat(live: &LiveJar, why: &str, shared: &mut Shared) -> ToEat {
    let mut why = format!("{why}{}", on_screen::day(live.jar.best_by));
    if let Some(mark) = live.jar.process.in_words() {
        why = format!("{why}; {mark}");
    }
    let jar = &live.jar;
    ToEat {
        jar: jar.code,
        product: shared.words.of(&jar.product),
        size: jar.size,
        put_up: jar.put_up,
        best_by: jar.best_by,
        place: shared.words.of_some(jar.place.as_deref()),
        why: shared.words.of(&why),
        process: jar.process.clone(),
    }
}

fn withheld(live: &LiveJar, shared: &mut Shared) -> Withheld {
    let jar = &live.jar;
    // Many jars are held together, for the same reasons.
    let key: Vec<String> =
        live.holds.iter().map(|hold| format!("{} {} {}", hold.cause, hold.since, hold.reason)).collect();
    let reasons = shared.reasons.entry(key.join("\n")).or_insert_with(|| Rc::new(live.holds.clone()));
    Withheld {
        jar: jar.code,
        product: shared.words.of(&jar.product),
        state: jar.state,
        place: shared.words.of_some(jar.place.as_deref()),
        reasons: reasons.clone(),
    }
}

fn in_freezer(live: &LiveJar, shared: &mut Shared) -> InFreezer {
    InFreezer {
        jar: live.jar.code,
        product: shared.words.of(&live.jar.product),
        since: live.since.map(|since| since.date_naive()),
        place: shared.words.of_some(live.jar.place.as_deref()),
        process: live.jar.process.clone(),
    }
}
