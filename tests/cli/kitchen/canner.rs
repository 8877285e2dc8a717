//! `canner`.

use crate::common::world::World;

#[test]
fn what_a_canner_holds_together_is_kept_beside_what_it_holds_of_each_size() {
    let world = World::at_500_ft();
    let add = "canner add Big_dial --method pressure-dial --holds quart:7,pint:9,half-pint:18";
    let added = world.json_of(&format!("{add} --together quart:4,pint:5 --together pint:6,half-pint:6"));
    let found = &added["canners"][0];
    assert_eq!(found["holds"], serde_json::json!({"half-pint": 18, "pint": 9, "quart": 7}));
    let together = serde_json::json!([{"pint": 5, "quart": 4}, {"half-pint": 6, "pint": 6}]);
    assert_eq!(found["holds_together"], together);
    insta::assert_snapshot!(world.ok(&["canner", "list"]), @"
    Canner    Kind           One load holds
    Big dial  pressure-dial  18 half-pints or 9 pints or 7 quarts or 5 pints and 4
                             quarts or 6 half-pints and 6 pints
    ");
    world.ok(&["check"]);
    // A canner without such words has none, also not as an empty list.
    let plain = world.json_of("canner add Kettle --method boiling-water --holds pint:9");
    assert_eq!(plain["canners"][0].get("holds_together"), None);
}

#[test]
fn a_filling_that_cannot_be_is_refused() {
    let world = World::at_500_ft();
    let add = "canner add Big_dial --method pressure-dial --holds quart:7,pint:9";
    for (together, says) in [
        ("quart:8,pint:1", "gives 8 quarts, and --holds at most 7"),
        ("quart:4,half-pint:2", "gives 2 half-pints, and --holds none of that size"),
        ("quart:4", "write several sizes, each once"),
        ("quart:4,quart:3", "write several sizes, each once"),
    ] {
        let ran = world.line(&format!("{add} --together {together}"));
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.split_whitespace().collect::<Vec<_>>().join(" ").contains(says), "{ran}");
    }
    assert_eq!(world.json_of("canner list")["canners"], serde_json::json!([]));
}

#[test]
fn a_load_of_more_than_the_canner_takes_is_remarked_on_and_kept() {
    let mut world = World::at_500_ft();
    world
        .json_of("canner add Kettle --method boiling-water --holds pint:9,quart:7 --together pint:5,quart:4");
    world.on("2026-09-01T12:00");
    for (jars, says) in [
        ("pint:9", None),
        ("pint:5,quart:4", None),
        ("pint:10", Some("10 pints in load 1 is more than Kettle holds on record.")),
        (
            "pint:6,quart:6",
            Some(
                "6 pints and 6 quarts in load 1 may be more than Kettle takes: no such filling is on record.",
            ),
        ),
    ] {
        let putup = "putup --product Pears --food pears --pack hot --canner Kettle --minutes 25 --out 11:00";
        let ran = world.line(&format!("{putup} --load jars={jars}"));
        let shown = ran.to_string().split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(ran.code, 0, "{ran}");
        assert_eq!(shown.contains("more than Kettle"), says.is_some(), "{ran}");
        assert!(shown.contains(says.unwrap_or_default()), "{ran}");
    }
}
