//! `eat`.

use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, entry, put_up, shelve, vouch};
use crate::common::world::World;

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
    [caution: botulism]
    [caution: process not on record]
    [caution: ask]
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
fn a_month_to_come_is_answered_and_one_gone_by_is_refused() {
    let world = household();
    let answer = world.json(&["eat", "--month", "2026-10", "--ahead", "1"]);
    let jars: Vec<&str> =
        answer["eat_first"].as_array().unwrap().iter().map(|jar| jar["jar"].as_str().unwrap()).collect();
    assert_eq!(jars, ["25-002-04-3", "25-002-05-1", "26-001-04-4"]);
    // What a program reads of a matter to decide, of a jar on hold and of a month's plan.
    let mended = &answer["decide_now"][6];
    assert_eq!(
        (&mended["jar"], &mended["matter"], &mended["until"]),
        (&"26-003-02-3".into(), &"mend".into(), &"2026-09-01T16:00:00Z".into())
    );
    assert_eq!(answer["on_hold"][0]["reasons"][0]["reason"], "one of them was swollen");
    assert_eq!(
        answer["months"][0],
        serde_json::json!({"month": "2026-09", "product": "Green beans", "jars": 1})
    );
    insta::assert_snapshot!(world.run(&["eat", "--month", "2026-08"]), @r"
    -- stderr --
    error: 2026-08 is over: what is left on the shelf is eaten from 2026-09 on
    hint: leave --month out, or name a month to come
    -- exit 2 --
    ");
}

#[test]
fn a_jar_in_the_freezer_is_food_wherever_it_shows() {
    let mut world = World::with_canners();
    world.on("2026-09-01T11:05");
    world.json_of(
        "putup --product Carrots --food carrots --pack hot --canner Big_dial --jars pint:1 --minutes 20 --vent 10 \
         --pressure 11 --out 11:00 --place Stove",
    );
    world.json_of("freeze 26-001 1");
    assert_eq!(world.json_of("eat")["frozen"][0]["jar"], "26-001-01-0");
    let label = world.line("label 26-001 1 --out one.pdf").err;
    assert!(label.contains("keep frozen") && !label.contains("ON HOLD"), "{label}");
}

#[test]
fn an_empty_shelf_says_so() {
    insta::assert_snapshot!(World::at_500_ft().run(&["eat"]), @"
    No jar is due in September 2026.

    [caution: ask]
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
    let shown = world.ok(&["eat"]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!shown.contains("Eat first"), "{shown}");
    assert!(shown.contains("tomato: 1 jar. Discard them unless you know their process"), "{shown}");
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
    world.json_of("correct batch 26-001 --vouched Aunt_Ida's_notebook --reason she_wrote_it_down");
    let vouched = world.ok(&["eat"]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(vouched.contains("your word: Aunt Ida's notebook"), "{vouched}");
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
