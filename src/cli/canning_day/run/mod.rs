//! `run`: a load while it is in the canner, one step at a time.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

use std::io::{self, IsTerminal};

use crate::answers::planning::gauge_target::Gauge;
use crate::answers::planning::process::key;
use crate::answers::run::{RunNow, RunsNow};
use crate::cli::arguments::food_arg::food_offers;
use crate::cli::arguments::moment::{LATELY, Moment};
use crate::cli::canning_day::run::screen::Looks;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question, missing, parsed};
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::run::{NewRun, Run};
use crate::rules::canning_day::run::{Aim, Instant, RunFacts, facts, next_steps};
use crate::rules::gauge::dial::Dial;
use crate::rules::process::tested::{ProcessQuestion, TestedProcess, VENT_MINUTES};
use crate::rules::process::{look_up, unknown_food};
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::kinds::run_step::RunStep;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pressure::Pressure;
use crate::values::names::name::Name;

mod acts;
mod screen;

/// Time a load in the canner, one step at a time
///
/// On a terminal, `run` alone is a screen to stand at the stove: the time left in large digits, and one key for each
/// step. It rings when the venting, the process or the wait is over, and each minute until the next step.
///
/// Each step is on record the moment it is said; nothing is lost if the program or the machine stops. A screen killed
/// outright leaves the terminal as it was drawn: type `reset` and Enter, even where no letters show, then `jarledger run`.
/// Once the jars are out, `putup --run N` takes over what the run knows.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    act: Option<Act>,
    /// Tell each change in a line of its own, for a screen reader
    #[arg(long)]
    plain: bool,
    /// Also run this when a time is over; it finds what to say in JARLEDGER_ALARM
    #[arg(long, value_name = "COMMAND")]
    alarm: Option<String>,
}

#[derive(Debug, clap::Subcommand)]
enum Act {
    /// Begin a run: what goes into which canner
    Begin(Begin),
    /// Say that a step was taken: heat, steam, closed, reached, lost, off, depressurized, lid, out
    Step(Step),
    /// Show the runs under way, the time left and the next step
    Show(Which),
    /// Take the last step back
    Back(Which),
    /// Give a run up
    Abandon(Which),
}

#[derive(Debug, clap::Args)]
struct Begin {
    /// The canner, by the name you gave it
    #[arg(long, value_name = "NAME")]
    canner: Option<Name>,
    /// The food, by its key or in everyday words
    #[arg(long)]
    food: Option<String>,
    /// How it goes into the jar: hot or raw
    #[arg(long)]
    pack: Option<Pack>,
    /// The largest jar
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    jar: Option<JarSize>,
    /// Height above sea level, such as 850ft or 260m [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Altitude>,
    /// The recipe that is put up, which brings the food, the pack and the jar
    #[arg(long, value_name = "NAME", conflicts_with_all = ["food", "pack"])]
    recipe: Option<Name>,
    /// Which of several tested pairs, by its pressure
    #[arg(long, value_name = "PSI")]
    psi: Option<Pressure>,
}

#[derive(Debug, clap::Args)]
struct Step {
    /// What was seen or done
    step: Option<RunStep>,
    #[command(flatten)]
    which: Which,
}

#[derive(Debug, Clone, clap::Args)]
struct Which {
    /// Which run, where several are under way
    #[arg(long, value_name = "N")]
    run: Option<i64>,
    /// When it was, if not now: 14:05, or a day and a time
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    at: Option<Moment>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    match args.act {
        None => watch(args.plain, args.alarm.as_deref(), ctx, screen),
        Some(Act::Show(which)) => show(&which, ctx, screen),
        Some(Act::Begin(begin)) => self::begin(begin, ctx, screen),
        Some(Act::Step(step)) => {
            let taken = which_step(&step, ctx, screen)?;
            take(taken, &step.which, ctx, screen)
        }
        Some(Act::Abandon(which)) => take(RunStep::Abandon, &which, ctx, screen),
        Some(Act::Back(which)) => back(&which, ctx, screen),
    }
}

