use serde_json::{Value, json};

use crate::answers::acts::{Acting, Done, let_happen};
use crate::answers::eating::discard::Discarded;
use crate::answers::eating::eat::Answer;
use crate::answers::eating::finish::Finished;
use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::entry::correct_field::Field;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::tables::spoilage;
use crate::values::kinds::jar_size::JarSize;
use crate::values::time::month::Month;

const BEANS: (&str, &str) = ("Green beans", "green-beans");
const PEARS: (&str, &str) = ("Pears", "pears");

/// Lets an act happen to jars, at a moment or now.
fn done(household: &Household, batch: &str, numbers: &[u32], act: Act, at: Option<&str>) -> Done {
    let when = When::At(at.map_or(household.clock.now, instant));
    let jars = household.jars(batch, numbers);
    let acting = Acting::plain("did");
    let_happen(&household.ledger, &jars, act, when, &acting, household.clock).unwrap()
}

fn in_json(answer: impl serde::Serialize) -> Value {
    serde_json::to_value(answer).unwrap()
}

#[test]
fn a_sealed_jar_eaten_up_in_one_word_was_opened_too() {
    let mut household = Household::at("2026-08-14T16:40");
    household.pints(BEANS, 1, 20);
    household.on("2026-08-15T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-09-01T12:00");
    done(&household, "26-001", &[1], Act::Finish, None);
    let story =
        household.ledger.jar_story(household.jars("26-001", &[1])[0].code, household.clock.now).unwrap();
    let acts: Vec<Act> = story.events.iter().map(|event| event.act).collect();
    assert_eq!(acts, [Act::CheckSealed, Act::Open, Act::Finish]);
    // One entry, so one undo.
    household.undo_last();
    assert_eq!(household.states("26-001"), [JarState::Sealed]);
    assert_eq!(household.problems(), []);
    household.hold("26-001", &[1], "the gauge read high").unwrap();
    let (jars, now) = (household.jars("26-001", &[]), When::At(household.clock.now));
    let acting = Acting::plain("finished");
    let refused = let_happen(&household.ledger, &jars, Act::Finish, now, &acting, household.clock);
    assert!(refusal(refused.map(|done| done.entry)).contains("it is on hold"));
    assert_eq!(household.states("26-001"), [JarState::Sealed]);
}

// Opened low-acid food keeps 4 days (USDA FSIS, at second hand): 20 and 4 is 24 August.
#[test]
fn a_jar_eaten_up_after_its_last_day_is_written_down_with_what_to_watch_for() {
    let mut household = Household::at("2026-08-14T08:00");
    household.stand_by(BEANS, JarSize::Pint, 2);
    household.on("2026-08-15T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-08-20T12:00").act("26-001", &[], Act::Open).unwrap();
    household.on("2026-08-25T12:00");
    let in_time = Finished::of(&done(&household, "26-001", &[1], Act::Finish, Some("2026-08-24T12:00")));
    assert_eq!(in_json(in_time), json!({"kept_too_long": [], "cautions": []}));
    let late = Finished::of(&done(&household, "26-001", &[2], Act::Finish, None));
    let mut said: Vec<String> = Vec::new();
    late.say(&mut said);
    let last = "26-001-02-8 was kept longer than 4 days once opened: the last was Monday 24 August 2026";
    assert!(said[0].starts_with(last), "{said:?}");
    assert!(
        said[1].contains("Double or blurred vision") && said[2].contains("medical emergency"),
        "{said:?}"
    );
    assert_eq!(household.states("26-001"), [JarState::Finished; 2]);
}

// University of Missouri Extension: 2 days, 14 and 2 is 16 August.
#[test]
fn a_chilled_jar_eaten_up_after_two_days_is_named_and_a_frozen_one_is_not() {
    let mut household = Household::at("2026-08-14T08:00");
    household.stand_by(BEANS, JarSize::Pint, 3);
    household.on("2026-08-14T22:00").check_seals("26-001", &[], false).unwrap();
    household.act("26-001", &[1, 2], Act::Chill).unwrap();
    household.act("26-001", &[3], Act::Freeze).unwrap();
    household.on("2026-09-01T12:00");
    let in_time = Finished::of(&done(&household, "26-001", &[1], Act::Finish, Some("2026-08-16T12:00")));
    assert_eq!(in_json(in_time)["kept_too_long"], json!([]));
    let late = in_json(Finished::of(&done(&household, "26-001", &[2, 3], Act::Finish, None)));
    assert_eq!(late["kept_too_long"], json!([{"jar": "26-001-02-8", "days": 2, "last_day": "2026-08-16"}]));
    assert_eq!(late["cautions"].as_array().unwrap().len(), 2);
}

