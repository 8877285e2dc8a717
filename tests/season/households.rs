//! Invented households whose true appetite is known, and what came of the plans made for them.

use chrono::{Datelike, Days, NaiveDate};
use jarledger::rules::eating::dispersion::Unevenness;
use jarledger::rules::eating::history::History;
use jarledger::rules::eating::predictive::Predictive;
use jarledger::rules::eating::season::use_to_come;
use jarledger::rules::eating::what_if::WhatIf;

/// How sure the plans are to last.
pub const SURE: f64 = 0.9;

/// Days of a season.
const YEAR: u32 = 365;

/// Products of one household.
const PRODUCTS: usize = 8;

/// SplitMix64, for households that are the same in every run.
pub struct Seeded(pub u64);

impl Seeded {
    /// A number in (0, 1].
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((mixed ^ (mixed >> 31)) >> 11) + 1) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.unit()
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * self.unit().ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
    }

    /// One and more, of this mean, each one more with the same chance.
    fn geometric(&mut self, mean: f64) -> u32 {
        1 + (self.unit().ln() / (1.0 - 1.0 / mean).ln()) as u32
    }
}

/// How a household uses its jars.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Habit {
    /// At a steady rate.
    Steady,
    /// More in one half of the year than in the other, each product in its own.
    Seasonal,
    /// One to many jars at once, three in the mean.
    Bursty,
    /// Three jars at once, always.
    Threes,
    /// At a steady rate while there are some: a year's jars last part of the year.
    StockOut,
    /// At a rate that changed once, up to twice as fast or half as fast.
    Changing,
    /// At a rate that doubled or halved.
    Doubling,
}

/// Every habit.
pub const HABITS: [Habit; 7] = [
    Habit::Steady,
    Habit::Seasonal,
    Habit::Bursty,
    Habit::Threes,
    Habit::StockOut,
    Habit::Changing,
    Habit::Doubling,
];

/// One product: what is on record, and what would be used after it.
struct Product {
    history: History,
    /// Days from the day of asking on, one a jar.
    to_come: Vec<u32>,
}

impl Product {
    fn invent(habit: Habit, record: u32, today: NaiveDate, random: &mut Seeded) -> Self {
        let yearly = (12_f64.ln() + 0.6 * random.normal()).exp().clamp(3.0, 60.0);
        let (swing, peak) = (random.between(0.5, 1.0), random.between(0.0, 365.25));
        let changed_at = random.between(0.0, f64::from(record));
        let change = random.between(-1.0, 1.0);
        let factor = 2_f64.powf(if habit == Habit::Doubling { change.signum() } else { change });
        let first = today - Days::new(u64::from(record - 1));
        let season = f64::from(first.ordinal0());
        let rate = |day: f64| match habit {
            Habit::Seasonal => 1.0 + swing * ((season + day - peak) / 365.25 * std::f64::consts::TAU).cos(),
            Habit::Changing | Habit::Doubling if day < changed_at => factor,
            _ => 1.0,
        };
        // Candidates at twice the rate, each taken with the chance that the rate of its day has to that.
        let at_once = if matches!(habit, Habit::Bursty | Habit::Threes) { 3.0 } else { 1.0 };
        let (mut day, mut wanted) = (0.0, Vec::new());
        loop {
            day -= random.unit().ln() * 365.25 * at_once / (2.0 * yearly);
            if day >= f64::from(record + YEAR) {
                break;
            }
            if random.unit() * 2.0 > rate(day) {
                continue;
            }
            let jars = match habit {
                Habit::Bursty => random.geometric(3.0),
                Habit::Threes => 3,
                _ => 1,
            };
            wanted.extend(std::iter::repeat_n(day as u32, jars as usize));
        }
        let (mut past, mut to_come): (Vec<u32>, Vec<u32>) = wanted.iter().partition(|&&day| day < record);
        to_come.iter_mut().for_each(|day| *day -= record);
        let stock = if habit == Habit::StockOut {
            let share = random.between(0.3, 0.8);
            sold_out(&mut past, record, (yearly * share).max(1.0) as usize, random.between(0.0, 365.0) as u32)
        } else {
            vec![(0, None)]
        };
        let on = |day: u32| first + Days::new(u64::from(day));
        let spells = stock.into_iter().map(|(from, to)| (on(from), to.map(on)));
        Self { history: History::new(spells, past.into_iter().map(on), today), to_come }
    }
}

