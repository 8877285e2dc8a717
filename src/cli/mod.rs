//! The command line: reads arguments, asks the ledger once, shows the answer.
//!
//! A command file holds its clap struct (whose doc comment is the help text) and
//! one `run`: gather → one ledger call → show.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

mod acting;
mod ask;
mod backup;
mod batch;
mod calendar;
mod canner;
mod check;
mod chill;
mod complete;
mod completions;
mod context;
mod correct;
mod correction_lines;
mod count;
mod day;
mod demo;
mod discard;
mod doctor;
mod eat;
mod errors;
mod examples;
mod export;
mod finish;
mod food_arg;
mod freeze;
mod gauge;
mod gauge_told;
mod give;
mod happened_on;
mod history;
mod hold;
mod import;
mod jar;
mod jar_counts;
mod jar_offers;
mod jars_arg;
mod label;
mod load_lines;
mod man;
mod measures;
mod moment;
mod months_ahead;
mod move_to;
mod offers;
mod open;
mod out_file;
mod plan;
mod pressure_told;
mod process;
mod progress;
mod pull_sheet;
mod putup;
mod quoted;
mod reason;
mod rejudged_told;
mod release;
mod report;
mod rescue_lines;
mod restore;
mod screen;
mod seal;
mod seal_lines;
mod season;
mod settings;
mod setup;
mod shelf;
mod today;
mod trace;
mod undo;

use context::{Context, GlobalArgs};
use errors::Failure;
use screen::Screen;

/// Keeps the ledger of a household's home-canned jars, from the canner to the table.
#[derive(Debug, Parser)]
#[command(name = "jarledger", version, about, propagate_version = true)]
struct Cli {
    #[command(flatten)]
    global: GlobalArgs,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Setup(setup::Args),
    Canner(canner::Args),
    Process(Box<process::Args>),
    Plan(plan::Args),
    Putup(Box<putup::Args>),
    Seal(Box<seal::Args>),
    Label(label::Args),
    Jar(jar::Args),
    Batch(batch::Args),
    Correct(Box<correct::Args>),
    Shelf(shelf::Args),
    Hold(hold::Args),
    Release(release::Args),
    Gauge(gauge::Args),
    Trace(trace::Args),
    Eat(eat::Args),
    Open(open::Args),
    Finish(finish::Args),
    Discard(discard::Args),
    Give(give::Args),
    Move(move_to::Args),
    Chill(chill::Args),
    Freeze(freeze::Args),
    Count(count::Args),
    Undo(undo::Args),
    History(history::Args),
    Season(season::Args),
    Report(report::Args),
    Calendar(calendar::Args),
    Demo(demo::Args),
    Man(man::Args),
    Completions(completions::Args),
    Import(import::Args),
    Export(export::Args),
    Check(check::Args),
    Doctor(doctor::Args),
    Backup(backup::Args),
    Restore(restore::Args),
}

/// The whole command tree, its help laid out for the terminal.
pub fn command() -> clap::Command {
    let width = screen::help_width();
    examples::first(Cli::command(), width).term_width(width)
}

/// Reads the arguments. Only who asks for help waits for all of it to be laid out.
fn parse(args: &[OsString]) -> Result<Cli, clap::Error> {
    use clap::error::ErrorKind::{DisplayHelp, DisplayHelpOnMissingArgumentOrSubcommand};
    let parsed = Cli::try_parse_from(args);
    match parsed {
        Err(error) if matches!(error.kind(), DisplayHelp | DisplayHelpOnMissingArgumentOrSubcommand) => {
            command().try_get_matches_from(args).and_then(|matches| Cli::from_arg_matches(&matches))
        }
        parsed => parsed,
    }
}

/// Parses the arguments, runs the command and reports; the exit code is the documented one.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.into_iter().collect();
    if let Some(code) = complete::answer(&args) {
        return code;
    }
    let json = args.iter().any(|arg| arg == "--json");
    let cli = match parse(&args) {
        Ok(cli) => cli,
        Err(error) => return errors::report_usage(&error, json),
    };
    // Without it an interrupt just ends the program, and the next one rolls back what was under way.
    let _ = crate::ledger::interrupt::listen();
    crate::ledger::on_waiting(|| {
        screen::complain("waiting for another program to be done with the ledger\u{2026}")
    });
    let mut screen = Screen::new(&cli.global);
    let result = match (Context::gather(&cli.global), cli.command) {
        // What keeps the ledger from being found is for `doctor` to tell.
        (_, Some(Command::Doctor(args))) => doctor::run(args, &cli.global, &mut screen),
        (_, Some(Command::Setup(args))) if args.list => setup::list(&cli.global, &mut screen),
        (Err(failure), _) => Err(failure),
        (Ok(ctx), Some(command)) => dispatch(command, &ctx, &mut screen).map(|()| ctx.remind(&mut screen)),
        (Ok(ctx), None) => today::run(&ctx, &mut screen).map(|()| ctx.remind(&mut screen)),
    };
    let code = match result.and_then(|()| screen.finish()) {
        Ok(()) => errors::Code::Done,
        Err(failure) => failure.report(cli.global.json),
    };
    ExitCode::from(code as u8)
}

/// Runs one command.
fn dispatch(command: Command, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    match command {
        Command::Setup(args) => setup::run(args, ctx, screen),
        Command::Canner(args) => canner::run(args, ctx, screen),
        Command::Process(args) => process::run(*args, ctx, screen),
        Command::Plan(args) => plan::run(args, ctx, screen),
        Command::Putup(args) => putup::run(*args, ctx, screen),
        Command::Seal(args) => seal::run(*args, ctx, screen),
        Command::Label(args) => label::run(args, ctx, screen),
        Command::Jar(args) => jar::run(args, ctx, screen),
        Command::Batch(args) => batch::run(args, ctx, screen),
        Command::Correct(args) => correct::run(*args, ctx, screen),
        Command::Shelf(args) => shelf::run(args, ctx, screen),
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
        Command::Chill(args) => chill::run(args, ctx, screen),
        Command::Freeze(args) => freeze::run(args, ctx, screen),
        Command::Count(args) => count::run(args, ctx, screen),
        Command::Undo(args) => undo::run(args, ctx, screen),
        Command::History(args) => history::run(args, ctx, screen),
        Command::Season(args) => season::run(args, ctx, screen),
        Command::Report(args) => report::run(args, ctx, screen),
        Command::Calendar(args) => calendar::run(args, ctx, screen),
        Command::Demo(args) => demo::run(args, ctx, screen),
        Command::Man(args) => man::run(args, screen),
        Command::Completions(args) => completions::run(args, screen),
        // Told above, with a ledger or without.
        Command::Doctor(_) => Ok(()),
        Command::Export(args) => export::run(args, ctx, screen),
        Command::Import(args) => import::run(args, ctx, screen),
        Command::Check(args) => check::run(args, ctx, screen),
        Command::Backup(args) => backup::run(args, ctx, screen),
        Command::Restore(args) => restore::run(args, ctx, screen),
    }
}
