//! `setup` and `canner`.

use super::world::World;

#[test]
fn setup_begins_a_private_ledger_and_changes_it_later() {
    use std::os::unix::fs::PermissionsExt;

    let world = World::new();
    insta::assert_snapshot!(world.run(&["setup", "--altitude", "500ft"]), @r"
    Began the ledger HOME/ledger.jarledger: kitchen at 500ft.
    -- stderr --
    next: `jarledger canner add NAME --method pressure-dial --holds quart:7,pint:9`; or `jarledger canner add`, which asks
    -- exit 0 --
    ");
    let mode = std::fs::metadata(world.ledger()).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    insta::assert_snapshot!(world.run(&["setup", "--altitude", "260m", "-q"]), @r"
    Changed the ledger HOME/ledger.jarledger: kitchen at 260m.
    -- exit 0 --
    ");
}

#[test]
fn canners_are_recorded_once_and_listed() {
    let world = World::at_500_ft();
    world.ok(&["canner", "add", "Big dial", "--method", "pressure-dial", "--holds", "quart:7,pint:16"]);
    insta::assert_snapshot!(world.run(&["canner", "list"]), @r"
    Canner    Kind           One load holds
    Big dial  pressure-dial  16 pints or 7 quarts
    -- exit 0 --
    ");
    let again = world.run(&["canner", "add", "big DIAL", "--method", "boiling-water", "--holds", "pint:9"]);
    assert_eq!(again.code, 4);
    assert!(again.err.contains("already; nothing was changed"), "{}", again.err);
}

#[test]
fn a_missing_ledger_is_never_made_by_another_command() {
    let world = World::new();
    insta::assert_snapshot!(world.run(&["canner", "list"]), @r"
    -- stderr --
    error: there is no ledger at HOME/ledger.jarledger
    hint: begin one with `jarledger setup --altitude 500ft`, or name yours with --ledger FILE
    -- exit 3 --
    ");
    assert!(!world.ledger().exists());
}

#[test]
fn without_a_terminal_the_missing_flag_is_named() {
    let world = World::new();
    for (line, flag) in
        [("setup", "--altitude HEIGHT"), ("setup --dates day-month-year", "--altitude HEIGHT")]
    {
        let ran = world.line(line);
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.contains(&format!("error: {flag} is missing")), "{ran}");
    }
    assert!(!world.ledger().exists());
    world.ok(&["setup", "--altitude", "500ft"]);
    for (line, flag) in [
        ("canner add", "NAME"),
        ("canner add Kettle", "--method KIND"),
        ("canner add Kettle --method boiling-water", "--holds SIZE:JARS"),
    ] {
        let ran = world.line(line);
        assert_eq!(ran.code, 2, "{ran}");
        assert!(ran.err.contains(&format!("error: {flag} is missing")), "{ran}");
    }
    // What is on record already is not asked for again.
    assert!(world.ok(&["setup", "--dates", "day-month-year"]).contains("kitchen at 500ft"));
}
