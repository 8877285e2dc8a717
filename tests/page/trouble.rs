//! The ledger is busy, full, damaged or another one than before: the page says so, and mixes nothing.

use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::process::Command;

use rusqlite::Connection;

use super::server::World;

fn key(last: u32) -> String {
    format!("8c1f2a10-5a0e-4b6e-9f55-{last:012}")
}

/// A file system in memory, unmounted when dropped.
struct Disk(PathBuf);

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

#[test]
fn a_full_disk_is_said_and_the_act_can_be_sent_again() {
    let world = World::new();
    let jar = world.good_jar();
    let folder = world.folder.path().join("disk");
    std::fs::create_dir(&folder).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=1m", "jarledger-test"])
        .arg(&folder)
        .output()
        .is_ok_and(|output| output.status.success());
    if !mounted {
        eprintln!("SKIPPED: a real full disk (mounting is not allowed)");
        return;
    }
    let disk = Disk(folder);
    let moved = disk.0.join("ledger.jarledger");
    std::fs::copy(world.ledger(), &moved).unwrap();
    std::fs::remove_file(world.ledger()).unwrap();
    std::os::unix::fs::symlink(&moved, world.ledger()).unwrap();
    let server = world.serve();
    let cookie = server.pair("hall");
    let _ = std::fs::write(disk.0.join("filler"), vec![1; 2 << 20]);
    let before = std::fs::read(&moved).unwrap();
    let open = || server.post(&format!("/j/{jar}/open"), &cookie, &format!("key={}", key(1)));
    let full = open();
    assert_eq!(full.status, 507, "{full:?}");
    assert!(full.body.contains("the disk is full; nothing was saved"), "{full:?}");
    assert_eq!(server.get(&format!("/j/{jar}"), &cookie).status, 200, "it still reads");
    assert!(std::fs::read(&moved).unwrap() == before);
    // With room again, the same act arrives.
    std::fs::remove_file(disk.0.join("filler")).unwrap();
    assert_eq!(open().status, 200);
    assert_eq!(world.state(&jar), "opened");
}

#[test]
fn a_busy_ledger_is_said_and_nothing_is_lost() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    let open = |number| server.post(&format!("/j/{jar}/open"), &cookie, &format!("key={}", key(number)));
    let holder = Connection::open(world.ledger()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let busy = open(1);
    assert_eq!(busy.status, 503, "{busy:?}");
    assert!(busy.body.contains("in use by another program"), "{busy:?}");
    holder.execute_batch("ROLLBACK").unwrap();
    assert_eq!(open(1).status, 200);
    assert_eq!(world.state(&jar), "opened");
}

#[test]
fn a_damaged_ledger_is_said_and_left_as_it_is() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let whole = std::fs::read(world.ledger()).unwrap();
    for (what, bytes) in [
        ("empty", &b""[..]),
        ("no ledger", b"pears"),
        ("cut", &whole[..whole.len() - 4096]),
        ("overwritten", &[0x5a; 9000]),
    ] {
        std::fs::write(world.ledger(), bytes).unwrap();
        for answer in [server.get("/", &cookie), server.post("/undo", &cookie, &format!("key={}", key(1)))] {
            assert_eq!(answer.status, 500, "{what}: {answer:?}");
            assert!(
                answer.body.contains("is not a jarledger ledger") || answer.body.contains("is damaged"),
                "{what}: {answer:?}"
            );
        }
        assert!(std::fs::read(world.ledger()).unwrap() == bytes, "{what}");
    }
    std::fs::remove_file(world.ledger()).unwrap();
    let gone = server.get("/", &cookie);
    assert!(gone.status == 500 && gone.body.contains("there is no ledger at"), "{gone:?}");
    std::fs::write(world.ledger(), &whole).unwrap();
    assert_eq!(server.get("/", &cookie).status, 200, "put back, it is served again");
}

