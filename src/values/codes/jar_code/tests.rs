//! Jar codes against python-stdnum's check digits, and against every slip of one digit.

use crate::values::codes::jar_code::*;
use proptest::prelude::*;

/// Codes made by python-stdnum 2.2 (stdnum.iso7064.mod_11_10); the command stands at the head of the file.
const FIXTURE: &str = include_str!("../../../../fixtures/mod_11_10.csv");

fn codes() -> impl Iterator<Item = &'static str> {
    FIXTURE.lines().filter(|line| !line.starts_with('#')).skip(1)
}

#[test]
fn the_check_digit_is_that_of_the_standard() {
    // ISO/IEC 7064:2003, MOD 11,10: the worked example 0794 gives 5 (also python-stdnum, iso7064.mod_11_10).
    assert_eq!(check_digit("0794"), 5);
}

#[test]
fn every_code_of_an_independent_library_is_read_and_written_the_same() {
    assert!(codes().count() >= 1_000);
    for text in codes() {
        assert_eq!(text.parse::<JarCode>().map(|code| code.to_string()), Ok(text.to_owned()));
    }
}

#[test]
fn every_single_wrong_digit_in_every_one_of_them_is_caught() {
    let mut slips = 0;
    for text in codes() {
        for (at, right) in text.bytes().enumerate().filter(|(_, byte)| *byte != b'-') {
            for wrong in (b'0'..=b'9').filter(|&wrong| wrong != right) {
                let mut bytes = text.as_bytes().to_vec();
                bytes[at] = wrong;
                let slip = String::from_utf8(bytes).unwrap();
                assert!(slip.parse::<JarCode>().is_err(), "{slip} passes for {text}");
                slips += 1;
            }
        }
    }
    assert!(slips >= 1_000 * 8 * 9);
}

#[test]
fn swaps_of_neighbours_are_caught_as_often_as_the_independent_library_catches_them() {
    let words = FIXTURE.lines().find_map(|line| line.strip_prefix("# swaps ")).unwrap();
    let (swaps, caught) = words.split_once(" caught ").unwrap();
    let expected: (u32, u32) = (swaps.parse().unwrap(), caught.parse().unwrap());
    let mut counted = (0, 0);
    for text in codes() {
        let digits = text.replace('-', "").into_bytes();
        for at in (0..digits.len() - 1).filter(|&at| digits[at] != digits[at + 1]) {
            let mut swapped = digits.clone();
            swapped.swap(at, at + 1);
            let (check, payload) = swapped.split_last().unwrap();
            let fits = check_digit(std::str::from_utf8(payload).unwrap()) == check - b'0';
            counted = (counted.0 + 1, counted.1 + u32::from(!fits));
        }
    }
    assert_eq!(counted, expected);
}

#[test]
fn whatever_has_not_the_shape_of_a_code_is_refused() {
    for wrong in [
        "",
        "-",
        "---",
        "26-041",
        "26-041-03",
        "26-041-03-",
        "26-041-03-33",
        "26-041--3",
        "026-041-03-3",
        "6-041-03-3",
        "26-000-03-3",
        "26-041-00-3",
        "26-041-03-x",
        "26 041 03 3",
        "26-041-03-3-1",
        "26-10000000-03-3",
        "\u{662}6-041-03-3",
        "26-041-03-\u{663}",
        "26-+41-03-3",
        "26-0041-03-3",
        "26-041-003-3",
        "26-041-3 -3",
    ] {
        assert!(matches!(wrong.parse::<JarCode>(), Err(CodeError::Shape { .. })), "{wrong}");
    }
    for wrong in [
        "",
        "26",
        "26-",
        "-041",
        "2026-041",
        "26-0",
        "26-00000000",
        "26-0041",
        "26-041-03",
        "x6-041",
        "26-\u{664}",
    ] {
        assert!(matches!(wrong.parse::<BatchCode>(), Err(CodeError::Shape { .. })), "{wrong}");
    }
    assert!(matches!("26-041-03-4".parse::<JarCode>(), Err(CodeError::CheckDigit { .. })));
}

#[test]
fn fields_are_padded_when_written_and_need_not_be_when_read() {
    assert_eq!("26-41".parse(), Ok(BatchCode { year: 26, number: 41 }));
    assert_eq!(BatchCode { year: 5, number: 7 }.to_string(), "05-007");
    let code = JarCode { batch: BatchCode { year: 26, number: 41 }, number: 3 };
    let loose = format!(" 26-41-3-{} ", code.check());
    assert_eq!(loose.parse(), Ok(code));
    assert_eq!("26-9999999".parse(), Ok(BatchCode { year: 26, number: 9_999_999 }));
    assert_eq!(format!("{:>8}|", code.batch), "  26-041|");
}

#[test]
fn codes_are_serialized_as_they_are_written() {
    let code: JarCode = "26-041-03-3".parse().unwrap();
    assert_eq!(serde_json::to_value(code).unwrap(), "26-041-03-3");
    assert_eq!(serde_json::to_value(code.batch).unwrap(), "26-041");
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_without_a_panic(text in ".*") {
        let _ = text.parse::<JarCode>();
        let _ = text.parse::<BatchCode>();
    }

    #[test]
    fn anything_nearly_like_a_code_is_read_or_refused_without_a_panic(text in "[0-9]{0,9}-[0-9]{0,9}-[0-9]{0,9}-[0-9]{0,2}") {
        let _ = text.parse::<JarCode>();
    }

    #[test]
    fn every_code_reads_back_as_itself(year in 0_u8..100, batch in 1_u32..=9_999_999, jar in 1_u32..=9_999_999) {
        let code = JarCode { batch: BatchCode { year, number: batch }, number: jar };
        prop_assert_eq!(code.to_string().parse(), Ok(code));
        prop_assert_eq!(code.batch.to_string().parse(), Ok(code.batch));
    }
}
