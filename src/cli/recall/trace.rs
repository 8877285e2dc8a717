use crate::answers::recall::trace::{Answer, Held, hold};
use crate::cli::arguments::day::day;
use crate::cli::arguments::reason::Reason;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::recall::pull_sheet::{show, warn};
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::jar_offers;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::trace::query::TraceQuery;
use crate::ledger::trace::trace_links::LinkKind;
use crate::ledger::trace::traced::Traced;
use crate::values::codes::jar_word::JarWord;
use crate::values::codes::load_code::LoadCode;
use crate::values::names::counted::jars;
use crate::values::names::name::Name;
use crate::values::names::quoted::quoted;
use crate::values::time::on_screen;

/// Find every jar that shares a batch, load, lid lot, canner, gauge test, ingredient lot or date
///
/// Several of one kind widen the search; different kinds narrow it. A jar stands
/// for its whole batch.
#[derive(Debug, Default, clap::Args)]
pub(in crate::cli) struct Args {
    /// Jars such as 26-041-03-3, batches such as 26-041, loads such as 26-041/2
    #[arg(value_name = "JAR|BATCH|LOAD")]
    codes: Vec<Code>,
    /// Jars under lids of this lot
    #[arg(long, value_name = "LOT")]
    lid_lot: Vec<Name>,
    /// Jars processed in this canner
    #[arg(long, value_name = "NAME")]
    canner: Vec<Name>,
    /// Jars of the loads that a gauge test of this day applies to
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    gauge_test: Vec<String>,
    /// Jars with something of this lot in them
    #[arg(long, value_name = "LOT")]
    ingredient_lot: Vec<Name>,
    /// Jars put up on this day or later
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    from: Option<String>,
    /// Jars put up on this day or earlier
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    to: Option<String>,
    /// Put every jar found that is still in the house on hold, for this reason
    #[arg(long, value_name = "REASON")]
    hold: Option<Reason>,
}

/// A code on the command line.
#[derive(Debug, Clone)]
enum Code {
    Load(LoadCode),
    Jar(JarWord),
}

impl std::str::FromStr for Code {
    type Err = String;

    fn from_str(given: &str) -> Result<Self, String> {
        if given.contains('/') {
            return given
                .parse()
                .map(Self::Load)
                .map_err(|error: crate::values::codes::jar_code::CodeError| error.to_string());
        }
        given.parse().map(Self::Jar).map_err(|error: <JarWord as std::str::FromStr>::Err| error.to_string())
    }
}

pub(in crate::cli) fn run(mut args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if args.is_empty() {
        let asker = Asker::new(screen);
        if !asker.can_ask() {
            return Err(Failure::usage(
                "nothing to trace from was given",
                "give the code of a jar, batch or load, or --lid-lot, --canner, --gauge-test, --ingredient-lot, \
                 --from or --to",
            ));
        }
        let question = Question {
            ask: "Which jar, batch or load?",
            flag: "JAR|BATCH|LOAD",
            help: "A code such as 26-041-03-3, 26-041 or 26-041/2",
            default: None,
        };
        let ledger = ctx.open()?;
        let offers = || jar_offers::batches(&ledger, |_| true);
        args.codes = asker.need_offering(None, question, offers, |answer| {
            let codes = answer.split_whitespace().map(str::parse).collect::<Result<Vec<Code>, _>>()?;
            if codes.is_empty() {
                return Err("Name at least one.".to_owned());
            }
            let asked = Args { codes, ..Args::default() };
            asked.query(&ledger, ctx).map_err(Failure::in_one_line)?;
            Ok(asked.codes)
        })?;
    }
    let Some(reason) = args.hold.clone() else {
        let ledger = ctx.open()?;
        let query = args.query(&ledger, ctx)?;
        return ledger.at_one_moment(|ledger| {
            let here = find_and_show(ledger, &query, None, screen)?;
            if here > 0 {
                screen.next(format!("the same with `--hold REASON` puts {} on hold", jars(here)));
            }
            Ok(())
        });
    };
    let ledger = ctx.open_to_write()?;
    let query = args.query(&ledger, ctx)?;
    let held = hold(&ledger, &query, reason.as_str(), ctx.clock)?;
    if !screen.json() {
        screen.say(match held.newly_held {
            0 => "Nothing was left to put on hold.".to_owned(),
            newly => format!("Put {} on hold: {reason}.", jars(newly)),
        });
    }
    ledger.at_one_moment(|ledger| find_and_show(ledger, &query, Some(&held), screen).map(drop))?;
    screen.next(
        "`jarledger discard JAR --why ...` shows how to get rid of a jar; `jarledger release` releases one",
    );
    Ok(())
}

