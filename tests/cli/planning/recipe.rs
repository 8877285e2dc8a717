//! `recipe`: kept from a file, scaled, changed, removed, and what is wrong with one.

use std::fs;

use crate::common::world::World;

const PEARS: &str = r#"name = "Hillside pears"
food = "pears"
pack = "hot"
makes = "pint:9"
publication = "Example Guide, Pears"
months = 18

[[ingredient]]
what = "Pears"
amount = "11 lb"

[[ingredient]]
what = "Lemon juice"
amount = "1 1/2 tsp"
acid = true

[[ingredient]]
what = "Cloves"
amount = "a pinch"

[[ingredient]]
product = "Apple juice"
jars = "quart:1"

[[step]]
what = "Peel and core"
minutes = 45
hands = true
"#;

fn world_with(text: &str) -> (World, String) {
    let world = World::with_canners();
    let path = world.home().join("pears.toml");
    fs::write(&path, text).unwrap();
    let path = path.display().to_string();
    (world, path)
}

#[test]
fn a_recipe_is_kept_and_shown_for_more_jars() {
    let (world, path) = world_with(PEARS);
    let kept = world.json(&["recipe", "add", "--from", &path]);
    assert_eq!(kept["recipe"]["version"], 1);
    let shown = world.json(&["recipe", "pears", "--jars", "pint:18"]);
    let amounts: Vec<&str> =
        shown["ingredients"].as_array().unwrap().iter().map(|one| one["amount"].as_str().unwrap()).collect();
    // Twice each; 3 tsp are a tablespoon.
    assert_eq!(amounts, ["22 lb", "1 tbsp", "a pinch", "2 quarts"]);
    assert_eq!(shown["ingredients"][2]["scales"], false);
    // Nobody buys for twice the jars by a list that holds for half of them.
    let answer = |line: &str| {
        world.line(line).out.matches("a pinch Cloves (as for 9 pints; it does not scale)").count()
    };
    assert_eq!((answer("recipe pears --jars pint:18"), answer("recipe pears")), (2, 0));
    assert_eq!(shown["from_shelf"][0]["missing"], 2);
    assert_eq!(shown["buy"].as_array().unwrap().len(), 3);
    assert!(shown["cautions"][0].as_str().unwrap().contains("Example Guide, Pears"));
}

