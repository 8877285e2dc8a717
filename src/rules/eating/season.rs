//! How many jars of a product to put up so that they last until the next season.
//!
//! Use to come is read from the past by its mean and its variance ([`Predictive`]), of which the answer is a quantile.
//!
//! - The rate is jars by days with stock, where a month counts half as much as one a year later.
//! - Once a year is on record each calendar month has its own rate, leaning on its neighbors and on the whole year, the
//!   more so the less months differ by more than chance; the months to come are then those that count.
//! - The variance is that of the count itself, by its [`Unevenness`], of the rate, which is never known exactly, of
//!   the months' rates where only some of them are to come, and of habits that change.
//!
//! The constants were chosen by simulation: `tests/season` holds what came of it.

use chrono::NaiveDate;

use crate::rules::eating::dispersion::Unevenness;
use crate::rules::eating::history::{History, days_to_come};
use crate::rules::eating::keep_up::keep_up;
use crate::rules::eating::past_use::PastUse;
use crate::rules::eating::predictive::Predictive;
use crate::rules::eating::sureness::Sureness;
use crate::rules::eating::what_if::WhatIf;

/// Days with stock from which on a plan is made whatever was used: two months, our choice, no source.
pub(crate) const ENOUGH_DAYS: u32 = 60;

/// Jars used from which on a plan is made however few the days: our choice, no source.
pub(crate) const ENOUGH_JARS: u32 = 5;

/// Months after which a month of the past counts half.
const HALF_LIFE_MONTHS: f64 = 12.0;

/// Jars added to every record, times the unevenness of use: a short record may not have seen a large use yet.
const JARS_MORE: f64 = 0.7;

/// By how much a rate drifts in a year, as a share.
const DRIFT: f64 = 0.06;

/// What each calendar month leans on the whole year at least, in jars by the unevenness of use.
const LEAST_LEAN: f64 = 0.5;

/// Mean days in a year of the Gregorian calendar: 146,097 days in 400 years.
const DAYS_A_YEAR: f64 = 365.2425;

/// What will be used until the next season, as forecast from the past.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ExpectedUse {
    /// The smallest number that is enough with the sureness asked for.
    pub enough: u32,
    /// Half of seasons need no more than this.
    pub middle: u32,
    /// The lower end of the interval, whose upper end is `enough`: a season needs no more than this as seldom as it needs
    /// more than `enough`.
    pub low: u32,
}

impl ExpectedUse {
    /// Reads a forecast.
    pub fn of(use_to_come: Predictive, sure: Sureness) -> Self {
        let at = |share| use_to_come.quantile(share);
        Self { enough: at(sure.share()), middle: at(0.5), low: at(1.0 - sure.share()) }
    }

    /// Jars to put up where so many on the shelf will be used in time.
    pub(crate) const fn to_put_up(self, still_good: u32) -> u32 {
        self.enough.saturating_sub(still_good)
    }
}

/// Forecasts use over the `horizon` days after today. None where there is too little history to say anything: fewer
/// than `ENOUGH_JARS` used and fewer than `ENOUGH_DAYS` with stock.
pub fn use_to_come(
    history: &History,
    household: &Unevenness,
    today: NaiveDate,
    horizon: u32,
    what_if: WhatIf,
) -> Option<Predictive> {
    let past = history.past();
    if past.days == 0 || past.days < ENOUGH_DAYS && past.eaten < ENOUGH_JARS {
        return None;
    }
    let dispersion = Unevenness::of(history).dispersion(household);
    let record = Record::of(history, today);
    let to_come = days_to_come(today, horizon);
    let years = f64::from(horizon) / DAYS_A_YEAR;
    let (months, unsure_of_months) = if history.has_a_year(today) {
        record.rates_by_month(dispersion, &to_come)
    } else {
        ([1.0; 12], 0.0)
    };
    let rated = |days: &[f64; 12]| -> f64 { days.iter().zip(&months).map(|(days, rate)| days * rate).sum() };
    // A record weighed by age says as much as one of so many days that all count alike.
    let shrunk = record.days.iter().sum::<f64>() / record.squared_days;
    let (jars, more) = (record.jars.iter().sum::<f64>(), JARS_MORE * dispersion);
    let mean = (jars + more / shrunk) / rated(&record.days) * rated(&to_come) * what_if.factor();
    let unsure_of_rate = dispersion / (jars * shrunk + more);
    let unsure = unsure_of_rate + unsure_of_months + DRIFT * DRIFT * years;
    Some(Predictive::new(mean, dispersion * mean + unsure * mean * mean))
}

