//! `import` of a whole export.

use super::world::World;

#[test]
fn a_trial_of_a_whole_export_leaves_nothing_behind() {
    let world = World::at_500_ft();
    std::fs::write(world.home().join("whole.json"), world.ok(&["export", "--json"])).unwrap();
    let target = world.home().join("new/folder/l.jarledger");
    let import = ["import", "whole.json", "--ledger", target.to_str().unwrap()];
    let told = world.ok(&[&import[..], &["--dry-run"]].concat());
    assert!(told.starts_with("Would make the ledger"), "{told}");
    assert!(!world.home().join("new").exists());
    world.ok(&import);
    assert!(target.is_file());
}

// USDA AIB 539, Guide 4: beets are packed hot, and no vegetable has a half-gallon. Guide 7: jam has half-pints and pints.
// Guide 2: mincemeat in quarts only; half-gallons for apple juice.
#[test]
fn nobody_vouches_for_a_jar_or_a_pack_that_no_table_has() {
    let world = World::at_500_ft();
    let import = |rows: &str| {
        std::fs::write(
            world.home().join("shelf.csv"),
            format!("product,put_up,jar,food,pack,vouched\n{rows}"),
        )
        .unwrap();
        world.run(&["import", "shelf.csv", "--json"])
    };
    let refused = import(
        "Green beans,2025-08-01,half-gallon,green-beans,,me\nJam,2025-08-01,quart,jam-jelly,,me\n\
         Mincemeat,2025-08-01,pint,mincemeat-pie-filling,,me\nBeets,2025-08-01,pint,beets,raw,me\n\
         Beets,2025-08-01,pint,beets,,me\nApple juice,2025-08-01,half-gallon,apple-juice,,me\n\
         Green beans,2025-08-01,half-pint,green-beans,raw,me\nBeets,2025-08-01,pint,beets,raw,\n",
    );
    assert_eq!(refused.code, 5, "{refused}");
    let told: serde_json::Value = serde_json::from_str(&refused.out).unwrap();
    let lines: Vec<u64> =
        told["problems"].as_array().unwrap().iter().map(|one| one["line"].as_u64().unwrap()).collect();
    assert_eq!(lines, [2, 3, 4, 5], "{refused}");
    assert!(
        refused.out.contains("Beets, whole, cubed or sliced has no tested process in pints packed raw"),
        "{refused}"
    );
    // Put down without a word, it cannot be given one later.
    assert_eq!(import("Beets,2025-08-01,pint,beets,raw,\n").code, 0);
    let refused = world.line("correct batch 25-001 --vouched me --reason x");
    assert!(refused.code == 4 && refused.err.contains("nobody can vouch for 25-001: Beets"), "{refused}");
}
