//! Faults 10 to 12: several programs at one ledger.

use std::thread;
use std::time::Duration;

use rusqlite::Connection;

use crate::inject::counted;
use crate::lab::{Ended, Lab, ended};

#[test]
fn fault_10_two_writers_lose_nothing() {
    const EACH: usize = 500;
    let lab = Lab::new();
    thread::scope(|scope| {
        for writer in ["Left", "Right"] {
            let lab = &lab;
            scope.spawn(move || {
                for number in 0..EACH {
                    let name = format!("{writer} {number}");
                    let args = ["canner", "add", &name, "--method", "boiling-water", "--holds", "pint:7"];
                    let ended = lab.run(&args);
                    assert_eq!(ended.code, Some(0), "{}", ended.err);
                }
            });
        }
    });
    let listed = lab.run(&["canner", "list", "--json"]).out;
    let listed: serde_json::Value = serde_json::from_str(&listed).unwrap();
    assert_eq!(listed["canners"].as_array().unwrap().len(), 1 + 2 * EACH);
    lab.assert_whole("two writers");
    counted(2 * EACH, "writes by two programs");
    lab.assert_tidy("two writers");
}

#[test]
fn fault_10_the_last_jar_is_opened_once_however_many_reach_for_it() {
    let lab = Lab::with_shelf();
    // The third batch has one jar.
    let listed: serde_json::Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    let code = listed["jar"].as_array().unwrap().last().unwrap()["code"].as_str().unwrap();
    let ended: Vec<Ended> = thread::scope(|scope| {
        let hands: Vec<_> = (0..8).map(|_| scope.spawn(|| lab.run(&["open", code]))).collect();
        hands.into_iter().map(|hand| hand.join().unwrap()).collect()
    });
    for ended in &ended {
        assert!(matches!(ended.code, Some(0 | 4)), "{:?} {}", ended.code, ended.err);
        assert!(ended.code == Some(0) || ended.err.contains("opened"), "{}", ended.err);
    }
    assert_eq!(ended.iter().filter(|ended| ended.code == Some(0)).count(), 1);
    let events: serde_json::Value = serde_json::from_str(&lab.run(&["export", "--json"]).out).unwrap();
    assert_eq!(events["event"].as_array().unwrap().len(), 1);
    assert_eq!(lab.run(&["check"]).code, Some(0));
    counted(8, "hands at one jar");
}

#[test]
fn fault_11_a_lock_held_too_long_is_said_and_can_be_tried_again() {
    let lab = Lab::new();
    let holder = Connection::open(lab.ledger()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    for args in
        [&["canner", "list"][..], &["canner", "add", "X", "--method", "boiling-water", "--holds", "pint:7"]]
    {
        let ended = lab.run(args);
        assert_eq!(ended.code, Some(8), "{}", ended.err);
        assert_eq!(ended.err.matches("waiting for another program").count(), 1, "{}", ended.err);
        assert!(ended.err.contains(lab.ledger().to_str().unwrap()), "{}", ended.err);
    }
    holder.execute_batch("ROLLBACK").unwrap();
    assert_eq!(lab.run(&["canner", "list"]).code, Some(0));
}

#[test]
fn fault_11_a_lock_let_go_in_time_is_waited_for() {
    let lab = Lab::new();
    let holder = Connection::open(lab.ledger()).unwrap();
    holder.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let waiting = lab
        .command(&["canner", "add", "X", "--method", "boiling-water", "--holds", "pint:7"])
        .spawn()
        .unwrap();
    thread::sleep(Duration::from_secs(2));
    holder.execute_batch("ROLLBACK").unwrap();
    let ended = ended(&waiting.wait_with_output().unwrap());
    assert_eq!(ended.code, Some(0), "{}", ended.err);
    assert!(ended.err.contains("waiting for another program"), "{}", ended.err);
}

#[test]
fn fault_12_readers_and_a_writer_do_not_mind_each_other() {
    let lab = Lab::new();
    thread::scope(|scope| {
        let lab = &lab;
        for _ in 0..8 {
            scope.spawn(move || {
                for _ in 0..20 {
                    let ended = lab.run(&["canner", "list"]);
                    assert_eq!(ended.code, Some(0), "{}", ended.err);
                }
            });
        }
        scope.spawn(move || {
            for number in 0..20 {
                let name = format!("Canner {number}");
                let ended =
                    lab.run(&["canner", "add", &name, "--method", "boiling-water", "--holds", "pint:7"]);
                assert_eq!(ended.code, Some(0), "{}", ended.err);
            }
        });
    });
}
