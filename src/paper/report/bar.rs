//! Bars as inline SVG. Lengths are percentages, so a bar fits any column; each
//! carries its figures as a text alternative, and none relies on its shade.

use std::fmt::Write as _;

use crate::paper::report::model::StockLine;
use crate::paper::text::lines::MonthLine;
use crate::rules::seal::seal_statistics::SealShare;

/// One stretch of a bar, in per cent of its full length.
fn rect(svg: &mut String, class: &str, from: f64, width: f64) {
    if width > 0.0 {
        write!(svg, r#"<rect class="{class}" x="{from:.2}%" width="{width:.2}%" height="100%"/>"#)
            .expect("writing to a string cannot fail");
    }
}

/// Opens a bar; `label` is made of figures only, never of names.
fn open(label: &str) -> String {
    format!(r#"<svg class="bar" role="img" aria-label="{label}">"#)
}

fn percent(count: u64, of: u64) -> f64 {
    if of == 0 { 0.0 } else { count as f64 / of as f64 * 100.0 }
}

/// A product's jars by age, the oldest at the left; `most` fill the whole length.
pub(super) fn ages(line: &StockLine, most: u64) -> String {
    let StockLine { old, ripe, new, .. } = *line;
    let mut svg = open(&format!("{old} over 12 months, {ripe} from 6 to 12 months, {new} under 6 months"));
    let mut from = 0.0;
    for (class, count) in [("old", old), ("ripe", ripe), ("new", new)] {
        let width = percent(count, most);
        rect(&mut svg, class, from, width);
        from += width;
    }
    svg + "</svg>"
}

/// The jars of one month beside the fullest month's.
pub(super) fn month(line: &MonthLine, most: u64) -> String {
    let jars = line.jars();
    let mut svg = open(&format!("{jars} of the {most} in the fullest month"));
    rect(&mut svg, "old", 0.0, percent(jars, most));
    svg + "</svg>"
}

/// A share and its interval on a scale of 0 to 100 %.
pub(super) fn interval(group: &SealShare) -> String {
    let [share, low, high] = [group.share(), group.low, group.high].map(|share| share * 100.0);
    let mut svg = open(&format!("{share:.0} %, between {low:.0} and {high:.0} %"));
    rect(&mut svg, "track", 0.0, 100.0);
    write!(
        svg,
        r#"<line x1="{low:.2}%" x2="{high:.2}%" y1="50%" y2="50%"/><circle cx="{share:.2}%" cy="50%" r="4"/></svg>"#
    )
    .expect("writing to a string cannot fail");
    svg
}
