//! `correct`: a record found wrong later is amended, with its reason.

use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::load_lines::{finding_in_words, is_said_by};
use crate::cli::arguments::day::day;
use crate::cli::arguments::moment::Moment;
use crate::cli::arguments::pressure_given::PressureGiven;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::recall::pull_sheet;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::screen::{Screen, Streamed};
use crate::ledger::batch::judging::{Judged, Judging};
use crate::ledger::entry::correct::{Amendment, Corrected, Correction};
use crate::ledger::entry::write::{EntryId, Written};
use crate::ledger::file::open::Ledger;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::traced::TracedJar;
use crate::rules::load::run_time::Drop;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::acid::AcidRecord;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::names::name::Name;
use crate::values::time::clock::Clock;

mod amendments;
mod asked;
mod known;

use known::{Known, Minutes};

/// Amend a record found wrong; what it said before stays readable
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    record: Option<Record>,
}

#[derive(Debug, clap::Subcommand)]
enum Record {
    /// Amend a batch as a whole
    Batch(BatchArgs),
    /// Amend a load, which is then checked again
    Load(Box<LoadArgs>),
    /// Amend a jar
    Jar(JarArgs),
}

#[derive(Debug, clap::Args)]
struct BatchArgs {
    /// The batch, such as 26-041
    batch: Option<BatchCode>,
    /// What is in the jars
    #[arg(long, value_name = "NAME")]
    product: Option<Name>,
    /// The food of the process tables; none: no food of the tables
    #[arg(long, value_name = "FOOD")]
    food: Option<String>,
    /// low-acid, acid or acidified, for a food the tables do not know; or unknown
    #[arg(long)]
    acidity: Option<Known<Acidity>>,
    /// hot, raw or unknown
    #[arg(long)]
    pack: Option<Known<Pack>>,
    /// The day it was put up; best-by dates reckoned from it go along
    #[arg(long, value_name = "DAY", allow_hyphen_values = true)]
    put_up: Option<String>,
    /// The note on it; empty: none
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Your word, and whose, that its process was right where none is on record; empty: nobody's
    #[arg(long, value_name = "TEXT")]
    vouched: Option<String>,
    /// Why its name is right although it names another food; empty: no reason
    #[arg(long, value_name = "TEXT")]
    name_reason: Option<String>,
    #[command(flatten)]
    why: Why,
}

#[derive(Debug, clap::Args)]
struct LoadArgs {
    /// The load, such as 26-041/1
    load: Option<LoadCode>,
    /// The canner
    #[arg(long, value_name = "NAME")]
    canner: Option<Name>,
    /// Where it stood, such as 850ft or 260m; or unknown
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    altitude: Option<Known<Altitude>>,
    /// Lowest reading of the dial while the time ran, or the weight; or unknown
    #[arg(long, value_name = "PSI", allow_hyphen_values = true)]
    pressure: Option<Known<PressureGiven>>,
    /// Minutes at pressure or at a full boil; or unknown
    #[arg(long)]
    minutes: Option<Known<Minutes<1_440>>>,
    /// Minutes of venting; or unknown
    #[arg(long, value_name = "MINUTES")]
    vent: Option<Known<Minutes<240>>>,
    /// Minutes from closing the vent to pressure; or unknown
    #[arg(long, value_name = "MINUTES")]
    come_up: Option<Known<Minutes<600>>>,
    /// lemon-juice, citric-acid, vinegar, none or unknown; lemon-juice:short for less than the measure
    #[arg(long)]
    acid: Option<Known<AcidRecord>>,
    /// When pressure or a full boil was reached; or unknown
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    reached: Option<Known<Moment>>,
    /// When the heat went off; or unknown
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    ended: Option<Known<Moment>>,
    /// When the jars came out
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    out: Option<Moment>,
    /// Every drop there was, such as 14:05-14:12; may be repeated
    #[arg(long = "drop", value_name = "FROM-TO", conflicts_with = "no_drop")]
    drops: Vec<Drop>,
    /// There was no drop
    #[arg(long)]
    no_drop: bool,
    /// What went wrong; none: nothing did
    #[arg(long, value_name = "TEXT")]
    went_wrong: Option<String>,
    /// Lot of the lids of all its jars; or unknown
    #[arg(long, value_name = "LOT")]
    lid_lot: Option<Known<Name>>,
    /// Nothing in it is wrong: check it again by the rules of this release
    #[arg(long)]
    again: bool,
    #[command(flatten)]
    why: Why,
}

