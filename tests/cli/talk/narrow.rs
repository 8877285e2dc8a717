//! Every answer on a narrow terminal, on a filled ledger and on one just begun.

use unicode_width::UnicodeWidthStr;

use crate::common::world::World;

/// Commands that only read, and `jarledger` alone.
const READING: &[&str] = &[
    "",
    "eat --ahead 3",
    "shelf",
    "shelf --jars",
    "batch",
    "batch 26-012",
    "jar 26-012-01-8",
    "process --food beets",
    "process --all",
    "process --own",
    "plan beets --jars 9 --jar pint --pack hot --canner Rocker",
    "canner list",
    "gauge Hearth_dial --list",
    "season",
    "history",
    "trace 26-012",
    "label --sheets",
    "label 26-017 --text",
    "check",
    "discard --sign list",
    "export --dictionary",
];

#[test]
fn no_line_is_wider_than_a_terminal_of_40_or_80_columns() {
    let filled = World::with_demo();
    let begun = World::with_canners();
    for line in READING {
        for (world, columns) in [(&filled, 40), (&filled, 80), (&begun, 40), (&begun, 80)] {
            let args: Vec<String> = line.split_whitespace().map(|word| word.replace('_', " ")).collect();
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            let output = world.command(&args).env("COLUMNS", columns.to_string()).output().unwrap();
            assert!(matches!(output.status.code(), Some(0 | 2 | 3)), "{line}: {output:?}");
            let shown = String::from_utf8(output.stdout).unwrap();
            for shown in shown.lines() {
                // A word that is wider by itself, such as a file's name, cannot be helped.
                let is_one_word = shown.split_whitespace().count() <= 1;
                assert!(shown.width() <= columns || is_one_word, "{line} at {columns}: {shown}");
            }
        }
    }
}
