//! Examples: what the help of each command begins with, and its manual page ends on.

use clap::builder::{StyledStr, Styles};

use crate::paper::text::plain::wrap;

/// `[COMMAND]`, then a command line and what it does, by turns.
const TEXT: &str = include_str!("examples.txt");

/// A command line of a command, and what it does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::cli) struct Example {
    /// As it is typed.
    pub(in crate::cli) line: &'static str,
    /// Half a line on what it does.
    pub(in crate::cli) does: &'static str,
}

/// The examples of a command, named as `canner add`; the program itself has no name.
pub(in crate::cli) fn of(command: &str) -> Vec<Example> {
    let lines = TEXT.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    let mut shown = lines.skip_while(|line| heading(line) != Some(command)).skip(1);
    let mut examples = Vec::new();
    while let (Some(line), Some(does)) = (shown.next().filter(|line| heading(line).is_none()), shown.next()) {
        examples.push(Example { line, does });
    }
    examples
}

fn heading(line: &str) -> Option<&str> {
    line.strip_prefix('[')?.strip_suffix(']')
}

/// Puts its examples first in the help of every command of the tree, and lays what clap does not within `width` columns.
pub(in crate::cli) fn first(tree: clap::Command, width: usize) -> clap::Command {
    first_below(tree, "", width)
}

fn first_below(command: clap::Command, name: &str, width: usize) -> clap::Command {
    let style = *Styles::default().get_header();
    let mut shown = format!("{style}Examples:{style:#}");
    for example in of(name) {
        shown.push_str(&format!("\n{}", command_line(example.line, width)));
        shown.push_str(&format!("\n{}", wrap(&format!("    {}", example.does), width)));
    }
    let fitted = |text: &StyledStr| wrap(&text.to_string(), width);
    let (notes, long_notes) =
        (command.get_after_help().map(fitted), command.get_after_long_help().map(fitted));
    let mut command = command.before_help(shown);
    // Even an empty text would make clap point to a longer help.
    if let Some(notes) = notes {
        command = command.after_help(notes);
    }
    if let Some(notes) = long_notes {
        command = command.after_long_help(notes);
    }
    command.mut_subcommands(|sub| {
        let name = format!("{name} {}", sub.get_name());
        first_below(sub, name.trim_start(), width)
    })
}

/// Breaks a command line as a shell takes it, before an option where that can be.
pub(in crate::cli) fn command_line(line: &str, width: usize) -> String {
    let words = words(line);
    let mut shown = String::from(" ");
    let mut at = 1;
    for (place, word) in words.iter().enumerate() {
        // An option stays with its value.
        let value = words.get(place + 1).filter(|next| word.starts_with("--") && !next.starts_with('-'));
        let unit = word.len() + value.map_or(0, |value| value.len() + 1);
        // What goes on needs room for the sign that it does.
        let ends = place + 1 + usize::from(value.is_some()) == words.len();
        if place > 0 && at + 1 + unit + if ends { 0 } else { 2 } > width {
            shown.push_str(" \\\n     ");
            at = 5;
        }
        shown.push(' ');
        shown.push_str(word);
        at += 1 + word.len();
    }
    shown
}

/// The words of a command line, with their quotes.
fn words(line: &str) -> Vec<&str> {
    let mut quoted = false;
    line.split(|c: char| {
        quoted ^= c == '"';
        c == ' ' && !quoted
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_of_the_tree_has_one_to_five_examples_of_its_own() {
        fn look(command: &clap::Command, name: &str) {
            let examples = of(name);
            assert!((1..=5).contains(&examples.len()), "{name:?} has {} examples", examples.len());
            for Example { line, does } in examples {
                let own = format!("jarledger {name}");
                assert!(line.contains(own.trim_end()), "an example of {name:?} is {line:?}");
                assert!(!does.starts_with("jarledger") && !does.ends_with('.'), "{does:?}");
            }
            for sub in command.get_subcommands() {
                look(sub, format!("{name} {}", sub.get_name()).trim_start());
            }
        }
        look(&crate::cli::command(), "");
    }

    #[test]
    fn every_example_belongs_to_a_command_of_the_tree() {
        for name in TEXT.lines().filter_map(heading) {
            let tree = crate::cli::command();
            let found = name.split_whitespace().try_fold(&tree, |at, word| at.find_subcommand(word));
            assert!(found.is_some(), "there is no command {name:?}");
        }
    }

    #[test]
    fn a_long_line_is_broken_before_an_option() {
        let line = "jarledger canner add \"Big dial\" --method pressure-dial --holds quart:7,pint:16";
        assert_eq!(command_line(line, 80), format!("  {line}"));
        assert_eq!(
            command_line(line, 60),
            "  jarledger canner add \"Big dial\" --method pressure-dial \\\n      --holds quart:7,pint:16"
        );
        assert_eq!(
            command_line(line, 40),
            "  jarledger canner add \"Big dial\" \\\n      --method pressure-dial \\\n      --holds quart:7,pint:16"
        );
    }
}
