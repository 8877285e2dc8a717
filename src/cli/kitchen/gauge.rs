use crate::answers::recall::pulled::{all, eaten_or_given, to_tell};
use crate::answers::streamed::Streamed;
use crate::cli::arguments::day::day;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::kitchen::gauge_words::{TestShown, advice_in_words, show_points, show_targets, targets};
use crate::cli::kitchen::rejudged_words;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::Screen;
use crate::ledger::batch::judging::Judged;
use crate::ledger::entry::write::EntryId;
use crate::ledger::file::open::Ledger;
use crate::ledger::kitchen::canner::Canner;
use crate::ledger::kitchen::gauge::RecordedTest;
use crate::ledger::trace::traced::TracedJar;
use crate::paper::text::table::{Table, unbroken};
use crate::rules::gauge::dial_gauge::{GaugeAdvice, GaugeTest, needs_testing};
use crate::values::codes::jar_code::JarCode;
use crate::values::kinds::method::Method;
use crate::values::measures::pressure::Pressure;
use crate::values::names::name::Name;
use crate::values::names::quoted::quoted;
use crate::values::time::on_screen;

/// Record a test of a dial gauge, and check again the loads it applies to
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// The canner
    canner: Option<Name>,
    /// What the dial read, such as 5,10,15
    #[arg(long, value_name = "PSI", value_delimiter = ',', conflicts_with = "list")]
    reads: Vec<Pressure>,
    /// The true pressure at each reading, such as 4,9,13.5
    #[arg(long = "true", value_name = "PSI", value_delimiter = ',', conflicts_with = "list")]
    truly: Vec<Pressure>,
    /// The day of the test [default: today]
    #[arg(long, value_name = "DATE", allow_hyphen_values = true, conflicts_with = "list")]
    on: Option<String>,
    /// The gauge is new on this canner: earlier tests were of another
    #[arg(long, conflicts_with = "list")]
    new_gauge: bool,
    /// Anything worth keeping, such as who tested it
    #[arg(long, value_name = "TEXT", conflicts_with = "list")]
    note: Option<Reason>,
    /// List the tests on record
    #[arg(long)]
    list: bool,
}

#[derive(serde::Serialize)]
struct Answer<'a> {
    entry: EntryId,
    canner: &'a str,
    #[serde(flatten)]
    test: TestShown,
    judged: usize,
    loads: Streamed<'a, Judged>,
    jars: Streamed<'a, TracedJar>,
    eaten_or_given: Streamed<'a, TracedJar>,
    to_tell: Vec<String>,
    released: &'a [JarCode],
}

#[derive(serde::Serialize)]
struct ListAnswer<'a> {
    canner: &'a str,
    method: Method,
    needs_test: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    detail: Option<String>,
    tests: Vec<TestShown>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let (canner, test) = Asker::new(screen).talk(|asker| {
        let canner = which_canner(args.canner.as_ref(), &ledger, asker)?;
        let untested = args.reads.is_empty() && args.truly.is_empty();
        if args.list || (needs_testing(canner.method).is_err() && untested) {
            return Ok((canner, None));
        }
        let test = gather(&args, &canner, ctx, asker)?;
        Ok((canner, Some(test)))
    })?;
    let Some(test) = test else {
        let tests = ledger.gauge_tests(&canner)?;
        return list(&canner, &tests, screen);
    };
    let ledger = ctx.open_to_write()?;
    let written = ledger.write("gauge", ctx.clock, |write| {
        let outcome = write.test_gauge(&canner, &test)?;
        let summary = format!(
            "gauge of {} on {} {}; loads checked again: {}",
            canner.name,
            test.test.date(),
            test.test.worst(),
            outcome.loads
        );
        Ok((outcome, summary))
    })?;
    let altitude = ledger.household()?.altitude;
    let outcome = written.outcome;
    if screen.json() {
        return screen.answer(&Answer {
            entry: written.entry,
            canner: &canner.name,
            test: TestShown::new(&test, targets(&test.test, altitude)),
            judged: outcome.loads,
            loads: Streamed::new(|take| ledger.each_rejudged(written.entry, take)),
            jars: all(&ledger, &outcome.pulled),
            eaten_or_given: eaten_or_given(&ledger, &outcome.pulled),
            to_tell: to_tell(&ledger, &outcome.pulled)?,
            released: &outcome.released,
        });
    }
    let day = on_screen::day(test.test.date());
    screen.say(format!("Tested the gauge of {} on {day}: it {}.", canner.name, test.test.worst()));
    show_points(&test.test, screen);
    screen.say(advice_in_words(&test.test));
    if let Some(stricter) = test.test.stricter_advice() {
        screen.say(format!("Note: {stricter}."));
    }
    if test.advice() == GaugeAdvice::Correct {
        show_targets(&targets(&test.test, altitude), altitude, screen);
    }
    if test.test.is_of_new_gauge() {
        screen.say(format!(
            "A load of {day} counts as read on either gauge, since nobody knows which came first: begin the day after."
        ));
    }
    if outcome.loads == 0 {
        screen.say("It affects no load on record.");
    }
    rejudged_words::show(&ledger, written.entry, &outcome, screen)?;
    screen.next(format!("`jarledger gauge {} --list` shows the tests on record", quoted(&canner.name)));
    Ok(())
}

