use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset};

use crate::answers::jars::rescue_lines::{next_after, say_rescue};
use crate::answers::jars::seal::{CAN_STILL_LET_GO, check, remedies_of};
use crate::answers::moments;
use crate::cli::arguments::jars_arg::{JarsArg, Named};
use crate::cli::arguments::moment::Moment;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask;
use crate::cli::talk::ask::{Asker, Question, Reply};
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::jar::rescue::Rescue;
use crate::ledger::jar::seal::SealLook;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::spoilage::cautions;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::jar_list::JarList;
use crate::values::kinds::seal_test::SealTest;
use crate::values::names::nothing::says_nothing;

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

impl Args {
    /// The seals of a whole batch.
    fn of_batch(batch: BatchCode, sealed: bool) -> Self {
        Self {
            jars: JarsArg::of_batch(batch),
            only: None,
            failed: None,
            sealed,
            test: SealTest::Press,
            press: None,
            tap: None,
            look: None,
            at: None,
            early: false,
            lost: false,
            note: None,
        }
    }
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
    let at = match args.at {
        Some(given) => given.once(given.at_or_before(ctx.clock.now, ctx.clock.today()), ctx.clock.now)?,
        None => ctx.clock.now,
    };
    if at > ctx.clock.now {
        return Err(Failure::usage(
            format!("{} is still to come; nothing was saved", moments::in_words(at, ctx.clock)),
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
            let tested = tests.iter().find(|(_, jars)| jars.contains(&number));
            let test = tested.map_or(args.test, |(test, _)| *test);
            SealLook { sealed: !failed.contains(&number), test, jar }
        })
        .collect();
    let answer = check(&ledger, &looks, at, args.early, ctx.clock)?;
    if screen.json() {
        return screen.answer(&answer);
    }
    answer.say(ctx.clock, screen);
    match answer.failed.first() {
        Some(first) => screen.next(next_after(&remedies_of(&answer.checked), &first.to_string())),
        None => {
            let codes: Vec<String> = answer.batches().iter().map(ToString::to_string).collect();
            screen.next(format!("`jarledger label {} --out labels.pdf`", codes.join(" ")));
        }
    }
    Ok(())
}

/// Asks whether the lids of a batch just logged were looked at, and records what is said of them.
pub(super) fn ask_at_once(
    batch: BatchCode,
    ctx: &Context,
    asker: &Asker,
    screen: &mut Screen,
) -> Result<(), Failure> {
    const LATER: &str = "not checked yet";
    const ALL: &str = "all of them";
    const SOME: &str = "some did not";
    let question = Question { ask: "Did the jars seal?", flag: "--sealed", help: "", default: None };
    let later = || format!("Batch {batch} is saved. `jarledger seal {batch}` asks for its seals later.");
    let args = |sealed| Args::of_batch(batch, sealed);
    let done = match asker.choose(question, vec![LATER, ALL, SOME], 0) {
        Ok(Reply::Given(ALL)) => run(args(true), ctx, screen),
        Ok(Reply::Given(SOME)) => run(args(false), ctx, screen),
        Ok(_) => Err(ask::interrupted()),
        Err(failure) => Err(failure),
    };
    match done {
        Err(Failure { code: Code::Interrupted, .. }) => {
            complain(&later());
            Ok(())
        }
        done => done,
    }
}

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
        let is_none = says_nothing(answer);
        if is_none && early {
            return Err(format!("{CAN_STILL_LET_GO}: only those that failed are recorded."));
        }
        if is_none {
            return Ok(BTreeSet::new());
        }
        let list: JarList = answer
            .parse()
            .map_err(|error: crate::values::codes::jar_list::JarListError| error.to_string())?;
        numbers(&list, jars, ledger).map_err(|failure| failure.message)
    })
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
    screen.next(next_after(&remedies, &jars[0].code.to_string()));
    Ok(())
}
