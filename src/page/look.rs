//! Pages that only look.

use uuid::Uuid;

use crate::answers::eating::decide::ToDecide;
use crate::answers::jars::jar::{show, state_in_words};
use crate::answers::jars::rescue_lines::say_rescue;
use crate::answers::jars::seal_lines::unchecked;
use crate::answers::jars::stands::at;
use crate::answers::shelf::today::Today;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::glance::Meant;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::jar::live::Which;
use crate::page::ask::Ask;
use crate::page::html::{BatchPage, FindPage, JarPage, Line, TodayPage, WalkPage};
use crate::page::reply::{Answered, Reply, Trouble};
use crate::page::run;
use crate::rules::food::care::Care;
use crate::rules::jar::decide_now::Matter;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::remedy::Remedy;
use crate::rules::seal::seal_window::SealStage;
use crate::rules::spoilage::signs::signs;
use crate::tables::spoilage::{Severity, Sign, Stage};
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::jar_word::JarWord;
use crate::values::names::counted::jars as counted;
use crate::values::names::name::Name;
use crate::values::time::on_screen;

/// Most jars listed on one page.
const MOST: usize = 30;

/// Most jars of a place: a walk along more is two walks.
const MOST_IN_PLACE: usize = 1_500;

/// Shows the page at this path.
pub(super) fn look(ask: &Ask, path: &str) -> Answered {
    let parts: Vec<&str> = path.split('/').skip(1).collect();
    match parts[..] {
        [""] => today(ask),
        // In capitals on a label: its code is the smaller for it.
        ["j", jar] => jar_page(ask, jar),
        ["J", jar] => Ok(Reply::go_to(format!("/j/{}", named(&ask.ledger()?, jar)?.code))),
        ["b", code] => batch(ask, code),
        ["find"] => find(ask),
        ["walk"] => walk(ask),
        ["run"] => run::page(ask),
        _ => Err(Trouble::not_ours()),
    }
}

/// The one jar that a code names.
pub(super) fn named(ledger: &Ledger, code: &str) -> Result<Jar, Trouble> {
    let word: JarWord = code
        .parse()
        .map_err(|error: crate::values::codes::jar_word::JarWordError| Trouble::bad(error.to_string()))?;
    let jars = ledger.jars_named(&[word], BareBatch::Refused)?;
    match <[Jar; 1]>::try_from(jars) {
        Ok([jar]) => Ok(jar),
        Err(jars) => {
            Err(Trouble { near: jars.iter().map(|jar| jar.code).collect(), ..Trouble::bad("Name one jar.") })
        }
    }
}

fn line(jar: &Jar) -> Line {
    let held = if jar.on_hold { ", on hold" } else { "" };
    Line {
        jar: jar.code,
        product: jar.product.clone(),
        what: format!("{}, {}{held}{}", jar.size, jar.state, jar.process.after_comma()),
        place: at(jar.state, jar.place.as_deref()),
        whole_batch: false,
    }
}

fn today(ask: &Ask) -> Answered {
    let ledger = ask.ledger()?;
    let today = Today::read(&ledger, &ask.now, ask.clock, MOST)?;
    let alike =
        |a: &ToDecide, b: &ToDecide| (a.jar.batch, &a.what, &a.place) == (b.jar.batch, &b.what, &b.place);
    let decide: Vec<Line> = today
        .decide_now
        .chunk_by(alike)
        .map(|due| Line {
            jar: due[0].jar,
            product: match due.len() {
                1 => due[0].product.to_string(),
                jars => format!("{} and {} more of its batch", due[0].product, jars - 1),
            },
            what: due[0].what.to_string(),
            place: at(due[0].state, due[0].place.as_deref()),
            whole_batch: due.len() > 1 || matches!(due[0].matter, Matter::CheckLid | Matter::CheckLidLate),
        })
        .take(MOST)
        .collect();
    let eat: Vec<Line> = today
        .eat_first
        .iter()
        .map(|jar| Line {
            jar: jar.jar,
            product: jar.product.to_string(),
            what: jar.why.to_string(),
            place: at(JarState::Sealed, jar.place.as_deref()),
            whole_batch: false,
        })
        .collect();
    let page = TodayPage {
        runs: &today.runs,
        now: ask.clock.now,
        decide: &decide,
        eat: &eat,
        more_eat: today.owed.saturating_sub(MOST),
        held: today.on_hold,
        held_words: counted(today.on_hold),
        cautions: &today.cautions,
        last: ledger.newest_of_phone(&ask.phone.name)?,
        key: Uuid::new_v4(),
    };
    Ok(Reply::page(page.html()))
}

