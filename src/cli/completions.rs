use clap_complete::Shell;

use super::errors::Failure;
use super::screen::Screen;

/// Print what a shell needs to complete commands and options
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  jarledger completions bash > ~/.local/share/bash-completion/completions/jarledger
  jarledger completions fish > ~/.config/fish/completions/jarledger.fish")]
pub(super) struct Args {
    /// bash, elvish, fish, powershell or zsh
    shell: Shell,
}

pub(super) fn run(args: Args, screen: &mut Screen) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut super::command(), "jarledger", &mut script);
    screen.verbatim(&String::from_utf8_lossy(&script));
    Ok(())
}
