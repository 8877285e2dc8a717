//! `report`.

use jarledger::ledger::jar::event::Particulars;
use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{act, entry, put_up, shelve, vouch};
use crate::common::readers::{browser, content};
use crate::common::world::World;

/// A shelf with something in every section.
fn household() -> World {
    let world = World::at_500_ft();
    let pears = shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 6), "2025-08-20T11:00", "Pantry");
    act(&world, pears, &[1], Act::Open, "2025-11-20T18:00");
    act(&world, pears, &[1], Act::Finish, "2025-11-22T18:00");
    let beans =
        shelve(&world, "Green beans", Some("green-beans"), (JarSize::Pint, 9), "2025-12-01T11:00", "Cellar");
    vouch(&world, beans, "2025-12-03T12:00");
    act(&world, beans, &[1], Act::Open, "2026-03-01T18:00");
    act(&world, beans, &[2], Act::Open, "2026-08-28T18:00");
    let jams =
        shelve(&world, "Plum jam", Some("jam-jelly"), (JarSize::HalfPint, 1), "2026-01-05T11:00", "Pantry");
    act(&world, jams, &[1], Act::Open, "2026-02-05T18:00");
    put_up(&world, "Tomatoes", None, (JarSize::Pint, 2), "2026-08-31T08:00", "Counter");
    entry(&world, "discard", "2026-06-01T09:00", |write| {
        let jar = &write.jars_of_batch(beans)?[2];
        write.act(
            jar,
            Act::Discard,
            &Particulars { why: Some("lid bulged".to_owned()), ..Particulars::default() },
        )
    });
    entry(&world, "hold", "2026-06-01T09:05", |write| {
        let jar = &write.jars_of_batch(beans)?[3];
        write.hold(jar, HoldCause::ByHand, "sister of a jar whose lid bulged")
    });
    world
}

fn page(world: &World) -> String {
    std::fs::read_to_string(world.home().join("shelf.html")).unwrap()
}

