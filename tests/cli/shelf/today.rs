//! `jarledger` without a command.

use jarledger::values::kinds::jar_size::JarSize;

use crate::common::kitchen::{put_up, shelve};
use crate::common::world::World;

#[test]
fn without_a_ledger_it_says_how_to_begin() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&[]), @r"
    There is no ledger at HOME/ledger.jarledger yet.
    Begin yours with the height of your kitchen above sea level:
      jarledger setup --altitude 850ft
    Or look around an example first, in a file of its own:
      jarledger demo --ledger example.jarledger
      jarledger eat --ledger example.jarledger
    A year with it, from a canning day to the end of the season:
      jarledger man kitchen | man -l -
    -- exit 0 --
    ");
    assert!(!world.ledger().exists());
    assert_eq!(world.json(&[])["exists"], false);
}

#[test]
fn with_one_it_says_what_is_due_today() {
    let world = World::at_500_ft();
    insta::assert_snapshot!(world.run(&[]), @r"
    Nothing to decide now.
    -- stderr --
    next: `jarledger eat` shows everything, with the signs to look for; `jarledger --help` lists the commands
    -- exit 0 --
    ");
    shelve(&world, "Pears", Some("pears"), (JarSize::Quart, 40), "2025-12-20T11:00", "Pantry");
    put_up(&world, "Plums", Some("plums"), (JarSize::Pint, 4), "2026-08-31T16:00", "Counter");
    insta::assert_snapshot!(world.run(&[]), @"
    Decide now:
      26-001 1-4 Plums, Counter: check the lid by Tuesday 1 September, 16:00.

    Eat first this month, the first 5 of 10:
    Jar          Product  Place   Put up      Best by
    25-001-01-8  Pears    Pantry  2025-12-20  2026-12-20, process not on record
    25-001-02-6  Pears    Pantry  2025-12-20  2026-12-20, process not on record
    25-001-03-4  Pears    Pantry  2025-12-20  2026-12-20, process not on record
    25-001-04-2  Pears    Pantry  2025-12-20  2026-12-20, process not on record
    25-001-05-9  Pears    Pantry  2025-12-20  2026-12-20, process not on record
    [caution: process not on record]
    -- stderr --
    next: `jarledger seal` records which lids sealed
    next: `jarledger eat` shows everything, with the signs to look for; `jarledger --help` lists the commands
    -- exit 0 --
    ");
    assert_eq!(world.json(&[])["eat_first"].as_array().unwrap().len(), 5);
}
