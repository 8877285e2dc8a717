//! Shelf cards and pull sheets, as poppler reads them.

use chrono::NaiveDate;
use jarledger::paper::label::draw::print::Printed;
use jarledger::paper::label::draw::sheets_of_jars::{
    CardLine, PullLine, PullSheet, ShelfCard, print_pull_sheet, print_shelf_card,
};
use jarledger::paper::label::sheet::page::Page;
use jarledger::paper::label::words::run::LabelError;
use jarledger::rules::load::process_record::ProcessMark;
use jarledger::values::codes::jar_code::BatchCode;
use jarledger::values::time::day_words::DayOrder;

use crate::model::label;
use crate::tools::{Pages, have};

pub fn card(batches: u32) -> Printed {
    printed_card(batches).unwrap()
}

fn printed_card(batches: u32) -> Result<Printed, LabelError> {
    let lines = (0..batches).rev().map(|at| {
        let label = label(41 + at, 1);
        CardLine {
            contents: label.contents,
            size: label.size,
            jars: 7,
            batch: label.code.batch,
            put_up: label.put_up,
            keeps: label.keeps,
            warning: (at == 2).then(|| "on hold".to_owned()),
            process: ProcessMark { unrecorded: at == 3, ..ProcessMark::default() },
        }
    });
    let as_of = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let card = ShelfCard { place: "Cellar, north wall, shelf 2".to_owned(), as_of, lines: lines.collect() };
    print_shelf_card(&card, DayOrder::DayMonthYear, Page::Letter, &Default::default(), None)
}

pub fn pull(jars: u32) -> Printed {
    let lines = (0..jars).rev().map(|at| PullLine {
        code: label(41 + at / 7, 1 + at % 7).code,
        contents: label(41 + at / 7, 1).contents,
        place: ["Cellar shelf 2", "Pantry", "given to a neighbour"][at as usize % 3].to_owned(),
        state: "sealed".to_owned(),
        reason: "gauge read 3 psi high".to_owned(),
    });
    let sheet = PullSheet {
        title: "Pull these jars".to_owned(),
        as_of: NaiveDate::from_ymd_opt(2026, 11, 25).unwrap(),
        lines: lines.collect(),
        cautions: vec!["Do not taste to find out. When in doubt, throw it out.".to_owned()],
    };
    print_pull_sheet(&sheet, DayOrder::DayMonthYear, Page::A4, &Default::default(), None).unwrap()
}

#[test]
fn a_shelf_card_lists_what_is_not_to_be_eaten_first_and_then_the_oldest_first() {
    if !have(&["pdftotext"]) {
        return;
    }
    let text = Pages::new(&card(4).pdf).text();
    let batch = |number: u32| BatchCode { year: 26, number }.to_string();
    let at = |word: &str| text.rfind(word).unwrap_or_else(|| panic!("{word} in {text}"));
    assert!(text.starts_with("Cellar, north wall, shelf 2\n28 jars on 25 Nov 2026\n"), "{text}");
    assert!(at("Not to be eaten off the shelf") < at("on hold") && at("on hold") < at("Oldest first"));
    assert!(
        at("Oldest first") < at(&batch(41))
            && at(&batch(41)) < at(&batch(42))
            && at(&batch(42)) < at(&batch(44))
            && at(&batch(44)) < at("process not on record")
    );
}

#[test]
fn a_card_longer_than_any_shelf_is_refused_before_it_fills_the_memory() {
    let refused = printed_card(4_001);
    assert!(matches!(refused, Err(LabelError::Rows(4_001..))), "{:?}", refused.err());
}

#[test]
fn a_long_pull_sheet_runs_on_and_loses_no_jar() {
    let printed = pull(200);
    assert!(printed.pages > 4);
    if !have(&["pdftotext"]) {
        return;
    }
    let text = Pages::new(&printed.pdf).text();
    let mut codes: Vec<String> = (0..200).map(|at| label(41 + at / 7, 1 + at % 7).code.to_string()).collect();
    for code in &codes {
        assert_eq!(text.matches(code.as_str()).count(), 1, "{code}");
    }
    // By place, and in each place by code.
    let place = |code: &String| text[..text.find(code.as_str()).unwrap()].rfind('\n').unwrap();
    codes.sort_by_key(place);
    assert_eq!(codes[0], label(41, 1).code.to_string());
    assert_eq!(codes[1], label(41, 4).code.to_string());
    assert!(text.trim_end().ends_with("throw it out."));
    assert_eq!(text.matches("Pull these jars").count(), printed.pages);
}