/// The text of a section, tags taken out.
fn section(page: &str, id: &str) -> String {
    // Only the direction of a name is set apart.
    let page = page.replace("<bdi>", "").replace("</bdi>", "");
    let start = page.find(&format!("aria-labelledby=\"{id}\"")).unwrap();
    let end = start + page[start..].find("</section>").unwrap();
    let mut text = String::new();
    let mut is_tag = false;
    for c in page[start + id.len() + 19..end].chars() {
        match c {
            '<' => is_tag = true,
            '>' => {
                is_tag = false;
                text.push(' ');
            }
            _ if !is_tag => text.push(c),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_section_shows_what_the_ledger_holds() {
    let world = household();
    insta::assert_snapshot!(world.run(&["report", "--out", "shelf.html"]), @r"
    Wrote shelf.html: 16 jars in all, 10 on the shelf, 2 to eat this month, 5 to
    decide on, 1 on hold.
    -- stderr --
    next: open the file in a browser, or print it
    -- exit 0 --
    ");
    let page = page(&world);
    let holds = |id: &str, message: &str| {
        let section = section(&page, id);
        assert!(section.contains(message), "{message} is not in {section}");
    };
    // Every jar in one way: 5 pears and 5 beans; 2 tomatoes; 2 beans and 1 jam opened; 1 bean held.
    for (what, jars) in [
        ("in all", 16),
        ("on the shelf", 10),
        ("seal not checked", 2),
        ("in the refrigerator", 3),
        ("on hold", 1),
    ] {
        assert!(page.contains(&format!("<dt>{what}</dt><dd>{jars}</dd>")), "{what}");
    }
    assert!(page.contains("Of the jars on the shelf 2 are to be eaten this month, and 5 are past best by."));
    // An open jar has left its shelf for the refrigerator.
    holds("decide", "Plum jam 26-001-01-0 refrigerator (was on Pantry): ");
    // Pears of August 2025 passed their best by on 20 August; five are left.
    holds("eat", "5 Pears, quart 25-001 2-6 Pantry: best by 20 Aug 2026, process not on record");
    // Five pints of beans may be eaten, all due in December, the fourth month: two now, by hand (5/4 rounded up).
    holds("eat", "2 Green beans, pint 25-002 5,6 Cellar: best by 1 Dec 2026, your word: mine");
    holds("eat", "September 2026 2: 2 Green beans October 2026 1: 1 Green beans");
    holds(
        "places",
        "Cellar 6 jars 5 Green beans, pint; 1 on hold by batch 5 Green beans, pint, 25-002 5-9: best by",
    );
    holds("places", "Counter 2 jars 2 seal not checked");
    holds("places", "Pantry 5 jars 5 Pears, quart");
    holds(
        "aside",
        "Seal not checked Not food on the shelf until the lids were checked. 2 Tomatoes, pint 26-002 1,2",
    );
    holds("aside", "sister of a jar whose lid bulged");
    // Beans: two eaten on 275 days with stock (1 December 2025 to 1 September 2026), one in 137.5 days;
    // due in 91 days: none of the five is reached. A jar of jam is open, so it has not run out.
    holds("lasting", "None on the shelf Plum jam (1 in the refrigerator), Tomatoes (2 seal not checked)");
    holds("lasting", "Past best by Pears");
    holds("lasting", "Not eaten in time Green beans");
    holds("lasting", "5 Green beans, pint 25-002 5-9 Cellar: best by 1 Dec 2026, your word: mine");
    holds(
        "products",
        "Green beans 5 pints (5: your word: mine); 2 in the refrigerator; 1 on hold 12 5 not eaten in time. 9 put up, 2 eaten, 1 thrown away.",
    );
    // On the shelf on 1 September 2025 none, from 1 December nine; 2, 1, 1 and 1 a month leave none in January.
    assert!(page.contains("0 a year ago, 9 at most, 5 now; by the plan 0 in 6 months, 0 in 12"), "{page}");
    // Put up since 1 September 2025: 9 beans, 1 jam, 2 tomatoes; opened: 1 of pears, 2 of beans, 1 of jam.
    holds("year", "Since 1 Sep 2025: 12 put up, 4 eaten, 1 thrown away.");
    holds("year", "1 Green beans 25-002-03-");
    holds("year", "1 Jun 2026: lid bulged");
    holds("cautions", "Best by is a matter of quality, not safety.");
    // No seal failed, so nothing stands out.
    assert!(!page.contains("id=\"seals\""));
}

#[test]
fn nothing_is_said_to_have_run_out_while_a_jar_of_it_stands_in_any_state() {
    let mut world = World::at_500_ft();
    let batch = |world: &World, product| {
        shelve(world, product, None, (JarSize::Pint, 1), "2026-03-01T11:00", "Pantry")
    };
    let (eaten, held, lost) = (batch(&world, "Plums"), batch(&world, "Pears"), batch(&world, "Peaches"));
    act(&world, eaten, &[1], Act::Open, "2026-04-01T18:00");
    act(&world, eaten, &[1], Act::Finish, "2026-04-02T18:00");
    act(&world, lost, &[1], Act::Miss, "2026-04-03T18:00");
    let frozen = put_up(&world, "Carrots", None, (JarSize::Pint, 1), "2026-03-02T08:00", "Counter");
    act(&world, frozen, &[1], Act::CheckFailed, "2026-03-03T07:00");
    act(&world, frozen, &[1], Act::Freeze, "2026-03-03T07:05");
    world.on("2026-04-05T12:00");
    world.ok(&["hold", &held.to_string(), "1", "--reason", "smells odd"]);
    world.ok(&["report", "--out", "shelf.html"]);
    let page = page(&world);
    let lasting = section(&page, "lasting");
    let none_to_eat = "None on the shelf Carrots (1 in the freezer), Peaches (1 missing), Pears (1 on hold)";
    assert!(lasting.contains(none_to_eat), "{lasting}");
    assert!(lasting.contains("None left Plums"), "{lasting}");
    assert_eq!(page.matches("Ran out on").count(), 1);
}

#[test]
fn the_page_of_a_ledger_is_the_same_twice_and_reads_well() {
    let world = household();
    world.ok(&["report", "--out", "shelf.html"]);
    let first = page(&world);
    world.ok(&["report", "--out", "shelf.html", "--force"]);
    assert_eq!(page(&world), first);
    let Some(mut reader) = browser("page.mjs") else { return };
    reader.arg(world.home().join("shelf.html")).arg(world.home());
    assert_eq!(content(reader), "");
}

#[test]
fn an_empty_ledger_has_a_page_too() {
    let world = World::at_500_ft();
    let answer = world.json(&["report", "--out", "shelf.html"]);
    assert_eq!((&answer["on_shelf"], &answer["to_decide"]), (&0.into(), &0.into()));
    assert!(section(&page(&world), "places").contains("No jar is on the shelf."));
}

#[test]
fn only_seals_that_stand_out_are_listed_with_the_loads_they_came_from() {
    let seals_of = |failed: &str| {
        let mut world = World::with_canners();
        for (lot, loads, failed) in [("A7", 5, "--sealed"), ("B2", 3, failed)] {
            world.on("2026-09-01T12:00");
            let loads = " --load jars=pint:3".repeat(loads);
            let putup =
                "putup --product Pears --food pears --pack hot --canner Kettle --minutes 20 --out 11:00";
            let batch =
                world.json_of(&format!("{putup} --lid-lot {lot} --place Cellar{loads}"))["batch"].clone();
            world.on("2026-09-02T08:00");
            world.json_of(&format!("seal {} {failed}", batch.as_str().unwrap()));
        }
        world.ok(&["report", "--out", "shelf.html"]);
        page(&world)
    };
    // By hand: of the 56 ways to take three of eight loads one has four failures, and two lots are compared: 2/56.
    let shown = "Lid lot B2: 4 of 9 failed to seal, in 3 of 3 loads; more than the rest (0 of 15).";
    let seals = section(&seals_of("--failed 1,4-5,9"), "seals");
    assert!(seals.contains(shown), "{seals}");
    // Of one load alone: 21 of the 56 ways take it.
    assert!(!seals_of("--failed 1-3").contains("id=\"seals\""));
}
