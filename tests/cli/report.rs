//! `report`.

use jarledger::ledger::jar::event::Particulars;
use jarledger::ledger::jar::hold::HoldCause;
use jarledger::rules::jar::jar_state::Act;
use jarledger::values::kinds::jar_size::JarSize;

use super::kitchen::{act, entry, put_up, shelve, vouch};
use super::readers::{browser, content};
use super::world::World;

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
fn every_section_tells_what_the_ledger_holds() {
    let world = household();
    insta::assert_snapshot!(world.run(&["report", "--out", "shelf.html"]), @r"
    Wrote shelf.html: 10 on the shelf, 2 to eat this month, 5 to decide on, 1 on
    hold.
    -- stderr --
    next: open the file in a browser, or print it
    -- exit 0 --
    ");
    let page = page(&world);
    // Pears of August 2025 passed their best by on 20 August; five are left.
    assert!(section(&page, "eat").contains("Past best by"), "{}", section(&page, "eat"));
    // Five pints of beans may be eaten, all due in December, the fourth month: two now, by hand (5/4 rounded up).
    let eat = section(&page, "eat");
    assert_eq!(
        eat.matches("Green beans, pint, your word: mine 1 Dec 2025 1 Dec 2026 Cellar").count(),
        2,
        "{eat}"
    );
    assert!(
        section(&page, "stock").contains("Green beans (5: your word: mine) 0 5 0 5"),
        "{}",
        section(&page, "stock")
    );
    assert!(section(&page, "stock").contains("Pears (5: process not on record) 5 0 0 5"));
    let months = section(&page, "months");
    assert!(months.contains("September 2026 2 2 Green beans October 2026 1 1 Green beans"), "{months}");
    // Beans: two eaten on 275 days with stock (1 December 2025 to 1 September 2026), one in 137.5 days;
    // due in 91 days: none of the five is reached.
    let pace = section(&page, "pace");
    assert!(
        pace.contains("Green beans 0.2 2 eaten in 9.0 months with stock 5 jars would pass best by uneaten"),
        "{pace}"
    );
    assert!(pace.contains("Plum jam 1.0 1 eaten in 1.1 months with stock ran out on 5 Feb 2026"), "{pace}");
    // Lids due by 08:00 on 1 September; beans opened on 28 August keep 4 days (low-acid): to 1 September.
    let decide = section(&page, "decide");
    assert!(decide.contains("26-002 1,2 Tomatoes Counter the lid should have been checked by"), "{decide}");
    assert!(decide.contains("Green beans Cellar eat it up: the last day is"), "{decide}");
    assert!(section(&page, "holds").contains("sister of a jar whose lid bulged"));
    assert!(section(&page, "wasted").contains("Green beans 1 Jun 2026 lid bulged"));
    assert!(
        section(&page, "seals")
            .contains("Nothing stands out among the products: 0 of 16 jars failed to seal.")
    );
    assert!(section(&page, "cautions").contains("Best by is a matter of quality, not safety."));
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
    assert!(section(&page(&world), "stock").contains("No jar is on the shelf."));
}
