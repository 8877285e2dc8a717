//! What the commands that let something happen to jars have in common.

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use crate::cli::arguments::happened_on::HappenedOn;
use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::rules::jar::jar_state::{Act, JarState};

/// Jars, and when it happened to them.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct JarsAndWhen {
    #[command(flatten)]
    jars: JarsArg,
    #[command(flatten)]
    on: HappenedOn,
}

/// What was written down.
pub(in crate::cli) struct Done {
    /// The entry.
    pub(in crate::cli) entry: EntryId,
    /// Each jar.
    pub(in crate::cli) jars: Vec<Happened>,
}

/// How history tells an act, and its particulars.
pub(in crate::cli) struct Acting {
    /// The past tense that begins the line in history: "opened".
    pub(in crate::cli) past: &'static str,
    /// What follows the jars in that line: ", to the neighbours"; or nothing.
    pub(in crate::cli) then: String,
    /// Place, person, reason.
    pub(in crate::cli) particulars: Particulars,
}

impl Acting {
    /// An act with nothing more to it.
    pub(in crate::cli) fn plain(past: &'static str) -> Self {
        Self { past, then: String::new(), particulars: Particulars::default() }
    }
}

impl JarsAndWhen {
    /// Lets the act happen to every jar named, in one entry; `more` gathers what else there is to know.
    pub(in crate::cli) fn let_happen<T>(
        &self,
        act: Act,
        ctx: &Context,
        screen: &Screen,
        more: impl Fn(&Ledger, &Asker) -> Result<(Acting, T), Failure>,
    ) -> Result<(Done, T), Failure> {
        let when = self.on.read(ctx.clock)?;
        let ledger = ctx.open_to_write()?;
        let (jars, (acting, known)) = Asker::new(screen).talk(|asker| {
            let offers = || jar_offers::jars(Offered::That(act), &ledger, ctx.clock);
            let named = self.jars.find(&ledger, BareBatch::Refused, asker, offers)?;
            Ok((named.jars, more(&ledger, asker)?))
        })?;
        let written = ledger.write(act.as_str(), ctx.clock, |write| {
            let happened = write.act_on(&jars, act, when, &acting.particulars)?;
            let summary = format!("{} {}{}", acting.past, in_a_row(&happened), acting.then);
            Ok::<_, LedgerError>((happened, summary))
        })?;
        Ok((Done { entry: written.entry, jars: written.outcome }, known))
    }
}

/// Most jars named in one line.
const NAMED: usize = 4;

/// Names the jars with what is in them, or counts them where they are many.
pub(in crate::cli) fn in_a_row(jars: &[Happened]) -> String {
    let mut told: Vec<String> = jars
        .iter()
        .take(NAMED)
        .map(|happened| format!("{} {}", happened.jar.jar.code, happened.jar.jar.product))
        .collect();
    match jars.len().saturating_sub(NAMED) {
        0 => {}
        1 => told.push("1 more jar".to_owned()),
        more => told.push(format!("{more} more jars")),
    }
    told.join(", ")
}

/// The answer of such a command, with what it has to add.
#[derive(Serialize)]
pub(in crate::cli) struct Answer<'a, T: Serialize> {
    entry: EntryId,
    jars: Vec<Told<'a>>,
    #[serde(flatten)]
    more: T,
}

#[derive(Serialize)]
struct Told<'a> {
    #[serde(flatten)]
    jar: &'a Jar,
    from: JarState,
    at: DateTime<FixedOffset>,
}

impl Done {
    /// The answer in JSON.
    pub(in crate::cli) fn answer<T: Serialize>(&self, more: T) -> Answer<'_, T> {
        let jars = self
            .jars
            .iter()
            .map(|happened| Told { jar: &happened.jar.jar, from: happened.from, at: happened.at })
            .collect();
        Answer { entry: self.entry, jars, more }
    }

    /// Says what happened, one line a jar, beginning with `past`: "Opened".
    pub(in crate::cli) fn say(&self, past: &str, screen: &mut Screen) {
        for happened in &self.jars {
            let jar = &happened.jar.jar;
            let place = jar.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
            screen.say(format!(
                "{past} {} {} ({}), put up {}{place}.",
                jar.code, jar.product, jar.size, jar.put_up
            ));
        }
    }

    /// Says how to take it back.
    pub(in crate::cli) fn say_undo(&self, screen: &mut Screen) {
        screen.next(format!("`jarledger undo {}` takes this back", self.entry.0));
    }
}
