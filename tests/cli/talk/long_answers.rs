//! What an answer looks like where somebody looks at it, and where a program does.

use crate::common::readers::at_terminal;
use crate::common::world::World;

/// What a terminal of 24 rows and 80 columns shows, colors and all.
fn on_a_screen(world: &World, args: &[&str], set: &[(&str, &str)]) -> Option<String> {
    let mut reader = at_terminal(world, &[])?;
    reader.env_remove("NO_COLOR").env("KEEP_MOVES", "1").env("SIZE", "24x80").env("PATH", "/usr/bin:/bin");
    let output = reader.envs(set.iter().copied()).args(args).output().unwrap();
    Some(String::from_utf8(output.stdout).unwrap())
}

#[test]
fn an_answer_longer_than_the_screen_goes_through_the_pager() {
    let world = World::with_demo();
    let pager = world.home().join("pager");
    std::fs::write(&pager, "#!/bin/sh\necho PAGED; cat >/dev/null\n").unwrap();
    let mut may_run = std::fs::metadata(&pager).unwrap().permissions();
    std::os::unix::fs::PermissionsExt::set_mode(&mut may_run, 0o755);
    std::fs::set_permissions(&pager, may_run).unwrap();
    let pager = pager.to_str().unwrap();
    let shown = |args: &[&str], set: &[(&str, &str)]| on_a_screen(&world, args, set);
    let Some(long) = shown(&["eat"], &[("PAGER", pager)]) else { return };
    assert!(long.contains("PAGED") && !long.contains("Eat first"), "{long}");
    let short = shown(&["shelf", "beets"], &[("PAGER", pager)]).unwrap();
    assert!(!short.contains("PAGED") && short.contains("Beets"), "{short}");
    for (args, set) in [
        (&["eat", "--no-pager"][..], ("PAGER", pager)),
        (&["eat"][..], ("PAGER", "/nowhere/pager")),
        (&["eat"][..], ("PAGER", "")),
        (&["eat"][..], ("TERM", "dumb")),
    ] {
        let straight = shown(args, &[("PAGER", pager), set]).unwrap();
        assert!(straight.contains("Eat first") && !straight.contains("PAGED"), "{set:?}: {straight}");
    }
    let json = shown(&["eat", "--json"], &[("PAGER", pager)]).unwrap();
    assert!(json.contains("\"eat_first\""), "{json}");
}

#[test]
fn colors_are_for_the_eye_alone() {
    let world = World::with_demo();
    let red = "\u{1b}[1;31m";
    let shown = |set: &[(&str, &str)]| on_a_screen(&world, &["shelf", "beets"], set);
    let Some(colored) = shown(&[]) else { return };
    assert!(colored.contains(red) && colored.contains("sealed, on hold"), "{colored}");
    for set in [("NO_COLOR", "1"), ("TERM", "dumb")] {
        let plain = shown(&[set]).unwrap();
        assert!(!plain.contains('\u{1b}') && plain.contains("sealed, on hold"), "{set:?}: {plain}");
    }
    let plain = on_a_screen(&world, &["shelf", "beets", "--color", "never"], &[]).unwrap();
    assert!(!plain.contains('\u{1b}'), "{plain}");
    assert!(!world.ok(&["shelf", "beets"]).contains('\u{1b}'), "not in a pipe");
    assert!(world.ok(&["shelf", "beets", "--color", "always"]).contains(red));
}

#[test]
fn a_table_in_a_pipe_stays_aligned_and_tabs_are_for_the_asking() {
    let world = World::with_demo();
    let piped = |args: &[&str]| {
        let output = world.command(args).env_remove("COLUMNS").output().unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    let shelf = piped(&["shelf", "beets"]);
    let rows: Vec<&str> = shelf.lines().collect();
    let place = rows[0].find("Place").unwrap();
    assert!(
        rows[1][place..].starts_with("Cellar north") && rows[2][place..].starts_with("Pantry low"),
        "{shelf}"
    );
    assert!(piped(&["shelf", "beets", "--tsv"]).contains("Beets\tpint\tsealed, on hold\tCellar north\t"));
    assert!(world.ok(&["shelf", "beets", "--tsv"]).contains("Beets\tpint\t"), "COLUMNS or not");
}
