//! Which jars words name.

use crate::ledger::error::LedgerError;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::jar_words::BareBatch;
use crate::ledger::tests::household::Household;
use crate::rules::jar::jar_state::Act;
use crate::values::codes::jar_word::JarWord;
use crate::values::kinds::jar_size::JarSize;

const PEARS: (&str, &str) = ("Pears", "pears");

/// Three pints of beans, 26-001; two quarts of pears, 26-002, and two pints, 26-003, of which the second is open.
fn shelf() -> Household {
    let mut household = Household::at("2026-08-14T12:00");
    household.stand_by(("Green beans", "green-beans"), JarSize::Pint, 3);
    household.stand_by(PEARS, JarSize::Quart, 2);
    household.stand_by(PEARS, JarSize::Pint, 2);
    household.on("2026-08-16T12:00");
    for batch in ["26-001", "26-002", "26-003"] {
        household.check_seals(batch, &[], true).unwrap();
    }
    household.act("26-003", &[2], Act::Open).unwrap();
    household
}

fn named(household: &Household, words: &str) -> Result<Vec<Jar>, LedgerError> {
    let words: Vec<JarWord> = words.split(' ').map(|word| word.parse().unwrap()).collect();
    household.ledger.jars_named(&words, BareBatch::Refused)
}

fn codes(household: &Household, words: &str) -> Vec<String> {
    named(household, words).unwrap().iter().map(|jar| jar.code.to_string()).collect()
}

// Check digits of 2600101, 2600102 and 2600103 by ISO/IEC 7064 MOD 11,10 (python-stdnum, iso7064.mod_11_10): 0, 8, 6.
#[test]
fn jars_come_in_the_order_named_and_each_once() {
    let household = shelf();
    for (words, jars) in [
        // A list of numbers is read ascending.
        ("26-001 3,1", ["26-001-01-0", "26-001-03-6"].as_slice()),
        ("26-001-03-6 26-001-01-0 26-001 3", &["26-001-03-6", "26-001-01-0"]),
        ("26-001-2", &["26-001-02-8"]),
        ("26 1 2", &["26-001-02-8"]),
    ] {
        assert_eq!(codes(&household, words), jars, "{words}");
    }
}

#[test]
fn a_code_misread_is_answered_with_the_nearest_real_ones() {
    let household = shelf();
    let near = |words: &str| match named(&household, words).unwrap_err() {
        LedgerError::WrongCheck { given, near } | LedgerError::NoJar { given, near } => {
            assert_eq!(given, words);
            near.iter().map(ToString::to_string).collect::<Vec<_>>()
        }
        other => panic!("{words}: {other}"),
    };
    assert!(near("26-001-01-7").contains(&"26-001-01-0".to_owned()));
    for misread in ["26-004-03-6", "26-010-03-6"] {
        assert!(near(misread).contains(&"26-001-03-6".to_owned()), "{misread}");
    }
    // Its check digit fits, so it is a jar that never was.
    assert!(matches!(named(&household, "26-001-04-4"), Err(LedgerError::NoJar { .. })));
    assert!(matches!(named(&household, "26-001-4"), Err(LedgerError::NoJar { .. })));
}

#[test]
fn what_names_no_jar_or_too_many_is_refused_and_never_guessed() {
    let household = shelf();
    for (words, message) in [
        ("26-001 4", "batch 26-001 has no jar 4; it has jars 1-3"),
        ("26-001", "batch 26-001 has 3 jars, and none was named"),
        ("3", "the numbers 3 follow no batch"),
        ("1-2", "follow no batch"),
        ("26 9 2", "the numbers 26 follow no batch"),
        ("26-009", "there is no batch 26-009"),
        ("beans", "may be any of 3 jars"),
        ("quinces", "there is no product"),
        ("2 pears", "2 jars of \u{201c}pears\u{201d}: say which ones"),
        ("a half-pint of pears", "no jar of \u{201c}a half-pint of pears\u{201d} is in the house"),
    ] {
        let refused = named(&household, words).unwrap_err().to_string();
        assert!(refused.contains(message), "{words}: {refused}");
    }
}

#[test]
fn of_several_jars_the_one_to_eat_first_is_in_front() {
    let household = shelf();
    let among = |words: &str| match named(&household, words).unwrap_err() {
        LedgerError::SeveralJars { among, .. } => {
            among.iter().map(|jar| jar.batch.number).collect::<Vec<_>>()
        }
        other => panic!("{words}: {other}"),
    };
    // Sealed jars first, and the open one last; a size in the words is the size of the jar.
    assert_eq!(among("pears"), [2, 2, 3, 3]);
    assert_eq!(among("a quart of pears"), [2, 2]);
}

// 26-004-100: its number is written with three digits, check digit by python-stdnum, iso7064.mod_11_10.
#[test]
fn numbers_of_many_jars_are_not_taken_for_batches() {
    let mut household = shelf();
    household.stand_by(("Medlars", "pears"), JarSize::Pint, 100);
    // `10-100` has the shape of a batch, and there is none of that code.
    let jars = codes(&household, "26-004 10-100");
    assert_eq!((jars.len(), jars[90].starts_with("26-004-100-")), (91, true));
    assert!(named(&household, "10-100").unwrap_err().to_string().contains("there is no batch 10-100"));
    household.on("2010-08-14T12:00");
    for _ in 0..100 {
        household.stand_by(PEARS, JarSize::Pint, 1);
    }
    // Now it could be either, and neither is guessed.
    let refused = named(&household, "26-004 10-100").unwrap_err();
    let LedgerError::Refused { hint, .. } = refused else { panic!("{refused}") };
    assert!(hint.contains("write the jars of 26-004 as 10,11-100"), "{hint}");
    assert_eq!(codes(&household, "26-004 10,11-100").len(), 91);
    assert_eq!(codes(&household, "26-004 1 10-099 1").len(), 2);
}
