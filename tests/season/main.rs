//! Plans for a season against what invented households then use.
//!
//! Each household's appetite is known here and unknown to the plan. `cargo bench --bench season` plays many more.

#![expect(clippy::expect_used, reason = "a test may stop at what it did not expect")]

mod households;

use households::{HABITS, Habit, Outcome, SURE, Seeded, clockwork, play};

/// One to four years on record.
const RECORD: (f64, f64) = (366.0, 1_461.0);

/// So many that a share of 0.9 is met to 0.0075: sqrt(0.9 * 0.1 / (200 * 8)), by hand.
const HOUSEHOLDS: u32 = 200;

fn played() -> Vec<(Habit, Outcome, Outcome)> {
    HABITS
        .into_iter()
        .map(|habit| {
            let (year, part) = play(habit, HOUSEHOLDS, RECORD, &mut Seeded(26_041));
            (habit, year, part)
        })
        .collect()
}

#[test]
fn plans_last_as_often_as_they_say() {
    let played = played();
    for (habit, year, part) in &played {
        let changes = matches!(habit, Habit::Changing | Habit::Doubling);
        let band = if changes { 0.85..=0.95 } else { 0.87..=0.93 };
        assert!(band.contains(&year.share()), "{habit:?}, a year: {}", year.share());
        assert!((0.80..=0.96).contains(&part.share()), "{habit:?}, part of a year: {}", part.share());
    }
    // A plain gamma-Poisson plan on the same futures.
    let sum =
        |of: fn(&Outcome) -> f64| -> f64 { played.iter().map(|(_, year, part)| of(year) + of(part)).sum() };
    let (loss, plain) = (sum(|of| of.loss), sum(|of| of.plain_loss));
    assert!(loss < plain, "{loss} and {plain}");
    // That plain plan does not last often enough where jars go several at once: the simulation sets plans apart.
    let bursty = played.iter().find(|(habit, ..)| *habit == Habit::Bursty).expect("a habit of the list");
    assert!(bursty.1.plain_share() < SURE - 0.1, "{}", bursty.1.plain_share());
}

#[test]
fn who_uses_a_jar_every_so_many_days_is_not_asked_to_can_many_more() {
    // The true quantile is found by counting from every beginning.
    for every in [5, 7, 10, 14, 21, 30, 40, 45, 60] {
        for record in [365, 730, 1_095] {
            let (times, most) = clockwork(every, record);
            assert!((1.0..=1.25).contains(&times), "every {every} days, {record} on record: {times}");
            // Of six jars a year two more are a third.
            let most_of_all = if every < 60 { 1.25 } else { 8.0 / 6.0 };
            assert!(most <= most_of_all + 1e-9, "every {every} days, {record} on record: {most}");
        }
    }
}