fn begin(args: Begin, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let own = ledger.household_processes()?;
    let recipe = args.recipe.as_ref().map(|name| ledger.recipe(name)).transpose()?;
    let of_recipe = recipe.as_ref().map(|on_record| &on_record.recipe);
    let given_food = args.food.clone().or_else(|| Some(of_recipe?.food.as_ref()?.to_string()));
    let given_pack = args.pack.or_else(|| of_recipe?.pack);
    let given_jar = args.jar.or_else(|| Some(of_recipe?.makes.size));
    let (canner, food, pack, size) = Asker::new(screen).talk(|asker| {
        let canners: Vec<String> = ledger.canners()?.into_iter().map(|canner| canner.name).collect();
        let question = |ask, flag| Question { ask, flag, help: "", default: None };
        let given = args.canner.as_ref().map(ToString::to_string);
        let canner = asker.need_one_of(given, question("Which canner?", "--canner NAME"), canners, 0)?;
        let food = asker.need_offering(
            given_food.clone(),
            question("Which food?", "--food FOOD"),
            || Ok(food_offers()),
            |words| match key(words, &own) {
                Some(food) => Ok(food.to_string()),
                None => Err(unknown_food(words).detail),
            },
        )?;
        let packs = Pack::ALL.to_vec();
        let pack = asker.need_one_of(given_pack, question("Hot or raw pack?", "--pack hot|raw"), packs, 0)?;
        let sizes = JarSize::ALL.to_vec();
        let pint = sizes.iter().position(|&size| size == JarSize::Pint).unwrap_or(0);
        let jar = asker.need_one_of(given_jar, question("Which jar?", "--jar SIZE"), sizes, pint)?;
        Ok((canner, food, pack, jar))
    })?;
    let canner = ledger.canner(&parsed(&canner).map_err(|error| Failure::usage(error, "name a canner"))?)?;
    let food = key(&food, &own).ok_or_else(|| refused(unknown_food(&food).detail))?;
    let altitude = match args.altitude {
        Some(altitude) => altitude,
        None => ledger.household()?.altitude,
    };
    let question = ProcessQuestion { food: food.clone(), pack, size, method: canner.method, altitude };
    let answer = look_up(&question, &own);
    let process = one_process(answer.all().cloned().collect(), args.psi, answer.detail)?;
    let least_vent = if canner.method.is_pressure() { VENT_MINUTES } else { 0 };
    let aim = Aim {
        method: canner.method,
        minutes: process.minutes,
        psi: process.psi,
        // No load is judged by less than the published rows, whatever a process of the household's own says.
        vent_min: process.vent_min.max(least_vent),
        // Looked up anew whenever the run is read.
        dial: Dial::AtItsWord,
    };
    let new = NewRun { canner, food, pack, size, altitude, aim, recipe };
    let written = ledger.write("run begin", ctx.clock, |write| {
        let run = write.begin_run(&new)?;
        Ok((run, format!("run {run}: {} in {}, {} min", new.food, new.canner.name, new.aim.minutes)))
    })?;
    let run = ledger.run_under_way(written.outcome)?;
    if !screen.json() {
        let gauge = Gauge::of(&ledger, &new.canner, ctx.clock.today())?;
        if let Some(advice) = process.psi.and_then(|psi| gauge.advice(psi)) {
            screen.say(format!("{}: {advice}.", new.canner.name));
        }
        for note in &process.notes {
            screen.say(note);
        }
    }
    answer_with(vec![run], ctx, screen)
}

/// The step said, else one chosen of those that fit.
fn which_step(args: &Step, ctx: &Context, screen: &Screen) -> Result<RunStep, Failure> {
    let question = Question { ask: "Which step?", flag: "STEP", help: "", default: None };
    if args.step.is_none() && !Asker::new(screen).can_ask() {
        return Err(missing("STEP"));
    }
    let next = match args.step {
        Some(_) => Vec::new(),
        None => {
            let run = meant(&*ctx.open()?, &args.which)?;
            next_steps(&run.aim, &run.taken)
        }
    };
    Asker::new(screen).talk(|asker| asker.need_one_of(args.step, question, next.clone(), 0))
}

/// The one process meant, of those there are.
fn one_process(
    mut options: Vec<TestedProcess>,
    psi: Option<Pressure>,
    detail: String,
) -> Result<TestedProcess, Failure> {
    if let Some(psi) = psi {
        options.retain(|option| option.psi == Some(psi));
    }
    match options.len() {
        0 => Err(refused(detail)),
        1 => Ok(options.remove(0)),
        _ => {
            let pairs: Vec<String> = options
                .iter()
                .map(|option| match option.psi {
                    Some(psi) => format!("{} min at {psi}", option.minutes),
                    None => format!("{} min", option.minutes),
                })
                .collect();
            Err(Failure::usage(
                format!("several processes are tested for this: {}; no run was begun", pairs.join(", ")),
                "say which with --psi, and keep to that whole pair",
            ))
        }
    }
}

fn refused(detail: String) -> Failure {
    Failure::new(Code::Refused, format!("{detail} No run was begun"), "see `jarledger process --food FOOD`")
}

