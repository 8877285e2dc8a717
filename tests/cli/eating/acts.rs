//! `open`, `finish`, `discard`, `give`, `move`, `chill`, `freeze`.

use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, entry, put_up, shelve};
use crate::common::world::World;

/// Three jars of beans and two of pears, checked and sealed; the clock stands at noon on 1 September 2026.
fn stocked() -> World {
    let world = World::at_500_ft();
    shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 3), "2026-08-14T16:40", "Cellar");
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 2), "2026-08-20T11:00", "Pantry");
    world
}

fn state(world: &World, batch: &str, number: usize) -> serde_json::Value {
    world.json(&["shelf", "--jars", "--batch", batch])["jars"][number - 1]["state"].clone()
}

fn hold(world: &World, batch: &str, moment: &str, cause: HoldCause) {
    entry(world, "hold", moment, |write| {
        for jar in write.jars_of_batch(batch.parse().unwrap())? {
            write.hold(&jar, cause, "the gauge read high")?;
        }
        Ok(())
    });
}

#[test]
fn opening_shows_the_signs_the_boiling_and_the_days_it_keeps() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["open", "26-001", "1"]), @"
    Opened 26-001-01-0 Green beans (pint), put up 2026-08-14, Cellar.

    Look and smell before you taste. Discard it untasted at any of these: spurting
    or foam, off smell, mold, discolored food, fizzing, slime, black food.
    Boil before tasting: 10 minutes at 500ft. Boiling before tasting is for low-acid
    and tomato food, whenever any departure from the tested process is possible. It
    is never a rescue for a suspect jar: discard that one.
    It keeps 4 days in the refrigerator: use it by Saturday 5 September 2026.
    Published as 3 to 4 days, for commercial cans.
    [caution: process not on record]
    [caution: botulism]
    [caution: ask]
    -- stderr --
    next: `jarledger finish 26-001-01-0` when it is eaten up, `jarledger discard 26-001-01-0 --why TEXT` if it is not
    -- exit 0 --
    ");
}

