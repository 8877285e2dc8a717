//! The household's report: one HTML file that needs nothing else.
//!
//! May use: text, rules, values.
//!
//! No script, no address outside the file, and a content security policy that
//! allows only the style sheet inside it. One line stands for the jars of a batch
//! and place; what few ask for is folded.

pub mod model;
mod picture;

use askama::Template;
use chrono::NaiveDate;
use uuid::Uuid;

use crate::paper::report::model::{Figure, JarsLine, PlaceLine, ProductLine, Report, YearLine};

use crate::paper::text::plain::plain;
use crate::rules::eating::keep_up::Outlook;
use crate::rules::spoilage::cautions::BEST_BY;
use crate::values::names::counted;
use crate::values::time::on_screen;

const STYLE: &str = include_str!("report.css");

/// Lines of a list that stand open; the others are folded, or the page would grow past what anybody reads.
const SHOWN: usize = 40;

/// Letters of jar numbers that are kept in one line.
const LONG: usize = 20;

#[derive(Template)]
#[template(path = "report.html", config = "src/paper/report/askama.toml")]
struct Page<'a> {
    report: &'a Report,
    style: &'static str,
    nonce: String,
}

/// Writes the report as HTML. The same report always gives the same bytes.
///
/// # Panics
/// Never: the page is written to memory.
pub fn render(report: &Report) -> String {
    // The nonce depends on everything in the report, so that nobody can choose a name that contains it.
    let nonce = Uuid::new_v5(&Uuid::NAMESPACE_OID, format!("{report:?}").as_bytes()).simple().to_string();
    let page = Page { report, style: STYLE, nonce };
    let html = page.render().expect("writing to a string cannot fail");
    // Names may hold anything; HTML allows no control character but the newline.
    plain(html)
}

impl Page<'_> {
    fn day(&self, day: &NaiveDate) -> String {
        on_screen::day_on_paper(*day)
    }

    fn best_by(&self) -> &'static str {
        BEST_BY.text
    }

    /// What a folded part begins with.
    fn open(&self) -> &'static str {
        if self.report.unfolded { " open" } else { "" }
    }

    fn in_all(&self) -> u64 {
        self.report.figures.iter().map(|figure| figure.jars).sum()
    }

    fn sum(&self, lines: &[JarsLine]) -> u64 {
        lines.iter().map(|line| line.count).sum()
    }

    fn are(&self, lines: &[JarsLine]) -> &'static str {
        if self.sum(lines) == 1 { "is" } else { "are" }
    }

    fn counted(&self, place: &PlaceLine) -> String {
        counted::jars(self.sum(&place.batches) + place.besides.iter().map(|figure| figure.jars).sum::<u64>())
    }

    fn more(&self, lines: &[JarsLine]) -> String {
        format!("and {} more", counted::jars(self.sum(&lines[SHOWN..])))
    }

    /// What stands on the shelf of a product, and what elsewhere.
    fn here(&self, line: &ProductLine) -> String {
        let sizes: Vec<String> = line.sizes.iter().map(|(size, &jars)| size.counted(jars)).collect();
        let marks: Vec<String> = line.marks.iter().map(|(mark, jars)| format!("{jars}: {mark}")).collect();
        let mut text = if sizes.is_empty() { "none on the shelf".to_owned() } else { sizes.join(", ") };
        if !marks.is_empty() {
            text.push_str(&format!(" ({})", marks.join("; ")));
        }
        for Figure { what, jars } in &line.elsewhere {
            text.push_str(&format!("; {jars} {what}"));
        }
        text
    }

    fn scale(&self, line: &ProductLine) -> u64 {
        picture::scale(line)
    }

    fn picture(&self, line: &ProductLine) -> String {
        picture::stock(line)
    }

    fn outlook(&self, line: &ProductLine) -> String {
        match line.outlook {
            None => String::new(),
            Some(Outlook::RanOut { on }) => format!("Ran out on {}. ", self.day(&on)),
            Some(Outlook::NothingAhead) if line.sizes.is_empty() => String::new(),
            Some(Outlook::NothingAhead) => "All past best by. ".to_owned(),
            Some(Outlook::NoRate) => "None eaten yet. ".to_owned(),
            Some(Outlook::Reached { runs_out }) => format!("Lasts until {}. ", self.day(&runs_out)),
            Some(Outlook::Surplus { jars, runs_out: None }) => format!("{jars} not eaten in time. "),
            Some(Outlook::Surplus { jars, runs_out: Some(day) }) => {
                format!("Lasts until {}, {jars} not eaten in time. ", self.day(&day))
            }
        }
    }

    fn year(&self, line: &ProductLine) -> String {
        in_words(&line.year).map_or_else(String::new, |mut text| {
            text.push('.');
            text
        })
    }

    fn in_the_year(&self) -> String {
        let year = self.report.products.iter().fold(YearLine::default(), |sum, line| YearLine {
            put_up: sum.put_up + line.year.put_up,
            eaten: sum.eaten + line.year.eaten,
            given: sum.given + line.year.given,
            thrown_away: sum.thrown_away + line.year.thrown_away,
        });
        in_words(&year).unwrap_or_else(|| "nothing was put up, eaten or thrown away".to_owned())
    }

    fn nothing_to_put_up(&self) -> &'static str {
        if self.report.season.unknown.is_empty() && self.report.products.is_empty() {
            "No jar was put up yet, so there is nothing to plan by."
        } else if self.report.season.unknown.is_empty() {
            "Nothing: what stands on the shelf lasts."
        } else {
            "Nothing that can be planned from the past."
        }
    }
}

/// What became of the jars of a year; none where nothing did.
fn in_words(year: &YearLine) -> Option<String> {
    let text: Vec<String> = [
        (year.put_up, "put up"),
        (year.eaten, "eaten"),
        (year.given, "given away"),
        (year.thrown_away, "thrown away"),
    ]
    .iter()
    .filter(|(jars, _)| *jars > 0)
    .map(|(jars, what)| format!("{jars} {what}"))
    .collect();
    (!text.is_empty()).then(|| text.join(", "))
}
