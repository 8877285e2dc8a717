//! The report as a browser, an accessibility checker and an attacker see it.

use chrono::NaiveDate;
use jarledger::paper::report::{Outlook, PaceLine, PulledJars, Report, StockLine, WastedJar, render};
use jarledger::paper::text::lines::{MonthLine, MonthProduct, ShelfJar};
use jarledger::rules::eating::past_use::PastUse;
use jarledger::rules::seal::seal_statistics::{SealCount, SealGrouping, compare};
use jarledger::values::time::month::Month;

use super::readers::{browser, content};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn shelf(jar: &str, product: &str, put_up: &str, best_by: &str, place: Option<&str>) -> ShelfJar {
    ShelfJar {
        jar: jarledger::values::codes::jar_code::JarCode { batch: jar.parse().unwrap(), number: 4 },
        product: product.to_owned(),
        put_up: day(put_up),
        best_by: day(best_by),
        place: place.map(str::to_owned),
        process: jarledger::rules::load::process_record::ProcessMark {
            unrecorded: jar == "26-003",
            ..Default::default()
        },
    }
}

fn pulled(jars: &str, product: &str, place: Option<&str>, why: &str) -> PulledJars {
    PulledJars {
        jars: jars.to_owned(),
        count: 1,
        product: product.to_owned(),
        place: place.map(str::to_owned),
        why: why.to_owned(),
    }
}

fn pace(product: &str, eaten: u32, days: u32, outlook: Outlook) -> PaceLine {
    PaceLine { product: product.to_owned(), past: PastUse { eaten, days }, outlook }
}

fn seals(
    grouping: SealGrouping,
    counts: &[(&str, u32, u32)],
) -> jarledger::rules::seal::seal_statistics::SealStatistics {
    let count =
        |&(name, failed, checked): &(&str, u32, u32)| SealCount { name: name.to_owned(), failed, checked };
    compare(grouping, counts.iter().map(count))
}