/// A record by calendar month, January first.
struct Record {
    /// Days with stock, and jars used, each weighed by its age.
    days: [f64; 12],
    jars: [f64; 12],
    /// Days with stock, weighed twice over.
    squared_days: f64,
    /// Days with stock, and jars used, all alike.
    all_days: [f64; 12],
    all_jars: [f64; 12],
}

impl Record {
    fn of(history: &History, today: NaiveDate) -> Self {
        let weight = |months_ago: i32| 0.5_f64.powf(f64::from(months_ago) / HALF_LIFE_MONTHS);
        let none = [0.0; 12];
        let mut record = Self { days: none, jars: none, squared_days: 0.0, all_days: none, all_jars: none };
        for stretch in history.stretches(today) {
            let (weight, days) = (weight(stretch.months_ago), f64::from(stretch.days));
            record.days[stretch.month] += weight * days;
            record.squared_days += weight * weight * days;
            record.all_days[stretch.month] += days;
        }
        for (month, months_ago) in history.uses_by_month(today) {
            record.jars[month] += weight(months_ago);
            record.all_jars[month] += 1.0;
        }
        record
    }

    /// Each calendar month's rate by that of the whole record, and the variance of their mean over the days to come.
    fn rates_by_month(&self, dispersion: f64, to_come: &[f64; 12]) -> ([f64; 12], f64) {
        let (jars, days): (f64, f64) = (self.all_jars.iter().sum(), self.all_days.iter().sum());
        if jars == 0.0 {
            return ([1.0; 12], 0.0);
        }
        let due = self.all_days.map(|days_of_month| days_of_month * jars / days);
        let over = |month: usize| self.all_jars[month] - due[month];
        // Chance scatters each month for itself; a season moves neighbors alike.
        let (mut beyond_chance, mut scale) = (0.0, 0.0);
        for month in 0..12 {
            let next = (month + 1) % 12;
            beyond_chance += over(month).powi(2) - dispersion * due[month] + 2.0 * over(month) * over(next);
            scale += due[month].powi(2) + 2.0 * due[month] * due[next];
        }
        let lean = (scale / beyond_chance.max(f64::MIN_POSITIVE)).clamp(LEAST_LEAN, 1e6);
        let with_neighbors = |of: &[f64; 12], month: usize| {
            0.25 * of[(month + 11) % 12] + 0.5 * of[month] + 0.25 * of[(month + 1) % 12]
        };
        let mut rates: [f64; 12] = std::array::from_fn(|month| {
            (with_neighbors(&self.all_jars, month) / dispersion + lean)
                / (with_neighbors(&due, month) / dispersion + lean)
        });
        let mean = rates.iter().zip(&self.all_days).map(|(rate, days)| rate * days).sum::<f64>() / days;
        rates.iter_mut().for_each(|rate| *rate /= mean);

        let horizon: f64 = to_come.iter().sum();
        let part_left_out = (1.0 - horizon / DAYS_A_YEAR).max(0.0);
        let due_then: f64 =
            due.iter().zip(to_come).map(|(due, days)| due * (days * 12.0 / DAYS_A_YEAR).min(1.0)).sum();
        (rates, part_left_out / (due_then / dispersion + lean))
    }
}

