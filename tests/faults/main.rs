//! Faults the ledger has to survive, each injected for real: processes killed at every system
//! call, disks that are full, files that are damaged, programs that hold the lock.
//!
//! The number in a test's name is that of the fault in the table of `README.md` here, which `.ci/faults`
//! writes from a run of all of them: what a test went through it says on stdout (`counted: 3 losses
//! of power`). Tests marked `ignored` take longer and run with `cargo test --test faults -- --ignored`.
//! What a machine does not offer (tracing, mounting) is skipped with a line on stderr, and is an
//! error where the environment has `CI=true`.

#![allow(clippy::unwrap_used, reason = "a test stops where it cannot go on")]

#[path = "../cli/common/world.rs"]
mod world;

mod frozen;
mod inject;
mod lab;

mod copies;
mod disk;
mod histories;
mod input;
mod interrupt;
mod kill;
mod limits;
mod output;
mod paper;
mod places;
mod power;
mod stove;
mod strange_file;
mod table;
mod terminal;
mod values;
mod writers;