/// A full shelf, with names that are long, foreign and hostile.
fn report() -> Report {
    let month = |text: &str, products: &[(&str, u64)]| MonthLine {
        month: text.parse::<Month>().unwrap(),
        products: products
            .iter()
            .map(|&(name, jars)| MonthProduct { product: name.to_owned(), jars })
            .collect(),
    };
    let stock = |product: &str, old, ripe, new| StockLine {
        product: product.to_owned(),
        old,
        ripe,
        new,
        marks: Default::default(),
    };
    Report {
        as_of: day("2026-11-25"),
        decide_now: vec![
            pulled(
                "26-039",
                "Green beans, quarts",
                Some("Kitchen counter"),
                "seal failed; reprocess, chill or freeze by Thu 26 Nov 16:40",
            ),
            pulled("26-040 1-9", "Dilled carrots", None, "seal not checked, due since Tue 24 Nov 09:10"),
        ],
        eat_first: vec![
            shelf("25-012", "Pears in light syrup", "2025-12-02", "2026-12-02", Some("Cellar, shelf 2")),
            shelf("26-001", "Żurek", "2026-01-09", "2027-01-09", Some("Cellar, shelf 1")),
            shelf("26-003", "梅干し", "2026-02-01", "2027-02-01", None),
            shelf(
                "26-1041",
                "Donaudampfschifffahrtsgesellschaftspflaumenmus with walnuts",
                "2026-02-11",
                "2027-02-11",
                Some("Hall cupboard"),
            ),
        ],
        past_best: vec![shelf(
            "24-031",
            "<script>alert(1)</script>",
            "2024-09-01",
            "2025-09-01",
            Some("\" onload=\"x()"),
        )],
        stock: vec![
            stock("Green beans", 2, 9, 14),
            stock("Pears in light syrup", 5, 3, 0),
            stock("Tomatoes, crushed", 0, 0, 21),
            stock("</style><b>\u{1b}[2J\u{202e}", 1, 0, 0),
        ],
        months: vec![
            month("2026-11", &[("Green beans", 2), ("Pears in light syrup", 1), ("Żurek", 1)]),
            month("2026-12", &[("Green beans", 2), ("Tomatoes, crushed", 2)]),
            month("2027-01", &[]),
            month("2027-02", &[("Tomatoes, crushed", 1)]),
        ],
        pace: vec![
            pace("Green beans", 31, 500, Outlook::Surplus { jars: 3, runs_out: Some(day("2027-10-04")) }),
            pace("Pears in light syrup", 9, 400, Outlook::Reached { runs_out: day("2027-06-30") }),
            pace("Tomatoes, crushed", 0, 90, Outlook::NoRate),
            pace("Applesauce", 14, 211, Outlook::RanOut { on: day("2026-05-03") }),
            pace("Imported & untouched", 0, 0, Outlook::NoRate),
        ],
        surplus: vec![shelf("26-022", "Green beans", "2026-07-01", "2027-07-01", None)],
        seals: vec![
            seals(SealGrouping::LidLot, &[("K24-11", 6, 24), ("K25-02", 3, 114), ("K25-07", 2, 96)]),
            seals(SealGrouping::Canner, &[("Tall dial canner", 7, 120), ("Boiling-water kettle", 4, 114)]),
            seals(SealGrouping::Product, &[("Green beans", 11, 234)]),
        ],
        holds: vec![pulled(
            "26-022",
            "Venison chunks",
            Some("Cellar, shelf 3"),
            "pressure 9 psi, owed 11 psi",
        )],
        wasted_since: day("2025-11-25"),
        wasted: vec![
            WastedJar {
                jar: shelf("26-009", "", "2026-01-01", "2027-01-01", None).jar,
                product: "Beets".to_owned(),
                day: day("2026-10-02"),
                why: Some("lid bulged".to_owned()),
            },
            WastedJar {
                jar: shelf("25-031", "", "2026-01-01", "2027-01-01", None).jar,
                product: "Chicken broth".to_owned(),
                day: day("2026-07-19"),
                why: None,
            },
        ],
        cautions: vec!["When in doubt, throw it out; never taste food to find out.".to_owned()],
    }
}

#[test]
fn the_page_reads_well_narrow_wide_and_on_paper() {
    let pictures = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("report");
    std::fs::create_dir_all(&pictures).unwrap();
    for (name, report) in
        [("full", report()), ("empty", Report { as_of: day("2026-11-25"), ..Report::default() })]
    {
        let file = pictures.join(format!("{name}.html"));
        std::fs::write(&file, render(&report)).unwrap();
        let pictures = pictures.join(name);
        std::fs::create_dir_all(&pictures).unwrap();
        let Some(mut reader) = browser("page.mjs") else { return };
        reader.args([&file, &pictures]);
        assert_eq!(content(reader), "");
    }
}

#[test]
fn no_name_becomes_markup_or_steers_a_terminal() {
    let page = render(&report());
    assert!(page.contains("&#60;script&#62;alert(1)&#60;/script&#62;"), "{page}");
    for hostile in ["<script", "onload=\"x", "<b>", "\u{1b}", "\u{202e}"] {
        assert!(!page.contains(hostile), "{hostile:?}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
}

#[test]
fn the_page_stands_alone_and_is_the_same_every_time() {
    let page = render(&report());
    assert_eq!(page, render(&report()));
    for outside in ["http:", "https:", "//", "url(h", "@import", "src="] {
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.contains("default-src &#39;none&#39;") || page.contains("default-src 'none'"));
}

#[test]
fn a_list_too_long_to_read_is_cut_and_says_so() {
    let mut long = report();
    long.past_best = vec![long.past_best[0].clone(); 503];
    let page = render(&long);
    assert_eq!(page.matches("24-031-04-2").count(), 500);
    assert!(page.contains("And 3 more."), "{page}");
    assert!(page.contains("<dd>503</dd>"));
}