#[test]
fn a_jar_eaten_of_before_its_hold_is_finished_with_what_to_watch_for() {
    let mut household = Household::at("2026-08-14T08:00");
    household.stand_by(BEANS, JarSize::Pint, 1);
    household.on("2026-08-15T08:00").check_seals("26-001", &[], true).unwrap();
    household.on("2026-08-30T10:00").hold("26-001", &[], "the gauge read high").unwrap();
    household.on("2026-09-01T12:00");
    let _ = done(&household, "26-001", &[1], Act::Open, Some("2026-08-28T18:00"));
    let finished = Finished::of(&done(&household, "26-001", &[1], Act::Finish, Some("2026-08-29T12:00")));
    assert_eq!(in_json(finished)["cautions"].as_array().unwrap().len(), 2);
}

// Signs of the tables: S11 is of quality alone, S21 of the days opened low-acid food keeps; S01 is a swollen lid.
#[test]
fn a_jar_thrown_away_for_age_or_quality_gets_no_gloves_and_no_emergency_line() {
    let mut household = Household::at("2026-02-14T16:40");
    household.stand_by(BEANS, JarSize::Pint, 3);
    household.on("2026-02-15T08:00").check_seals("26-001", &[], true).unwrap();
    for (jar, sign, suspect) in [(1, "S11", false), (2, "S21", false), (3, "S01", true)] {
        let discarded = done(&household, "26-001", &[jar], Act::Discard, None);
        let answer = in_json(Discarded::of(
            &discarded,
            String::new(),
            spoilage::all().iter().find(|known| known.id.as_str() == sign),
        ));
        assert_eq!(!answer["routes"][0]["route"].as_array().unwrap().is_empty(), suspect, "{sign}: {answer}");
        assert_eq!(answer["cautions"].as_array().unwrap().len() > 1, suspect, "{sign}: {answer}");
    }
}

#[test]
fn jars_thrown_away_together_go_by_their_food_and_whether_they_are_open() {
    let mut household = Household::at("2026-08-14T16:40");
    household.stand_by(BEANS, JarSize::Pint, 1);
    household.stand_by(PEARS, JarSize::Quart, 1);
    household.on("2026-08-15T08:00").check_seals("26-001", &[], true).unwrap();
    household.check_seals("26-002", &[], true).unwrap();
    household.act("26-001", &[], Act::Open).unwrap();
    let jars = [household.jars("26-001", &[]), household.jars("26-002", &[])].concat();
    let (now, clock) = (When::At(household.clock.now), household.clock);
    let discarded =
        let_happen(&household.ledger, &jars, Act::Discard, now, &Acting::plain("discarded"), clock).unwrap();
    let answer = in_json(Discarded::of(&discarded, "fizzed".to_owned(), None));
    assert_eq!(
        (&answer["routes"][0]["closure"], &answer["routes"][1]["care"]),
        (&"open".into(), &"acid".into())
    );
}

/// Puts up a batch of unrecorded process and finds every lid sealed the morning after; beans are vouched for.
fn shelve(household: &mut Household, named: (&str, &str), (size, jars): (JarSize, u32), out: &str) -> String {
    household.on(out);
    let code = household.stand_by(named, size, jars);
    household.clock = household.clock.after(chrono::TimeDelta::hours(16));
    household.check_seals(&code.to_string(), &[], true).unwrap();
    if named == BEANS {
        // Nobody wrote down how the beans were processed: the household vouches for them.
        let word = [Amendment::new(Field::Vouched, Some("mine"))];
        household.entry(|write| write.correct(Corrected::Batch(code), &word, "I was there")).unwrap();
    }
    code.to_string()
}

