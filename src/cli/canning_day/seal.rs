use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use crate::cli::arguments::jars_arg::{JarsArg, Named};
use crate::cli::arguments::moment;
use crate::cli::arguments::moment::Moment;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::rescue_lines::{next_after, say_rescue};
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::jar::live::{LiveJar, Which};
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::jar::seal::{Checked, SealLook};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::load::remedy::Remedy;
use crate::rules::seal::seal_window::{SealStage, SealWindow};
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::jar_list::JarList;
use crate::values::kinds::seal_test::SealTest;
use crate::values::names::counted::jars as counted;
use crate::values::time::clock::Clock;

/// Record which lids sealed, and see what may still be done with those that did not
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsArg,
    /// Only these jars of the batch, such as 3,5-7
    #[arg(long = "jars", value_name = "LIST")]
    only: Option<JarList>,
    /// These did not seal, and the others did; without a list: none of them did
    #[arg(long, value_name = "LIST", num_args = 0..=1, conflicts_with = "sealed")]
    failed: Option<Option<JarList>>,
    /// All of them sealed
    #[arg(long)]
    sealed: bool,
    /// How the lids were tested: press, tap or look
    #[arg(long, default_value = "press")]
    test: SealTest,
    /// Jars whose lid was pressed
    #[arg(long, value_name = "LIST")]
    press: Option<JarList>,
    /// Jars whose lid was tapped
    #[arg(long, value_name = "LIST")]
    tap: Option<JarList>,
    /// Jars whose lid was looked at
    #[arg(long, value_name = "LIST")]
    look: Option<JarList>,
    /// When: 07:30, or with its day 2026-08-15T07:30 or yesterday 20:00 [default: now]
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    at: Option<Moment>,
    /// Before the jars have cooled for 12 hours: record the lids that failed; the others cool on
    #[arg(long)]
    early: bool,
    /// The seal of a jar on the shelf was found lost
    #[arg(long, conflicts_with_all = ["failed", "sealed", "early"])]
    lost: bool,
    /// Anything worth keeping about a lost seal
    #[arg(long, value_name = "TEXT", requires = "lost")]
    note: Option<String>,
}

#[derive(serde::Serialize)]
struct Answer {
    entry: EntryId,
    sealed: usize,
    failed: Vec<JarCode>,
    checked: Vec<Checked>,
    still_unchecked: Vec<JarCode>,
}

#[derive(serde::Serialize)]
struct Lost {
    entry: EntryId,
    lost: Vec<LostJar>,
}

#[derive(serde::Serialize)]
struct LostJar {
    jar: JarCode,
    state: JarState,
    rescue: Rescue,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let asker = Asker::new(screen);
    let at = args.at.map_or(ctx.clock.now, |at| at.at_or_before(ctx.clock.now, ctx.clock.today()));
    if at > ctx.clock.now {
        return Err(Failure::usage(
            format!("{} is still to come; nothing was saved", moment::in_words(at, ctx.clock)),
            "give --at the time of the check",
        ));
    }
    if args.lost {
        let offers = || jar_offers::jars(Offered::That(Act::SealLost), &ledger, ctx.clock);
        let jars = args.jars.find(&ledger, BareBatch::Refused, &asker, offers)?.jars;
        return lost(&ledger, &jars, at, args.note.as_deref(), ctx, screen);
    }
    if args.early && args.sealed {
        return Err(Failure::new(
            Code::Refused,
            format!("{CAN_STILL_LET_GO}; nothing was saved"),
            "check them from 12 hours on, without --early; lids that have failed already: --early --failed LIST",
        ));
    }
    let (jars, failed) = asker.talk(|asker| {
        let jars = jars_to_check(&args, &ledger, asker, ctx)?;
        let failed = match args.failed.clone() {
            _ if args.sealed => BTreeSet::new(),
            Some(None) => jars.iter().map(|jar| jar.code.number).collect(),
            Some(Some(list)) => numbers(&list, &jars, &ledger)?,
            None => ask_for_failed(&jars, args.early, &ledger, asker)?,
        };
        Ok((jars, failed))
    })?;
    let mut tests = Vec::new();
    for (test, list) in
        [(SealTest::Press, &args.press), (SealTest::Tap, &args.tap), (SealTest::Look, &args.look)]
    {
        if let Some(list) = list {
            tests.push((test, numbers(list, &jars, &ledger)?));
        }
    }
    let looks: Vec<SealLook> = jars
        .into_iter()
        // What looks sealed before 12 hours is left to cool and to be looked at again.
        .filter(|jar| !args.early || failed.contains(&jar.code.number))
        .map(|jar| {
            let number = jar.code.number;
            let told = tests.iter().find(|(_, jars)| jars.contains(&number));
            let test = told.map_or(args.test, |(test, _)| *test);
            SealLook { sealed: !failed.contains(&number), test, jar }
        })
        .collect();
    let written = ledger.write("seal", ctx.clock, |write| {
        let checked = write.check_seals(&looks, at, args.early)?;
        Ok((checked, summary(&looks)))
    })?;
    show(&ledger, written.entry, written.outcome, args.early, ctx.clock, screen)
}

