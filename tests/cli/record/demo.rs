//! `demo`.

use crate::common::world::World;

#[test]
fn the_demo_is_the_same_on_the_same_day_and_replaces_nothing() {
    let (one, two) = (World::new(), World::new());
    let answer = one.json(&["demo"]);
    assert!(answer["batches"].as_u64() >= Some(40) && answer["jars"].as_u64() >= Some(300), "{answer}");
    two.ok(&["demo"]);
    let before = std::fs::read(one.ledger()).unwrap();
    assert!(before == std::fs::read(two.ledger()).unwrap(), "two demos of one day differ");

    let again = one.run(&["demo"]);
    assert_eq!(again.code, 4, "{again}");
    assert!(before == std::fs::read(one.ledger()).unwrap());
    assert_eq!(std::fs::read_dir(one.home()).unwrap().count(), 1, "something was left beside the ledger");
}
