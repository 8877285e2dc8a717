//! Jars named on the command line, the same way for every command.

use crate::answers::jars::stands::at;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::{Asker, Question};
use crate::cli::talk::offers::Offers;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::rules::jar::jar_state::JarState;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::jar_word::JarWord;
use crate::values::names::name::Name;
use crate::values::time::on_screen;

/// The jars a command is about.
#[derive(Debug, Clone, clap::Args)]
pub(in crate::cli) struct JarsArg {
    /// Jars: codes such as 26-041-03-3, a batch and its jars such as 26-041 3,5-7, or words for what is in it
    #[arg(value_name = "JAR")]
    jars: Vec<JarWord>,
    /// The state of the jars that are offered before all others.
    #[arg(skip)]
    first: Option<JarState>,
}

/// One of several jars that words may mean, as chosen.
fn one_of(jars: Vec<Jar>, asker: &Asker) -> Result<Jar, Failure> {
    let offers = jars.iter().map(|jar| {
        let place = at(jar.state, jar.place.as_deref());
        let held = if jar.on_hold { ", ON HOLD" } else { "" };
        format!(
            "{}  {}, {}{place}, best by {}{held}",
            jar.code,
            jar.product,
            jar.size,
            on_screen::day(jar.best_by)
        )
    });
    let question = Question { ask: "Which jar?", flag: "JAR", help: "", default: None };
    let chosen = asker.need_one_of(None, question, offers.collect(), 0)?;
    let jar = jars.into_iter().find(|jar| chosen.starts_with(&jar.code.to_string()));
    Ok(jar.expect("every offer begins with the code of a jar"))
}

/// The jars found.
#[derive(Debug)]
pub(in crate::cli) struct Named {
    /// Each once, in the order named.
    pub(in crate::cli) jars: Vec<Jar>,
    /// Whether only batches were named, without numbers.
    pub(in crate::cli) by_batch: bool,
}

impl JarsArg {
    /// A whole batch.
    pub(in crate::cli) fn of_batch(batch: BatchCode) -> Self {
        Self { jars: vec![JarWord::Batch(batch)], first: None }
    }

    /// Takes `to my aunt` off the end of the words; nothing where they do not end so.
    pub(in crate::cli) fn taken_to(&mut self) -> Option<Name> {
        let is_to =
            |word: &JarWord| matches!(word, JarWord::Product(word) if word.eq_ignore_ascii_case("to"));
        let at = self.jars.iter().position(is_to).filter(|at| *at > 0)?;
        let words: Option<Vec<String>> = self.jars[at + 1..]
            .iter()
            .map(|word| match word {
                JarWord::Product(word) => Some(word.clone()),
                JarWord::Numbers(list) => Some(list.to_string()),
                _ => None,
            })
            .collect();
        let to = words?.join(" ").parse().ok()?;
        self.jars.truncate(at);
        Some(to)
    }

    /// Offers jars of this state before all others.
    pub(in crate::cli) fn offer_first(&mut self, state: JarState) {
        self.first = Some(state);
    }

    /// Whether no jar is named.
    pub(in crate::cli) fn is_empty(&self) -> bool {
        self.jars.is_empty()
    }

    /// Finds the jars; where none is named they are asked for, and these offered.
    pub(in crate::cli) fn find(
        &self,
        ledger: &Ledger,
        bare: BareBatch,
        asker: &Asker,
        offers: impl FnOnce() -> Result<Offers, Failure>,
    ) -> Result<Named, Failure> {
        let find = |words: &[JarWord]| {
            let by_batch = words.iter().all(|word| matches!(word, JarWord::Batch(_) | JarWord::Either(..)));
            Ok::<_, Failure>(Named { jars: ledger.jars_named(words, bare)?, by_batch })
        };
        if !self.is_empty() {
            return match ledger.jars_named(&self.jars, bare) {
                Err(LedgerError::SeveralJars { given, among }) => {
                    let mut jars =
                        among.into_iter().map(|code| ledger.jar(code)).collect::<Result<Vec<Jar>, _>>()?;
                    if let Some(first) = self.first {
                        jars.sort_by_key(|jar| jar.state != first);
                    }
                    if asker.can_ask() {
                        return Ok(Named { jars: vec![one_of(jars, asker)?], by_batch: false });
                    }
                    let among = jars.iter().map(|jar| jar.code).collect();
                    Err(LedgerError::SeveralJars { given, among }.into())
                }
                _ => find(&self.jars),
            };
        }
        let question = Question {
            ask: "Which jars?",
            flag: "JAR",
            help: match bare {
                BareBatch::Refused => "A code such as 26-041-03-3, or a batch and its jars: 26-041 3,5-7",
                BareBatch::WholeBatch => {
                    "A batch such as 26-041, some jars of it: 26-041 3,5-7, or whole codes"
                }
            },
            default: None,
        };
        asker.need_offering(None, question, offers, |answer| {
            let words: Result<Vec<JarWord>, _> = answer.split_whitespace().map(str::parse).collect();
            match words {
                Ok(words) if words.is_empty() => Err("Name at least one jar.".to_owned()),
                Ok(words) => find(&words).map_err(Failure::in_one_line),
                Err(error) => Err(error.to_string()),
            }
        })
    }
}
