//! The command line: reads arguments, asks the ledger once, shows the answer.
//!
//! May use: answers, exchange, ledger, paper, rules, tables, values.
//!
//! A command file holds its clap struct (whose doc comment is the help text) and
//! one `run`: gather → one ledger call → show.

mod arguments;
mod canning_day;
mod context;
mod eating;
mod errors;
mod global_args;
mod help;
mod kitchen;
mod planning;
mod recall;
mod record;
mod shelf;
mod talk;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};

use crate::answers::serving::Serve;
use arguments::local_instant::odd_zone;
use canning_day::{chill, freeze, label, putup, run, seal};
use context::Context;
use eating::{discard, eat, finish, give, open};
use errors::Failure;
use global_args::GlobalArgs;
use help::{complete, completions, examples, man, usage};
use kitchen::{canner, gauge, setup};
use planning::{plan, process, recipe, season};
use recall::{hold, release, trace};
use record::{backup, check, correct, demo, doctor, export, history, import, restore, undo};
use screen::Screen;
use shelf::{batch, calendar, count, jar, missing, move_to, report, serve, stock, today};
use talk::screen;

/// Keeps the ledger of a household's home-canned jars, from the canner to the table.
#[derive(Debug, Parser)]
#[command(name = "jarledger", version, about, propagate_version = true)]
struct Cli {
    #[command(flatten)]
    global: GlobalArgs,
    #[command(subcommand)]
    command: Option<Command>,
}

