use clap::ValueEnum;
use clap_complete::Shell;
use clap_complete::env::Shells;

use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::Screen;

/// The variable by which a shell asks for completions.
pub(in crate::cli) const ASKED_BY: &str = "COMPLETE";

/// Bash puts candidates into the line as they are, unless they are declared to be file names: a name with a space
/// would fall apart, and one with a `$` would be run.
const QUOTED_IN_BASH: &str = r#"
_jarledger_quoted() {
    _clap_complete_jarledger "$@"
    local word
    for word in "${COMPREPLY[@]}"; do
        if [[ $word == *[!A-Za-z0-9_.,/:=-]* ]]; then
            compopt -o filenames 2> /dev/null
            return
        fi
    done
}
complete -o nospace -o bashdefault -o nosort -F _jarledger_quoted jarledger
"#;

/// Print what lets a shell complete commands, options, and what is in your ledger
///
/// Jars, batches, products, places, canners, foods and lots of lids are looked up in the ledger while you type; nothing
/// in it is changed.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
The line of your shell goes where it is read at every start:
  bash  source <(jarledger completions bash)
        in ~/.bashrc
  zsh   source <(jarledger completions zsh)
        in ~/.zshrc, after compinit
  fish  jarledger completions fish | source
        in ~/.config/fish/config.fish")]
pub(in crate::cli) struct Args {
    /// bash, elvish, fish, powershell or zsh
    #[arg(hide_possible_values = true)]
    shell: Option<Shell>,
}

pub(in crate::cli) fn run(args: Args, screen: &mut Screen) -> Result<(), Failure> {
    let among = Shell::value_variants().to_vec();
    let start = Shell::from_env().and_then(|own| among.iter().position(|&shell| shell == own)).unwrap_or(0);
    let question = Question { ask: "For which shell?", flag: "SHELL", help: "", default: None };
    let asked_for = Asker::new(screen).need_one_of(args.shell, question, among, start)?;
    let name = asked_for.to_string();
    let program = std::env::current_exe().ok().and_then(|path| path.to_str().map(str::to_owned));
    let program = program.as_deref().unwrap_or("jarledger");
    let mut script = Vec::new();
    Shells::builtins()
        .completer(&name)
        .ok_or_else(|| std::io::Error::other("no such shell"))
        .and_then(|shell| shell.write_registration(ASKED_BY, "jarledger", "jarledger", program, &mut script))
        .map_err(|error| Failure::new(Code::Other, format!("there is nothing for {name}: {error}"), ""))?;
    screen.verbatim(&String::from_utf8_lossy(&script));
    if asked_for == Shell::Bash {
        screen.verbatim(QUOTED_IN_BASH);
    }
    Ok(())
}