/// On 1 September 2026 at noon: one jar of each matter to decide, two batches on hold, one past its best.
fn household() -> Household {
    let mut household = Household::at("2025-08-14T16:40");
    shelve(&mut household, BEANS, (JarSize::Pint, 2), "2025-08-14T16:40");
    shelve(&mut household, PEARS, (JarSize::Quart, 5), "2025-10-20T11:00");
    let green = shelve(&mut household, BEANS, (JarSize::Pint, 7), "2026-02-14T16:40");
    let beets = shelve(&mut household, ("Beets", "beets"), (JarSize::Pint, 3), "2026-07-01T12:00");
    household.on("2026-08-20T18:00").act(&green, &[2], Act::Open).unwrap();
    household.on("2026-08-29T18:00").act(&green, &[1], Act::Open).unwrap();
    household.on("2026-08-30T10:00").hold(&beets, &[], "one of them was swollen").unwrap();
    household.on("2026-08-31T16:00").stand_by(("Plums", "plums"), JarSize::Pint, 4);
    household.on("2026-09-01T08:00").check_seals("26-003", &[2, 3], false).unwrap();
    household.on("2026-09-01T08:30").act("26-003", &[3], Act::Chill).unwrap();
    household.on("2026-08-30T10:00").stand_by(("Apricots", "apricots"), JarSize::Pint, 2);
    household.on("2026-09-01T11:00").pints(("Carrots", "carrots"), 2, 20);
    household.on("2026-09-01T12:00");
    household
}

fn eat(household: &Household, month: &str, ahead: u32) -> Answer {
    let month: Month = month.parse().unwrap();
    Answer::read(&household.ledger, household.clock, month, ahead).unwrap()
}

// Opened low-acid food keeps 4 days, chilled jars 2; lids are due 24 h after the load came out; a load that failed is
// rescued within 2 h. Worked by hand.
#[test]
fn each_matter_to_decide_is_named_once_with_its_time() {
    let answer = eat(&household(), "2026-09", 0);
    let due: Vec<String> = answer
        .decide_now
        .iter()
        .map(|due| {
            let until = due.until.map_or("-".to_owned(), |until| until.format("%m-%dT%H:%M").to_string());
            let last_day = due.last_day.map_or("-".to_owned(), |day| day.to_string());
            format!("{} {} {until} {last_day}", due.jar, due.matter.as_str())
        })
        .collect();
    assert_eq!(
        due,
        [
            "26-001-02-8 opened-too-long - 2026-08-24",
            "26-004-01-8 check-lid-late 08-31T10:00 -",
            "26-004-02-6 check-lid-late 08-31T10:00 -",
            "26-005-01-9 rescue 09-01T13:00 -",
            "26-005-02-7 rescue 09-01T13:00 -",
            "26-003-01-5 check-lid 09-01T16:00 -",
            "26-003-02-3 mend 09-01T16:00 -",
            "26-003-04-0 check-lid 09-01T16:00 -",
            "26-001-01-0 finish - 2026-09-02",
            "26-003-03-1 finish - 2026-09-03",
        ]
    );
    assert_eq!(answer.on_hold.len(), 5);
    assert_eq!(answer.on_hold[0].reasons[0].reason, "one of them was swollen");
}

#[test]
fn the_jars_owed_this_month_are_the_oldest_and_as_many_as_the_level_plan_says() {
    let answer = eat(&household(), "2026-09", 12);
    // Pears: 5 jars due in October, the second month: 5/2 a month, 3 now and 2 then.
    // Beans: 5 jars sealed, due in February, the sixth month: 5/6 a month, 1 now.
    let eat: Vec<String> = answer.eat_first.iter().map(|jar| jar.jar.to_string()).collect();
    assert_eq!(eat, ["25-002-01-9", "25-002-02-7", "25-002-03-5", "26-001-03-6"]);
    let months = in_json(&answer.months);
    let months: Vec<String> = (months.as_array().unwrap().iter())
        .map(|owed| format!("{} {} {}", owed["month"], owed["product"], owed["jars"]).replace('"', ""))
        .collect();
    assert_eq!(
        months,
        [
            "2026-09 Green beans 1",
            "2026-09 Pears 3",
            "2026-10 Green beans 1",
            "2026-10 Pears 2",
            "2026-11 Green beans 1",
            "2026-12 Green beans 1",
            "2027-01 Green beans 1",
        ]
    );
    // By hand: those left of each, and the first day of quality of them.
    assert_eq!(
        in_json(&answer.spread),
        json!([
            {"product": "Green beans", "jars": 1, "left": 5, "first_best_by": "2027-02-14"},
            {"product": "Pears", "jars": 3, "left": 5, "first_best_by": "2026-10-20"},
        ])
    );
    // Past its best stands apart, never as owed.
    let past: Vec<String> = answer.past_best.iter().map(|jar| jar.jar.to_string()).collect();
    assert_eq!(past, ["25-001-01-8", "25-001-02-6"]);
}