#[test]
fn opening_several_jars_is_one_entry_with_the_care_each_needs() {
    let world = stocked();
    let answer = world.json(&["open", "26-001", "1,2", "26-002", "1", "--on", "yesterday"]);
    assert_eq!(answer["entry"], 6);
    assert_eq!(answer["jars"][0]["state"], "opened");
    assert_eq!(answer["jars"][2]["at"], "2026-08-31T12:00:00Z");
    let advice = answer["advice"].as_array().unwrap();
    assert_eq!(advice.len(), 2);
    assert_eq!(advice[0]["jars"].as_array().unwrap().len(), 2);
    // AIB 539 (1994), Guide 1, For Safety's Sake: 10 minutes below 1,000 ft.
    assert_eq!(advice[0]["boil_before_tasting"]["minutes"], 10);
    // USDA FSIS, at second hand: 4 days for low-acid food, 7 for acid food; opened on 31 August.
    assert_eq!(advice[0]["last_day"], "2026-09-04");
    assert_eq!(advice[1]["boil_before_tasting"], serde_json::Value::Null);
    assert_eq!(advice[1]["last_day"], "2026-09-07");
    insta::assert_snapshot!(world.run(&["history", "--limit", "1", "-q"]), @r"
    Entry  When              Command  What                                  Undone
        6  2026-09-01 12:00  open     opened 26-001-01-0 Green beans,
                                      26-001-02-8 Green beans, 26-002-01-2
                                      Pears
    -- exit 0 --
    ");
}

#[test]
fn jars_that_may_not_be_opened_are_refused_with_what_to_do() {
    let mut world = stocked();
    put_up(&world, "Plums", Some("plums"), (JarSize::Pint, 2), "2026-08-31T16:00", "Counter");
    insta::assert_snapshot!(world.run(&["open", "26-003", "1"]), @r"
    -- stderr --
    error: 26-003-01-5: a jar that is cooling cannot be opened; it takes: seal, chill, freeze, putup --reprocess, discard, move; nothing was changed
    hint: its lid was never checked: `jarledger seal 26-003` first
    -- exit 4 --
    ");
    act(&world, "26-003".parse().unwrap(), &[1], Act::CheckFailed, "2026-09-01T08:00");
    insta::assert_snapshot!(world.run(&["open", "26-003", "1"]), @r"
    -- stderr --
    error: 26-003-01-5: a jar that is unsealed cannot be opened; it takes: chill, freeze, putup --reprocess, discard, move; nothing was changed
    hint: it did not seal: `jarledger eat` shows what may still be done with it, and until when
    -- exit 4 --
    ");
    hold(&world, "26-001", "2026-08-30T10:00", HoldCause::Verdict);
    insta::assert_snapshot!(world.run(&["open", "26-001", "2"]), @"
    -- stderr --
    error: 26-001-02-8 cannot be opened: it is on hold since 2026-08-30 10:00 (the gauge read high); nothing was changed
    hint: do not eat it: `jarledger discard 26-001-02-8 --why ...`; `jarledger jar 26-001-02-8` shows its story. If it happened before 2026-08-30 10:00, say when with --on
    -- exit 4 --
    ");
    world.on("2026-09-02");
    world.ok(&["open", "26-002", "2"]);
    insta::assert_snapshot!(world.run(&["open", "26-002", "2"]), @r"
    -- stderr --
    error: 26-002-02-9: a jar that is opened cannot be opened; it takes: finish, discard, move; nothing was changed
    hint: it is in use: `jarledger finish 26-002-02-9`, or `jarledger discard 26-002-02-9 --why ...`
    -- exit 4 --
    ");
    insta::assert_snapshot!(world.run(&["open"]), @r"
    -- stderr --
    error: JAR is missing, and there is no terminal to ask on
    hint: add JAR: a code such as 26-041-03-3, or a batch and its jars: 26-041 3,5-7
    -- exit 2 --
    ");
}

#[test]
fn the_last_jar_is_opened_once_however_many_try_at_once() {
    let world = stocked();
    world.ok(&["open", "26-002", "1"]);
    let ran: Vec<_> = std::thread::scope(|scope| {
        let tries: Vec<_> =
            (0..6).map(|_| scope.spawn(|| world.run(&["open", "26-002", "2", "-q"]))).collect();
        tries.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert_eq!(ran.iter().filter(|one| one.code == 0).count(), 1);
    for other in ran.iter().filter(|one| one.code != 0) {
        assert_eq!(other.code, 4, "{other}");
        assert!(other.err.contains("a jar that is opened cannot be"), "{other}");
    }
}

#[test]
fn throwing_a_jar_away_shows_the_route_that_fits() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["discard", "26-001", "1", "--sign", "s01", "-q"]), @"
    Discarded 26-001-01-0 Green beans (pint), put up 2026-08-14, Cellar.

    [caution: botulism]
    [caution: discard, still sealed]

    [caution: symptoms]
    [caution: emergency]
    [caution: ask]
    -- exit 0 --
    ");
    world.ok(&["open", "26-001", "2"]);
    let answer = world.json(&["discard", "26-001", "2", "26-002", "1", "--why", "fizzed"]);
    assert_eq!(answer["routes"][0]["closure"], "open");
    assert_eq!(answer["routes"][1]["care"], "acid");
    let leaking = world.ok(&["discard", "26-001", "3", "--sign", "S02", "--why", "wet shelf"]);
    assert!(leaking.contains("boil for 30 minutes") && leaking.contains("bleach"), "{leaking}");
    insta::assert_snapshot!(world.run(&["history", "--limit", "1", "-q"]), @r"
    Entry  When              Command  What                                Undone
        9  2026-09-01 12:00  discard  discarded 26-001-03-6 Green beans:
                                      wet shelf (S02: Liquid leaks or
                                      seeps at the lid.)
    -- exit 0 --
    ");
    assert_eq!(world.run(&["discard", "26-002", "2"]).code, 2);
    assert_eq!(world.run(&["discard", "26-002", "2", "--sign", "S99"]).code, 2);
}

#[test]
fn jars_given_away_keep_to_whom_and_leave_the_shelf() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["give", "26-002", "1,2", "--to", "Aunt Rosalind"]), @"
    Gave Aunt Rosalind 26-002-01-2 Pears (quart), put up 2026-08-20, Pantry.
    Gave Aunt Rosalind 26-002-02-9 Pears (quart), put up 2026-08-20, Pantry.
    Tell whoever gets them: process not on record (2 of 2 jars).
    [caution: local law]
    -- stderr --
    next: `jarledger undo 6` undoes this
    -- exit 0 --
    ");
    assert_eq!(world.json(&["shelf", "--product", "pears"])["total"], 0);
    insta::assert_snapshot!(world.run(&["give", "26-002", "1", "--to", "Choir"]), @r"
    -- stderr --
    error: 26-002-01-2: a jar that is given cannot be given; its story is over; nothing was changed
    hint: see its story with `jarledger jar 26-002-01-2`
    -- exit 4 --
    ");
}

#[test]
fn moving_says_when_the_place_is_new() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["move", "26-001", "2-3", "--to", "Under the stairs"]), @r"
    Moved 26-001-02-8 Green beans (pint), put up 2026-08-14, Under the stairs.
    Moved 26-001-03-6 Green beans (pint), put up 2026-08-14, Under the stairs.
    Under the stairs is now a new place; `jarledger undo` if it was mistyped.
    -- stderr --
    next: `jarledger undo 6` undoes this
    -- exit 0 --
    ");
    assert_eq!(world.json(&["move", "26-002", "1", "--to", "under the STAIRS"])["new_place"], false);
    assert_eq!(world.json(&["shelf", "--place", "Under the stairs"])["total"], 3);
}

#[test]
fn words_for_several_places_are_asked_about_and_make_a_new_one_only_on_request() {
    let world = stocked();
    for (jar, place) in [("1", "Attic south"), ("2", "Attic north"), ("3", "Under the stairs")] {
        world.ok(&["move", "26-001", jar, "--to", place]);
    }
    insta::assert_snapshot!(world.run(&["move", "26-001", "3", "--to", "attic"]), @"
    -- stderr --
    error: “attic” may be Attic north, or Attic south
    hint: write out which one; with --new it is a place of its own
    -- exit 3 --
    ");
    let moved = world.json(&["move", "26-001", "3", "--to", "north attic"]);
    assert_eq!(
        (&moved["new_place"], world.json(&["shelf", "--place", "Attic north"])["total"].as_u64()),
        (&false.into(), Some(2))
    );
    let shown = world.ok(&["move", "26-001", "1", "--to", "stairs"]);
    assert!(
        shown.contains("stairs was taken for Under the stairs; with --new it is a place of its own."),
        "{shown}"
    );
    assert_eq!(world.json(&["move", "26-001", "3", "--to", "attic", "--new"])["new_place"], true);
    // A place of that very name is meant before all others.
    assert_eq!(world.json(&["move", "26-001", "2", "--to", "Attic"])["new_place"], false);
}

#[test]
fn a_jar_that_did_not_seal_is_chilled_or_frozen_within_a_day() {
    let mut world = World::at_500_ft();
    put_up(&world, "Plums", Some("plums"), (JarSize::Pint, 4), "2026-08-31T16:00", "Counter");
    let plums = "26-001".parse().unwrap();
    act(&world, plums, &[1, 2, 3], Act::CheckFailed, "2026-09-01T08:00");
    insta::assert_snapshot!(world.run(&["chill", "26-001", "1", "--to", "Fridge"]), @"
    Chilled 26-001-01-0 Plums (pint), put up 2026-08-31, Fridge.
    Use within 2 days, by Thursday 3 September 2026. Sources differ: 2 days, several
    days, or one week. The shortest is held.
    -- stderr --
    next: `jarledger finish 26-001-01-0` when it is eaten up
    -- exit 0 --
    ");
    world.on("2026-09-01T16:00");
    insta::assert_snapshot!(world.run(&["freeze", "26-001", "2", "--to", "Chest freezer"]), @"
    Froze 26-001-02-8 Plums (pint), put up 2026-08-31, Chest freezer.
    First leave 1 1/2 in of headspace and put it in the freezer.
    -- stderr --
    next: `jarledger finish 26-001-02-8` when it is eaten up
    -- exit 0 --
    ");
}

#[test]
fn moments_that_cannot_be_are_refused() {
    let world = stocked();
    for (on, code) in [("2026-09-02", 4), ("31.08.2026", 2), ("soon", 2)] {
        let ran = world.run(&["open", "26-001", "1", "--on", on]);
        assert_eq!(ran.code, code, "{on}: {ran}");
    }
}

#[test]
fn a_sealed_jar_eaten_up_in_one_word_was_opened_too() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["finish", "26-001", "1"]), @"
    Finished 26-001-01-0 Green beans (pint), put up 2026-08-14, Cellar.
    -- stderr --
    next: `jarledger undo 6` undoes this
    -- exit 0 --
    ");
    let story = world.ok(&["jar", "26-001-01-0"]);
    assert!(story.contains("opened\n") && story.contains("eaten up"), "{story}");
    let finished = world.json(&["finish", "26-001", "2"]);
    assert_eq!(
        (&finished["kept_too_long"], &finished["jars"][0]["from"]),
        (&serde_json::json!([]), &"opened".into())
    );
    hold(&world, "26-002", "2026-08-30T09:05", HoldCause::ByHand);
    let refused = world.run(&["finish", "26-002", "1"]);
    assert!(refused.code == 4 && refused.err.contains("it is on hold"), "{refused}");
}

#[test]
fn a_missing_jar_is_not_offered_until_it_is_found() {
    let world = stocked();
    insta::assert_snapshot!(world.run(&["missing", "26-002", "1"]), @"
    Missing: 26-002-01-2 Pears (quart), put up 2026-08-20, Pantry.
    -- stderr --
    next: `jarledger missing 26-002-01-2 --found` when it turns up
    next: `jarledger undo 6` undoes this
    -- exit 0 --
    ");
    assert!(!world.ok(&["eat", "--json"]).contains("26-002-01-2"), "it is not there to eat");
    world.ok(&["missing", "26-002", "1", "--found"]);
    assert_eq!(state(&world, "26-002", 1), "sealed");
}
