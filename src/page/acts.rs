//! Acts: what a phone writes down, each once however often it is sent.

use std::collections::BTreeSet;

use hyper::StatusCode;
use uuid::Uuid;

use crate::answers::acts::{Acting, Done, giving, let_happen, moving, say_chilled, say_frozen, take_back};
use crate::answers::eating::discard::{Discarded, discarding, sentence};
use crate::answers::eating::finish::Finished;
use crate::answers::eating::open::{opened, say_advice};
use crate::answers::jars::count::{lines, see, settle};
use crate::answers::jars::seal::check;
use crate::ledger::counts::count::Counted;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::kept::Kept;
use crate::ledger::jar::seal::SealLook;
use crate::page::ask::{Ask, Before};
use crate::page::html::{CountPage, DonePage};
use crate::page::look::{known_place, named};
use crate::page::reply::{Answered, Reply, Trouble};
use crate::page::run;
use crate::rules::jar::jar_state::Act;
use crate::rules::jar::permit::When;
use crate::tables::spoilage::{Sign, all};
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::codes::jar_list::JarList;
use crate::values::kinds::seal_test::SealTest;
use crate::values::names::counted::jars as counted;
use crate::values::names::name::Name;

/// Most letters of a reason.
const MOST_WHY: usize = 200;

/// Does what is posted to this path.
pub(super) fn act(ask: &Ask, path: &str) -> Answered {
    match done_at(ask, path) {
        // It came twice at once, and the other was first: it is answered like what comes again.
        Err(trouble)
            if trouble.status == StatusCode::INTERNAL_SERVER_ERROR
                && matches!(ask.once(), Ok(Before::Done(..))) =>
        {
            done_at(ask, path)
        }
        answered => answered,
    }
}

fn done_at(ask: &Ask, path: &str) -> Answered {
    let parts: Vec<&str> = path.split('/').skip(1).collect();
    match parts[..] {
        ["j", jar, act] => on_jar(ask, jar, act),
        ["seal"] => seal(ask),
        ["count"] => count(ask),
        ["undo"] => undo(ask),
        ["run", word] => run::act(ask, word),
        _ => Err(Trouble::not_ours()),
    }
}

/// `undo`: the name of the entry that may be taken back.
fn done(title: &str, lines: &[String], jar: Option<JarCode>, undo: Option<Uuid>) -> Answered {
    Ok(Reply::page(DonePage { title, lines, jar, undo, key: Uuid::new_v4() }.html()))
}

/// What is said where the same act comes again and there is no more to say of it.
fn done_before(kept: &Kept) -> Answered {
    let mut lines = vec![format!("This was done already: {}.", kept.summary)];
    if !kept.in_force {
        lines.push("It was undone since.".to_owned());
    }
    done("Done already", &lines, None, kept.in_force.then_some(kept.name))
}

fn on_jar(ask: &Ask, code: &str, word: &str) -> Answered {
    let act = match word {
        "open" => Act::Open,
        "finish" => Act::Finish,
        "discard" => Act::Discard,
        "move" => Act::Move,
        "give" => Act::Give,
        "chill" => Act::Chill,
        "freeze" => Act::Freeze,
        _ => return Err(Trouble::not_ours()),
    };
    let (mut acting, why) = particulars(ask, act)?;
    let mut new_place = None;
    let (ledger, done, again) = match ask.once()? {
        Before::Done(ledger, kept) => {
            let jars = ledger.happened_in(kept.entry)?;
            if kept.command != act.as_str() || jars.is_empty() || !kept.in_force {
                return done_before(&kept);
            }
            let done = Done { entry: kept.entry, jars };
            (ledger, done, true)
        }
        Before::Nothing(ledger) => {
            let jar = named(&ledger, code)?;
            if let (Act::Move, Some(words)) = (act, acting.particulars.place.take()) {
                let known = ledger.place_meant(&words)?;
                new_place = Some(words.clone()).filter(|_| known.is_none());
                acting = moving(&known.unwrap_or(words));
            }
            let when = When::At(ask.happened()?.at);
            let done = let_happen(&ledger, &[jar], act, when, &acting, ask.clock)?;
            (ledger, done, false)
        }
    };
    let mut said = Vec::new();
    if again {
        said.push("This was done already.".to_owned());
    }
    let past = match act {
        Act::Open => "Opened",
        Act::Finish => "Eaten up",
        Act::Discard => "Discarded",
        Act::Move => "Moved",
        Act::Give => "Given",
        Act::Chill => "Chilled",
        _ => "Frozen",
    };
    match ask.form.get("to").filter(|_| act == Act::Give) {
        Some(to) => done.say(&format!("Gave {to}"), &mut said),
        None => done.say(past, &mut said),
    }
    match act {
        Act::Open => say_advice(&opened(&done, ledger.household()?.altitude), false, &mut said),
        Act::Finish => Finished::of(&done).say(&mut said),
        Act::Discard => {
            let (why, sign) = why.unwrap_or_default();
            Discarded::of(&done, why, sign).say(&mut said);
        }
        Act::Give => done.say_gift(&mut said),
        Act::Chill => say_chilled(&done, &mut said),
        Act::Freeze => say_frozen(&mut said),
        _ => {}
    }
    if let Some(place) = new_place {
        said.push(format!("{place} is now a new place; take this back if it was mistyped."));
    }
    let jar = done.jars.first().map(|happened| happened.jar.jar.code);
    self::done(past, &said, jar, Some(ask.key()?))
}