/// The run meant: the one named, or the only one under way.
fn meant(ledger: &Ledger, which: &Which) -> Result<Run, Failure> {
    if let Some(id) = which.run {
        return Ok(ledger.run_under_way(id)?);
    }
    let mut runs = ledger.runs_under_way()?;
    match runs.len() {
        0 => Err(Failure::new(
            Code::NotFound,
            "no run is under way; nothing was changed",
            "`jarledger run begin --canner NAME --food FOOD --pack hot|raw --jar SIZE` begins one",
        )),
        1 => Ok(runs.remove(0)),
        _ => {
            let runs: Vec<String> = runs.iter().map(|run| format!("{} in {}", run.id, run.canner)).collect();
            Err(Failure::usage(
                format!("several runs are under way: {}; nothing was changed", runs.join(", ")),
                "say which with --run N",
            ))
        }
    }
}

/// The moment a step was, on both clocks.
fn moment(which: &Which, ctx: &Context) -> Result<Instant, Failure> {
    let now = ctx.instant();
    let Some(given) = which.at else { return Ok(now) };
    let at = given.once(given.at_or_before(ctx.clock.now, ctx.clock.today()), ctx.clock.now)?;
    if let Moment::Clock(time) | Moment::Bare(time) = given
        && now.at - at > LATELY
    {
        return Err(Failure::new(
            Code::Refused,
            format!("{time} is still to come; nothing was changed"),
            format!(
                "leave --at out for a step that happens now; of the day before it is --at \"yesterday {time}\""
            ),
        ));
    }
    Ok(now.ago(now.at - at))
}

fn take(step: RunStep, which: &Which, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let run = meant(&ledger, which)?;
    acts::take(&ledger, &run, step, &moment(which, ctx)?, ctx.clock)?;
    if step == RunStep::Abandon {
        if screen.json() {
            return screen.answer(&RunsNow { runs: Vec::new() });
        }
        screen.say(format!("Gave up run {} in {}.", run.id, run.canner));
        return Ok(());
    }
    answer_with(vec![ledger.run_under_way(run.id)?], ctx, screen)
}

fn back(which: &Which, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let run = meant(&ledger, which)?;
    acts::take_back(&ledger, &run, ctx.clock)?;
    answer_with(vec![ledger.run_under_way(run.id)?], ctx, screen)
}

/// Stays with the runs on a terminal until they are out; where nobody sits there, shows them once.
fn watch(plain: bool, alarm: Option<&str>, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let is_terminal = io::stdin().is_terminal() && io::stdout().is_terminal();
    if screen.json() || !(is_terminal || plain) {
        return show(&Which { run: None, at: None }, ctx, screen);
    }
    let looks = Looks { plain: plain || !takes_a_screen(), keys: is_terminal, colored: screen.colored() };
    let runs = self::screen::watch(looks, alarm, ctx)?;
    show_runs(runs, &ctx.by_now(), screen)
}

/// Whether the terminal can move its cursor.
fn takes_a_screen() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term != "dumb")
}

fn show(which: &Which, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let runs = match which.run {
        Some(id) => vec![ledger.run_under_way(id)?],
        None => ledger.runs_under_way()?,
    };
    show_runs(runs, ctx, screen)
}

/// Says where runs stand, or that there are none.
fn show_runs(runs: Vec<Run>, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if runs.is_empty() && !screen.json() {
        screen.say("No run is under way.");
        screen.next("`jarledger run begin --canner NAME --food FOOD --pack hot|raw --jar SIZE` begins one");
        return Ok(());
    }
    answer_with(runs, ctx, screen)
}

fn answer_with(runs: Vec<Run>, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let now = ctx.instant();
    let facts: Vec<Option<RunFacts>> = runs.iter().map(|run| facts(&run.taken)).collect();
    let runs: Vec<RunNow> = runs.into_iter().map(|run| RunNow::at(run, &now)).collect();
    if screen.json() {
        return screen.answer(&RunsNow { runs });
    }
    for (run, facts) in runs.iter().zip(facts) {
        run.say(screen);
        if let Some(facts) = facts {
            screen.say(format!("  On record: {}", on_record(&facts, run.psi)));
        }
        match run.next.first() {
            // Said too early, the step would end the time.
            Some(_) if run.is_timed() => screen.next("`jarledger run` shows the time left"),
            Some(step) => screen.next(format!("`jarledger run step {step} --run {}`", run.run)),
            None => screen.next(run.to_log()),
        }
    }
    Ok(())
}

/// What a run that is over leaves on record.
fn on_record(facts: &RunFacts, psi: Option<Pressure>) -> String {
    let held = if psi.is_some() { "at pressure" } else { "without a break" };
    let parts = [
        facts.vent_min.map(|min| format!("vented {min} min")),
        facts.come_up_min.map(|min| format!("came up in {min} min")),
        facts.minutes.map(|min| format!("{min} min {held}")),
        Some(format!("out {}", facts.out_at.format("%H:%M"))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
