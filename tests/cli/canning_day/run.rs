//! `run`: a load timed at the stove, and the batch put up from it.

use crate::common::world::World;

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
    // Half an hour ahead is no slip for yesterday, which has to be said.
    let ahead = world.line("run step reached --run 1 --at 14:30");
    assert!(ahead.code == 4 && ahead.err.contains("14:30 is still to come"), "{ahead}");
    world.json_of("run abandon --run 2");
    assert_eq!(world.json_of("run show")["runs"].as_array().unwrap().len(), 1);
    assert_eq!(world.line("run back --run 2").code, 3);
    assert_eq!(world.run(&["check"]).code, 0);
}

/// A recipe of green beans, and a dial that reads 1 psi high.
fn with_a_recipe_and_a_high_dial() -> World {
    let mut world = World::with_canners();
    let path = world.home().join("beans.toml");
    let recipe = "name = \"Snap beans\"\nfood = \"green-beans\"\npack = \"raw\"\nmakes = \"pint:9\"\n\
                  publication = \"Example Guide\"\n\n[[ingredient]]\nwhat = \"Beans\"\namount = \"9 lb\"\n";
    std::fs::write(&path, recipe).unwrap();
    world.on("2026-08-14T13:00").json(&["recipe", "add", "--from", &path.display().to_string()]);
    world.json_of("gauge Big_dial --reads 12 --true 11 --on 2026-06-01");
    world
}

#[test]
fn a_dial_that_reads_high_is_aimed_by_what_it_must_show_wherever_the_run_is() {
    let mut world = with_a_recipe_and_a_high_dial();
    // Dial target = required + (reading - true), common practice, no source: 11 psi and 1 high are 12.
    let begun =
        step(&mut world, "2026-08-14T14:00", "run begin --canner Big_dial --recipe Snap_beans --jar pint");
    assert_eq!((&begun["psi"], &begun["dial_psi"]), (&11.into(), &12.into()));
    let mut said = world.line("run show").out;
    for (moment, word) in [("14:00", "heat"), ("14:10", "steam"), ("14:20", "closed")] {
        world.on(&format!("2026-08-14T{moment}")).json_of(&format!("run step {word}"));
    }
    said += &world.line("run show").out;
    said += &world.on("2026-08-14T14:30").line("run step reached").out;
    said += &world.line("run step lost").out;
    assert!(!said.contains("at 11 psi"), "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "20 min at 12 psi on the dial (it reads high; true 11 psi)",
        "Press reached once it is at 12 psi on the dial.",
        "20 min at 12 psi on the dial: 20 min left, until 14:50.",
        "Bring it back to 12 psi on the dial, then press reached",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    // More than 2 psi off (extension dial-gauge guidance): nothing it shows counts.
    world.json_of("gauge Big_dial --reads 11 --true 8");
    let useless = world.line("run show").out.replace('\n', " ");
    assert!(useless.contains("this dial is too far off to count, replace it first"), "{useless}");
}

#[test]
fn pressure_lost_on_the_way_is_on_the_record_of_the_load_and_the_recipe_names_it() {
    let mut world = with_a_recipe_and_a_high_dial();
    world.json_of("run begin --canner Big_dial --recipe Snap_beans");
    for (moment, word) in [
        ("14:00", "heat"),
        ("14:10", "steam"),
        ("14:20", "closed"),
        ("14:30", "reached"),
        ("14:37", "lost"),
        ("14:40", "reached"),
        ("15:01", "off"),
        ("15:30", "depressurized"),
        ("15:40", "lid"),
    ] {
        world.on(&format!("2026-08-14T{moment}")).json_of(&format!("run step {word}"));
    }
    let out = world.on("2026-08-14T15:41").line("run step out");
    assert!(out.err.contains("`jarledger putup --run 1` logs them as Snap beans"), "{out}");
    let logged = world.json_of("putup --run 1 --jars pint:9 --pressure 12");
    assert_eq!(logged["loads"][0]["verdict"], "meets", "{logged}");
    let batch = world.json_of("batch 26-001");
    assert_eq!(batch["product"], "Snap beans", "{batch}");
    let load = &batch["loads"][0];
    // 14:30 to 15:01 without 14:37 to 14:40 are 7 and 21 min.
    assert_eq!((&load["minutes"], &load["drops"]), (&21.into(), &serde_json::json!(["14:37-14:40"])));
    assert_eq!(world.run(&["check"]).code, 0);
}

#[test]
fn a_run_forgotten_for_a_day_is_shown_today_and_may_be_given_up_even_with_its_jars_out() {
    let mut world = World::with_canners();
    world.on("2026-08-14T14:00").json_of("run begin --canner Kettle --food pears --pack hot --jar pint");
    world.json_of("run begin --canner Big_dial --food green-beans --pack raw --jar pint");
    for word in ["heat", "reached", "off", "out"] {
        world.json_of(&format!("run step {word} --run 1"));
    }
    let shown = |world: &World| world.line("").out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!shown(world.on("2026-08-15T13:59")).contains("Forgotten?"));
    let today = shown(world.on("2026-08-15T14:00"));
    let out = "Finish it with `jarledger putup --run 1`, or give it up with `jarledger run abandon --run 1`.";
    assert!(today.contains(out), "{today}");
    // Begun, and no step since.
    let begun = "Finish it with `jarledger run step heat --run 2`, or give it up with `jarledger run abandon --run 2`.";
    assert!(today.contains(begun), "{today}");
    for run in [1, 2] {
        world.json_of(&format!("run abandon --run {run}"));
    }
    assert_eq!(world.json_of("run show")["runs"], serde_json::json!([]));
    assert!(!shown(&world).contains("Forgotten?"));
}
