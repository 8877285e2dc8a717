//! The `jarledger` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    jarledger::cli::run(std::env::args_os(), jarledger::page::serve::serve)
}
