//! A product's stock as a small inline picture: the past year filled, today a line, the year ahead in outline.
//!
//! Every picture spans the same 24 months, and its height is one of few scales, so that two of one scale can be
//! compared. Its figures stand in a text alternative, and no part of it relies on its color.

use std::fmt::Write as _;

use crate::paper::report::model::ProductLine;

/// A month is one unit wide; today stands in the middle.
const TODAY: usize = 12;

/// Jars that fill the height: half a dozen, a dozen, and so on doubled until all of them fit.
pub(super) fn scale(line: &ProductLine) -> u64 {
    let most = line.past.iter().chain(&line.ahead).copied().max().unwrap_or(0);
    let mut scale: u64 = 6;
    while scale < most {
        scale = scale.saturating_mul(2);
    }
    scale
}

/// Draws the stock of one product.
pub(super) fn stock(line: &ProductLine) -> String {
    let top = scale(line);
    let now = line.past.last().copied().unwrap_or(0);
    let ahead: Vec<u64> = std::iter::once(now).chain(line.ahead.iter().copied()).collect();
    format!(
        r#"<svg role="img" aria-label="{}" viewBox="0 0 {} {top}" preserveAspectRatio="none"><path class="past" vector-effect="non-scaling-stroke" d="{}"/><path class="ahead" vector-effect="non-scaling-stroke" d="{}"/><path class="today" vector-effect="non-scaling-stroke" d="M{TODAY} 0V{top}"/></svg>"#,
        in_words(line),
        2 * TODAY,
        area(&line.past, 0, top),
        area(&ahead, TODAY, top),
    )
}

/// The area under jars month by month, from the month `first` of the picture on.
fn area(jars: &[u64], first: usize, top: u64) -> String {
    let mut path = format!("M{first} {top}");
    for (month, jars) in (first..).zip(jars) {
        write!(path, "L{month} {}", top.saturating_sub(*jars)).expect("writing to a string cannot fail");
    }
    write!(path, "V{top}Z").expect("writing to a string cannot fail");
    path
}

/// Figures only, never names.
fn in_words(line: &ProductLine) -> String {
    let at = |jars: &[u64], month: usize| jars.get(month).copied().unwrap_or(0);
    format!(
        "Jars on the shelf: {} a year ago, {} at most, {} now; by the plan {} in 6 months, {} in 12",
        at(&line.past, 0),
        line.past.iter().copied().max().unwrap_or(0),
        at(&line.past, TODAY),
        at(&line.ahead, TODAY / 2 - 1),
        at(&line.ahead, TODAY - 1),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stock_is_drawn_to_a_scale_of_dozens_with_today_in_the_middle() {
        // By hand: at most 13 jars, so of 6, 12 and 24 the last is the first that holds them.
        let past = vec![0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 13, 12, 10];
        let line =
            ProductLine { past, ahead: vec![9, 8, 7, 6, 5, 4, 3, 2, 1, 0, 0, 0], ..ProductLine::default() };
        assert_eq!(scale(&line), 24);
        let drawn = stock(&line);
        assert!(drawn.contains(r#"viewBox="0 0 24 24""#), "{drawn}");
        // The height counts from the top: 13 jars are 11 below it, 10 jars 14.
        assert!(drawn.contains("L9 24L10 11L11 12L12 14V24Z"), "{drawn}");
        assert!(drawn.contains("M12 24L12 14L13 15"), "{drawn}");
        let text = "0 a year ago, 13 at most, 10 now; by the plan 4 in 6 months, 0 in 12";
        assert!(drawn.contains(text), "{drawn}");
    }

    #[test]
    fn no_stock_is_a_flat_line_and_any_number_of_jars_fits() {
        let none = ProductLine { past: vec![0; 13], ahead: vec![0; 12], ..ProductLine::default() };
        assert_eq!(scale(&none), 6);
        let many = ProductLine { past: vec![u64::MAX], ..ProductLine::default() };
        assert_eq!(scale(&many), u64::MAX);
    }
}
