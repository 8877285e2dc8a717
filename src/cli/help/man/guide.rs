//! The kitchen guide: one text, which the README links and the manual sets.

use clap_mangen::roff::{Roff, bold, roman};

use crate::cli::help::man::page::{Page, inlines};

/// The guide, in Markdown: headings, paragraphs, items, code blocks and `<!-- -->` remarks.
const GUIDE: &str = include_str!("../kitchen_guide.md");

pub(super) fn page() -> Page {
    let mut roff = Roff::new();
    roff.control("SH", ["NAME"])
        .text([roman("jarledger-kitchen - a year with the ledger, in five sessions")]);
    roff.control("SH", ["DESCRIPTION"]);
    set(GUIDE, &mut roff);
    roff.control("SH", ["SEE ALSO"]).text([roman("jarledger(1)")]);
    let mut text = Vec::new();
    roff.to_writer(&mut text).expect("writing into memory does not fail");
    Page::new("jarledger-kitchen".to_owned(), 7, &String::from_utf8_lossy(&text))
}

fn set(text: &str, roff: &mut Roff) {
    let mut block = false;
    for line in text.lines() {
        if line.starts_with("```") {
            block = !block;
            // From the edge of the page: what a command says may be 80 columns wide.
            if block {
                roff.control("EX", []).control("in", ["0"]);
            } else {
                roff.control("in", []).control("EE", []);
            }
        } else if block {
            let command = line.starts_with("$ ") || line.starts_with("> ");
            roff.text([if command { bold(line) } else { roman(line) }]);
        } else if let Some(heading) = line.strip_prefix("### ") {
            roff.control("SH", [heading.to_uppercase().as_str()]);
        } else if let Some(item) = line.strip_prefix("- ") {
            roff.control("IP", ["\\(bu", "2"]).text(inlines(item));
        } else if line.is_empty() {
            roff.control("PP", []);
        } else if !line.starts_with("## ") && !line.starts_with("<!--") {
            roff.text(inlines(line.trim_start()));
        }
    }
}
