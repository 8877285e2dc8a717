//! Days and moments as people write them, wherever an option takes one.

use crate::common::world::World;

/// Every option that takes a day, `DAY` standing for it.
const OPTIONS: &[&str] = &[
    "putup --product Plums --food plums --pack hot --jars pint:1 --canner Kettle --minutes 20 --out 14:00 --on DAY",
    "discard 26-001 1 --why x --on DAY",
    "gauge Big_dial --reads 6 --true 6 --on DAY",
    "trace --from DAY",
    "trace --to DAY",
    "trace --gauge-test DAY",
    "correct batch 26-001 --reason x --put-up DAY",
    "correct jar 26-001-01-0 --reason x --best-by DAY",
    "season --until DAY",
    "process add --food turnips --acidity low-acid --pack hot --jar pint --method pressure-dial --minutes 30 \
     --pressure 11psi --headspace 1in --publication Leaflet --page 3 --published DAY",
    "putup --product Plums --food plums --pack hot --jars pint:1 --canner Kettle --minutes 20 --out DAY_14:00",
    "seal 26-001 --sealed --at DAY_14:00",
    "correct load 26-001/1 --reason x --out DAY_14:00",
];

fn with_pears() -> World {
    let mut world = World::with_canners();
    // Out past midnight, so that they may have been put up on either day.
    world.on("2026-08-25T00:30");
    world.json_of(
        "putup --product Pears --food pears --pack hot --jars pint:2 --canner Kettle --minutes 20 --on 2026-08-24 \
         --out 2026-08-25T00:20",
    );
    world.on("2026-08-27T15:00");
    world.json_of("gauge Big_dial --reads 5 --true 5 --on 2026-08-25");
    world
}

#[test]
fn a_date_that_may_be_read_two_ways_is_refused_with_both() {
    let world = with_pears();
    for option in OPTIONS {
        let ran = world.line(&option.replace("DAY", "02/03/04"));
        assert_eq!(ran.code, 2, "{option}: {ran}");
        let message = ran.err.replace('\n', " ");
        assert!(message.contains("2 March 2004") && message.contains("3 February 2004"), "{option}: {ran}");
    }
}

#[test]
fn words_for_days_are_taken_everywhere() {
    let world = with_pears();
    let as_it_was = std::fs::read(world.ledger()).unwrap();
    let answer = |line: &str| {
        std::fs::write(world.ledger(), &as_it_was).unwrap();
        world.json_of(line)
    };
    // A season to come is in the future, and words for days are not.
    for option in OPTIONS.iter().filter(|option| !option.starts_with("season")) {
        // 27 August 2026 is a Thursday: all three words are 25 August, the day after the pears were put up.
        let answers = ["-2d", "tuesday", "2026-08-25"].map(|word| answer(&option.replace("DAY", word)));
        assert_eq!([&answers[0], &answers[1]], [&answers[2]; 2], "{option}");
    }
    let checked = answer("seal 26-001 --sealed --at tuesday_14:00");
    assert_eq!(checked["checked"][0]["at"], "2026-08-25T14:00:00Z", "{checked}");
}
