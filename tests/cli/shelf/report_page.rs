//! The report as a browser, an accessibility checker, an HTML checker and an attacker see it.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;
use jarledger::paper::report::model::{
    Aside, Figure, JarsLine, LastingLine, PlaceLine, ProductLine, Report, Season, SeasonLine, YearLine,
};
use jarledger::paper::report::render;
use jarledger::paper::text::lines::{MonthLine, MonthProduct};
use jarledger::rules::eating::keep_up::Outlook;
use jarledger::values::kinds::jar_size::JarSize;
use jarledger::values::time::month::Month;

use crate::common::readers::{browser, content, markup, tool};
use crate::common::world::World;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn jars(count: u64, product: &str, jars: &str, text: &str) -> JarsLine {
    JarsLine { jars: jars.to_owned(), count, product: product.to_owned(), text: text.to_owned() }
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
    let product = |product: &str, now: u64, outlook| ProductLine {
        product: product.to_owned(),
        sizes: BTreeMap::from([(JarSize::Pint, now)]),
        marks: BTreeMap::new(),
        elsewhere: vec![Figure { what: "in the freezer", jars: 2 }],
        past: (0..12).map(|month| now + 12 - month).chain([now]).collect(),
        ahead: (1..=12).map(|month| now.saturating_sub(month)).collect(),
        year: YearLine { put_up: 36, eaten: 24, given: 1, thrown_away: 2 },
        outlook: Some(outlook),
    };
    let long = "Donaudampfschifffahrtsgesellschaftspflaumenmus with walnuts";
    Report {
        as_of: day("2026-11-25"),
        unfolded: false,
        figures: vec![
            Figure { what: "on the shelf", jars: 55 },
            Figure { what: "in the freezer", jars: 10 },
            Figure { what: "on hold", jars: 9 },
        ],
        decide_now: vec![
            jars(
                1,
                "Green beans",
                "26-039-01-3",
                "Kitchen counter: did not seal: reprocess, chill or freeze by Thu 26 Nov 16:40",
            ),
            jars(9, "Dilled carrots", "26-040 1-9", "place not recorded: check the lid by Tue 24 Nov 09:10"),
        ],
        eat_first: vec![
            jars(2, "Pears in light syrup, pint", "25-012 4,5", "Cellar, shelf 2: best by 2 Dec 2026"),
            jars(1, "Żurek, quart", "26-001-04-2", "Cellar, shelf 1: best by 9 Jan 2027"),
            jars(1, "梅干し, pint", "26-003-04-7", "place not recorded: best by 1 Feb 2027"),
            jars(1, long, "26-1041-04-3", "Hall cupboard: best by 11 Feb 2027, process not on record"),
        ],
        past_best: vec![jars(
            1,
            "<script>alert(1)</script>",
            "24-031-04-2",
            "\" onload=\"x(): best by 1 Sep 2025",
        )],
        places: vec![PlaceLine {
            place: "Cellar, shelf 1".to_owned(),
            products: vec![("Green beans, pint".to_owned(), 40), (long.to_owned(), 15)],
            batches: vec![
                jars(40, "Green beans, pint", "26-022 1-40", "best by 1 Jul 2027"),
                jars(15, long, "26-1041 1-15", "best by 11 Feb 2027"),
            ],
            besides: vec![Figure { what: "on hold", jars: 9 }],
        }],
        aside: vec![
            Aside {
                what: "In the freezer",
                note: "",
                lines: vec![jars(10, "Applesauce, quart", "26-050 1-10", "since 1 Oct 2026")],
            },
            Aside {
                what: "On hold",
                note: "Do not eat from these jars.",
                lines: vec![jars(
                    9,
                    "Venison chunks, quart",
                    "26-023 1-9",
                    "Cellar, shelf 3: pressure 9 psi, 11 psi required",
                )],
            },
        ],
        lasting: vec![
            LastingLine { until: "None left".to_owned(), products: vec!["Applesauce".to_owned()] },
            LastingLine {
                until: "Until June 2027".to_owned(),
                products: vec!["Pears in light syrup".to_owned(), long.to_owned()],
            },
        ],
        surplus: vec![jars(3, "Green beans, pint", "26-022 1-3", "Cellar, shelf 1: best by 1 Jul 2027")],
        products: vec![
            product("Green beans", 40, Outlook::Surplus { jars: 3, runs_out: Some(day("2027-10-04")) }),
            product("Pears in light syrup", 9, Outlook::Reached { runs_out: day("2027-06-30") }),
            product(long, 15, Outlook::NoRate),
            product("</style><b>\u{1b}[2J\u{202e}", 1, Outlook::NothingAhead),
            ProductLine {
                product: "Applesauce".to_owned(),
                past: vec![0; 13],
                ahead: vec![0; 12],
                outlook: Some(Outlook::RanOut { on: day("2026-05-03") }),
                ..ProductLine::default()
            },
        ],
        months: vec![
            month("2026-11", &[("Green beans", 2), ("Pears in light syrup", 1), ("Żurek", 1)]),
            month("2027-01", &[]),
        ],
        season: Season {
            until: day("2027-11-25"),
            lines: vec![SeasonLine {
                product: "Green beans, pints".to_owned(),
                needed: 44,
                will_keep: 40,
                put_up: 4,
            }],
            in_all: "In all: 4 pints; 4 new lids.".to_owned(),
            unknown: vec!["Applesauce, quarts".to_owned()],
        },
        year_since: day("2025-11-25"),
        wasted: vec![jars(2, "Beets", "26-009 1,2", "2 Oct 2026: lid bulged")],
        seals: vec![
            "Lid lot K24-11: 6 of 24 failed to seal, in 4 of 4 loads; more than the rest (5 of 210)."
                .to_owned(),
        ],
        cautions: vec!["When in doubt, throw it out; never taste food to find out.".to_owned()],
    }
}