#[derive(Debug, clap::Args)]
struct JarArgs {
    /// The jar, such as 26-041-03-3
    jar: Option<JarCode>,
    /// Best quality until this day
    #[arg(long, value_name = "DAY", allow_hyphen_values = true)]
    best_by: Option<String>,
    /// Its size
    #[arg(long)]
    size: Option<JarSize>,
    /// Lot of its lid; or unknown
    #[arg(long, value_name = "LOT")]
    lid_lot: Option<Known<Name>>,
    /// The note on it; empty: none
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    why: Why,
}

#[derive(Debug, clap::Args)]
struct Why {
    /// Why the record was wrong
    #[arg(long, value_name = "REASON")]
    reason: Option<Reason>,
}

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
    let Gathered { of, said: Told { amendments, lid_lot, .. }, reason } =
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
    said: Told,
    reason: Reason,
}

/// What the record should say.
#[derive(Debug, Default)]
struct Told {
    amendments: Vec<Amendment>,
    /// The lid lot of every jar of a load.
    lid_lot: Option<Known<Name>>,
    /// Whether the load is only checked again.
    again: bool,
}

impl Told {
    fn is_empty(&self) -> bool {
        self.amendments.is_empty() && self.lid_lot.is_none() && !self.again
    }
}

impl From<Vec<Amendment>> for Told {
    fn from(amendments: Vec<Amendment>) -> Self {
        Self { amendments, lid_lot: None, again: false }
    }
}

fn gather(
    record: Option<&Record>,
    ledger: &Ledger,
    ctx: &Context,
    asker: &Asker,
) -> Result<Gathered, Failure> {
    let of = asked::which(record, ledger, ctx.clock, asker)?;
    let said = match (of, record) {
        (Corrected::Batch(code), record) => {
            let given = if let Some(Record::Batch(args)) = record { Some(args) } else { None };
            amended(given, of, asker, |args| Ok(amendments::of_batch(args, code, ledger, ctx)?.into()))?
        }
        (Corrected::Load(code), record) => {
            let given = if let Some(Record::Load(args)) = record { Some(&**args) } else { None };
            amended(given, of, asker, |args| {
                let amendments = amendments::of_load(args, code, ledger, ctx.clock)?;
                Ok(Told { amendments, lid_lot: args.lid_lot.clone(), again: args.again })
            })?
        }
        (Corrected::Jar(_), record) => {
            let given = if let Some(Record::Jar(args)) = record { Some(args) } else { None };
            amended(given, of, asker, |args| Ok(amendments::of_jar(args, ctx)?.into()))?
        }
    };
    let given = record.and_then(|record| match record {
        Record::Batch(args) => args.why.reason.clone(),
        Record::Load(args) => args.why.reason.clone(),
        Record::Jar(args) => args.why.reason.clone(),
    });
    let question =
        Question { ask: "Why was the record wrong?", flag: "--reason REASON", help: "", default: None };
    Ok(Gathered { of, said, reason: asker.need(given, question, str::parse)? })
}

/// What the flags amend, else what the answers do.
fn amended<A: clap::Args>(
    given: Option<&A>,
    of: Corrected,
    asker: &Asker,
    read: impl Fn(&A) -> Result<Told, Failure>,
) -> Result<Told, Failure> {
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
        let pull = Streamed::new(|take| match &pull {
            Some(traced) => ledger.each_traced(traced, 0..traced.len(), take),
            None => Ok(()),
        });
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
        pull_sheet::warn(ledger, &traced, screen)?;
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

/// A text, or none where it is empty.
fn text(given: &str) -> Option<String> {
    Some(given.trim().to_owned()).filter(|text| !text.is_empty())
}

/// Refuses a time that does not fit with the load's others.
fn refused(what: &str) -> Failure {
    Failure::new(
        Code::Usage,
        format!("{what}; nothing was changed"),
        "look at the times again, with those on record; with its day one is written 2026-08-14T14:05",
    )
}
