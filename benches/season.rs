//! Plans for a season against what many invented households then use: the long run of `tests/season`.
//!
//! ```text
//! cargo bench --bench season
//! HOUSEHOLDS=5000 cargo bench --bench season
//! ```

#![allow(clippy::expect_used, reason = "a measurement stops where it cannot go on")]

#[path = "../tests/season/households.rs"]
mod households;

use households::{HABITS, Seeded, clockwork, play};

/// Records of so many days.
const RECORDS: [(&str, f64, f64); 3] =
    [("½ to 1 year", 183.0, 365.0), ("1 to 2 years", 366.0, 730.0), ("2 to 4 years", 731.0, 1_461.0)];

fn main() {
    let households = std::env::var("HOUSEHOLDS").ok().and_then(|given| given.parse().ok()).unwrap_or(2_000);
    println!("{households} households of 8 products, seasons in which enough for 90 % was enough");
    println!("habit       on record      plans   year   part   loss of a plan, and of a plain one");
    for habit in HABITS {
        for (record, least, most) in RECORDS {
            let (year, part) = play(habit, households, (least, most), &mut Seeded(26_041));
            let plans = year.plans + part.plans;
            println!(
                "{:10}  {record:12}  {plans:6}  {:.3}  {:.3}   {:.3}  {:.3}  (plain lasts {:.3})",
                format!("{habit:?}"),
                year.share(),
                part.share(),
                (year.loss + part.loss) / plans,
                (year.plain_loss + part.plain_loss) / plans,
                year.plain_share(),
            );
        }
    }
    println!("a jar every so many days: the plan for a year by the true quantile, in the mean and at most");
    for every in [5, 7, 10, 14, 21, 30, 40, 45, 60, 90] {
        let times = [365, 730, 1_095].map(|record| {
            let (times, most) = clockwork(every, record);
            format!("{times:.2} ({most:.2})")
        });
        println!("every {every:2} days: {} with one, two and three years on record", times.join(", "));
    }
}