/// The pages looked at, each in a file of its own.
fn pages(folder: &Path) -> Vec<std::path::PathBuf> {
    std::fs::create_dir_all(folder).unwrap();
    let reports = [
        ("full", report()),
        ("unfolded", Report { unfolded: true, ..report() }),
        ("empty", Report { as_of: day("2026-11-25"), ..Report::default() }),
    ];
    let write = |(name, report): &(&str, Report)| {
        let file = folder.join(format!("{name}.html"));
        std::fs::write(&file, render(report)).unwrap();
        file
    };
    reports.iter().map(write).collect()
}

#[test]
fn the_page_reads_well_narrow_wide_dark_and_on_paper() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("report");
    for file in pages(&folder) {
        let pictures = file.with_extension("");
        std::fs::create_dir_all(&pictures).unwrap();
        let Some(mut reader) = browser("page.mjs") else { return };
        reader.args([&file, &pictures]);
        assert_eq!(content(reader), "", "{}", file.display());
    }
}

#[test]
fn the_html_checker_finds_nothing() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("report-markup");
    let pages = pages(&folder);
    let Some(mut checker) = markup() else { return };
    checker.args(pages);
    assert_eq!(content(checker), "");
}

#[test]
fn what_is_folded_is_printed_only_where_it_was_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    for (file, printed) in pages(folder.path()).iter().zip([false, true]) {
        let Some(mut reader) = browser("print.mjs") else { return };
        reader.arg(file).arg(folder.path()).arg("1");
        content(reader);
        let Some(mut to_text) = tool("pdftotext") else { return };
        to_text.arg("-layout").arg(folder.path().join("0.pdf")).arg("-");
        let text = content(to_text);
        assert_eq!(text.contains("26-022 1-40"), printed, "{text}");
        assert_eq!(text.contains("January 2027"), printed, "{text}");
    }
}

/// Screens of a phone that a report fills, and pages of A4 that it prints on.
fn length(world: &World) -> Option<(f64, usize)> {
    let at = |name: &str| world.home().join(name);
    world.ok(&["report", "--out", "report.html"]);
    let mut reader = browser("length.mjs")?;
    reader.args([at("report.html"), at("report.pdf")]);
    let screens = content(reader).trim().parse().unwrap();
    let mut to_text = tool("pdftotext")?;
    to_text.arg(at("report.pdf")).arg("-");
    Some((screens, content(to_text).matches('\u{c}').count()))
}