/// Declares the commands, and beside their tree of arguments, which clap derives, the trees of each one's own.
macro_rules! commands {
    ($($name:literal => $command:ident($args:ty),)+) => {
        #[derive(Debug, Subcommand)]
        enum Command {
            $(#[command(name = $name)] $command($args),)+
        }

        /// Every command, and what adds its arguments.
        const COMMANDS: &[(&str, fn(clap::Command) -> clap::Command)] =
            &[$(($name, <$args as clap::Args>::augment_args),)+];
    };
}

commands! {
    "setup" => Setup(setup::Args),
    "canner" => Canner(canner::Args),
    "process" => Process(Box<process::args::Args>),
    "recipe" => Recipe(recipe::Args),
    "plan" => Plan(plan::args::Args),
    "run" => Run(Box<run::Args>),
    "putup" => Putup(Box<putup::Args>),
    "seal" => Seal(Box<seal::Args>),
    "label" => Label(label::Args),
    "jar" => Jar(jar::Args),
    "batch" => Batch(batch::Args),
    "correct" => Correct(Box<correct::args::Args>),
    "shelf" => Shelf(stock::Args),
    "hold" => Hold(hold::Args),
    "release" => Release(release::Args),
    "gauge" => Gauge(gauge::Args),
    "trace" => Trace(trace::Args),
    "eat" => Eat(eat::Args),
    "open" => Open(open::Args),
    "finish" => Finish(finish::Args),
    "discard" => Discard(discard::Args),
    "give" => Give(give::Args),
    "move" => Move(move_to::Args),
    "missing" => Missing(missing::Args),
    "chill" => Chill(chill::Args),
    "freeze" => Freeze(freeze::Args),
    "count" => Count(count::Args),
    "undo" => Undo(undo::Args),
    "history" => History(history::Args),
    "season" => Season(season::Args),
    "report" => Report(report::Args),
    "serve" => Serve(serve::Args),
    "calendar" => Calendar(calendar::Args),
    "demo" => Demo(demo::Args),
    "man" => Man(man::Args),
    "completions" => Completions(completions::Args),
    "import" => Import(import::args::Args),
    "export" => Export(export::Args),
    "check" => Check(check::Args),
    "doctor" => Doctor(doctor::Args),
    "backup" => Backup(backup::Args),
    "restore" => Restore(restore::Args),
}

/// The tree as far as a line needs it: with the commands that the line has a word for. To make the arguments of all the
/// others takes longer than to read the line.
fn tree_for(line: &[OsString]) -> clap::Command {
    let root = clap::Command::new("jarledger").version(env!("CARGO_PKG_VERSION")).propagate_version(true);
    let named = COMMANDS.iter().filter(|(name, _)| line.iter().any(|word| word == name));
    named.fold(GlobalArgs::augment_args(root), |tree, (name, augment)| {
        tree.subcommand(augment(clap::Command::new(*name)))
    })
}

/// The whole command tree, its help laid out for the terminal.
pub fn command() -> clap::Command {
    let width = talk::stderr::help_width();
    examples::first(Cli::command(), width).term_width(width)
}

/// Reads the arguments by the tree of the typed command alone. A mistake is read again by the whole tree, which can
/// suggest what was meant, and a call for help by the tree laid out for the terminal.
fn parse(args: &[OsString]) -> Result<Cli, clap::Error> {
    use clap::error::ErrorKind::{DisplayHelp, DisplayHelpOnMissingArgumentOrSubcommand, DisplayVersion};
    let parsed =
        tree_for(args).try_get_matches_from(args).and_then(|matches| Cli::from_arg_matches(&matches));
    match parsed {
        Err(error) if error.kind() != DisplayVersion => {}
        parsed => return parsed,
    }
    match Cli::try_parse_from(args) {
        Err(error) if matches!(error.kind(), DisplayHelp | DisplayHelpOnMissingArgumentOrSubcommand) => {
            command().try_get_matches_from(args).and_then(|matches| Cli::from_arg_matches(&matches))
        }
        parsed => parsed,
    }
}

/// Parses the arguments, runs the command and reports; the exit code is the documented one. `page` serves the page at the
/// shelf.
pub fn run(args: impl IntoIterator<Item = OsString>, page: Serve) -> ExitCode {
    // Without it an interrupt just ends the program, and the next one rolls back what was under way.
    let _ = crate::ledger::error::interrupt::listen();
    let args: Vec<OsString> = args.into_iter().collect();
    let json = args.iter().any(|arg| arg == "--json");
    if !memory_suffices() {
        return ExitCode::from(Failure::no_memory().report(json).exit());
    }
    if let Some(path) = odd_zone() {
        let message = format!("TZ names {}, which is no file of a zone; nothing was changed", path.display());
        let hint = "set it to a zone such as America/Denver, or leave it unset";
        return ExitCode::from(Failure::usage(message, hint).report(json).exit());
    }
    if let Some(code) = complete::answer(&args, Cli::command) {
        return code;
    }
    let cli = match parse(&args) {
        Ok(cli) => cli,
        Err(error) => return usage::report_usage(&error, &args, json, command),
    };
    crate::ledger::file::connect::on_waiting(|| {
        talk::stderr::complain("waiting for another program to be done with the ledger\u{2026}")
    });
    let mut screen = Screen::new(cli.global.manner());
    let result = match (global_args::context(&cli.global), cli.command) {
        // `doctor` reports what keeps the ledger from being found.
        (_, Some(Command::Doctor(args))) => doctor::run(args, &cli.global, &mut screen),
        (_, Some(Command::Setup(args))) if args.list => setup::list(&cli.global, &mut screen),
        (Err(failure), _) => Err(failure),
        (Ok(ctx), Some(Command::Serve(args))) => serve::run(args, &cli.global, page, &ctx, &mut screen),
        (Ok(ctx), Some(command)) => dispatch(command, &ctx, &mut screen).map(|()| ctx.remind(&mut screen)),
        (Ok(ctx), None) => today::run(&ctx, &mut screen).map(|()| ctx.remind(&mut screen)),
    };
    let code = match result.and_then(|()| screen.finish()) {
        Ok(()) => errors::Code::Done,
        Err(failure) => failure.report(cli.global.json),
    };
    ExitCode::from(code.exit())
}

/// Several times what any command takes on a household's ledger. More than 32 MiB, since glibc keeps smaller pieces for
/// itself when they are given back.
const AMPLE: usize = 40 << 20;

/// Whether there is memory to begin at all. Where the system gives it on demand this takes none; where there is a limit,
/// an allocation that fails later ends the program in the midst of its work, in the words of the runtime.
fn memory_suffices() -> bool {
    let mut ample = Vec::<u8>::new();
    let is_given = ample.try_reserve_exact(AMPLE).is_ok();
    // Else the compiler may take what is never used for given.
    std::hint::black_box(&ample);
    is_given
}

/// Runs a line of the demo's script.
fn play(
    tree: &mut clap::Command,
    words: Vec<String>,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let cli = tree
        .try_get_matches_from_mut(words)
        .and_then(|matches| Cli::from_arg_matches(&matches))
        .map_err(|error| Failure::new(errors::Code::Other, error.to_string(), ""))?;
    cli.command.map_or(Ok(()), |command| dispatch(command, ctx, screen))
}

/// Runs one command.
fn dispatch(command: Command, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    match command {
        Command::Setup(args) => setup::run(args, ctx, screen),
        Command::Canner(args) => canner::run(args, ctx, screen),
        Command::Process(args) => process::run(*args, ctx, screen),
        Command::Recipe(args) => recipe::run(args, ctx, screen),
        Command::Plan(args) => plan::run(args, ctx, screen),
        Command::Run(args) => run::run(*args, ctx, screen),
        Command::Putup(args) => putup::run(*args, ctx, screen),
        Command::Seal(args) => seal::run(*args, ctx, screen),
        Command::Label(args) => label::run(args, ctx, screen),
        Command::Jar(args) => jar::run(args, ctx, screen),
        Command::Batch(args) => batch::run(args, ctx, screen),
        Command::Correct(args) => correct::run(*args, ctx, screen),
        Command::Shelf(args) => stock::run(args, ctx, screen),
        Command::Hold(args) => hold::run(args, ctx, screen),
        Command::Release(args) => release::run(args, ctx, screen),
        Command::Gauge(args) => gauge::run(args, ctx, screen),
        Command::Trace(args) => trace::run(args, ctx, screen),
        Command::Eat(args) => eat::run(args, ctx, screen),
        Command::Open(args) => open::run(args, ctx, screen),
        Command::Finish(args) => finish::run(args, ctx, screen),
        Command::Discard(args) => discard::run(args, ctx, screen),
        Command::Give(args) => give::run(args, ctx, screen),
        Command::Move(args) => move_to::run(args, ctx, screen),
        Command::Missing(args) => missing::run(args, ctx, screen),
        Command::Chill(args) => chill::run(args, ctx, screen),
        Command::Freeze(args) => freeze::run(args, ctx, screen),
        Command::Count(args) => count::run(args, ctx, screen),
        Command::Undo(args) => undo::run(args, ctx, screen),
        Command::History(args) => history::run(args, ctx, screen),
        Command::Season(args) => season::run(args, ctx, screen),
        Command::Report(args) => report::run(args, ctx, screen),
        Command::Calendar(args) => calendar::run(args, ctx, screen),
        Command::Demo(args) => {
            let mut tree = Cli::command();
            demo::run(args, &mut |words, ctx, screen| play(&mut tree, words, ctx, screen), ctx, screen)
        }
        Command::Man(args) => man::run(args, Cli::command(), screen),
        Command::Completions(args) => completions::run(args, screen),
        // Handled above, with a ledger or without.
        Command::Doctor(_) | Command::Serve(_) => Ok(()),
        Command::Export(args) => export::run(args, ctx, screen),
        Command::Import(args) => import::run(args, ctx, screen),
        Command::Check(args) => check::run(args, ctx, screen),
        Command::Backup(args) => backup::run(args, ctx, screen),
        Command::Restore(args) => restore::run(args, ctx, screen),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the parser goes by: each argument's name, how it is written, and whether it is of every command.
    fn arguments(command: &clap::Command) -> Vec<String> {
        let mut text: Vec<String> = command
            .get_arguments()
            .map(|arg| format!("{arg} {} {} {:?}", arg.get_id(), arg.is_global_set(), arg.get_num_args()))
            .collect();
        text.sort();
        text
    }

    #[test]
    fn the_tree_for_a_line_is_the_whole_one_as_far_as_the_line_goes() {
        let mut whole = Cli::command();
        whole.build();
        assert_eq!(whole.get_subcommands().count(), COMMANDS.len() + 1, "clap adds `help`");
        for (name, _) in COMMANDS {
            let line = ["jarledger", "--today", "2031-03-10", name].map(OsString::from);
            let mut tree = tree_for(&line);
            tree.build();
            assert_eq!(arguments(&tree), arguments(&whole), "{name}");
            assert_eq!(tree.render_version(), whole.render_version());
            let (part, all) = (tree.find_subcommand(name).unwrap(), whole.find_subcommand(name).unwrap());
            assert_eq!(arguments(part), arguments(all), "{name}");
            assert_eq!(part.get_subcommands().count(), all.get_subcommands().count(), "{name}");
            assert_eq!(part.render_version(), all.render_version(), "{name}");
            assert_eq!(tree.get_subcommands().count(), 2, "{name} and `help`");
        }
    }
}
