//! `correct`: a record found wrong later is amended, with its reason.
//!
//! May use: arguments, recall, talk, answers, ledger, paper, rules, tables, values.

use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::load_lines::{finding_in_words, is_said_by};
use crate::answers::recall::pulled::{all, to_tell};
use crate::answers::streamed::Streamed;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::recall::pull_sheet;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::Screen;
use crate::ledger::amend::correct::Corrected;
use crate::ledger::batch::judging::{Judged, Judging};
use crate::ledger::entry::correction::Correction;
use crate::ledger::entry::write::{EntryId, Written};
use crate::ledger::file::open::Ledger;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::traced::TracedJar;
use crate::values::codes::jar_code::JarCode;
use crate::values::time::clock::Clock;

pub(in crate::cli) mod args;
mod asked;
mod known;
mod of_batch;
mod of_jar;
mod of_load;
mod why;

use args::{Amended, Args, Record};
use known::Known;

#[derive(serde::Serialize)]
struct Answer<'a> {
    entry: EntryId,
    corrections: Vec<Correction>,
    judged: Vec<&'a Judged>,
    put_on_hold: Vec<JarCode>,
    let_go: Vec<JarCode>,
    /// Every jar of the loads withheld from now on, also those eaten or given away.
    pull: Streamed<'a, TracedJar>,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open_to_write()?;
    let Gathered { of, changes: Amended { amendments, lid_lot, .. }, reason } =
        Asker::new(screen).talk(|asker| gather(args.record.as_ref(), &ledger, ctx, asker))?;
    let written = ledger.write("correct", ctx.clock, |write| {
        let judged = write.correct(of, &amendments, reason.as_str())?;
        if let (Some(Known(lot)), Corrected::Load(load)) = (&lid_lot, of) {
            write.correct_lid_lot(load, lot.as_ref(), reason.as_str())?;
        }
        Ok((judged, format!("{}: {reason}", named(of))))
    })?;
    show(&ledger, of, written, ctx.clock, screen)
}

/// What is corrected, how and why.
struct Gathered {
    of: Corrected,
    changes: Amended,
    reason: Reason,
}

fn gather(
    record: Option<&Record>,
    ledger: &Ledger,
    ctx: &Context,
    asker: &Asker,
) -> Result<Gathered, Failure> {
    let of = asked::which(record, ledger, ctx.clock, asker)?;
    let changes = match (of, record) {
        (Corrected::Batch(code), record) => {
            let given = if let Some(Record::Batch(args)) = record { Some(args) } else { None };
            amended(given, of, asker, |args| Ok(of_batch::amended(args, code, ledger, ctx)?.into()))?
        }
        (Corrected::Load(code), record) => {
            let given = if let Some(Record::Load(args)) = record { Some(&**args) } else { None };
            amended(given, of, asker, |args| {
                let amendments = of_load::amended(args, code, ledger, ctx.clock)?;
                Ok(Amended { amendments, lid_lot: args.lid_lot.clone(), again: args.again })
            })?
        }
        (Corrected::Jar(_), record) => {
            let given = if let Some(Record::Jar(args)) = record { Some(args) } else { None };
            amended(given, of, asker, |args| Ok(of_jar::amended(args, ctx)?.into()))?
        }
    };
    let given = record.and_then(|record| match record {
        Record::Batch(args) => args.why.reason.clone(),
        Record::Load(args) => args.why.reason.clone(),
        Record::Jar(args) => args.why.reason.clone(),
    });
    let question =
        Question { ask: "Why was the record wrong?", flag: "--reason REASON", help: "", default: None };
    Ok(Gathered { of, changes, reason: asker.need(given, question, str::parse)? })
}

/// What the flags amend, else what the answers do.
fn amended<A: clap::Args>(
    given: Option<&A>,
    of: Corrected,
    asker: &Asker,
    read: impl Fn(&A) -> Result<Amended, Failure>,
) -> Result<Amended, Failure> {
    let said = given.map(&read).transpose()?.unwrap_or_default();
    if !said.is_empty() {
        return Ok(said);
    }
    if !asker.can_ask() {
        return Err(Failure::usage(
            "nothing to correct was given; nothing was changed",
            "name the field: see `jarledger correct --help`",
        ));
    }
    asked::field(of, asker, read)
}

fn named(of: Corrected) -> String {
    match of {
        Corrected::Batch(code) => format!("batch {code}"),
        Corrected::Load(code) => format!("load {code}"),
        Corrected::Jar(code) => format!("jar {code}"),
    }
}

fn show(
    ledger: &Ledger,
    of: Corrected,
    written: Written<Vec<Judging>>,
    clock: Clock,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let Written { entry, outcome: loads } = written;
    let corrections = ledger.corrections_of(entry)?;
    let put_on_hold: Vec<JarCode> = loads.iter().flat_map(|load| &load.held).map(|jar| jar.code).collect();
    let let_go: Vec<JarCode> = loads.iter().flat_map(|load| &load.released).map(|jar| jar.code).collect();
    let newly = loads.iter().filter(|load| load.is_newly_withheld());
    let withheld = newly.map(|load| load.judged.load).collect::<Vec<_>>();
    let judged: Vec<&Judged> = loads.iter().map(|load| &load.judged).collect();
    let pull = if withheld.is_empty() {
        None
    } else {
        Some(ledger.trace(&TraceQuery { loads: withheld, ..TraceQuery::default() })?)
    };
    if screen.json() {
        let pull = all(ledger, pull.as_ref());
        return screen.answer(&Answer { entry, corrections, judged, put_on_hold, let_go, pull });
    }
    say_corrections(&named(of), &corrections, clock, screen);
    for load in judged {
        let story = ledger.batch_story(load.load.batch)?;
        let of_load = story.loads.iter().find(|other| other.load.code == load.load);
        let verdict = of_load.map(|other| {
            other.compared_with(&story.batch, &other.sizes()).verdict(load.verdict, &load.findings)
        });
        screen.say(format!("Load {}: {}", load.load, verdict.unwrap_or_else(|| load.verdict.to_string())));
        for finding in load.findings.iter().filter(|finding| !is_said_by(Some(load.verdict), finding)) {
            screen.say(format!("- {}", finding_in_words(finding)));
        }
    }
    say_codes("Put on hold", &put_on_hold, screen);
    say_codes("No longer on hold", &let_go, screen);
    if let Some(traced) = pull.filter(|traced| !traced.is_empty()) {
        screen.say("");
        pull_sheet::show(ledger, &traced, screen)?;
        pull_sheet::warn(&traced, &to_tell(ledger, &traced)?, screen);
    }
    screen.next(format!("`jarledger undo {}` undoes it", entry.0));
    Ok(())
}

fn say_codes(what: &str, codes: &[JarCode], screen: &mut Screen) {
    if !codes.is_empty() {
        let codes: Vec<String> = codes.iter().map(ToString::to_string).collect();
        screen.say(format!("{what}: {}", codes.join(" ")));
    }
}