#[test]
fn jars_of_the_shelf_are_offered_oldest_first() {
    let (world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    let csv = world.home().join("shelf.csv");
    fs::write(
        &csv,
        "product,put_up,jar,count,vouched\nApple juice,2026-03-01,quart,1,my notebook\nApple juice,2026-02-01,quart,2,my \
         notebook\n",
    )
    .unwrap();
    world.ok(&["import", &csv.display().to_string()]);
    let shown = world.json(&["recipe", "Hillside pears", "--jars", "pint:18"]);
    let shelf = &shown["from_shelf"][0];
    assert_eq!(shelf["missing"], 0, "{shelf}");
    assert_eq!(shelf["jars"][0]["best_by"], "2027-02-01");
    assert_eq!(shelf["jars"][1]["best_by"], "2027-02-01");
}

#[test]
fn a_changed_recipe_is_listed_in_its_newest_version_until_it_is_removed() {
    let (world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    fs::write(&path, PEARS.replace("months = 18", "months = 12")).unwrap();
    assert_eq!(world.json(&["recipe", "add", "--from", &path])["recipe"]["version"], 2);
    let listed = world.json(&["recipe", "list"]);
    assert_eq!((&listed["recipes"][0]["version"], &listed["recipes"][0]["months"]), (&2.into(), &12.into()));
    world.ok(&["recipe", "remove", "pears"]);
    assert_eq!(world.run(&["recipe", "pears"]).code, 3);
}

#[test]
fn what_is_wrong_is_named_by_line_and_nothing_is_kept() {
    let (world, path) = world_with(&PEARS.replace("pint:9", "barrel:9").replace("\"hot\"", "\"warm\""));
    let ran = world.run(&["recipe", "add", "--from", &path]);
    assert_eq!(ran.code, 5, "{}", ran.err);
    assert!(ran.err.contains("line 3") && ran.err.contains("line 4"), "{}", ran.err);
    fs::write(&path, PEARS.replace("Hillside pears", "Green beans")).unwrap();
    assert_eq!(world.run(&["recipe", "add", "--from", &path]).code, 4);
    assert_eq!(world.json(&["recipe", "list"])["recipes"].as_array().unwrap().len(), 0);
}

#[test]
fn an_edited_recipe_is_checked_before_it_is_taken() {
    let (world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    let edit = |script: &str| {
        let ran = world.command(&["recipe", "edit", "pears"]).env("EDITOR", script).output().unwrap();
        ran.status.code().unwrap()
    };
    assert_eq!(edit("sed -i s/18/many/"), 5);
    assert_eq!(edit("false"), 10);
    assert_eq!(world.json(&["recipe", "list"])["recipes"][0]["version"], 1);
    assert_eq!(edit("sed -i s/18/12/"), 0);
    let listed = world.json(&["recipe", "list"]);
    assert_eq!((&listed["recipes"][0]["version"], &listed["recipes"][0]["months"]), (&2.into(), &12.into()));
}

#[test]
fn a_batch_by_a_recipe_takes_its_product_food_pack_and_months_and_remembers_the_version() {
    let (world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    fs::write(&path, PEARS.replace("11 lb", "12 lb")).unwrap();
    world.ok(&["recipe", "add", "--from", &path]);
    let line = ["putup", "--recipe", "pears", "--jars", "pint:9", "--canner", "Kettle", "--minutes", "20"];
    let put_up = world.json(&line);
    let code = put_up["batch"].as_str().unwrap();
    assert_eq!(put_up["loads"][0]["verdict"], "meets");
    // The recipe takes a quart of juice, and none was named.
    assert!(put_up["remarks"][0].as_str().unwrap().contains("--used"), "{put_up}");
    let batch = world.json(&["batch", code]);
    assert_eq!(batch["product"], "Hillside pears");
    assert_eq!((&batch["food"], &batch["pack"]), (&"pears".into(), &"hot".into()));
    assert_eq!(batch["recipe"], "Hillside pears, version 2");
    let jar = put_up["jars"][0].as_str().unwrap();
    // Put up 1 September 2026, 18 months.
    assert_eq!(world.json(&["jar", jar])["best_by"], "2028-03-01");
}

#[test]
fn a_run_begun_by_a_recipe_hands_it_on_to_its_batch() {
    let (mut world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    world.ok(&["run", "begin", "--recipe", "pears", "--canner", "Kettle"]);
    for (at, step) in [("12:01", "heat"), ("12:30", "reached"), ("12:51", "off"), ("12:58", "out")] {
        world.on(&format!("2026-09-01T{at}")).ok(&["run", "step", step]);
    }
    let put_up = world.json(&["putup", "--run", "1", "--jars", "pint:9"]);
    let batch = world.json(&["batch", put_up["batch"].as_str().unwrap()]);
    assert_eq!(
        (&batch["product"], &batch["recipe"]),
        (&"Hillside pears".into(), &"Hillside pears, version 1".into())
    );
    assert_eq!(put_up["loads"][0]["verdict"], "meets", "{put_up}");
}

#[test]
fn jars_used_by_a_recipe_are_linked_to_its_batch() {
    let (mut world, path) = world_with(PEARS);
    world.ok(&["recipe", "add", "--from", &path]);
    let juice = world.json_of(
        "putup --product Apple_juice --food apple-juice --pack hot --jars quart:2 --canner Kettle --minutes 10",
    );
    let code = juice["batch"].as_str().unwrap().to_owned();
    world.on("2026-09-02T12:00").ok(&["seal", &code, "--sealed"]);
    let line = ["putup", "--recipe", "pears", "--jars", "pint:9", "--canner", "Kettle", "--minutes", "20"];
    let put_up = world.on("2026-09-02T15:00").json(&[&line[..], &["--used", &code, "1"]].concat());
    assert_eq!(put_up["made_with"], serde_json::json!([juice["jars"][0]]));
    assert_eq!(put_up["remarks"], serde_json::json!([]));
}