fn jar_page(ask: &Ask, code: &str) -> Answered {
    let ledger = ask.ledger()?;
    let jar = named(&ledger, code)?;
    if code != jar.code.to_string() {
        return Ok(Reply::go_to(format!("/j/{}", jar.code)));
    }
    let story = ledger.jar_story(jar.code, ask.clock.now)?;
    let jar = &story.jar;
    let takes = |act| Meant::Taking(act).takes(jar);
    // No button leads to what its time has passed for.
    let rescues =
        |act, remedy| takes(act) && story.rescue.as_ref().is_none_or(|left| left.remedies.contains(&remedy));
    let mut lines = Vec::new();
    show(&story, ask.clock, &mut lines);
    let mut rescue = Vec::new();
    if let Some(left) = &story.rescue {
        say_rescue(left, "", ask.clock, &mut rescue);
    }
    let reasons: Vec<&str> =
        story.holds.iter().filter(|hold| hold.until.is_none()).map(|hold| hold.reason.as_str()).collect();
    let keeps = match story.keeps {
        Keeps::Discard => ", discard it: do not eat it".to_owned(),
        keeps => keeps.in_words(on_screen::day).map(|keeps| format!(", {keeps}")).unwrap_or_default(),
    };
    let page = JarPage {
        jar,
        held: jar.on_hold,
        reasons: reasons.join("; "),
        standing: format!(
            "{}{}{}{keeps}",
            state_in_words(jar.state),
            jar.process.after_comma(),
            at(jar.state, jar.place.as_deref())
        ),
        takes_seal: jar.state == JarState::Cooling,
        takes_open: takes(Act::Open),
        takes_finish: takes(Act::Finish),
        takes_chill: rescues(Act::Chill, Remedy::Chill),
        takes_freeze: rescues(Act::Freeze, Remedy::Freeze),
        takes_move: takes(Act::Move),
        takes_give: takes(Act::Give),
        takes_discard: takes(Act::Discard),
        places: ledger.names_in_use(Named::Place)?,
        people: ledger.names_in_use(Named::Person)?,
        signs: seen_on(jar, Care::of(story.batch.food.as_ref(), &jar.product)),
        rescue,
        story: lines,
    };
    Ok(Reply::page(page.html()))
}

/// The signs that may be seen on a jar as it stands.
fn seen_on(jar: &Jar, care: Care) -> Vec<&'static Sign> {
    let stages: &[Stage] = match jar.state {
        JarState::Opened => &[Stage::OnOpening, Stage::AfterOpening],
        _ => &[Stage::BeforeOpening, Stage::OnOpening],
    };
    let found = stages.iter().flat_map(|&stage| signs(stage, care));
    found.filter(|sign| sign.severity != Severity::QualityOnly).collect()
}

