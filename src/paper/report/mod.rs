//! The household's report: one HTML file that needs nothing else.
//!
//! No script, no address outside the file, and a content security policy that
//! allows only the style sheet inside it. Charts are bars in SVG; each has its
//! figures beside it in words.

mod bar;
mod model;

use std::collections::BTreeMap;

use askama::Template;
use chrono::NaiveDate;

pub use model::{Outlook, PaceLine, PulledJars, Report, StockLine, WastedJar};

use crate::paper::text::lines::MonthLine;
use crate::paper::text::plain::plain;
use crate::rules::eating::past_use::PastUse;
use crate::rules::load::process_record::ProcessMark;
use crate::rules::seal::seal_statistics::{SealGrouping, SealShare};
use crate::rules::spoilage::cautions::BEST_BY;
use crate::values::names::counted;
use crate::values::time::day_words::DayOrder;

const STYLE: &str = include_str!("report.css");

/// Allows the style sheet and no other: `openssl dgst -sha256 -binary report.css | base64`.
const STYLE_HASH: &str = "sha256-ktAKXyIynQ5w5v+7NErti32IyByGfnazqD9iO1Tr0jw=";

/// Jars listed one by one in a table; a longer list is told as a number, or the page would grow
/// past what anybody reads.
const MOST_ROWS: usize = 500;

#[derive(Template)]
#[template(path = "report.html", config = "src/paper/report/askama.toml")]
struct Page<'a> {
    report: &'a Report,
    style: &'static str,
    style_hash: &'static str,
}

/// Writes the report as HTML. The same report always gives the same bytes.
///
/// # Panics
/// Never: the page is written to memory.
pub fn render(report: &Report) -> String {
    let page = Page { report, style: STYLE, style_hash: STYLE_HASH };
    let html = page.render().expect("writing to a string cannot fail");
    // Names may hold anything; HTML allows no control character but the newline.
    plain(&html)
}

impl Page<'_> {
    fn day(&self, day: &NaiveDate) -> String {
        DayOrder::DayMonthYear.write(*day)
    }

    fn best_by(&self) -> &'static str {
        BEST_BY.text
    }

    fn place<'p>(&self, place: &'p Option<String>) -> &'p str {
        place.as_deref().unwrap_or("not recorded")
    }

    fn mark(&self, process: &ProcessMark) -> String {
        process.after_comma()
    }

    /// How many jars of a product each mark goes for.
    fn marked(&self, marks: &BTreeMap<String, u64>) -> String {
        let told: Vec<String> = marks.iter().map(|(mark, jars)| format!("{jars}: {mark}")).collect();
        if told.is_empty() { String::new() } else { format!(" ({})", told.join("; ")) }
    }

    fn reason<'p>(&self, why: &'p Option<String>) -> &'p str {
        why.as_deref().unwrap_or("no reason recorded")
    }

    fn jars(&self, count: u64) -> String {
        counted::jars(count)
    }

    fn count(&self, pulled: &[PulledJars]) -> usize {
        pulled.iter().map(|jars| jars.count).sum()
    }

    fn wasted(&self) -> String {
        counted::jars(self.report.wasted.len())
    }

    fn on_shelf(&self) -> u64 {
        self.report.stock.iter().map(StockLine::jars).sum()
    }

    fn largest_stock(&self) -> u64 {
        self.report.stock.iter().map(StockLine::jars).max().unwrap_or(0)
    }

    fn ages(&self, line: &StockLine) -> String {
        bar::ages(line, self.largest_stock())
    }

    fn month_bar(&self, line: &MonthLine) -> String {
        let most = self.report.months.iter().map(MonthLine::jars).max().unwrap_or(0);
        bar::month(line, most)
    }

    fn products(&self, line: &MonthLine) -> String {
        if line.products.is_empty() {
            return "none due".to_owned();
        }
        let told: Vec<String> =
            line.products.iter().map(|item| format!("{} {}", item.jars, item.product)).collect();
        told.join(", ")
    }

    fn rate(&self, line: &PaceLine) -> String {
        line.past.per_month().map_or_else(|| "–".to_owned(), |rate| format!("{rate:.1}"))
    }

    fn evidence(&self, line: &PaceLine) -> String {
        let PastUse { eaten, days } = line.past;
        if days == 0 {
            return "never on the shelf".to_owned();
        }
        format!("{} eaten in {:.1} months with stock", eaten, line.past.months())
    }

    fn outlook(&self, line: &PaceLine) -> String {
        match line.outlook {
            Outlook::RanOut { on } => format!("ran out on {}", self.day(&on)),
            Outlook::NothingAhead => "none that may be eaten has its best by ahead".to_owned(),
            Outlook::NoRate => "nothing eaten yet, so no rate to go by".to_owned(),
            Outlook::Reached { runs_out } => {
                format!("all eaten in time, the last on {}", self.day(&runs_out))
            }
            Outlook::Surplus { jars: surplus, runs_out } => {
                let rest = runs_out
                    .map_or_else(String::new, |day| format!("; the rest lasts until {}", self.day(&day)));
                format!(
                    "{} would pass best by uneaten: give away or cook for company{rest}",
                    counted::jars(surplus)
                )
            }
        }
    }

    fn heading(&self, grouping: &SealGrouping) -> &'static str {
        match grouping {
            SealGrouping::LidLot => "Lid lot",
            SealGrouping::Canner => "Canner",
            SealGrouping::Product => "Product",
        }
    }

    fn share(&self, group: &SealShare) -> String {
        let percent = |share: f64| share * 100.0;
        format!("{:.0} % ({:.0} to {:.0} %)", percent(group.share()), percent(group.low), percent(group.high))
    }

    fn interval(&self, group: &SealShare) -> String {
        bar::interval(group)
    }

    fn beside(&self, group: &SealShare) -> String {
        match group.p {
            None => "nothing to compare with".to_owned(),
            Some(p) if group.stands_out() => format!("more than the rest ({})", chance(p)),
            Some(p) if group.differs() => format!("fewer than the rest ({})", chance(p)),
            Some(p) => format!("no clear difference ({})", chance(p)),
        }
    }
}

/// A corrected p-value in words a reader can check.
fn chance(p: f64) -> String {
    if p < 0.001 { "p\u{a0}<\u{a0}0.001".to_owned() } else { format!("p\u{a0}=\u{a0}{p:.3}") }
}