/// Why only failures are recorded before 12 hours.
const CAN_STILL_LET_GO: &str =
    "a lid that looks sealed before its jar has cooled for 12 hours can still let go";

/// The jars named; of a batch named without numbers, those still cooling.
fn jars_to_check(args: &Args, ledger: &Ledger, asker: &Asker, ctx: &Context) -> Result<Vec<Jar>, Failure> {
    let offers = || jar_offers::to_check(ledger, ctx.clock);
    let Named { mut jars, by_batch } = args.jars.find(ledger, BareBatch::WholeBatch, asker, offers)?;
    if let Some(list) = &args.only {
        let wanted = numbers(list, &jars, ledger)?;
        jars.retain(|jar| wanted.contains(&jar.code.number));
    } else if by_batch {
        let codes: BTreeSet<_> = jars.iter().map(|jar| jar.code.batch.to_string()).collect();
        jars.retain(|jar| jar.state == JarState::Cooling);
        if jars.is_empty() {
            let codes: Vec<_> = codes.into_iter().collect();
            return Err(Failure::new(
                Code::Refused,
                format!("no jar of {} waits for its seal check; nothing was changed", codes.join(" and ")),
                format!(
                    "see `jarledger batch {}`; a seal lost later: `jarledger seal JAR --lost`",
                    codes.join(" ")
                ),
            ));
        }
    }
    Ok(jars)
}

/// The numbers of a list, each being a jar among those to check.
fn numbers(list: &JarList, jars: &[Jar], ledger: &Ledger) -> Result<BTreeSet<u32>, Failure> {
    let mut batches = jars.iter().map(|jar| jar.code.batch);
    let batch = batches.next().filter(|&first| batches.all(|batch| batch == first));
    let Some(batch) = batch else {
        return Err(Failure::usage(
            format!("the numbers {list} may be jars of several batches; nothing was saved"),
            "check one batch at a time",
        ));
    };
    for &number in list.numbers() {
        if jars.iter().any(|jar| jar.code.number == number) {
            continue;
        }
        let jar = ledger.jar(JarCode { batch, number }).map_err(|_| {
            LedgerError::NotFound(format!("batch {batch} has no jar {number}; nothing was saved"))
        })?;
        if let Err(act) = jar.state.after(Act::CheckFailed) {
            return Err(LedgerError::Illegal { jar: jar.code, act }.into());
        }
        return Err(Failure::usage(
            format!("{} is not among the jars to check; nothing was saved", jar.code),
            "name it with the others",
        ));
    }
    Ok(list.numbers().iter().copied().collect())
}

fn ask_for_failed(
    jars: &[Jar],
    early: bool,
    ledger: &Ledger,
    asker: &Asker,
) -> Result<BTreeSet<u32>, Failure> {
    if !asker.can_ask() {
        return Err(ask::missing(if early { "--failed LIST" } else { "--sealed or --failed LIST" }));
    }
    let question = Question {
        ask: "Which jars did not seal?",
        flag: "--failed LIST",
        help: if early { "Numbers such as 3,5-7" } else { "Numbers such as 3,5-7; Enter alone: all sealed" },
        default: None,
    };
    asker.need(None, question, |answer| {
        if answer.is_empty() && early {
            return Err(format!("{CAN_STILL_LET_GO}: only those that failed are recorded."));
        }
        if answer.is_empty() {
            return Ok(BTreeSet::new());
        }
        let list: JarList = answer
            .parse()
            .map_err(|error: crate::values::codes::jar_list::JarListError| error.to_string())?;
        numbers(&list, jars, ledger).map_err(|failure| failure.message)
    })
}

fn summary(looks: &[SealLook]) -> String {
    let sealed = looks.iter().filter(|look| look.sealed).count();
    let batches: BTreeSet<_> = looks.iter().map(|look| look.jar.code.batch.to_string()).collect();
    let batches: Vec<_> = batches.into_iter().collect();
    format!("{}: {sealed} sealed, {} failed", batches.join(", "), looks.len() - sealed)
}

