//! `export`.

use super::world::World;

fn with_pears() -> World {
    let world = World::with_canners();
    let putup = "putup --product =Pears --food pears --pack hot --canner Kettle --minutes 20 --jars pint:2 --out 10:00";
    let ran = world.line(putup);
    assert_eq!(ran.code, 0, "{ran}");
    world
}

#[test]
fn a_table_is_csv_and_what_a_spreadsheet_would_run_is_quoted() {
    let world = with_pears();
    assert_eq!(world.ok(&["export", "product"]), "id,name,name_key\n1,'=Pears,'=pears\n");
    assert_eq!(world.ok(&["export", "product", "--raw"]), "id,name,name_key\n1,=Pears,=pears\n");
    let jars = world.ok(&["export", "jar"]);
    let mut lines = jars.lines();
    assert_eq!(
        lines.next(),
        Some(
            "id,batch_id,number,size,load_id,lid_lot_id,best_by,born,born_place_id,state,place_id,held,note"
        )
    );
    // 12 months after 1 September 2026; no lid lot and no place were given.
    assert_eq!(lines.next(), Some("1,1,1,pint,1,,2027-09-01,cooling,,cooling,,0,"));
    assert_eq!(lines.count(), 1);
}

#[test]
fn everything_is_one_object_with_a_key_for_each_table() {
    let world = with_pears();
    let all = world.json(&["export"]);
    assert_eq!(all["schema"], 1);
    assert_eq!(all["product"], serde_json::json!([{"id": 1, "name": "=Pears", "name_key": "=pears"}]));
    assert_eq!(all["jar"].as_array().unwrap().len(), 2);
    assert_eq!(all["jar"][1]["lid_lot_id"], serde_json::Value::Null);
    // 25 tables in the schema, and the number of the form.
    assert_eq!(all.as_object().unwrap().len(), 26);
}

#[test]
fn a_file_is_written_whole_and_never_over_another() {
    let world = with_pears();
    world.ok(&["export", "place", "--out", "places.csv"]);
    let file = world.home().join("places.csv");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "id,name,name_key\n");
    let again = world.run(&["export", "place", "--out", "places.csv"]);
    assert_eq!(again.code, 4, "{again}");
    let over = world.run(&["export", "--json", "--out", "ledger.jarledger", "--force"]);
    assert_eq!(over.code, 4, "{over}");
}

#[test]
fn no_table_and_an_unknown_one_are_refused() {
    let world = World::at_500_ft();
    assert_eq!(world.run(&["export"]).code, 2);
    let unknown = world.run(&["export", "jars"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("jar,"), "{unknown}");
}

#[test]
fn the_dictionary_in_the_help_names_every_column() {
    let world = World::new();
    let help = world.ok(&["export", "--help"]);
    for word in ["household_process", "pressure_entered", "import_row"] {
        assert!(help.contains(word), "{word}");
    }
}
