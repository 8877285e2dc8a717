//! What the person says is wrong, where no argument said it.

use std::error::Error as _;

use clap::{ArgAction, Command};

use crate::cli::errors::Failure;
use crate::cli::record::correct::args::{Amended, Record};
use crate::cli::record::correct::of_batch::BatchArgs;
use crate::cli::record::correct::of_jar::JarArgs;
use crate::cli::record::correct::of_load::LoadArgs;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::offers::{CURSOR, Offer, Offers};
use crate::cli::talk::stderr::terminal_columns;
use crate::ledger::amend::correct::Corrected;
use crate::ledger::file::open::Ledger;
use crate::paper::text::plain::cut;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::load_code::LoadCode;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// Batches whose loads are offered.
const LATELY: usize = 20;

/// The record named, else the one asked for, which the shape of its code gives away.
pub(super) fn which(
    record: Option<&Record>,
    ledger: &Ledger,
    clock: Clock,
    asker: &Asker,
) -> Result<Corrected, Failure> {
    let question = |ask, flag, help| Question { ask, flag, help, default: None };
    let batches = || jar_offers::batches(ledger, |_| true);
    match record {
        Some(Record::Batch(BatchArgs { batch, .. })) => {
            let question = question("Which batch?", "BATCH", "A code such as 26-041");
            asker.need_offering(batch.map(Corrected::Batch), question, batches, |code| batch_of(code, ledger))
        }
        Some(Record::Load(args)) => {
            let LoadArgs { load, .. } = &**args;
            let question = question("Which load?", "LOAD", "A code such as 26-041/1");
            asker.need_offering(
                load.map(Corrected::Load),
                question,
                || loads(ledger),
                |code| load_of(code, ledger),
            )
        }
        Some(Record::Jar(JarArgs { jar, .. })) => {
            let question = question("Which jar?", "JAR", "A code such as 26-041-03-3");
            let jars = || jar_offers::jars(Offered::InTheHouse, ledger, clock);
            asker.need_offering(jar.map(Corrected::Jar), question, jars, |code| jar_of(code, ledger))
        }
        None if !asker.can_ask() => Err(Failure::usage(
            "name the record that is wrong; nothing was changed",
            "`jarledger correct batch 26-041`, `correct load 26-041/1` or `correct jar 26-041-03-3`, and its field",
        )),
        None => {
            let question = question(
                "Which record is wrong?",
                "batch|load|jar CODE",
                "A batch such as 26-041, a load such as 26-041/1, a jar such as 26-041-03-3",
            );
            asker.need_offering(None, question, batches, |code| {
                if code.contains('/') {
                    load_of(code, ledger)
                } else if code.matches('-').count() > 1 {
                    jar_of(code, ledger)
                } else {
                    batch_of(code, ledger)
                }
            })
        }
    }
}

fn batch_of(code: &str, ledger: &Ledger) -> Result<Corrected, String> {
    let code: BatchCode =
        code.parse().map_err(|error: <BatchCode as std::str::FromStr>::Err| error.to_string())?;
    ledger.batch(code).map_err(|error| Failure::from(error).in_one_line())?;
    Ok(Corrected::Batch(code))
}

fn load_of(code: &str, ledger: &Ledger) -> Result<Corrected, String> {
    let code: LoadCode =
        code.parse().map_err(|error: <LoadCode as std::str::FromStr>::Err| error.to_string())?;
    ledger.load(code).map_err(|error| Failure::from(error).in_one_line())?;
    Ok(Corrected::Load(code))
}

fn jar_of(code: &str, ledger: &Ledger) -> Result<Corrected, String> {
    let code: JarCode =
        code.parse().map_err(|error: <JarCode as std::str::FromStr>::Err| error.to_string())?;
    ledger.jar(code).map_err(|error| Failure::from(error).in_one_line())?;
    Ok(Corrected::Jar(code))
}

/// The loads of the latest batches.
fn loads(ledger: &Ledger) -> Result<Offers, Failure> {
    let mut offers = Vec::new();
    for line in jar_offers::lately(ledger, LATELY, |_| true)? {
        for load in ledger.loads_of_batch(line.batch.code)? {
            let canner = load.canner.map(|canner| format!(", {canner}")).unwrap_or_default();
            let about =
                format!("{}, put up {}{canner}", line.batch.product, on_screen::day(line.batch.put_up));
            offers.push(Offer { answer: load.code.to_string(), about });
        }
    }
    Ok(Offers::new(offers))
}

/// A field, by its flag and what the help says of it.
#[derive(Debug, Clone)]
struct Field {
    flag: String,
    about: String,
    /// Whether the flag alone says it, without a value.
    is_alone: bool,
}

impl std::fmt::Display for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let line = format!("{}  {}", self.flag, self.about);
        f.write_str(&cut(&line, terminal_columns().unwrap_or(80).saturating_sub(CURSOR)))
    }
}

/// Asks which field is wrong and what it should say. The answer is read as that of its flag is, so
/// that both take the same.
pub(super) fn field<A: clap::Args>(
    of: Corrected,
    asker: &Asker,
    read: impl Fn(&A) -> Result<Amended, Failure>,
) -> Result<Amended, Failure> {
    let command = A::augment_args(Command::new("correct"));
    let fields: Vec<Field> = command
        .get_arguments()
        .filter(|arg| arg.get_id() != "reason")
        .filter_map(|arg| {
            Some(Field {
                flag: arg.get_long()?.to_owned(),
                about: arg.get_help().map(ToString::to_string).unwrap_or_default(),
                is_alone: matches!(arg.get_action(), ArgAction::SetTrue),
            })
        })
        .collect();
    let question = Question { ask: "What is wrong in it?", flag: "--FIELD", help: "", default: None };
    let field = asker.need_one_of(None, question, fields, 0)?;
    let code = match of {
        Corrected::Batch(code) => code.to_string(),
        Corrected::Load(code) => code.to_string(),
        Corrected::Jar(code) => code.to_string(),
    };
    let said = |given: String| {
        let matches = command
            .clone()
            .try_get_matches_from(["correct", &code, &given])
            .map_err(|error| error.source().map_or_else(|| error.kind().to_string(), ToString::to_string))?;
        let args = A::from_arg_matches(&matches).map_err(|error| error.kind().to_string())?;
        read(&args).map_err(Failure::in_one_line)
    };
    if field.is_alone {
        return said(format!("--{}", field.flag))
            .map_err(|what| Failure::usage(what, "see `jarledger correct --help`"));
    }
    let question = Question {
        ask: "What should it say?",
        flag: &format!("--{}", field.flag),
        help: &field.about,
        default: None,
    };
    asker.need(None, question, |answer| said(format!("--{}={answer}", field.flag)))
}