#[test]
fn a_ledger_that_may_not_be_written_is_said() {
    let world = World::new();
    let jar = world.good_jar();
    let server = world.serve();
    let cookie = server.pair("hall");
    std::fs::set_permissions(world.ledger(), std::fs::Permissions::from_mode(0o400)).unwrap();
    let answer = server.post(&format!("/j/{jar}/open"), &cookie, &format!("key={}", key(1)));
    // Who may do everything is not kept from writing.
    let may_all = Command::new("id").arg("-u").output().is_ok_and(|out| out.stdout == b"0\n");
    assert_eq!(answer.status, if may_all { 200 } else { 500 }, "{answer:?}");
    assert!(may_all || answer.body.contains("is read-only; nothing was saved"), "{answer:?}");
}

#[test]
fn a_restore_under_the_page_is_noticed_and_nothing_of_before_is_taken_for_now() {
    let world = World::new();
    let jars: Vec<String> = world.json(&["eat"])["eat_first"]
        .as_array()
        .unwrap()
        .iter()
        .take(2)
        .map(|jar| jar["jar"].as_str().unwrap().to_owned())
        .collect();
    let server = world.serve();
    let cookie = server.pair("hall");
    let backup = world.json(&["backup", world.folder.path().join("copy").to_str().unwrap()]);
    let backup = backup["file"].as_str().unwrap().to_owned();
    let open =
        |jar: &str, number| server.post(&format!("/j/{jar}/open"), &cookie, &format!("key={}", key(number)));
    assert_eq!(open(&jars[0], 1).status, 200);
    assert!(world.command(&["restore", &backup, "--yes"]).output().unwrap().status.success());
    let page = server.get(&format!("/j/{}", jars[0]), &cookie);
    assert!(page.body.contains("/open\""), "it stands sealed again: {page:?}");
    // Another act takes the number of the one that is gone; the old button must not take it back.
    assert_eq!(open(&jars[1], 2).status, 200);
    let old = server.post("/undo", &cookie, &format!("key={}&entry={}", key(3), key(1)));
    assert_eq!(old.status, 409, "{old:?}");
    assert_eq!(world.state(&jars[1]), "opened");
    let new = server.post("/undo", &cookie, &format!("key={}&entry={}", key(4), key(2)));
    assert_eq!(new.status, 200, "{new:?}");
    // What the restored ledger does not know is done anew where it is sent again.
    let again = open(&jars[0], 1);
    assert!(again.status == 200 && !again.body.contains("done already"), "{again:?}");
    assert!(world.command(&["check"]).output().unwrap().status.success());
}

#[test]
fn another_ledger_in_its_place_knows_none_of_its_phones() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let other = World::empty();
    std::fs::copy(other.ledger(), world.ledger()).unwrap();
    assert_eq!(server.get("/", &cookie).status, 401);
}

#[test]
fn a_ledger_of_another_release_is_said_and_left_as_it_is() {
    let world = World::new();
    let server = world.serve();
    let cookie = server.pair("hall");
    let other = World::new();
    Connection::open(other.ledger()).unwrap().execute_batch("PRAGMA user_version = 3000").unwrap();
    std::fs::copy(other.ledger(), world.ledger()).unwrap();
    let newer = server.get("/", &cookie);
    assert!(newer.status == 500 && newer.body.contains("has schema 3.0"), "{newer:?}");
    // A ledger as the oldest release left it.
    std::fs::remove_file(world.ledger()).unwrap();
    Connection::open(world.ledger())
        .unwrap()
        .execute_batch(include_str!("../../fixtures/schema/v1.0.sql"))
        .unwrap();
    let before = std::fs::read(world.ledger()).unwrap();
    for older in [server.get("/", &cookie), server.post("/undo", &cookie, &format!("key={}", key(1)))] {
        assert!(older.status == 503 && older.body.contains("of an older release"), "{older:?}");
    }
    assert!(std::fs::read(world.ledger()).unwrap() == before, "looking brings no ledger up to date");
}
