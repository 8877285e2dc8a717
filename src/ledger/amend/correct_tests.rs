//! Beans out at 14:05 on 14 August 2026; USDA AIB 539, Guide 4, Beans, snap and Italian: hot pack, dial gauge to
//! 2,000 ft, 11 psi, pints 20 min, quarts 25 min.

use chrono::{DateTime, FixedOffset};

use crate::ledger::amend::correct::{Amendment, Corrected};
use crate::ledger::batch::judging::Judging;
use crate::ledger::entry::correct_field::{Field, Subject};
use crate::ledger::error::LedgerError;
use crate::ledger::tests::household::{Household, instant, refusal};
use crate::rules::load::verdict::Verdict;
use crate::values::codes::load_code::LoadCode;

/// Three pints of green beans that met their process, sealed; the clock stands half a year later.
fn beans() -> Household {
    let mut household = Household::at("2026-08-14T14:05");
    household.pints(("Green beans", "green-beans"), 3, 20);
    household.on("2026-08-15T07:00").check_seals("26-001", &[], true).unwrap();
    household.on("2027-02-01T12:00");
    household
}

fn batch() -> Corrected {
    Corrected::Batch("26-001".parse().unwrap())
}

fn load() -> LoadCode {
    "26-001/1".parse().unwrap()
}

fn jar(number: u32) -> Corrected {
    Corrected::Jar(format!("26-001-{}", ["01-0", "02-8", "03-6"][number as usize - 1]).parse().unwrap())
}

fn correct(
    household: &Household,
    of: Corrected,
    field: Field,
    value: &str,
) -> Result<Vec<Judging>, LedgerError> {
    household.entry(|write| write.correct(of, &[Amendment::new(field, Some(value))], "x"))
}

/// Everything on record of the batch.
fn record(household: &Household) -> String {
    let code = "26-001".parse().unwrap();
    let stories: Vec<_> = (household.jars("26-001", &[]).iter())
        .map(|jar| household.ledger.jar_story(jar.code, household.clock.now).unwrap())
        .collect();
    format!("{:?}\n{stories:?}", household.ledger.batch_story(code).unwrap())
}

#[test]
fn every_field_comes_back_with_undo() {
    let household = beans();
    let before = record(&household);
    let moment = |text: &str| instant(&format!("2026-08-14T{text}")).to_rfc3339();
    let (reached, ended, out) = (moment("13:30"), moment("13:51"), moment("14:25"));
    let mut subjects = Vec::new();
    for (field, value) in [
        (Field::Canner, Some("Kettle")),
        (Field::Altitude, Some("305m")),
        (Field::Altitude, None),
        (Field::Pressure, Some("12.5")),
        (Field::Pressure, None),
        (Field::Minutes, None),
        (Field::Vent, Some("11")),
        (Field::ComeUp, Some("9")),
        (Field::Acid, Some("vinegar:short")),
        (Field::Reached, Some(reached.as_str())),
        (Field::Ended, Some(&ended)),
        (Field::Out, Some(&out)),
        (Field::Drops, Some("13:40-13:41 20m-")),
        (Field::WentWrong, Some("the lid hissed")),
        (Field::Product, Some("\u{17b}urek")),
        (Field::Food, Some("pears")),
        (Field::Acidity, Some("acid")),
        (Field::NameReason, Some("so called")),
        (Field::Pack, Some("raw")),
        (Field::PutUp, Some("2026-08-13")),
        (Field::BatchNote, Some("from row 4")),
        (Field::BestBy, Some("2027-06-30")),
        (Field::Size, Some("quart")),
        (Field::LidLot, Some("B7")),
        (Field::JarNote, Some("nicked rim")),
    ] {
        let of = match field.subject() {
            Subject::Batch => batch(),
            Subject::Load => Corrected::Load(load()),
            Subject::Jar => jar(2),
        };
        subjects.push(field);
        household.entry(|write| write.correct(of, &[Amendment::new(field, value)], "x")).unwrap();
        assert_ne!(record(&household), before, "{field} {value:?}");
        household.undo_last();
        assert_eq!(record(&household), before, "{field} {value:?}");
    }
    // All of them but the word for a process, which only a batch off the record takes.
    let untried: Vec<_> = Field::ALL.iter().filter(|field| !subjects.contains(field)).collect();
    assert_eq!(untried, [&Field::Vouched]);
}

#[test]
fn the_lids_of_a_whole_load_come_back_with_undo() {
    let household = beans();
    let before = record(&household);
    let lot = "B7".parse().unwrap();
    household.entry(|write| write.correct_lid_lot(load(), Some(&lot), "read the box")).unwrap();
    assert_ne!(record(&household), before);
    // A name is the same in any case of its letters.
    let same = "b7".parse().unwrap();
    let again = household.entry(|write| write.correct_lid_lot(load(), Some(&same), "x"));
    assert_eq!(refusal(again), "lid-lot says b7 already; leave it out");
    assert_eq!(
        refusal(correct(&household, jar(2), Field::LidLot, "b7")),
        "lid-lot says b7 already; leave it out"
    );
    assert_eq!(household.problems(), []);
    household.undo_last();
    assert_eq!(record(&household), before);
}

