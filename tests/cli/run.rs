//! `run`: a load timed at the stove, and the batch put up from it.

use super::world::World;

fn step(world: &mut World, moment: &str, line: &str) -> serde_json::Value {
    let ran = world.on(moment).json_of(line);
    ran["runs"][0].clone()
}

#[test]
fn a_run_is_timed_step_by_step_and_becomes_a_load() {
    let mut world = World::with_canners();
    let begun = step(
        &mut world,
        "2026-08-14T14:00",
        "run begin --canner Big_dial --food green-beans --pack raw --jar pint",
    );
    // USDA AIB 539, Guide 4, green beans, raw pack: pints 20 min at 11 psi to 2,000 ft.
    assert_eq!((&begun["minutes"], &begun["psi"]), (&20.into(), &11.into()));
    assert_eq!((&begun["phase"], &begun["next"][0]), (&"heating".into(), &"heat".into()));
    step(&mut world, "2026-08-14T14:00", "run step heat");
    let venting = step(&mut world, "2026-08-14T14:10", "run step steam");
    assert_eq!((&venting["phase"], &venting["left_s"]), (&"venting".into(), &600.into()));
    let refused = world.on("2026-08-14T14:12").line("run step reached");
    assert_eq!(refused.code, 4, "{refused}");
    assert!(refused.err.contains("the next step is closed"), "{refused}");
    step(&mut world, "2026-08-14T14:20", "run step closed");
    step(&mut world, "2026-08-14T14:26", "run step reached");
    let half = step(&mut world, "2026-08-14T14:36", "run show");
    assert_eq!((&half["phase"], &half["left_s"]), (&"at-pressure".into(), &600.into()));
    let lost = step(&mut world, "2026-08-14T14:37", "run step lost");
    assert_eq!((&lost["phase"], &lost["restarts"]), (&"coming-up".into(), &1.into()));
    // Pressed by mistake: taken back, the time goes on.
    let back = step(&mut world, "2026-08-14T14:38", "run back");
    assert_eq!((&back["phase"], &back["left_s"]), (&"at-pressure".into(), &480.into()));
    assert_eq!(step(&mut world, "2026-08-14T14:46", "run show")["phase"], "time-up");
    step(&mut world, "2026-08-14T14:47", "run step off");
    let early = world.line("putup --run 1 --product Green_beans --jars pint:9 --pressure 11");
    assert_eq!(early.code, 4, "{early}");
    step(&mut world, "2026-08-14T15:20", "run step depressurized");
    step(&mut world, "2026-08-14T15:30", "run step lid");
    assert_eq!(step(&mut world, "2026-08-14T15:32", "run step out")["phase"], "out");
    let logged = world
        .on("2026-08-14T15:40")
        .json_of("putup --run 1 --product Green_beans --jars pint:9 --pressure 11 --place Cellar");
    assert_eq!(logged["loads"][0]["verdict"], "meets", "{logged}");
    let load = &world.json_of("batch 26-001")["loads"][0];
    assert_eq!((&load["minutes"], &load["vent_min"]), (&21.into(), &10.into()));
    assert_eq!(load["come_up_min"], 6);
    assert_eq!(load["out_at"], "2026-08-14T15:32:00Z");
    assert_eq!(world.json_of("run show")["runs"], serde_json::json!([]));
    assert_eq!(world.line("putup --run 1 --product Beans --jars pint:1").code, 3);
    assert_eq!(world.run(&["check"]).code, 0);
}

#[test]
fn what_does_not_fit_is_refused_and_changes_nothing() {
    let mut world = World::with_canners();
    world.on("2026-08-14T14:00");
    let begin = |line: &str| world.line(&format!("run begin {line}"));
    // No process, a food that must not be canned, several pairs, and a canner nobody has.
    for (line, code) in [
        ("--canner Kettle --food green-beans --pack raw --jar pint", 4),
        ("--canner Kettle --food pumpkin_butter --pack hot --jar pint", 4),
        ("--canner Big_dial --food tomatoes-whole-water --pack hot --jar pint", 2),
        ("--canner Nobody --food pears --pack hot --jar pint", 3),
    ] {
        let ran = begin(line);
        assert_eq!(ran.code, code, "{line}: {ran}");
    }
    assert_eq!(world.line("run step heat").code, 3);
    world.json_of("run begin --canner Kettle --food pears --pack hot --jar pint");
    let twice = world.line("run begin --canner Kettle --food pears --pack hot --jar pint");
    assert_eq!(twice.code, 4, "{twice}");
    world.json_of("run begin --canner Big_dial --food green-beans --pack raw --jar pint");
    assert_eq!(world.line("run step heat").code, 2);
    world.json_of("run step heat --run 1");
    assert_eq!(world.line("run step steam --run 1").code, 4);
    assert_eq!(world.line("run step reached --run 1 --at 13:00").code, 4);
    world.json_of("run abandon --run 2");
    assert_eq!(world.json_of("run show")["runs"].as_array().unwrap().len(), 1);
    assert_eq!(world.line("run back --run 2").code, 3);
    assert_eq!(world.run(&["check"]).code, 0);
}
