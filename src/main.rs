//! The `jarledger` command.

fn main() {}