#[test]
fn a_record_amended_for_the_better_lets_its_jars_go() {
    let household = beans();
    household.correct_load("26-001/1", Field::Vent, Some("5")).unwrap();
    assert_eq!(household.on_hold("26-001"), [true; 3]);
    let first = household.last_entry();
    let judged = household.correct_load("26-001/1", Field::Vent, Some("12")).unwrap();
    assert_eq!(judged[0].released.len(), 3);
    let corrections = household.ledger.corrections_of(household.last_entry()).unwrap();
    assert_eq!((corrections[0].old.as_deref(), corrections[0].new.as_deref()), (Some("5"), Some("12")));
    assert_eq!(household.on_hold("26-001"), [false; 3]);
    // Of three, the last in force holds.
    household.correct_load("26-001/1", Field::Vent, Some("15")).unwrap();
    household.undo_last();
    assert_eq!(household.ledger.load(load()).unwrap().facts.vent_min, Some(12));
    // The one before it cannot be taken back first.
    household.undo(first).unwrap_err();
}

// A quart owes 25 min where a pint owes 20: the load of 20 min falls short for it.
#[test]
fn a_jar_of_another_size_is_owed_another_time() {
    let household = beans();
    let judged = correct(&household, jar(2), Field::Size, "quart").unwrap();
    assert_eq!((judged[0].judged.verdict, judged[0].held.len()), (Verdict::Deviates, 3));
}

// Twelve months after the new day, by the calendar; a best-by given by hand stays.
#[test]
fn best_by_goes_along_with_the_day_of_putting_up() {
    let household = beans();
    correct(&household, jar(3), Field::BestBy, "2027-06-20").unwrap();
    correct(&household, batch(), Field::PutUp, "2026-08-13").unwrap();
    let jars = household.jars("26-001", &[]);
    let days = |at: usize| (jars[at].put_up.to_string(), jars[at].best_by.to_string());
    assert_eq!(days(0), ("2026-08-13".to_owned(), "2027-08-13".to_owned()));
    assert_eq!(days(2).1, "2027-06-20");
}

fn come_out(household: &Household, out: DateTime<FixedOffset>) -> Result<(), LedgerError> {
    household.ledger.may_have_come_out(&household.ledger.load(load()).unwrap(), out)?;
    let out = Amendment::moment(Field::Out, Some(out));
    household.entry(|write| write.correct(Corrected::Load(load()), &[out], "slip")).map(drop)
}

// Sealed on 15 August at 07:00; USDA AIB 539, Guide 1, Testing jar seals: not before 12 hours, so out by 19:00.
#[test]
fn a_load_came_out_before_anything_happened_to_its_jars() {
    let mut household = beans();
    let sealed = household.last_entry();
    for (out, message) in [
        ("2026-08-15T07:30", "took \u{201c}check-sealed\u{201d} 2026-08-15 07:00, before that"),
        ("2026-08-14T19:01", "took \u{201c}check-sealed\u{201d} 2026-08-15 07:00, less than 12 hours later"),
    ] {
        let refused = refusal(come_out(&household, instant(out)));
        assert!(refused.contains(&format!("26-001-01-0 {message}")), "{out}: {refused}");
        assert!(refused.contains(&format!("`jarledger undo {}`", sealed.0)), "{out}: {refused}");
    }
    come_out(&household, instant("2026-08-14T19:00")).unwrap();
    come_out(&household, instant("2026-08-14T14:05")).unwrap();
    // A lid that failed early was looked at early; so it may have been, but not in the canner.
    for _ in 0..3 {
        household.undo_last();
    }
    household.on("2026-08-14T20:00").check_seals("26-001", &[2], false).unwrap();
    household.on("2027-02-01T12:00");
    come_out(&household, instant("2026-08-14T20:00")).unwrap();
    let refused = refusal(come_out(&household, instant("2026-08-14T20:01")));
    assert!(refused.contains("26-001-02-8 took \u{201c}check-failed\u{201d}"), "{refused}");
}

#[test]
fn corrections_made_and_taken_back_leave_nothing_for_check_to_find() {
    let household = beans();
    let corrections = [
        (Corrected::Load(load()), Field::Minutes, "25"),
        (Corrected::Load(load()), Field::Pressure, "12"),
        (batch(), Field::Product, "Beans"),
        (batch(), Field::PutUp, "2026-08-13"),
        (jar(1), Field::Size, "quart"),
    ];
    for (of, field, value) in corrections {
        correct(&household, of, field, value).unwrap();
        assert_eq!(household.problems(), [], "{field}");
    }
    for (_, field, _) in corrections.into_iter().rev() {
        household.undo_last();
        assert_eq!(household.problems(), [], "{field} taken back");
    }
    // In a kitchen of another zone the moments stand in another offset, and are the same.
    let out = instant("2026-08-14T14:10").with_timezone(&FixedOffset::west_opt(5 * 3_600).unwrap());
    come_out(&household, out).unwrap();
    assert_eq!(household.problems(), []);
}