impl Args {
    fn is_empty(&self) -> bool {
        self.codes.is_empty()
            && self.lid_lot.is_empty()
            && self.canner.is_empty()
            && self.gauge_test.is_empty()
            && self.ingredient_lot.is_empty()
            && self.from.is_none()
            && self.to.is_none()
    }

    /// Reads codes and days; a code that names nothing is refused here, with the nearest real ones.
    fn query(&self, ledger: &Ledger, ctx: &Context) -> Result<TraceQuery, Failure> {
        let days =
            |given: &[String]| given.iter().map(|given| day(given, ctx)).collect::<Result<Vec<_>, _>>();
        let mut query = TraceQuery {
            lid_lots: self.lid_lot.clone(),
            canners: self.canner.clone(),
            gauge_tests: days(&self.gauge_test)?,
            ingredient_lots: self.ingredient_lot.clone(),
            from: self.from.as_deref().map(|given| day(given, ctx)).transpose()?,
            to: self.to.as_deref().map(|given| day(given, ctx)).transpose()?,
            ..TraceQuery::default()
        };
        if let (Some(from), Some(to)) = (query.from, query.to)
            && from > to
        {
            return Err(Failure::usage(
                format!("{} comes after {}", on_screen::day(from), on_screen::day(to)),
                format!("give the earlier day first: --from {to} --to {from}"),
            ));
        }
        let mut words = Vec::new();
        let mut codes = self.codes.iter().peekable();
        while let Some(code) = codes.next() {
            let numbers_follow =
                matches!(codes.peek(), Some(Code::Jar(JarWord::Numbers(_) | JarWord::Either(..))));
            match code {
                Code::Load(load) => query.loads.push(*load),
                Code::Jar(JarWord::Batch(batch)) if !numbers_follow => query.batches.push(*batch),
                Code::Jar(JarWord::Either(batch, _)) if words.is_empty() => query.batches.push(*batch),
                Code::Jar(word) => words.push(word.clone()),
            }
        }
        query.jars = ledger.jars_named(&words, BareBatch::WholeBatch)?.iter().map(|jar| jar.code).collect();
        Ok(query)
    }
}

/// Finds the jars and shows them; how many in the house are not on hold.
fn find_and_show(
    ledger: &Ledger,
    query: &TraceQuery,
    hold: Option<&Held>,
    screen: &mut Screen,
) -> Result<usize, Failure> {
    let traced = ledger.trace(query)?;
    let answer = Answer::of(ledger, query, &traced, hold)?;
    if screen.json() {
        screen.answer(&answer)?;
    } else {
        say(ledger, &traced, &answer, screen)?;
    }
    Ok(traced.in_house() - traced.on_hold())
}

fn say(ledger: &Ledger, traced: &Traced, answer: &Answer<'_>, screen: &mut Screen) -> Result<(), Failure> {
    let (here, held) = (traced.in_house(), traced.on_hold());
    screen.say(format!("{} found: {here} in the house, {held} of them on hold.", jars(traced.len())));
    show(ledger, traced, screen)?;
    for link in &answer.shares {
        let (what, flag) = match link.kind {
            LinkKind::LidLot => ("lid lot", "--lid-lot"),
            LinkKind::Canner => ("canner", "--canner"),
            LinkKind::IngredientLot => ("ingredient lot", "--ingredient-lot"),
        };
        screen.say(format!(
            "{what} {}: {}, see `jarledger trace {flag} {}`",
            link.name,
            jars(link.jars as usize),
            quoted(&link.name)
        ));
    }
    if traced.may_have_been_eaten() || held > 0 {
        warn(traced, &answer.to_tell, screen);
    }
    Ok(())
}
