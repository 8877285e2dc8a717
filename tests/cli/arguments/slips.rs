//! Slips of the finger: the near real ones are offered.

use crate::common::world::World;

fn with_pears() -> World {
    let world = World::with_canners();
    world.json_of(
        "putup --product Pears --food pears --pack hot --jars pint:2 --canner Kettle --minutes 20 \
         --place Pantry_shelf --lid-lot K-031 --ingredient sugar=S7-04",
    );
    world
}

#[test]
fn a_mistyped_name_is_answered_with_the_one_that_may_be_meant() {
    let world = with_pears();
    for (line, code, meant) in [
        ("shelf --product Paers", 3, "hint: did you mean Pears?"),
        ("shelf --place Pantry_shlef", 3, "hint: did you mean Pantry shelf?"),
        ("count Pantry_shlef", 3, "hint: did you mean Pantry shelf?"),
        ("label --card Pantryshelf --out card.pdf", 3, "hint: did you mean Pantry shelf?"),
        ("trace --lid-lot K-013", 3, "hint: did you mean K-031?"),
        ("trace --ingredient-lot S7-O4", 3, "hint: did you mean S7-04?"),
        ("season --what-if Pearz=+20%", 3, "hint: did you mean Pears?"),
        ("export jars", 3, "hint: did you mean jar?"),
        ("plan Pears --jars 7 --jar pnit", 2, "did you mean pint?"),
        ("process --food pears --method boilngwater", 2, "did you mean boiling-water?"),
    ] {
        let ran = world.line(line);
        assert!(ran.code == code && ran.err.contains(meant), "{line}: {ran}");
    }
}

#[test]
fn a_new_name_much_like_an_old_one_is_remarked_on() {
    let world = with_pears();
    let moved = world.ok(&["move", "26-001", "1", "--to", "Pantry shelv"]);
    assert!(
        moved.contains(
            "Pantry shelv is now a new place; `jarledger undo` if it was mistyped. Did you\nmean Pantry shelf?"
        ),
        "{moved}"
    );
    let logged = world.line(
        "putup --product Pear --food pears --pack hot --jars pint:2 --canner Kettle --minutes 20 --lid-lot K-032",
    );
    assert!(logged.out.contains("Pear is a new product, and much like Pears: is it the same?"), "{logged}");
    assert!(logged.out.contains("K-032 is a new lid lot, and much like K-031"), "{logged}");
}

#[test]
fn another_word_for_a_command_leads_to_it() {
    let world = World::at_500_ft();
    for (word, typed) in [
        ("fridge", "jarledger chill 26-001"),
        ("reprocess", "jarledger seal 26-001 --failed NUMBERS"),
        ("eaten", "jarledger finish 26-001"),
        ("throw", "jarledger discard 26-001 --why TEXT"),
        ("Inventory", "jarledger shelf"),
    ] {
        let ran = world.run(&[word, "26-001"]);
        assert!(ran.code == 2 && ran.err.contains(typed), "{word}: {ran}");
    }
    let close = world.run(&["putupp"]);
    assert!(close.err.contains("a similar subcommand exists: 'putup'"), "{close}");
}
