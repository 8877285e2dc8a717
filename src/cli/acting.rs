//! What the commands that let something happen to jars have in common.

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use super::ask::Asker;
use super::context::Context;
use super::errors::Failure;
use super::happened_on::HappenedOn;
use super::jar_offers::{self, Offered};
use super::jars_arg::JarsArg;
use super::screen::Screen;
use crate::ledger::{BareBatch, EntryId, Happened, Jar, Ledger, LedgerError, Particulars};
use crate::rules::jar_state::{Act, JarState};

/// Jars, and when it happened to them.
#[derive(Debug, clap::Args)]
pub(super) struct JarsAndWhen {
    #[command(flatten)]
    jars: JarsArg,
    #[command(flatten)]
    on: HappenedOn,
}

/// What was written down.
pub(super) struct Done {
    /// The entry.
    pub(super) entry: EntryId,
    /// Each jar.
    pub(super) jars: Vec<Happened>,
}

/// How history tells an act, and its particulars.
pub(super) struct Acting {
    /// The past tense that begins the line in history: "opened".
    pub(super) past: &'static str,
    /// What follows the jars in that line: ", to the neighbours"; or nothing.
    pub(super) then: String,
    /// Place, person, reason.
    pub(super) particulars: Particulars,
}

impl Acting {
    /// An act with nothing more to it.
    pub(super) fn plain(past: &'static str) -> Self {
        Self { past, then: String::new(), particulars: Particulars::default() }
    }
}

impl JarsAndWhen {
    /// Lets the act happen to every jar named, in one entry; `more` gathers what else there is to know.
    pub(super) fn let_happen<T>(
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
pub(super) fn in_a_row(jars: &[Happened]) -> String {
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
pub(super) struct Answer<'a, T: Serialize> {
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
    pub(super) fn answer<T: Serialize>(&self, more: T) -> Answer<'_, T> {
        let jars = self
            .jars
            .iter()
            .map(|happened| Told { jar: &happened.jar.jar, from: happened.from, at: happened.at })
            .collect();
        Answer { entry: self.entry, jars, more }
    }

    /// Says what happened, one line a jar, beginning with `past`: "Opened".
    pub(super) fn say(&self, past: &str, screen: &mut Screen) {
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
    pub(super) fn say_undo(&self, screen: &mut Screen) {
        screen.next(format!("`jarledger undo {}` takes this back", self.entry.0));
    }
}
