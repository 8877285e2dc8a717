use crate::ledger::tests::household::Household;
use crate::rules::jar::jar_state::Act;
use crate::values::kinds::jar_size::JarSize;

/// Jars in the cellar, sealed the day they were put up.
fn shelve(household: &mut Household, named: (&str, &str), jars: u32, day: &str) -> String {
    household.on(&format!("{day}T08:00"));
    let code = household.stand_by(named, JarSize::Pint, jars).to_string();
    household.on(&format!("{day}T20:00")).check_seals(&code, &[], true).unwrap();
    code
}

/// Jars of a product eaten, and its days with stock, until 1 September 2026.
fn past(household: &Household, product: &str) -> Option<(u32, u32)> {
    let appetites = household.ledger.appetites("2026-09-01".parse().unwrap()).unwrap();
    appetites.iter().find(|of| of.product == product).map(|of| (of.past.eaten, of.past.days))
}

const BEANS: (&str, &str) = ("Beans", "green-beans");

#[test]
fn a_jar_stood_on_the_shelf_until_its_hold_began() {
    let mut household = Household::at("2025-09-01T08:00");
    let beans = shelve(&mut household, BEANS, 4, "2025-09-01");
    household.on("2025-10-05T18:00").act(&beans, &[1, 2], Act::Open).unwrap();
    household.on("2026-06-01T09:00").hold(&beans, &[3, 4], "a sister jar spurted").unwrap();
    // By hand: 30 days of September, 31 of October, 30, 31, 31, 28, 31, 30, 31 of May and 1 of June are 274.
    assert_eq!(past(&household, "Beans"), Some((2, 274)));
    // A jar opened before it was put on hold was eaten of all the same.
    household.on("2026-06-02T09:00").hold(&beans, &[2], "a sister jar spurted").unwrap();
    assert_eq!(past(&household, "Beans"), Some((2, 274)));
    // Let go, the two stood there all year: 1 September to 1 September, both counted.
    household.release(&beans, &[3, 4], "only the band was scratched").unwrap();
    assert_eq!(past(&household, "Beans"), Some((2, 366)));
    // Held from its first day, a jar never stood there.
    let beets = shelve(&mut household, ("Beets", "beets"), 1, "2026-07-01");
    household.hold(&beets, &[], "a doubt").unwrap();
    assert_eq!(past(&household, "Beets"), None);
}

#[test]
fn a_jar_opened_counts_also_where_the_rest_was_thrown_away() {
    let mut household = Household::at("2026-07-01T08:00");
    let beans = shelve(&mut household, BEANS, 3, "2026-07-01");
    household.on("2026-08-01T18:00").act(&beans, &[], Act::Open).unwrap();
    household.act(&beans, &[1], Act::Discard).unwrap();
    household.on("2026-08-02T18:00").act(&beans, &[2], Act::Discard).unwrap();
    // By hand: 31 days of July and 1 of August.
    assert_eq!(past(&household, "Beans"), Some((3, 32)));
}

#[test]
fn jars_used_given_and_missing_are_counted_apart() {
    let mut household = Household::at("2026-06-01T08:00");
    let juice = shelve(&mut household, ("Tomato juice", "tomato-juice"), 12, "2026-06-01");
    for (day, jars, act) in [
        ("2026-06-20", [1, 2, 3].as_slice(), Act::Open),
        ("2026-07-10", &[4, 5], Act::Use),
        ("2026-07-20", &[6], Act::Give),
        ("2026-07-25", &[7], Act::Miss),
        ("2026-07-25", &[8], Act::Discard),
        ("2026-07-26", &[9, 10, 11, 12], Act::Give),
    ] {
        household.on(&format!("{day}T18:00")).act(&juice, jars, act).unwrap();
    }
    let appetite = household.ledger.appetites("2026-12-01".parse().unwrap()).unwrap().remove(0);
    let used = &appetite.of_any_size;
    assert_eq!((used.opened, used.in_batches, used.given, used.missing), (3, 2, 5, 1));
    // By hand: 30 days of June and 26 of July; the household itself took five jars.
    assert_eq!((appetite.past.eaten, appetite.past.days), (5, 56));
}
