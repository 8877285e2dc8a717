//! Acts on jars: what is written down, and what is said of it.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use serde::Serialize;

use crate::answers::say::Say;
use crate::ledger::amend::undo::Undone;
use crate::ledger::entry::write::{EntryId, Written};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::acts::Happened;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::Jar;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::opened::chilled_unsealed;
use crate::rules::jar::permit::When;
use crate::rules::load::remedy::Remedy;
use crate::rules::spoilage::cautions::LOCAL_LAW;
use crate::values::names::counted::jars as counted;
use crate::values::names::name::Name;
use crate::values::time::clock::Clock;
use crate::values::time::on_screen;

/// What was written down.
pub(crate) struct Done {
    pub(crate) entry: EntryId,
    /// Each jar.
    pub(crate) jars: Vec<Happened>,
}

/// How history words an act, and its particulars.
pub(crate) struct Acting {
    /// The past tense that begins the line in history: "opened".
    pub(crate) past: &'static str,
    /// What follows the jars in that line: ", to the neighbors"; or nothing.
    pub(crate) then: String,
    /// Place, person, reason.
    pub(crate) particulars: Particulars,
}

impl Acting {
    /// An act with nothing more to it.
    pub(crate) fn plain(past: &'static str) -> Self {
        Self { past, then: String::new(), particulars: Particulars::default() }
    }
}

/// Giving to this person.
pub(crate) fn giving(to: &Name) -> Acting {
    Acting {
        past: "gave",
        then: format!(" to {to}"),
        particulars: Particulars { who: Some(to.to_string()), ..Particulars::default() },
    }
}

/// Moving to this place.
pub(crate) fn moving(to: &Name) -> Acting {
    Acting {
        past: "moved",
        then: format!(" to {to}"),
        particulars: Particulars { place: Some(to.clone()), ..Particulars::default() },
    }
}

/// Takes back an entry; none: the newest in force.
pub(crate) fn take_back(
    ledger: &Ledger,
    entry: Option<EntryId>,
    clock: Clock,
) -> Result<Written<Undone>, LedgerError> {
    ledger.write("undo", clock, |write| {
        let undone = write.undo(entry)?;
        let summary = format!(
            "entry {} {}: {}",
            undone.facts_of.0,
            if undone.in_force { "brought back" } else { "taken back" },
            undone.summary
        );
        Ok((undone, summary))
    })
}

/// Lets the act happen to every jar given, in one entry. Whoever says of a sealed jar that it is eaten up has opened it.
pub(crate) fn let_happen(
    ledger: &Ledger,
    jars: &[Jar],
    act: Act,
    when: When,
    acting: &Acting,
    clock: Clock,
) -> Result<Done, LedgerError> {
    let written = ledger.write(act.as_it_is_asked_for(), clock, |write| {
        if act == Act::Finish {
            let sealed: Vec<Jar> = jars.iter().filter(|jar| jar.state == JarState::Sealed).cloned().collect();
            write.act_on(&sealed, Act::Open, when, &Particulars::default())?;
        }
        let happened = write.act_on(jars, act, when, &acting.particulars)?;
        let summary = format!("{} {}{}", acting.past, in_a_row(&happened), acting.then);
        Ok((happened, summary))
    })?;
    Ok(Done { entry: written.entry, jars: written.outcome })
}

/// Most jars named in one line.
const NAMED: usize = 4;

/// Names the jars with what is in them, or counts them where they are many.
pub(crate) fn in_a_row(jars: &[Happened]) -> String {
    let mut names: Vec<String> = jars
        .iter()
        .take(NAMED)
        .map(|happened| format!("{} {}", happened.jar.jar.code, happened.jar.jar.product))
        .collect();
    match jars.len().saturating_sub(NAMED) {
        0 => {}
        1 => names.push("1 more jar".to_owned()),
        more => names.push(format!("{more} more jars")),
    }
    names.join(", ")
}

/// The answer of such a command, with what it has to add.
#[derive(Serialize)]
pub(crate) struct Answer<'a, T: Serialize> {
    entry: EntryId,
    jars: Vec<JarDone<'a>>,
    #[serde(flatten)]
    more: T,
}

#[derive(Serialize)]
struct JarDone<'a> {
    #[serde(flatten)]
    jar: &'a Jar,
    from: JarState,
    at: DateTime<FixedOffset>,
}

/// Says how long chilled jars keep.
pub(crate) fn say_chilled(done: &Done, screen: &mut impl Say) {
    let keeps = chilled_unsealed();
    if let Some(first) = done.jars.iter().map(|happened| happened.at.date_naive()).min() {
        screen.say(format!(
            "Use within {} days, by {}. {}",
            keeps.days,
            on_screen::day_in_words(keeps.last_day(first)),
            keeps.remark
        ));
    }
}

/// Says what to do before a jar freezes.
pub(crate) fn say_frozen(screen: &mut impl Say) {
    screen.say(format!("First {}.", Remedy::Freeze.how()));
}

impl Done {
    /// The answer in JSON.
    pub(crate) fn answer<T: Serialize>(&self, more: T) -> Answer<'_, T> {
        let jars = self
            .jars
            .iter()
            .map(|happened| JarDone { jar: &happened.jar.jar, from: happened.from, at: happened.at })
            .collect();
        Answer { entry: self.entry, jars, more }
    }

    /// The code of the only jar, or a placeholder for any: what a hint names.
    pub(crate) fn jar_or_word(&self) -> String {
        match &self.jars[..] {
            [only] => only.jar.jar.code.to_string(),
            _ => "JAR".to_owned(),
        }
    }

    /// Says what happened, one line a jar, beginning with `past`: "Opened".
    pub(crate) fn say(&self, past: &str, screen: &mut impl Say) {
        for happened in &self.jars {
            let jar = &happened.jar.jar;
            let place = jar.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
            screen.say(format!(
                "{past} {} {} ({}), put up {}{place}.",
                jar.code,
                jar.product,
                jar.size,
                on_screen::day(jar.put_up)
            ));
        }
    }

    /// Says what whoever gets the jars must be told of their processes, and what holds for any gift.
    pub(crate) fn say_gift(&self, screen: &mut impl Say) {
        let mut marks: BTreeMap<String, usize> = BTreeMap::new();
        for mark in self.jars.iter().filter_map(|happened| happened.jar.jar.process.in_words()) {
            *marks.entry(mark).or_default() += 1;
        }
        for (mark, jars) in marks {
            screen.say(format!("Tell whoever gets them: {mark} ({jars} of {}).", counted(self.jars.len())));
        }
        screen.say(LOCAL_LAW.text);
    }
}