/// Leaves of what was wanted what there was, where so many jars come at the start and each year on one day.
fn sold_out(wanted: &mut Vec<u32>, record: u32, jars: usize, filled_on: u32) -> Vec<(u32, Option<u32>)> {
    let fills = (0..record).filter(|&day| day == 0 || day % YEAR == filled_on);
    let (mut stock, mut taken, mut left) = (Vec::new(), Vec::new(), 0);
    let mut open: Option<u32> = None;
    let fills: Vec<u32> = fills.collect();
    for (at, &fill) in fills.iter().enumerate() {
        left += jars;
        open.get_or_insert(fill);
        let next = fills.get(at + 1).copied().unwrap_or(record);
        for &day in wanted.iter().filter(|&&day| (fill..next).contains(&day)) {
            if left > 0 {
                taken.push(day);
                left -= 1;
            }
            if left == 0
                && let Some(from) = open.take()
            {
                stock.push((from, Some(day)));
            }
        }
    }
    stock.extend(open.map(|from| (from, None)));
    *wanted = taken;
    stock
}

/// How often plans lasted, and what they cost.
#[derive(Debug, Default, Clone, Copy)]
pub struct Outcome {
    /// Plans made.
    pub plans: f64,
    lasted: f64,
    plain_lasted: f64,
    /// Pinball loss at [`SURE`], the measure that the true quantile makes least.
    pub loss: f64,
    /// The same of a plain gamma-Poisson plan.
    pub plain_loss: f64,
}

impl Outcome {
    /// The share of plans that lasted.
    pub fn share(&self) -> f64 {
        self.lasted / self.plans
    }

    /// The share of plain plans that lasted.
    pub fn plain_share(&self) -> f64 {
        self.plain_lasted / self.plans
    }

    fn add(&mut self, plan: u32, plain: u32, wanted: u32) {
        let loss = |plan: u32| {
            let short = f64::from(wanted) - f64::from(plan);
            if short > 0.0 { SURE * short } else { (SURE - 1.0) * short }
        };
        self.plans += 1.0;
        self.lasted += f64::from(u8::from(wanted <= plan));
        self.plain_lasted += f64::from(u8::from(wanted <= plain));
        self.loss += loss(plan);
        self.plain_loss += loss(plain);
    }
}

/// Plans for a year and for part of one, for so many households with a record of between so many days.
pub fn play(habit: Habit, households: u32, record: (f64, f64), random: &mut Seeded) -> (Outcome, Outcome) {
    let (mut year, mut part) = (Outcome::default(), Outcome::default());
    let new_year = NaiveDate::from_ymd_opt(2030, 1, 1).expect("a day of the calendar");
    for _ in 0..households {
        let today = new_year + Days::new(random.between(0.0, 365.0) as u64);
        let days = random.between(record.0, record.1) as u32;
        let products: Vec<Product> =
            (0..PRODUCTS).map(|_| Product::invent(habit, days, today, random)).collect();
        let mut household = Unevenness::default();
        for product in &products {
            household += Unevenness::of(&product.history);
        }
        for product in &products {
            let some_days = random.between(60.0, 240.0) as u32;
            for (days, outcome) in [(YEAR, &mut year), (some_days, &mut part)] {
                let plan = use_to_come(&product.history, &household, today, days, WhatIf::default());
                let Some(plan) = plan else { continue };
                let wanted = product.to_come.iter().filter(|&&day| day < days).count() as u32;
                outcome.add(plan.quantile(SURE), plain(&product.history, days).quantile(SURE), wanted);
            }
        }
    }
    (year, part)
}

/// The plain gamma-Poisson forecast: a rate with a Gamma(shape 1, rate 0) prior, so that use to come is negative
/// binomial of size `x + 1` and probability `t / (t + h)`.
fn plain(history: &History, horizon: u32) -> Predictive {
    let past = history.past();
    let size = f64::from(past.eaten) + 1.0;
    let mean = size * f64::from(horizon) / f64::from(past.days);
    Predictive::new(mean, mean + mean * mean / size)
}

/// A plan for a year by the true quantile, where a jar is used every so many days: the mean over every beginning, and the
/// greatest.
pub fn clockwork(every: u32, record: u32) -> (f64, f64) {
    let today = NaiveDate::from_ymd_opt(2030, 6, 1).expect("a day of the calendar");
    let first = today - Days::new(u64::from(record - 1));
    let mut counts: Vec<usize> =
        (0..every).map(|begin| (begin..YEAR).step_by(every as usize).count()).collect();
    counts.sort_unstable();
    let truth = counts[(SURE * counts.len() as f64).ceil() as usize - 1] as f64;
    let times = (0..every).map(|begin| {
        let used = (begin..record).step_by(every as usize).map(|day| first + Days::new(u64::from(day)));
        let history = History::new([(first, None)], used, today);
        let household = Unevenness::of(&history);
        let plan = use_to_come(&history, &household, today, YEAR, WhatIf::default());
        plan.map_or(0.0, |plan| f64::from(plan.quantile(SURE))) / truth
    });
    let times: Vec<f64> = times.collect();
    (times.iter().sum::<f64>() / f64::from(every), times.into_iter().fold(0.0, f64::max))
}