type Why = (String, Option<&'static Sign>);

/// The particulars of an act, and why where it has a reason.
fn particulars(ask: &Ask, act: Act) -> Result<(Acting, Option<Why>), Trouble> {
    let name = |field: &str, what: &str| -> Result<Name, Trouble> {
        let given =
            ask.form.get(field).ok_or_else(|| Trouble::bad(format!("{what} Nothing was changed.")))?;
        given
            .parse()
            .map_err(|_| Trouble::bad(format!("\u{201c}{given}\u{201d} is not a name; nothing was changed.")))
    };
    Ok(match act {
        Act::Open => (Acting::plain("opened"), None),
        Act::Finish => (Acting::plain("finished"), None),
        Act::Chill => (Acting::plain("chilled"), None),
        Act::Freeze => (Acting::plain("froze"), None),
        Act::Give => (giving(&name("to", "Say who it was given to.")?), None),
        Act::Move => (moving(&name("to", "Say where to.")?), None),
        _ => {
            let own = ask.form.get("why").filter(|why| why.chars().count() <= MOST_WHY);
            let sign = match ask.form.get("sign") {
                None | Some("none") => None,
                Some(id) => {
                    Some(all().iter().find(|sign| sign.id.eq_ignore_ascii_case(id)).ok_or_else(|| {
                        Trouble::bad("That is not a known sign of spoilage; nothing was changed.")
                    })?)
                }
            };
            let why = match (sign, own) {
                (Some(sign), Some(own)) => format!("{own} ({})", sentence(sign)),
                (Some(sign), None) => sentence(sign),
                (None, Some(own)) => own.to_owned(),
                (None, None) => {
                    return Err(Trouble::bad(
                        "Say why it is discarded: a sign you saw, or your own words. Nothing was changed.",
                    ));
                }
            };
            (discarding(&why), Some((why, sign)))
        }
    })
}

fn seal(ask: &Ask) -> Answered {
    let ledger = match ask.once()? {
        Before::Done(_, kept) => return done_before(&kept),
        Before::Nothing(ledger) => ledger,
    };
    let bad = |what: &str| Trouble::bad(format!("{what}; nothing was changed."));
    let batch: BatchCode =
        ask.form.get("batch").and_then(|batch| batch.parse().ok()).ok_or_else(|| bad("Name the batch"))?;
    let test: SealTest = match ask.form.get("test") {
        None => SealTest::Press,
        Some(test) => test.parse().map_err(|_| bad("Say how the lids were tested"))?,
    };
    let mut looks: Vec<(u32, bool)> = Vec::new();
    for (number, outcome) in ask.form.beginning("jar-") {
        let number = number.parse().map_err(|_| bad("That jar is not in the batch"))?;
        looks.push((number, outcome == "sealed"));
    }
    for (field, sealed) in [("sealed", true), ("failed", false)] {
        if let Some(list) = ask.form.get(field) {
            let list: JarList = list.parse().map_err(|_| bad("Those are not jar numbers"))?;
            looks.extend(list.numbers().iter().map(|&number| (number, sealed)));
        }
    }
    let jars = ledger.jars_of_batch(batch)?;
    if looks.is_empty() {
        return Err(bad("No lid was looked at"));
    }
    let numbers: BTreeSet<u32> = looks.iter().map(|look| look.0).collect();
    if numbers.len() < looks.len() {
        return Err(bad("A jar is named twice"));
    }
    let looks: Vec<SealLook> = looks
        .into_iter()
        .map(|(number, sealed)| {
            let jar = jars.iter().find(|jar| jar.code.number == number).cloned();
            let jar = jar.ok_or_else(|| bad(&format!("Batch {batch} has no jar {number}")))?;
            Ok(SealLook { jar, sealed, test })
        })
        .collect::<Result<_, Trouble>>()?;
    let early = ask.form.get("early").is_some();
    let answer = check(&ledger, &looks, ask.happened()?.at, early, ask.clock)?;
    let mut said = Vec::new();
    answer.say(ask.clock, &mut said);
    done("Seals checked", &said, answer.failed.first().copied(), Some(ask.key()?))
}

fn count(ask: &Ask) -> Answered {
    let settles = ask.form.get("settle").is_some();
    let ledger = if settles {
        match ask.once()? {
            Before::Done(_, kept) => return done_before(&kept),
            Before::Nothing(ledger) => ledger,
        }
    } else {
        ask.ledger()?
    };
    let place = known_place(&ledger, ask.form.get("place").unwrap_or_default())?;
    let mut text: Vec<&str> = ask.form.all("seen").iter().map(String::as_str).collect();
    text.extend(ask.form.all("more").iter().map(String::as_str));
    let seen = see(&text.join("\n"), &ledger)?;
    if seen.is_empty() {
        // An empty list would make everything missing.
        return Err(Trouble::bad("No jar was ticked; nothing was changed."));
    }
    let counted_jars = ledger.compare_count(&place, &seen.jars, &seen.tallies)?;
    let said = lines(&counted_jars, &seen.unknown, &place);
    // A jar behind a line nobody could read would be taken for missing.
    let to_settle = if seen.unknown.is_empty() { counted_jars.to_settle() } else { 0 };
    let would_change = changes_in_short(&counted_jars);
    let changed = settles && ask.form.get("would_change").is_some_and(|before| before != would_change);
    if settles && to_settle > 0 && !changed {
        settle(&ledger, &place, &counted_jars, ask.clock)?;
        return done("Settled", &said, None, Some(ask.key()?));
    }
    let page = CountPage {
        place: place.as_str(),
        lines: &said,
        settles: to_settle,
        settles_words: counted(to_settle),
        seen: text.join("\n"),
        would_change,
        changed,
        key: Uuid::new_v4(),
    };
    let status = if changed { StatusCode::CONFLICT } else { StatusCode::OK };
    Ok(Reply { status, ..Reply::page(page.html()) })
}

/// What settling would change, as one string sent along with the form, so that nobody settles what was not shown.
fn changes_in_short(counted: &Counted) -> String {
    let codes = |jars: &[Jar]| jars.iter().map(|jar| jar.code.to_string()).collect::<Vec<_>>().join(" ");
    [&counted.missing, &counted.moved, &counted.found].map(|jars| codes(jars)).join(";")
}

/// Takes back the last act of this phone; acts of others are taken back at the terminal.
fn undo(ask: &Ask) -> Answered {
    let ledger = match ask.once()? {
        Before::Done(_, kept) => return done_before(&kept),
        Before::Nothing(ledger) => ledger,
    };
    let last = ledger.newest_of_phone(&ask.phone.name)?;
    // By its name: a ledger that was restored meanwhile gives the number to another.
    let wanted = ask.form.get("entry");
    let target = match last {
        Some(last) if wanted.is_none_or(|wanted| wanted == last.name.to_string()) => last.entry,
        _ => {
            return Err(Trouble::new(
                StatusCode::CONFLICT,
                "Only the last act of this phone can be taken back here; nothing was changed.",
            ));
        }
    };
    let taken = take_back(&ledger, Some(target), ask.clock)?;
    let said = [format!("Undid: {}.", taken.outcome.summary)];
    let jar = ledger.happened_in(target)?.first().map(|happened| happened.jar.jar.code);
    done("Taken back", &said, jar, None)
}