fn batch(ask: &Ask, code: &str) -> Answered {
    let ledger = ask.ledger()?;
    let code: BatchCode = code.parse().map_err(|_| Trouble::not_ours())?;
    let (story, jars) = ledger.at_one_moment(|ledger| {
        Ok::<_, LedgerError>((ledger.batch_story(code)?, ledger.jars_of_batch(code)?))
    })?;
    let cooling: Vec<_> =
        jars.iter().filter(|jar| jar.state == JarState::Cooling).map(|jar| jar.code).collect();
    let mut windows = Vec::new();
    let mut early = false;
    for load in &story.loads {
        if load.jars.iter().any(|jar| jar.state == JarState::Cooling) {
            let window = load.load.seal_window();
            early |= window.stage(ask.clock.now) == SealStage::TooEarly;
            windows.push(format!("Load {}: {}", load.load.code, unchecked(window, ask.clock)));
        }
    }
    let lines: Vec<Line> = jars.iter().map(line).collect();
    let page = BatchPage {
        code,
        product: &story.batch.product,
        windows: &windows,
        cooling: &cooling,
        early,
        jars: &lines,
        key: Uuid::new_v4(),
    };
    Ok(Reply::page(page.html()))
}

fn find(ask: &Ask) -> Answered {
    let ledger = ask.ledger()?;
    let words = ask.form.get("q").unwrap_or_default();
    match words.parse() {
        Ok(
            JarWord::Batch(batch)
            | JarWord::Either(batch, _)
            | JarWord::Range(batch, _)
            | JarWord::Of(batch, _),
        ) => return Ok(Reply::go_to(format!("/b/{batch}"))),
        Ok(JarWord::Jar(_) | JarWord::Unchecked(_) | JarWord::WrongCheck(_)) => {
            return Ok(Reply::go_to(format!("/j/{}", named(&ledger, words)?.code)));
        }
        // A name may hold a number.
        Ok(JarWord::Product(_) | JarWord::Numbers(_)) | Err(_) => {}
    }
    let mut products = ledger.names_in_use(Named::Product)?;
    let wanted = words.to_lowercase();
    let begins_a_word = |product: &String| {
        let words = product.to_lowercase();
        words.match_indices(&wanted).any(|(at, _)| !words[..at].ends_with(char::is_alphanumeric))
    };
    if products.iter().any(begins_a_word) {
        products.retain(begins_a_word);
    } else {
        products.retain(|product| product.to_lowercase().contains(&wanted));
    }
    let mut found = Vec::new();
    let mut more = 0;
    if !words.is_empty() {
        for product in products.iter().take(MOST) {
            let Ok(name) = product.parse::<Name>() else { continue };
            let which = Which { products: vec![name], ..Which::default() };
            ledger.each_live_jar(&which, |live| {
                if found.len() < MOST {
                    found.push(line(&live.jar))
                } else {
                    more += 1
                }
                Ok::<_, LedgerError>(())
            })?;
        }
        products.clear();
    }
    Ok(Reply::page(FindPage { q: words, found: &found, more, products }.html()))
}

fn walk(ask: &Ask) -> Answered {
    let ledger = ask.ledger()?;
    let place = ask.form.get("place").map(|place| known_place(&ledger, place)).transpose()?;
    let mut expected = Vec::new();
    if let Some(place) = &place {
        let which = Which { places: vec![place.clone()], ..Which::default() };
        ledger.each_live_jar(&which, |live| {
            if live.jar.state != JarState::Missing && expected.len() < MOST_IN_PLACE {
                let what = if live.jar.on_hold { ", on hold" } else { "" };
                expected.push(Line { what: what.to_owned(), ..line(&live.jar) });
            }
            Ok::<_, LedgerError>(())
        })?;
    }
    let places = if place.is_none() { ledger.names_in_use(Named::Place)? } else { Vec::new() };
    let place = place.as_ref().map(Name::as_str);
    Ok(Reply::page(WalkPage { place, places, expected: &expected, key: Uuid::new_v4() }.html()))
}

pub(super) fn known_place(ledger: &Ledger, place: &str) -> Result<Name, Trouble> {
    let known = place.parse::<Name>().ok().map(|words| ledger.place_meant(&words)).transpose()?;
    match known.flatten() {
        Some(known) => Ok(known),
        None => Err(LedgerError::NotFound(format!(
            "there is no place {place} in this ledger; nothing was changed"
        ))
        .into()),
    }
}
