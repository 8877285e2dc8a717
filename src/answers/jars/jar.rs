//! What is on record of a jar: where it stands, and its story.

use chrono::NaiveDate;
use serde::Serialize;

use crate::answers::jars::correction_lines::say_corrections;
use crate::answers::jars::load_lines::say_load;
use crate::answers::jars::rescue_lines::say_rescue;
use crate::answers::jars::seal_lines::unchecked;
use crate::answers::jars::stands::at;
use crate::ledger::batch::batch_story::{LoadStory, Origin};
use crate::ledger::batch::jar_story::{Event, HoldShown, JarStory, SealCheck};
use crate::ledger::entry::correction::Correction;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::rescue::Rescue;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::keeps::Keeps;
use crate::values::codes::jar_code::BatchCode;
use crate::values::kinds::food::FoodId;
use crate::values::kinds::method::{Acidity, Pack};
use crate::values::time::clock::Clock;

use crate::answers::jars::what_it_is::what_it_is;
use crate::answers::say::Say;
use crate::values::time::on_screen;

/// What is on record of a jar.
#[derive(Serialize)]
pub(crate) struct Answer<'a> {
    #[serde(flatten)]
    jar: &'a Jar,
    batch: BatchCode,
    food: Option<&'a FoodId>,
    acidity: Option<Acidity>,
    pack: Option<Pack>,
    origin: Origin,
    lid_lot: Option<&'a str>,
    note: Option<&'a str>,
    /// The oldest hold that stands.
    hold: Option<&'a HoldShown>,
    holds: &'a [HoldShown],
    load: Option<&'a LoadStory>,
    seal_checks: &'a [SealCheck],
    events: &'a [Event],
    corrections: &'a [Correction],
    batch_corrections: &'a [Correction],
    rescue: Option<&'a Rescue>,
    use_by: Option<NaiveDate>,
    discard: bool,
}

/// The answer in JSON.
pub(crate) fn answer(story: &JarStory) -> Answer<'_> {
    Answer {
        jar: &story.jar,
        batch: story.batch.code,
        food: story.batch.food.as_ref(),
        acidity: story.batch.acidity,
        pack: story.batch.pack,
        origin: story.batch.origin,
        lid_lot: story.lid_lot.as_deref(),
        note: story.note.as_deref(),
        hold: story.holds.iter().find(|hold| hold.until.is_none()),
        holds: &story.holds,
        load: story.load.as_ref(),
        seal_checks: &story.seal_checks,
        events: &story.events,
        corrections: &story.corrections,
        batch_corrections: &story.batch_corrections,
        rescue: story.rescue.as_ref(),
        use_by: story.keeps.use_by(),
        discard: story.keeps == Keeps::Discard,
    }
}

/// Says where a jar stands, then its whole story.
pub(crate) fn show(story: &JarStory, clock: Clock, screen: &mut impl Say) {
    let JarStory { jar, batch, load, .. } = story;
    screen.say(format!("{}  {}, {}", jar.code, jar.product, jar.size));
    let held = if jar.on_hold { ", on hold" } else { "" };
    let place = at(jar.state, jar.place.as_deref());
    let process = jar.process.after_comma();
    screen.say(format!("{}{held}{process}{place}", state_in_words(jar.state)));
    let put_up = on_screen::day_in_words(batch.put_up);
    screen.say(match story.keeps {
        Keeps::Discard => format!("Put up {put_up}. Discard it: do not eat it."),
        keeps => {
            let keeps = keeps.in_words(on_screen::day).map(|text| format!(", {text}"));
            format!("Put up {put_up}{}.", keeps.unwrap_or_default())
        }
    });
    screen.say(what_it_is(batch));
    if let Some(load) = load.as_ref().filter(|_| jar.state == JarState::Cooling) {
        screen.say(unchecked(load.load.seal_window(), clock));
    }
    for note in story.note.iter().chain(&batch.note) {
        screen.say(format!("Note: {note}"));
    }
    for hold in &story.holds {
        screen.say(match (&hold.until, &hold.released_for) {
            (Some(until), Some(why)) => {
                let (since, until) = (on_screen::day(hold.since), on_screen::day(*until));
                format!("On hold {since} to {until}: {}; released: {why}", hold.reason)
            }
            _ => format!("On hold since {}: {}", on_screen::day(hold.since), hold.reason),
        });
    }
    if let Some(rescue) = &story.rescue {
        say_rescue(rescue, "", clock, screen);
    }
    screen.say("");
    match (load, batch.origin) {
        (Some(load), _) => say_load(load, batch, clock, screen),
        (None, Origin::Import) => screen.say("Process not on record: it was kept elsewhere before."),
        (None, Origin::Own) => screen.say("Its load is not on record."),
    }
    if let Some(lot) = &story.lid_lot {
        screen.say(format!("Lid lot {lot}"));
    }
    if !story.events.is_empty() {
        screen.say("");
    }
    for event in &story.events {
        screen.say(event_in_words(event, &story.seal_checks));
    }
    if !(story.corrections.is_empty() && story.batch_corrections.is_empty()) {
        screen.say("");
    }
    say_corrections("jar", &story.corrections, clock, screen);
    say_corrections("batch", &story.batch_corrections, clock, screen);
}

/// A state as a heading.
pub(crate) const fn state_in_words(state: JarState) -> &'static str {
    match state {
        JarState::Cooling => "Cooling",
        JarState::Sealed => "Sealed",
        JarState::Unsealed => "Not sealed",
        JarState::Chilled => "In the refrigerator",
        JarState::Frozen => "In the freezer",
        JarState::Reprocessed => "Emptied into a new load",
        JarState::Opened => "Opened",
        JarState::Finished => "Eaten up",
        JarState::Given => "Given away",
        JarState::Discarded => "Thrown away",
        JarState::Missing => "Missing",
        JarState::Used => "Used in another batch",
        JarState::Void => "Never put up",
    }
}

pub(crate) const fn act_in_words(act: Act) -> &'static str {
    match act {
        Act::CheckSealed => "sealed",
        Act::CheckFailed => "did not seal",
        Act::SealLost => "seal found lost",
        Act::Chill => "into the refrigerator",
        Act::Freeze => "into the freezer",
        Act::Reprocess => "emptied",
        Act::Open => "opened",
        Act::Finish => "eaten up",
        Act::Give => "given",
        Act::Use => "used",
        Act::Discard => "thrown away",
        Act::Miss => "missing",
        Act::Find => "found again",
        Act::Move => "moved",
    }
}

fn event_in_words(event: &Event, checks: &[SealCheck]) -> String {
    let mut text = format!("{}  {}", on_screen::moment(event.at), act_in_words(event.act));
    let is_check =
        matches!(event.to, JarState::Sealed | JarState::Unsealed) && event.from == JarState::Cooling;
    if let Some(check) = checks.iter().find(|check| is_check && check.at == event.at) {
        text.push_str(&format!(" ({}{})", check.test, if check.early { ", before 12 hours" } else { "" }));
    }
    if let Some(place) = &event.place {
        text.push_str(&format!(", to {place}"));
    }
    if let Some(who) = &event.who {
        text.push_str(&format!(", to {who}"));
    }
    if let Some(why) = &event.why {
        text.push_str(&format!(": {why}"));
    }
    text
}
