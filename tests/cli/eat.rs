//! `eat`.

use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use super::kitchen::{act, entry, put_up, shelve, vouch};
use super::world::World;

fn hold(world: &World, batch: &str, moment: &str, cause: HoldCause, reason: &str) {
    entry(world, "hold", moment, |write| {
        for jar in write.jars_of_batch(batch.parse().unwrap())? {
            write.hold(&jar, cause, reason)?;
        }
        Ok(())
    });
}

/// On 1 September 2026 at noon: one jar of each matter to decide, one batch on hold, one past its best.
fn household() -> World {
    let world = World::at_500_ft();
    let beans = Some("green-beans");
    shelve(&world, "Green beans", beans, (JarSize::Pint, 2), "2025-08-14T16:40", "Cellar");
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 5), "2025-10-20T11:00", "Pantry");
    let green = shelve(&world, "Green beans", beans, (JarSize::Pint, 7), "2026-02-14T16:40", "Cellar");
    // Nobody wrote down how the beans were processed: the household vouches for them.
    for batch in ["25-001", "26-001"] {
        vouch(&world, batch.parse().unwrap(), "2026-02-16T12:00");
    }
    act(&world, green, &[1], Act::Open, "2026-08-29T18:00");
    act(&world, green, &[2], Act::Open, "2026-08-20T18:00");
    shelve(&world, "Beets", Some("beets"), (JarSize::Pint, 3), "2026-07-01T12:00", "Cellar");
    hold(&world, "26-002", "2026-08-30T10:00", HoldCause::ByHand, "one of them was swollen");
    let plums = put_up(&world, "Plums", Some("plums"), (JarSize::Pint, 4), "2026-08-31T16:00", "Counter");
    act(&world, plums, &[2], Act::CheckFailed, "2026-09-01T08:00");
    act(&world, plums, &[3], Act::CheckFailed, "2026-09-01T08:00");
    act(&world, plums, &[3], Act::Chill, "2026-09-01T08:30");
    put_up(&world, "Apricots", Some("apricots"), (JarSize::Pint, 2), "2026-08-30T10:00", "Counter");
    put_up(&world, "Carrots", Some("carrots"), (JarSize::Pint, 2), "2026-09-01T11:00", "Stove");
    hold(
        &world,
        "26-005",
        "2026-09-01T11:05",
        HoldCause::Verdict,
        "the load did not meet its tested process",
    );
    world
}