/// The canner named, else the one chosen among those with a dial gauge.
fn which_canner(given: Option<&Name>, ledger: &Ledger, asker: &Asker) -> Result<Canner, Failure> {
    if let Some(name) = given {
        return Ok(ledger.canner(name)?);
    }
    let mut dials = ledger.canners()?;
    dials.retain(|canner| needs_testing(canner.method).is_ok());
    let question = Question { ask: "Which canner's gauge?", flag: "CANNER", help: "", default: None };
    if dials.is_empty() && asker.can_ask() {
        return Err(Failure::new(
            Code::NotFound,
            "no canner with a dial gauge is on record, and no other gauge is tested",
            "`jarledger canner list` lists the canners",
        ));
    }
    let names = dials.iter().map(|canner| canner.name.clone()).collect();
    let name = asker.need_one_of(None, question, names, 0)?;
    let chosen = dials.into_iter().find(|canner| canner.name == name);
    Ok(chosen.expect("the name is one of theirs"))
}

fn gather(args: &Args, canner: &Canner, ctx: &Context, asker: &Asker) -> Result<RecordedTest, Failure> {
    needs_testing(canner.method).map_err(|error| {
        Failure::new(
            Code::Refused,
            format!("{}: {error}; nothing was changed", canner.name),
            "see `jarledger canner list` for the canners with a dial gauge",
        )
    })?;
    let today = ctx.clock.today();
    let on = args.on.as_deref().map_or(Ok(today), |given| day(given, ctx))?;
    if on > today {
        return Err(Failure::usage(
            format!("{} is after today, {}", on_screen::day(on), on_screen::day(today)),
            "give the day the gauge was tested",
        ));
    }
    let pressures = |given: &str| {
        given
            .split(',')
            .map(|one| one.trim().parse())
            .collect::<Result<Vec<Pressure>, _>>()
            .map_err(|error| error.to_string())
    };
    let given = |list: Vec<Pressure>| Some(list).filter(|list| !list.is_empty());
    let question = Question {
        ask: "What did the dial read?",
        flag: "--reads PSI,PSI,...",
        help: "The readings, such as 5,10,15",
        default: None,
    };
    let reads = asker.need(given(args.reads.clone()), question, pressures)?;
    let question = Question {
        ask: "What was the true pressure at each?",
        flag: "--true PSI,PSI,...",
        help: "In the same order, such as 4,9,13.5",
        default: None,
    };
    let test = |truly: &[Pressure]| GaugeTest::new(on, args.new_gauge, &reads, truly);
    let truly = asker.need(given(args.truly.clone()), question, |answer| {
        let truly = pressures(answer)?;
        test(&truly).map(|_| truly).map_err(|error| error.to_string())
    })?;
    let test = test(&truly)
        .map_err(|error| Failure::usage(error.to_string(), "give one true pressure for each reading"))?;
    Ok(RecordedTest { test, note: args.note.as_ref().map(ToString::to_string) })
}

fn list(canner: &Canner, tests: &[RecordedTest], screen: &mut Screen) -> Result<(), Failure> {
    let detail = needs_testing(canner.method).err().map(|error| error.to_string());
    if screen.json() {
        return screen.answer(&ListAnswer {
            canner: &canner.name,
            method: canner.method,
            needs_test: detail.is_none(),
            detail,
            tests: tests.iter().map(|test| TestShown::new(test, Vec::new())).collect(),
        });
    }
    if let Some(detail) = detail {
        screen.say(format!("{}: {detail}.", canner.name));
        return Ok(());
    }
    if tests.is_empty() {
        screen.say(format!("No test of the gauge of {} is on record; test it every year.", canner.name));
        screen.next(format!("`jarledger gauge {} --reads 5,10,15 --true 5,10,15`", quoted(&canner.name)));
        return Ok(());
    }
    let mut table = Table::new(["Day", "Dial reads (true)", "At worst", "Advice", "Note"]);
    for recorded in tests {
        let test = &recorded.test;
        let points: Vec<String> = test
            .points()
            .iter()
            .map(|point| format!("{} ({})", point.reads.psi(), point.truly.psi()))
            .collect();
        let fitted = test.is_of_new_gauge().then_some("new gauge");
        let note: Vec<&str> = fitted.into_iter().chain(recorded.note.as_deref()).collect();
        table.row([
            unbroken(&on_screen::day(test.date())),
            points.join(", "),
            test.worst().to_string(),
            test.advice().to_string(),
            note.join("; "),
        ]);
    }
    screen.table(&table);
    Ok(())
}
