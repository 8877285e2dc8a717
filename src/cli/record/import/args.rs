//! What `import` is told.

use std::path::PathBuf;

use crate::cli::arguments::reason::Reason;
use crate::exchange::shelf::columns::COLUMNS;
use crate::exchange::shelf::day::DateOrder;
use crate::exchange::shelf::decode::Encoding;

/// Take in jars of a shelf that was kept elsewhere, or a whole export
///
/// A CSV has a heading line and a row for each jar, or for a count of like jars. All rows come in or none, in
/// one entry; a row that is in already stays out. Rows of one product, day, food and pack become one batch,
/// wherever they stand; only rows with a count that are alike in everything become a batch each. Jars come in
/// sealed and with their process not on record, and are marked so wherever they show; where you vouch for it, your
/// word shows instead. A name that names another food than its food column is refused without a reason.
#[derive(Debug, clap::Args)]
#[command(after_long_help = columns_help())]
pub(in crate::cli) struct Args {
    /// A CSV file; `-` for standard input; or what `export --json` or `export --out FOLDER` wrote
    pub(super) file: Option<PathBuf>,
    /// Take a column of theirs as one of ours
    #[arg(long, value_name = "THEIRS=OURS", value_parser = mapping)]
    pub(super) map: Vec<(String, String)>,
    /// Leave out a column of theirs
    #[arg(long, value_name = "THEIRS")]
    pub(super) ignore: Vec<String>,
    /// Your word, and whose, that the process of these jars was right; for rows without a word of their own
    #[arg(long, value_name = "TEXT")]
    pub(super) vouched: Option<Reason>,
    /// Say what would come in, and write nothing
    #[arg(long)]
    pub(super) dry_run: bool,
    /// Order of dates in numbers: mdy (7/4/2026), dmy, ymd or iso [default: iso, or the one order that fits every date]
    #[arg(long, value_name = "ORDER")]
    pub(super) date_format: Option<DateOrder>,
    /// Take headings such as Item, Qty, Size, Location and Date for what they most likely mean, without asking
    #[arg(long)]
    pub(super) guess: bool,
    /// How letters are written: utf-8, utf-16le, utf-16be or latin-1 [default: by the file's mark, else utf-8]
    #[arg(long, value_name = "NAME")]
    pub(super) encoding: Option<Encoding>,
    /// What stands between cells [default: what the heading line has most of, comma, semicolon or TAB]
    #[arg(long, value_name = "CHARACTER", value_parser = delimiter)]
    pub(super) delimiter: Option<u8>,
    /// Take cells as they are: a quote before =, +, - or @ belongs to the text
    #[arg(long)]
    pub(super) raw: bool,
}

fn columns_help() -> String {
    let mut text = "Columns:\n".to_owned();
    for (name, needed, meaning) in COLUMNS {
        let needed = if needed { " (needed)" } else { "" };
        text.push_str(&format!("  {name:8}  {meaning}{needed}\n"));
    }
    text
}

fn mapping(given: &str) -> Result<(String, String), String> {
    let (theirs, ours) = given.rsplit_once('=').ok_or("write THEIRS=OURS, such as Contents=product")?;
    if !COLUMNS.iter().any(|column| column.0 == ours) {
        let known: Vec<&str> = COLUMNS.iter().map(|column| column.0).collect();
        return Err(format!("\u{201c}{ours}\u{201d} is an unknown column: {}", known.join(", ")));
    }
    Ok((theirs.to_owned(), ours.to_owned()))
}

fn delimiter(given: &str) -> Result<u8, String> {
    match given {
        "tab" | "TAB" | "\\t" => Ok(b'\t'),
        _ => match given.as_bytes() {
            [byte] if byte.is_ascii() && !matches!(byte, b'"' | b'\n' | b'\r' | 0) => Ok(*byte),
            _ => Err("one ASCII character, or tab".to_owned()),
        },
    }
}