#[test]
fn the_demo_is_read_in_8_screens_and_4_pages_and_5000_jars_in_30_screens() {
    let mut world = World::new();
    world.on("2026-11-25").ok(&["demo"]);
    let Some((screens, pages)) = length(&world) else { return };
    assert!(screens <= 8.0 && pages <= 4, "{screens} screens, {pages} pages");

    let mut world = World::at_500_ft();
    let foods = ["peaches", "pears", "plums", "applesauce", "berries", "cherries", "rhubarb", "apricots"];
    let rows: Vec<String> = (0..500)
        .map(|at| {
            let food = foods[at % foods.len()];
            let (year, month, day) = (2024 + at % 3, 1 + at % 10, 1 + at % 28);
            let size = ["pint", "quart"][at / 60 % 2];
            format!("{food} {},{year}-{month:02}-{day:02},{size},10,Shelf {},{food}", at / 8 % 8, at % 11)
        })
        .collect();
    let list = format!("product,put_up,jar,count,place,food\n{}\n", rows.join("\n"));
    std::fs::write(world.home().join("list.csv"), list).unwrap();
    world.on("2026-11-25").ok(&["import", "list.csv"]);
    let Some((screens, _)) = length(&world) else { return };
    assert!(screens <= 30.0, "{screens} screens");
}

#[test]
fn no_heading_is_left_at_the_foot_of_a_printed_page() {
    const TIMES: usize = 20;
    let folder = tempfile::tempdir().unwrap();
    let full = pages(folder.path()).remove(0);
    let html = std::fs::read_to_string(&full).unwrap();
    let headings: Vec<&str> = ["<h2", "<h3"]
        .iter()
        .flat_map(|tag| html.split(tag).skip(1))
        .filter_map(|rest| rest.split(['>', '<']).nth(1))
        .collect();
    assert!(headings.contains(&"Past best by"), "{headings:?}");
    let Some(mut printer) = browser("print.mjs") else { return };
    printer.arg(&full).arg(folder.path()).arg(TIMES.to_string());
    content(printer);
    let mut feet = 0;
    for time in 0..TIMES {
        let Some(mut to_text) = tool("pdftotext") else { return };
        to_text.arg("-layout").arg(folder.path().join(format!("{time}.pdf"))).arg("-");
        let text = content(to_text);
        let pages: Vec<&str> = text.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
        for page in &pages[..pages.len() - 1] {
            let last = page.trim_end().lines().last().unwrap().trim();
            assert!(!headings.contains(&last), "{last} at the foot of a page of print {time}");
            let intro = ["Filled: ", "Before the month is out", "At the rate at which"];
            assert!(
                !intro.iter().any(|start| last.starts_with(start)),
                "{last} at the foot of a page of print {time}"
            );
            feet += 1;
        }
    }
    assert!(feet >= TIMES, "{feet} feet of pages looked at");
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
fn the_figures_on_top_add_up_to_all_jars() {
    // By hand: 55, 10 and 9.
    assert!(render(&report()).contains("<dt>in all</dt><dd>74</dd>"));
}

#[test]
fn a_list_too_long_to_read_is_folded_and_says_how_many_jars_are_in_the_fold() {
    let mut long = report();
    let line = long.past_best[0].clone();
    long.past_best = vec![JarsLine { count: 2, ..line }; 43];
    let page = render(&long);
    assert_eq!(page.matches("24-031-04-2").count(), 43);
    // By hand: 40 lines stand open, three of two jars each are folded.
    assert!(page.contains("<summary>and 6 jars more</summary>"), "{page}");
    assert!(page.contains("86 are past best by"), "{page}");
}

/// HTML Living Standard, "The bdi element": a name whose direction is not known is isolated from the text around it.
#[test]
fn a_name_written_from_right_to_left_turns_nothing_around_beside_it() {
    let page = render(&report());
    for name in
        ["Donaudampf", "Pears in light syrup", "Żurek", "梅干し", "Green beans", "Applesauce", "Beets"]
    {
        let isolated = page.matches(&format!("<bdi>{name}")).count();
        assert!(isolated > 0 && isolated == page.matches(name).count(), "{name}: {isolated} in {page}");
    }
    assert!(page.contains("<bdi>Cellar, shelf 1</bdi></strong>"), "{page}");
}
