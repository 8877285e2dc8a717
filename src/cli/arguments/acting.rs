//! What the commands that let something happen to jars have in common.

use crate::answers::acts::{Acting, Done, let_happen};
use crate::cli::arguments::happened_on::HappenedOn;
use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::context::Context;
use crate::cli::errors::Failure;
use crate::cli::talk::ask::Asker;
use crate::cli::talk::jar_offers;
use crate::cli::talk::jar_offers::Offered;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::jar_words::BareBatch;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::names::name::Name;

/// Jars, and when it happened to them.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct JarsAndWhen {
    #[command(flatten)]
    jars: JarsArg,
    #[command(flatten)]
    on: HappenedOn,
}

impl JarsAndWhen {
    /// Takes `to my aunt` off the end of the words that name jars.
    pub(in crate::cli) fn taken_to(&mut self) -> Option<Name> {
        self.jars.taken_to()
    }

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
            let mut jars = self.jars.clone();
            if act == Act::Finish {
                jars.offer_first(JarState::Opened);
            }
            let named = jars.find(&ledger, BareBatch::Refused, asker, offers)?;
            Ok((named.jars, more(&ledger, asker)?))
        })?;
        Ok((let_happen(&ledger, &jars, act, when, &acting, ctx.clock)?, known))
    }
}

/// Says how to take back what was written down.
pub(in crate::cli) fn say_undo(done: &Done, screen: &mut Screen) {
    screen.next(format!("`jarledger undo {}` undoes this", done.entry.0));
}
