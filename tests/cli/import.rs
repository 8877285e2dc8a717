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