#[test]
fn another_month_takes_the_jars_its_plan_takes() {
    let household = household();
    for (month, jars) in [
        ("2026-10", ["25-002-04-3", "25-002-05-1", "26-001-04-4"].as_slice()),
        ("2027-01", &["26-001-07-7"]),
        ("2027-02", &[]),
    ] {
        let eat: Vec<String> =
            eat(&household, month, 0).eat_first.iter().map(|jar| jar.jar.to_string()).collect();
        assert_eq!(eat, jars, "{month}");
    }
}

#[test]
fn jars_that_are_not_to_be_eaten_never_appear_as_food() {
    let answer = in_json(eat(&household(), "2026-09", 24));
    for list in ["eat_first", "past_best", "months"] {
        for jar in answer[list].as_array().unwrap() {
            let product = jar["product"].as_str().unwrap();
            assert!(!["Beets", "Plums", "Apricots", "Carrots"].contains(&product), "{list}: {jar}");
        }
    }
}

#[test]
fn a_jar_frozen_in_time_is_food_and_one_frozen_late_is_on_hold() {
    let mut household = Household::at("2026-09-01T11:00");
    household.pints(("Carrots", "carrots"), 3, 20);
    household.hold("26-001", &[2], "the jar is chipped").unwrap();
    household.on("2026-09-01T13:00").act("26-001", &[1, 2], Act::Freeze).unwrap();
    let answer = eat(&household, "2026-09", 0);
    let frozen: Vec<String> = answer.frozen.iter().map(|jar| jar.jar.to_string()).collect();
    let on_hold: Vec<String> = answer.on_hold.iter().map(|jar| jar.jar.to_string()).collect();
    assert_eq!((frozen, on_hold.len()), (vec!["26-001-01-0".to_owned()], 2));
}

#[test]
fn what_is_on_hold_comes_by_product_then_by_its_best_by_and_its_number_whatever_its_state() {
    let mut household = Household::at("2026-09-01T11:00");
    household.pints(PEARS, 1, 20);
    household.pints(("green peas", "peas"), 1, 40);
    household.pints(BEANS, 3, 20);
    for batch in ["26-001", "26-002", "26-003"] {
        household.hold(batch, &[], "the gauge read high").unwrap();
    }
    household.on("2026-09-02T08:00").check_seals("26-003", &[1, 3], true).unwrap();
    let on_hold: Vec<String> = eat(&household, "2026-09", 0)
        .on_hold
        .iter()
        .map(|held| format!("{} {} {}", held.product, held.jar.number, held.state))
        .collect();
    let by_hand =
        ["Green beans 1 sealed", "Green beans 2 cooling", "Green beans 3 sealed", "green peas 1 cooling"];
    assert_eq!((&on_hold[..4], on_hold.len()), (&by_hand.map(str::to_owned)[..], 5));
}

// Low-acid food of a process not on record: in no plan, under a heading of its own, until somebody vouches for it.
#[test]
fn a_jar_of_unknown_process_is_in_no_plan_until_somebody_vouches_for_it() {
    let mut household = Household::at("2026-01-09T11:00");
    let beets = shelve(&mut household, ("Old beets", "beets"), (JarSize::Pint, 1), "2026-01-09T11:00");
    household.on("2026-09-01T12:00");
    let answer = eat(&household, "2026-09", 0);
    assert!(answer.eat_first.is_empty() && answer.months.is_empty());
    assert!(answer.unrecorded[0].process.unrecorded);
    assert!(in_json(&answer.unrecorded)[0]["why"].as_str().unwrap().contains("process not on record"));
    let batch = Corrected::Batch(beets.parse().unwrap());
    let word = [Amendment::new(Field::Vouched, Some("Aunt Ida's notebook"))];
    let vouch = || household.entry(|write| write.correct(batch, &word, "she wrote it down"));
    vouch().unwrap();
    let vouched = eat(&household, "2026-09", 0);
    assert!(vouched.unrecorded.is_empty());
    assert_eq!(vouched.eat_first[0].process.vouched.as_deref(), Some("Aunt Ida's notebook"));
    assert!(vouched.cautions[0].contains("botulism"), "{:?}", vouched.cautions);
    household.undo_last();
    household.hold(&beets, &[], "swollen").unwrap();
    assert!(refusal(vouch()).contains("on hold"));
}