#[test]
fn what_to_decide_stands_on_top_and_what_to_eat_first_below() {
    insta::assert_snapshot!(household().run(&["eat"]), @"
    Decide now:
      26-001-02-8 Green beans, refrigerator (was on Cellar): opened too long ago
      (last day Monday 24 August 2026): discard.
      26-004 1,2 Apricots, Counter: seal check overdue since Monday 31 August,
      10:00: check now; discard it if it failed.
      26-005 1,2 Carrots, Stove: the load failed: reprocess, chill or freeze by
      Tuesday 1 September, 13:00.
      26-003 1,4 Plums, Counter: check the lid by Tuesday 1 September, 16:00.
      26-003-02-3 Plums, Counter: did not seal: reprocess, chill or freeze by
      Tuesday 1 September, 16:00.
      26-001-01-0 Green beans, refrigerator (was on Cellar): eat it up: the last day
      is Wednesday 2 September 2026, your word: mine.
      26-003-03-1 Plums, refrigerator (was on Counter): process not on record: if
      you know it yourself, eat it up: the last day is Thursday 3 September 2026.

    Eat first in September 2026: 1 jar.
    Jar          Product      Place   Put up      Best by
    26-001-03-6  Green beans  Cellar  2026-02-14  2027-02-14, your word: mine

    Due in September 2026 too, but the process is not on record: 3 jars. Eat these
    only if you know it yourself.
    Jar          Product  Place   Put up      Best by
    25-002-01-9  Pears    Pantry  2025-10-20  2026-10-20
    25-002-02-7  Pears    Pantry  2025-10-20  2026-10-20
    25-002-03-5  Pears    Pantry  2025-10-20  2026-10-20

    So that none passes its best by:
      Green beans: 1 of 5, the first best by 2027-02-14.
      Pears: 3 of 5, the first best by 2026-10-20.

    Past best by, to be used soon. Best by is a matter of quality, not safety. Look
    every jar over before and on opening, whatever its date.
    Jar          Product      Place   Put up      Best by
    25-001-01-8  Green beans  Cellar  2025-08-14  2026-08-14, your word: mine
    25-001-02-6  Green beans  Cellar  2025-08-14  2026-08-14, your word: mine

    On hold, not to be eaten:
      26-002 1-3 Beets, Cellar: one of them was swollen (since 2026-08-30).
      26-005 1,2 Carrots, Stove: the load did not meet its tested process (since
      2026-09-01).

    Before opening, look for: swollen lid, leak, crack, loose lid, dried streaks
    from the rim, rising bubbles, wrong color, cloudy or yeasty liquid, mold, rust
    on the lid, wrong or unknown process.
    Discard an opened jar at any of these: more than 4 days in the refrigerator,
    more than 2 hours at room temperature, new mold, gas or off smell.
    Discard a suspect jar untasted. `jarledger eat --signs` says more of each sign.
    Low-acid and tomato food that was processed wrongly can contain botulism toxin
    with little or no sign. Never taste food to decide; treat every suspect jar as
    poisonous.
    Where a jar's process is not on record, this ledger cannot tell whether it got a
    tested one. Unless you know that yourself, do not eat it.
    This is a record, not advice. Your local extension service knows the processes,
    your health department the rules: where they say otherwise, they are right.
    Where a load failed, extension services differ on how long such a load may still
    be rescued: one says 2 hours after the process, another 24 hours; this program
    uses 2 hours.
    -- stderr --
    next: `jarledger open JAR` when you take one
    -- exit 0 --
    ");
}

#[test]
fn no_line_is_wider_than_the_screen() {
    let ran = household().run(&["eat", "--ahead", "12"]);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
}

#[test]
fn each_matter_is_told_once_with_its_time() {
    let answer = household().json(&["eat"]);
    let due: Vec<String> = answer["decide_now"]
        .as_array()
        .unwrap()
        .iter()
        .map(|due| {
            let text = |key: &str| due[key].as_str().unwrap_or("-").to_owned();
            format!("{} {} {} {}", text("jar"), text("matter"), text("until"), text("last_day"))
        })
        .collect();
    // Hand-worked: opened low-acid food keeps 4 days, chilled jars 2; lids are due 24 h after the load came out;
    // a load that failed is rescued within 2 h.
    insta::assert_snapshot!(due.join("\n"), @r"
    26-001-02-8 opened-too-long - 2026-08-24
    26-004-01-8 check-lid-late 2026-08-31T10:00:00Z -
    26-004-02-6 check-lid-late 2026-08-31T10:00:00Z -
    26-005-01-9 rescue 2026-09-01T13:00:00Z -
    26-005-02-7 rescue 2026-09-01T13:00:00Z -
    26-003-01-5 check-lid 2026-09-01T16:00:00Z -
    26-003-02-3 mend 2026-09-01T16:00:00Z -
    26-003-04-0 check-lid 2026-09-01T16:00:00Z -
    26-001-01-0 finish - 2026-09-02
    26-003-03-1 finish - 2026-09-03
    ");
    assert_eq!(answer["on_hold"].as_array().unwrap().len(), 5);
    assert_eq!(answer["on_hold"][0]["reasons"][0]["reason"], "one of them was swollen");
}

#[test]
fn the_jars_owed_this_month_are_the_oldest_and_as_many_as_the_level_plan_says() {
    let world = household();
    let answer = world.json(&["eat", "--ahead", "12"]);
    let eat: Vec<(&str, &str)> = answer["eat_first"]
        .as_array()
        .unwrap()
        .iter()
        .map(|jar| (jar["jar"].as_str().unwrap(), jar["place"].as_str().unwrap()))
        .collect();
    // Pears: 5 jars due in October, the second month: 5/2 a month, 3 now and 2 then.
    // Beans: 5 jars sealed, due in February, the sixth month: 5/6 a month, 1 now.
    assert_eq!(
        eat,
        [
            ("25-002-01-9", "Pantry"),
            ("25-002-02-7", "Pantry"),
            ("25-002-03-5", "Pantry"),
            ("26-001-03-6", "Cellar")
        ]
    );
    let months: Vec<String> = answer["months"]
        .as_array()
        .unwrap()
        .iter()
        .map(|owed| format!("{} {} {}", owed["month"], owed["product"], owed["jars"]).replace('"', ""))
        .collect();
    assert_eq!(
        months,
        [
            "2026-09 Green beans 1",
            "2026-09 Pears 3",
            "2026-10 Green beans 1",
            "2026-10 Pears 2",
            "2026-11 Green beans 1",
            "2026-12 Green beans 1",
            "2027-01 Green beans 1"
        ]
    );
    // One line a product, by hand: those left of each, and the first day of quality of them.
    let spread: Vec<String> = (answer["spread"].as_array().unwrap().iter())
        .map(|of| format!("{} {} {} {}", of["product"], of["jars"], of["left"], of["first_best_by"]))
        .collect();
    assert_eq!(spread, [r#""Green beans" 1 5 "2027-02-14""#, r#""Pears" 3 5 "2026-10-20""#]);
    // Past its best is told apart, never as owed.
    assert_eq!(answer["past_best"].as_array().unwrap().len(), 2);
    assert_eq!(answer["past_best"][0]["product"], "Green beans");
}

#[test]
fn another_month_takes_the_jars_its_plan_takes() {
    let world = household();
    let of = |month: &str| -> Vec<String> {
        world.json(&["eat", "--month", month])["eat_first"]
            .as_array()
            .unwrap()
            .iter()
            .map(|jar| jar["jar"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(of("2026-10"), ["25-002-04-3", "25-002-05-1", "26-001-04-4"]);
    assert_eq!(of("2027-01"), ["26-001-07-7"]);
    assert_eq!(of("2027-02"), [""; 0]);
    insta::assert_snapshot!(world.run(&["eat", "--month", "2026-08"]), @r"
    -- stderr --
    error: 2026-08 is over: what is left on the shelf is eaten from 2026-09 on
    hint: leave --month out, or name a month to come
    -- exit 2 --
    ");
}

#[test]
fn jars_that_are_not_to_be_eaten_never_appear_as_food() {
    let answer = household().json(&["eat", "--ahead", "24"]);
    let food: Vec<&str> = ["eat_first", "past_best"]
        .iter()
        .flat_map(|key| answer[key].as_array().unwrap())
        .map(|jar| jar["product"].as_str().unwrap())
        .collect();
    for product in ["Beets", "Plums", "Apricots", "Carrots"] {
        assert!(!food.contains(&product), "{product}");
        assert!(!answer["months"].as_array().unwrap().iter().any(|owed| owed["product"] == product));
    }
}

// A load that fell short may be rescued for 2 h; out at 11:00. Carrots in pints at 500 ft are owed 25 min at 11 psi
// (USDA AIB 539, Guide 4).
#[test]
fn a_jar_frozen_in_time_is_food_in_every_view_and_one_frozen_late_in_none() {
    let mut world = World::with_canners();
    world.on("2026-09-01T11:05");
    let carrots = "putup --product Carrots --food carrots --pack hot --canner Big_dial --jars pint:3 --minutes 20 \
                   --vent 10 --pressure 11 --out 11:00 --place Stove";
    assert_eq!(world.json_of(carrots)["loads"][0]["verdict"], "deviates");
    world.json_of("hold 26-001 2 --reason the_jar_is_chipped");
    world.on("2026-09-01T13:00");
    world.json_of("freeze 26-001 1-2");
    world.on("2026-09-01T13:01");
    assert_eq!(world.line("freeze 26-001 3").code, 4);
    let views = |world: &World| {
        let answer = world.json_of("eat");
        let codes = |key: &str| {
            let jars = answer[key].as_array().unwrap().iter();
            jars.map(|jar| jar["jar"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
        };
        let traced = world.json_of("trace 26-001");
        let traced = traced["jars"].as_array().unwrap().iter();
        let mut held: Vec<_> = traced
            .filter(|jar| jar["on_hold"] == true)
            .map(|jar| jar["jar"].as_str().unwrap().to_owned())
            .collect();
        held.sort_unstable();
        assert_eq!(codes("on_hold"), held);
        (codes("frozen"), held)
    };
    let one = ["26-001-01-0".to_owned()];
    // The second is held for its chipped jar still.
    let others = ["26-001-02-8".to_owned(), "26-001-03-6".to_owned()];
    assert_eq!(views(&world), (one.to_vec(), others.to_vec()));
    let label = world.line("label 26-001 1 --out one.pdf").err;
    assert!(label.contains("keep frozen") && !label.contains("ON HOLD"), "{label}");
    world.ok(&["check"]);
    // Judged again, and short for another reason, it stays free.
    world.json_of("correct load 26-001/1 --vent 5 --reason misread");
    assert_eq!(views(&world), (one.to_vec(), others.to_vec()));
    world.ok(&["check"]);
    world.json_of("release 26-001 2 --reason it_is_a_scratch");
    assert_eq!(views(&world).1, ["26-001-03-6"]);
    world.json_of("finish 26-001 1");
}

#[test]
fn a_jar_frozen_for_its_lid_is_held_when_its_load_is_found_short_later() {
    let mut world = World::with_canners();
    world.on("2026-09-01T11:05");
    world.json_of(
        "putup --product Carrots --food carrots --pack hot --canner Big_dial --jars pint:2 --minutes 25 \
         --vent 10 --pressure 11 --out 11:00 --place Stove",
    );
    world.json_of("freeze 26-001 2");
    // 13 h after it came out.
    world.on("2026-09-02T00:00");
    world.json_of("seal 26-001 --failed 1");
    world.json_of("freeze 26-001 1");
    world.on("2027-03-01");
    let told = world.json_of("gauge Big_dial --reads 11 --true 9");
    assert_eq!(told["loads"][0]["verdict"], "deviates");
    let answer = world.json_of("eat");
    assert_eq!(answer["on_hold"][0]["jar"], "26-001-01-0");
    assert_eq!(answer["on_hold"].as_array().unwrap().len(), 1);
    // Frozen within minutes of coming out, the other was never left to the load's process.
    assert_eq!(answer["frozen"][0]["jar"], "26-001-02-8");
    world.ok(&["check"]);
    // Its freezing cannot be taken back past the verdict that left it out for that.
    let ran = world.line("undo 5");
    assert_eq!(ran.code, 4, "{ran}");
}

#[test]
fn an_empty_shelf_says_so() {
    insta::assert_snapshot!(World::at_500_ft().run(&["eat"]), @"
    No jar is due in September 2026.

    This is a record, not advice. Your local extension service knows the processes,
    your health department the rules: where they say otherwise, they are right.
    -- exit 0 --
    ");
}

#[test]
fn jars_without_a_process_record_are_marked_wherever_they_are_offered() {
    let world = World::at_500_ft();
    let rows = "product,put_up,jar,food,place\nOld beets,2026-01-09,pint,beets,Cellar\n";
    std::fs::write(world.home().join("old.csv"), rows).unwrap();
    world.ok(&["import", "old.csv"]);
    let answer = world.json(&["eat"]);
    // Low-acid food: in no plan, under a heading of its own, until somebody vouches for it.
    assert_eq!((&answer["eat_first"], &answer["months"]), (&serde_json::json!([]), &serde_json::json!([])));
    assert!(answer["unrecorded"][0]["why"].as_str().unwrap().contains("process not on record"));
    assert_eq!(answer["unrecorded"][0]["unrecorded"], true);
    let told = world.ok(&["eat"]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!told.contains("Eat first"), "{told}");
    assert!(told.contains("tomato: 1 jar. Discard them unless you know their process"), "{told}");
    let page = world.ok(&["calendar", "--out", "plan.ics"]);
    assert!(!std::fs::read_to_string(world.home().join("plan.ics")).unwrap().contains("Old beets"), "{page}");
    let warned = |answer: &serde_json::Value| {
        answer["cautions"]
            .as_array()
            .unwrap()
            .iter()
            .any(|caution| caution.as_str().unwrap().contains("cannot tell whether it got a tested one"))
    };
    assert!(warned(&answer), "{answer}");
    assert_eq!(world.json(&["shelf"])["stock"][0]["unrecorded"], true);
    assert!(world.ok(&["shelf"]).contains("process not on"));
    let report = world.ok(&["report", "--out", "shelf.html"]);
    let page = std::fs::read_to_string(world.home().join("shelf.html")).unwrap();
    assert!(page.contains("<p>none on the shelf; 1 process not on record</p>"), "{report}");
    let traced = world.json(&["trace", "26-001"]);
    assert_eq!(traced["jars"][0]["unrecorded"], true);
    assert!(world.ok(&["trace", "26-001"]).contains("sealed, process not"));
    let lids = world.json(&["label", "26-001", "1", "--text"]);
    assert!(lids["lids"][0]["short"].as_str().unwrap().ends_with(", process not on record"), "{lids}");
    // A word for it puts the jar into the plan, marked with the word, with the cautions of low-acid food.
    world.json_of("correct batch 26-001 --vouched Aunt_Ida's_notebook --reason she_wrote_it_down");
    let vouched = world.json(&["eat"]);
    assert_eq!(vouched["unrecorded"], serde_json::json!([]));
    assert_eq!(vouched["eat_first"][0]["vouched"], "Aunt Ida's notebook");
    let told = world.ok(&["eat"]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("your word: Aunt Ida's notebook"), "{told}");
    assert!(vouched["cautions"][0].as_str().unwrap().contains("botulism"), "{vouched}");
    world.ok(&["undo"]);
    world.json_of("hold 26-001 --reason swollen");
    let refused = world.line("correct batch 26-001 --vouched mine --reason x");
    assert!(refused.code == 4 && refused.err.contains("on hold"), "{refused}");
    world.ok(&["undo"]);
    let opened = world.json(&["open", "26-001", "1"]);
    assert!(warned(&opened["advice"][0]), "{opened}");
    assert_eq!(opened["advice"][0]["boil_before_tasting"]["minutes"], 10);
}

#[test]
fn an_acid_load_nothing_was_tested_for_is_marked_wherever_it_shows() {
    // Acid by the tables, so that it is not withheld; yet half-gallons of it were never tested.
    let mut world = World::with_canners();
    world.on("2026-09-01T12:00");
    let putup = "putup --product Pears --food pears --pack hot --load jars=half-gallon:3 --canner Kettle --minutes 25";
    assert_eq!(world.json_of(putup)["loads"][0]["verdict"], "no-tested-process");
    world.on("2026-09-02T08:00");
    world.ok(&["seal", "26-001", "--sealed"]);
    let words = |args: &[&str]| world.ok(args).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words(&["eat"]).contains("the process is not on record: 1 jar."), "{}", words(&["eat"]));
    // In a table the mark may be broken by the next column.
    for args in [
        ["shelf"].as_slice(),
        &["shelf", "--jars"],
        &["label", "26-001", "1", "--text"],
        &["trace", "26-001"],
        &["jar", "26-001", "1"],
        &["batch", "26-001"],
    ] {
        assert!(words(args).contains("process not"), "{args:?}: {}", words(args));
    }
    assert!(words(&["open", "26-001", "1"]).contains("Unless you know that yourself, do not eat it."));
    assert!(
        words(&["give", "26-001", "2", "--to", "Ida"])
            .contains("Tell whoever gets them: process not on record")
    );
}
