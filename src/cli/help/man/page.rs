//! The manual pages of the commands, from the command tree and the examples.

use clap_mangen::Man;
use clap_mangen::roff::{Inline, Roff, bold, roman};

use crate::cli::help::examples;

/// The end of the program's own page.
const AFTERWARDS: &str = include_str!("afterwards.txt");

/// The day of this release.
const RELEASED: &str = "2026-11-27";

/// Columns for what stands as it is, on a page of 80.
const EXAMPLE_COLUMNS: usize = 71;

/// A manual page.
pub(super) struct Page {
    /// As `jarledger-canner-add`.
    pub(super) name: String,
    /// 1 for commands, 7 for the rest.
    pub(super) chapter: u8,
    /// In roff.
    pub(super) text: String,
}

/// The pages of all commands of a tree.
pub(super) fn all(tree: clap::Command) -> Vec<Page> {
    let mut tree = tree.disable_help_subcommand(true);
    tree.build();
    let mut pages = Vec::new();
    below(&tree, "", &mut pages);
    pages
}

fn below(command: &clap::Command, name: &str, pages: &mut Vec<Page>) {
    pages.push(of(command, name));
    for sub in command.get_subcommands() {
        below(sub, format!("{name} {}", sub.get_name()).trim_start(), pages);
    }
}

fn of(command: &clap::Command, name: &str) -> Page {
    let mut text = Vec::new();
    let man = Man::new(command.clone());
    let mut from_tree = || {
        man.render_name_section(&mut text)?;
        before(command, name).to_writer(&mut text)?;
        man.render_options_section(&mut text)?;
        if command.has_subcommands() {
            man.render_subcommands_section(&mut text)?;
        }
        afterwards(command, name).to_writer(&mut text)
    };
    from_tree().expect("writing into memory does not fail");
    let name = command.get_display_name().unwrap_or("jarledger").to_owned();
    Page::new(name, 1, &String::from_utf8_lossy(&text))
}

impl Page {
    /// A page with its title line; every letter is written in ASCII, which any roff reads.
    pub(super) fn new(name: String, chapter: u8, body: &str) -> Self {
        let release = format!("jarledger {}", env!("CARGO_PKG_VERSION"));
        let mut title = Roff::new();
        title.control("TH", [name.as_str(), &chapter.to_string(), RELEASED, &release, "jarledger"]);
        // Ragged lines, and no word cut in two: commands stand in the prose.
        title.control("ad", ["l"]).control("nr", ["HY", "0"]);
        let mut text = title.to_roff();
        for c in without_idle_breaks(body).chars() {
            if c.is_ascii() {
                text.push(c);
            } else {
                text.push_str(&format!("\\[u{:04X}]", u32::from(c)));
            }
        }
        Self { name, chapter, text }
    }
}

/// Leaves out breaks and paragraphs beside a heading, a space or another paragraph, which set nothing.
fn without_idle_breaks(body: &str) -> String {
    let body = body.replace(".br\n\n.br\n", ".br\n");
    let lines: Vec<&str> = body.lines().collect();
    let parts = |line: &str| line == ".br" || line == ".PP";
    let opens = |line: &str| line.starts_with(".SH") || line == ".sp" || line == ".PP";
    let mut kept: Vec<&str> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let before = kept.last().copied().unwrap_or(".SH");
        let after = lines[at + 1..].iter().find(|next| **next != *line).copied().unwrap_or(".SH");
        if !(parts(line) && (opens(before) || opens(after))) {
            kept.push(line);
        }
    }
    kept.join("\n") + "\n"
}

/// The synopsis, what the command is for where one line did not say it, and the examples.
fn before(command: &clap::Command, name: &str) -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", ["SYNOPSIS"]);
    let usage = command.clone().render_usage().to_string();
    for line in usage.trim_start_matches("Usage:").lines() {
        roff.text([bold(line.trim())]).control("br", []);
    }
    if let Some(about) = command.get_long_about() {
        roff.control("SH", ["DESCRIPTION"]);
        prose(&about.to_string(), &mut roff);
    }
    roff.control("SH", ["EXAMPLES"]);
    for example in examples::of(name) {
        roff.control("PP", []).control("EX", []);
        for line in examples::command_line(example.line, EXAMPLE_COLUMNS).lines() {
            roff.text([bold(line)]);
        }
        roff.control("EE", []).control("RS", ["4"]).text([roman(example.does)]).control("RE", []);
    }
    roff
}

/// What follows the options: notes, and what belongs to the program's own page.
fn afterwards(command: &clap::Command, name: &str) -> Roff {
    let mut roff = Roff::new();
    if let Some(notes) = command.get_after_long_help().or(command.get_after_help()) {
        roff.control("SH", ["NOTES"]);
        prose(&notes.to_string(), &mut roff);
    }
    let mut also = vec!["jarledger-kitchen(7)".to_owned()];
    if name.is_empty() {
        for chapter in AFTERWARDS.split("\n\n= ") {
            let (heading, text) = chapter.split_once('\n').unwrap_or((chapter, ""));
            roff.control("SH", [heading.trim_start_matches("= ")]);
            prose(text, &mut roff);
        }
    } else {
        also.push("jarledger(1)".to_owned());
    }
    roff.control("SH", ["SEE ALSO"]).text([roman(also.join(", "))]);
    roff
}

/// Sets paragraphs; lines that are indented stand as they are.
pub(super) fn prose(text: &str, roff: &mut Roff) {
    let mut as_it_is = false;
    for line in text.lines() {
        let indented = line.starts_with("  ") || (as_it_is && line.is_empty());
        if indented != as_it_is {
            roff.control(if indented { "PP" } else { "EE" }, []);
            if indented {
                roff.control("EX", []);
            }
            as_it_is = indented;
        }
        match line {
            "" if !as_it_is => roff.control("PP", []),
            line if as_it_is => {
                for part in crate::paper::text::plain::wrap(line, EXAMPLE_COLUMNS).lines() {
                    roff.text([roman(part)]);
                }
                &mut *roff
            }
            line => roff.text(inlines(line)),
        };
    }
    if as_it_is {
        roff.control("EE", []);
    }
}

/// Sets in bold what stands between backticks.
pub(super) fn inlines(line: &str) -> Vec<Inline> {
    let parts = line.split('`').enumerate().filter(|(_, part)| !part.is_empty());
    let set = parts.map(|(place, part)| if place % 2 == 1 { bold(part) } else { roman(part) });
    let set: Vec<Inline> = set.collect();
    if set.is_empty() { vec![roman("")] } else { set }
}
