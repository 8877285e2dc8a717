//! Faults 1 to 4: the program is killed at each of its system calls.
//!
//! A kill is a crash of the program, not of the machine: what was written stays in the page
//! cache. That the order of syncs survives a loss of power is tested in `power`.

use crate::inject::{WRITE, can_trace, sweep};
use crate::lab::Lab;
use crate::world::World;

const CALLS: [&str; 6] = ["pwrite64", "fdatasync", "fsync", "unlink", "ftruncate", "openat"];

#[test]
fn fault_01_a_write_killed_at_any_call_is_whole_or_was_never() {
    if !can_trace() {
        return;
    }
    let lab = Lab::new();
    let before = lab.contents();
    lab.world.ok(WRITE);
    let after = lab.contents();
    assert_ne!(before, after);
    let mut hits = 0;
    for call in CALLS {
        hits += sweep(&lab, call, "signal=KILL", WRITE, |hit| {
            // A read recovers silently, and changes nothing more.
            let read = lab.run(&["canner", "list", "--quiet"]);
            assert_eq!((read.code, read.err.as_str()), (Some(0), ""), "{}", hit.when);
            let now = lab.contents();
            assert!(now == before || now == after, "{}: {now}", hit.when);
            assert!(!hit.ended.out.contains("Recorded") || now == after, "{}", hit.when);
            lab.assert_whole(&hit.when);
            // The next write goes through, and tidies up.
            let again = lab.run(WRITE);
            assert_eq!(again.code, Some(if now == after { 4 } else { 0 }), "{}: {}", hit.when, again.err);
            assert_eq!(lab.contents(), after, "{}", hit.when);
        });
    }
    assert!(hits > 20, "only {hits} calls were hit");
}

#[test]
fn fault_01_a_jar_opened_as_the_program_is_killed_is_opened_or_not() {
    if !can_trace() {
        return;
    }
    const OPEN: &[&str] = &["open", "26-002", "1"];
    let lab = Lab::with_shelf();
    let before = lab.contents();
    lab.world.ok(OPEN);
    let after = lab.contents();
    for call in CALLS {
        sweep(&lab, call, "signal=KILL", OPEN, |hit| {
            assert_eq!(lab.run(&["check"]).code, Some(0), "{}", hit.when);
            let now = lab.contents();
            assert!(now == before || now == after, "{}: {now}", hit.when);
            assert!(!hit.ended.out.contains("Opened") || now == after, "{}", hit.when);
        });
    }
}

#[test]
fn fault_01_a_ledger_killed_while_it_is_begun_is_whole_or_not_there() {
    if !can_trace() {
        return;
    }
    for call in ["pwrite64", "fdatasync", "fsync", "unlink", "link", "linkat"] {
        for nth in 1.. {
            let world = World::new();
            let lab = Lab::before_any(world);
            let hit = crate::inject::hit(&lab, call, "signal=KILL", nth, &["setup", "--altitude", "500ft"]);
            if !hit.injected {
                assert_eq!(hit.ended.code, Some(0), "{}: {}", hit.when, hit.ended.err);
                break;
            }
            if lab.ledger().exists() {
                lab.assert_whole(&hit.when);
            }
            let again = lab.run(&["setup", "--altitude", "500ft", "--quiet"]);
            assert_eq!((again.code, again.err.as_str()), (Some(0), ""), "{}", hit.when);
            lab.world.ok(&["setup", "--altitude", "500ft"]);
            lab.assert_whole(&hit.when);
        }
    }
}