/// Jars on the shelf that will be eaten by their best by if `enough` are eaten in `horizon` days, and as many in as many
/// days after them.
///
/// `best_by` are the dates still ahead, earliest first.
pub(crate) fn still_good(best_by: &[NaiveDate], today: NaiveDate, enough: u32, horizon: u32) -> u32 {
    let rate = PastUse { eaten: enough, days: horizon };
    keep_up(best_by, today, rate, |&day| day).map_or(0, |kept| kept.reached)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(number: u64) -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 1, 1).unwrap() + chrono::Days::new(number)
    }

    /// A product on the shelf from day 0 on, used on these days, asked about on `today`.
    fn forecast(used: &[u64], today: u64, horizon: u32, what_if: &str) -> Option<Predictive> {
        let history = History::new([(day(0), None)], used.iter().map(|&used| day(used)), day(today));
        let what_if = what_if.parse().unwrap();
        use_to_come(&history, &Unevenness::of(&history), day(today), horizon, what_if)
    }

    #[derive(serde::Deserialize)]
    struct Row {
        record: String,
        stock: String,
        used: String,
        today: NaiveDate,
        horizon: u32,
        factor: String,
        mean: f64,
        variance: f64,
        low: u32,
        middle: u32,
        enough: u32,
    }

    #[test]
    fn forecasts_are_those_of_another_hand() {
        // fixtures/make_season_forecasts.py
        let grid = include_str!("../../../fixtures/season_forecasts.csv");
        let mut rows = 0;
        for row in csv::Reader::from_reader(grid.as_bytes()).deserialize() {
            let Row { record, stock, used, today, horizon, factor, mean, variance, low, middle, enough } =
                row.unwrap();
            let spells = stock.split(' ').map(|spell| spell.split_once('/').unwrap());
            let spells = spells.map(|(first, last)| (first.parse().unwrap(), Some(last.parse().unwrap())));
            let used = used.split_whitespace().map(|day| day.parse().unwrap());
            let history = History::new(spells, used, today);
            let what_if = factor.parse().unwrap();
            let forecast = use_to_come(&history, &Unevenness::of(&history), today, horizon, what_if).unwrap();
            assert_eq!(
                ExpectedUse::of(forecast, Sureness::default()),
                ExpectedUse { enough, middle, low },
                "{record} {horizon} {factor}: {forecast:?}"
            );
            let near = |found: f64, right: f64| (found / right - 1.0).abs() < 1e-9;
            assert!(
                near(forecast.mean(), mean) && near(forecast.variance(), variance),
                "{record}: {forecast:?}"
            );
            rows += 1;
        }
        assert_eq!(rows, 15); // 5 x 3, by hand
    }

    #[test]
    fn a_plan_takes_five_jars_or_sixty_days() {
        // Day 0 to day 58 are 59 days with stock.
        assert!(forecast(&[1, 2, 3, 4], 58, 365, "+0%").is_none());
        assert!(forecast(&[1, 2, 3, 4], 59, 365, "+0%").is_some());
        assert!(forecast(&[], 59, 365, "+0%").is_some());
        assert!(forecast(&[1, 1, 1, 1, 1], 1, 365, "+0%").is_some());
        assert!(
            use_to_come(&History::default(), &Unevenness::default(), day(0), 365, WhatIf::default())
                .is_none()
        );
    }

    #[test]
    fn appetite_changes_the_middle_as_it_says() {
        let used: Vec<u64> = (0..72).map(|n| n * 10 + 3).collect();
        let middle = |what_if| forecast(&used, 729, 365, what_if).unwrap().quantile(0.5);
        // 72 jars in 730 days are 36 a year; twice that is 72; none at all.
        assert!((35..=37).contains(&middle("+0%")), "{}", middle("+0%"));
        assert!((70..=74).contains(&middle("+100%")), "{}", middle("+100%"));
        assert_eq!(forecast(&used, 729, 365, "-100%").unwrap().quantile(0.999), 0);
    }

    #[test]
    fn the_months_to_come_count_once_a_year_is_on_record() {
        // A jar a week from January to June and none from July to December, two years over.
        let used: Vec<u64> = (0..26).map(|n| n * 7).chain((0..26).map(|n| 365 + n * 7)).collect();
        // By hand: 26 from January to June, none from July to December; all months alike would make 17 of 52 jars in 18
        // months, and 13 of 52 in two years.
        let half = forecast(&used, 545, 184, "+0%").unwrap().quantile(0.5);
        assert!(half < 6, "{half}");
        let year = forecast(&used, 729, 181, "+0%").unwrap().quantile(0.5);
        assert!((21..=28).contains(&year), "{year}");
        // With half a year on record nothing is known of the other half.
        let early = forecast(&used[..26], 180, 184, "+0%").unwrap().quantile(0.5);
        assert!((25..=29).contains(&early), "{early}");
    }

    #[test]
    fn recent_months_weigh_more() {
        // One jar each 30 days for two years, then one each 10: the plain mean of three years is 20 a year, the last 36.
        let used: Vec<u64> = (0..24).map(|n| n * 30).chain((0..36).map(|n| 730 + n * 10)).collect();
        let year = forecast(&used, 1_094, 365, "+0%").unwrap().quantile(0.5);
        assert!((22..36).contains(&year), "{year}");
    }

    #[test]
    fn stock_that_would_pass_its_best_by_is_not_counted() {
        // Ten jars in 100 days, one each ten: the two due on day 12 cannot both be reached. Twenty more can until day 400,
        // whether they are needed in the 100 days or not.
        let mut due = vec![day(12), day(12)];
        assert_eq!(still_good(&due, day(0), 10, 100), 1);
        due.extend([day(400); 20]);
        assert_eq!(still_good(&due, day(0), 10, 100), 21);
        assert_eq!(still_good(&due, day(0), 0, 100), 0);
    }
}