fn show(
    ledger: &Ledger,
    entry: EntryId,
    checked: Vec<Checked>,
    early: bool,
    clock: Clock,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let batches: BTreeSet<_> = checked.iter().map(|check| check.jar.batch).collect();
    let mut still_unchecked = Vec::new();
    let (mut held, mut is_warm) = (0, false);
    for &batch in &batches {
        for jar in ledger.jars_of_batch(batch)? {
            if jar.state == JarState::Cooling {
                still_unchecked.push(jar.code);
            }
            held += u32::from(jar.on_hold);
        }
        let of_batch = Which { batch: Some(batch), ..Which::default() };
        is_warm |= early && ledger.live_jars(&of_batch)?.iter().any(|live| is_too_early(live, clock));
    }
    let failed: Vec<JarCode> = checked.iter().filter(|check| !check.sealed).map(|check| check.jar).collect();
    let sealed = checked.len() - failed.len();
    if screen.json() {
        return screen.answer(&Answer { entry, sealed, failed, checked, still_unchecked });
    }
    let codes: Vec<String> = batches.iter().map(ToString::to_string).collect();
    screen.say(if early {
        format!("{}  {} did not seal.", codes.join(", "), counted(failed.len()))
    } else {
        format!("{}  {sealed} of {} sealed.", codes.join(", "), checked.len())
    });
    if checked.iter().any(|check| check.late) {
        screen.say("Checked after 24 hours.");
    }
    say_failed(&checked, clock, screen);
    if !still_unchecked.is_empty() {
        let codes: Vec<String> = still_unchecked.iter().map(ToString::to_string).collect();
        screen.say(format!("Not checked yet: {}.", codes.join(" ")));
        if is_warm {
            screen.say(format!("They cool on, to be checked from 12 hours on: {CAN_STILL_LET_GO}."));
        }
    }
    if held > 0 && sealed > 0 {
        screen.say("A sealed lid lifts no hold: jars on hold stay on hold.");
    }
    if sealed > 0 {
        screen.say(cautions::STORAGE.text);
    }
    match (failed.first(), remedies_of(&checked)) {
        (Some(first), remedies) => screen.next(next_after(&remedies, *first)),
        (None, _) => screen.next(format!("`jarledger label {} --out labels.pdf`", codes.join(" "))),
    }
    Ok(())
}

/// Whether the lid of a jar is not to be checked yet.
fn is_too_early(live: &LiveJar, clock: Clock) -> bool {
    let stage = live.out_at.map(|out_at| SealWindow::after(out_at).stage(clock.now));
    live.jar.state == JarState::Cooling && stage == Some(SealStage::TooEarly)
}

/// Everything that may be done with one jar or another of those that failed.
fn remedies_of(checked: &[Checked]) -> Vec<Remedy> {
    checked
        .iter()
        .filter_map(|check| check.rescue.as_ref())
        .flat_map(|rescue| rescue.remedies.clone())
        .collect()
}

/// The jars that failed, together where the same may be done with them.
fn say_failed(checked: &[Checked], clock: Clock, screen: &mut Screen) {
    let mut told: Vec<(&Rescue, Vec<String>)> = Vec::new();
    for check in checked {
        let Some(rescue) = &check.rescue else { continue };
        match told.iter_mut().find(|(other, _)| *other == rescue) {
            Some((_, codes)) => codes.push(check.jar.to_string()),
            None => told.push((rescue, vec![check.jar.to_string()])),
        }
    }
    for (rescue, codes) in told {
        screen.say(format!("{}  did not seal.", codes.join(" ")));
        say_rescue(rescue, "  ", clock, screen);
    }
}

fn lost(
    ledger: &Ledger,
    jars: &[Jar],
    at: DateTime<FixedOffset>,
    note: Option<&str>,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let written = ledger.write("seal", ctx.clock, |write| {
        let rescues: Result<Vec<Rescue>, _> = jars.iter().map(|jar| write.seal_lost(jar, at, note)).collect();
        let codes: Vec<String> = jars.iter().map(|jar| jar.code.to_string()).collect();
        Ok((rescues?, format!("seal lost: {}", codes.join(" "))))
    })?;
    let rescues = jars.iter().zip(written.outcome);
    if screen.json() {
        let lost = rescues
            .map(|(jar, rescue)| Ok(LostJar { jar: jar.code, state: ledger.jar(jar.code)?.state, rescue }))
            .collect::<Result<_, Failure>>()?;
        return screen.answer(&Lost { entry: written.entry, lost });
    }
    let mut remedies = Vec::new();
    for (jar, rescue) in rescues {
        screen.say(format!("{}  {}: its seal is lost.", jar.code, jar.product));
        say_rescue(&rescue, "  ", ctx.clock, screen);
        remedies.extend(rescue.remedies);
    }
    screen.say(cautions::BOTULISM.text);
    screen.next(next_after(&remedies, jars[0].code));
    Ok(())
}
