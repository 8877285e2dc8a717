//! The note of a session: a small TOML file, written before anything is logged.

use std::ops::Range;
use std::path::Path;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::cli::arguments::jar_counts::jar_counts;
use crate::cli::canning_day::putup::given::{Given, LOAD_KEYS, LoadGiven};
use crate::cli::errors::{Code, Failure};
use crate::ledger::error::regular::read_regular;
use crate::ledger::kitchen::setting::MONTHS;
use crate::values::names::name::Name;

/// Longest note read, in bytes.
const LONGEST: u64 = 1_000_000;

/// How a note is written, for the help.
pub(super) const FORMAT: &str = "\
A note of the session (--from FILE) is TOML. What it leaves out, flags may give:

  product = \"Green beans\"
  food = \"green-beans\"
  pack = \"hot\"
  on = \"2026-08-14\"
  jars = { pint = 14 }            # or give the jars load by load, as below
  place = \"Cellar, shelf 2\"
  ingredients = { beans = \"7B\" }
  canner = \"Big dial\"             # written here, it holds for every load
  vent = 10

  [[load]]
  jars = { pint = 9 }
  pressure = \"11\"
  minutes = 20
  reached = \"13:30\"
  drop = [\"13:40-13:42\"]
  out = \"14:05\"

  [[load]]
  jars = { pint = 5 }
  pressure = \"11\"
  minutes = 20
  out = \"15:10\"

Keys of the batch: product, food, acidity, pack, jars, on, place, ingredients,
quality-months, note, name-reason. Keys of a load: jars, and each flag under
\"Defaults for loads\" without its dashes. Flags override the file.";

/// Where something stands that is wrong with the note.
struct Wrong {
    at: Range<usize>,
    what: String,
}

/// Reads the note of a session.
pub(super) fn read(path: &Path) -> Result<Given, Failure> {
    let unreadable = |what: String| {
        Failure::new(
            Code::BadInput,
            format!("{}: {what}; nothing was saved", path.display()),
            "see `jarledger putup --help` for how a note is written",
        )
    };
    let unread = |error: std::io::Error| {
        Failure::unreadable(path.display(), &error, "nothing was saved", "name the file of the note")
    };
    let text = read_regular(path, LONGEST + 1).map_err(unread)?;
    if text.len() as u64 > LONGEST {
        return Err(unreadable(format!("a note has at most {LONGEST} bytes")));
    }
    parse(&text).map_err(|wrong| {
        let (line, column) = line_and_column(&text, wrong.at.start);
        unreadable(format!("line {line}, column {column}: {}", wrong.what))
    })
}

fn parse(text: &str) -> Result<Given, Wrong> {
    let table = DeTable::parse(text)
        .map_err(|error| Wrong { at: error.span().unwrap_or(0..0), what: error.message().to_owned() })?;
    let mut given = Given::default();
    for (key, value) in table.get_ref() {
        let name = key.get_ref().as_ref();
        let wrong = |what: String| Wrong { at: value.span(), what };
        match name {
            "load" => {
                let DeValue::Array(loads) = value.get_ref() else {
                    return Err(wrong("load: write each load under a [[load]] line".to_owned()));
                };
                for load in loads.iter() {
                    given.loads.push(parse_load(load)?);
                }
            }
            "ingredients" => {
                for (ingredient, lot) in table_of(value, "ingredients")? {
                    let read = |text: &str, at: Range<usize>| {
                        text.parse::<Name>()
                            .map_err(|error| Wrong { at, what: format!("ingredients: {error}") })
                    };
                    let lot = (text_of(lot, "ingredients")?, lot.span());
                    given
                        .ingredients
                        .push((read(ingredient.get_ref(), ingredient.span())?, read(&lot.0, lot.1)?));
                }
            }
            "jars" => given.jars = jars_of(value)?,
            _ => {
                if set_batch(&mut given, name, value).map_err(&wrong)? {
                    continue;
                }
                set_load(&mut given.every_load, key, value)?;
            }
        }
    }
    Ok(given)
}

/// Sets a key of the batch; false where the key is none of the batch's.
fn set_batch(given: &mut Given, key: &str, value: &Spanned<DeValue<'_>>) -> Result<bool, String> {
    fn read<T: std::str::FromStr>(key: &str, text: &str) -> Result<Option<T>, String>
    where
        T::Err: std::fmt::Display,
    {
        text.parse().map(Some).map_err(|error: T::Err| format!("{key}: {error}"))
    }
    if !["product", "food", "acidity", "pack", "on", "place", "quality-months", "note", "name-reason"]
        .contains(&key)
    {
        return Ok(false);
    }
    let text = text_of(value, key).map_err(|wrong| wrong.what)?;
    match key {
        "product" => given.product = read(key, &text)?,
        "food" => given.food = Some(text),
        "acidity" => given.acidity = read(key, &text)?,
        "pack" => given.pack = read(key, &text)?,
        "on" => given.on = Some(text),
        "place" => given.place = read(key, &text)?,
        "quality-months" => {
            given.quality_months = read(key, &text)?;
            if given.quality_months.is_some_and(|months| !MONTHS.contains(&months)) {
                return Err(format!("{key}: write {} to {} months", MONTHS.start(), MONTHS.end()));
            }
        }
        "name-reason" => given.name_reason = read(key, &text)?,
        _ => given.note = Some(text),
    }
    Ok(true)
}

fn parse_load(value: &Spanned<DeValue<'_>>) -> Result<LoadGiven, Wrong> {
    let mut load = LoadGiven::default();
    for (key, value) in table_of(value, "load")? {
        if key.get_ref() == "jars" {
            load.jars = jars_of(value)?;
        } else {
            set_load(&mut load, key, value)?;
        }
    }
    Ok(load)
}

/// Sets a key of a load; a list sets it once for each of its parts.
fn set_load(
    load: &mut LoadGiven,
    key: &Spanned<std::borrow::Cow<'_, str>>,
    value: &Spanned<DeValue<'_>>,
) -> Result<(), Wrong> {
    let name = key.get_ref().as_ref();
    let parts: Vec<&Spanned<DeValue<'_>>> = match value.get_ref() {
        DeValue::Array(parts) if name == "drop" => parts.iter().collect(),
        _ => vec![value],
    };
    for part in parts {
        let text = text_of(part, name)?;
        let at = || if LOAD_KEYS.contains(&name) { part.span() } else { key.span() };
        load.set(name, &text).map_err(|what| Wrong { at: at(), what })?;
    }
    Ok(())
}

/// Reads `{ pint = 14 }` or `"pint:14"`.
fn jars_of(
    value: &Spanned<DeValue<'_>>,
) -> Result<Vec<(crate::values::kinds::jar_size::JarSize, u32)>, Wrong> {
    let text = match value.get_ref() {
        DeValue::Table(table) => {
            let counts: Result<Vec<String>, Wrong> = table
                .iter()
                .map(|(size, count)| Ok(format!("{}:{}", size.get_ref(), text_of(count, "jars")?)))
                .collect();
            counts?.join(",")
        }
        _ => text_of(value, "jars")?,
    };
    jar_counts(&text).map_err(|what| Wrong { at: value.span(), what: format!("jars: {what}") })
}

fn table_of<'t, 'i>(value: &'t Spanned<DeValue<'i>>, key: &str) -> Result<&'t DeTable<'i>, Wrong> {
    match value.get_ref() {
        DeValue::Table(table) => Ok(table),
        _ => Err(Wrong { at: value.span(), what: format!("{key}: write keys and values here") }),
    }
}

/// The text of a value that is one text or one number.
fn text_of(value: &Spanned<DeValue<'_>>, key: &str) -> Result<String, Wrong> {
    match value.get_ref() {
        DeValue::String(text) => Ok(text.as_ref().to_owned()),
        DeValue::Integer(number) => Ok(number.to_string()),
        DeValue::Float(number) => Ok(number.to_string()),
        DeValue::Datetime(moment) => Ok(moment.to_string()),
        DeValue::Boolean(_) | DeValue::Array(_) | DeValue::Table(_) => {
            Err(Wrong { at: value.span(), what: format!("{key}: write a text or a number here") })
        }
    }
}

/// Line and column of a byte, both from 1, columns in characters.
fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn error_in(text: &str) -> String {
        let wrong = parse(text).err().unwrap();
        let (line, column) = line_and_column(text, wrong.at.start);
        format!("{line}:{column} {}", wrong.what)
    }

    #[test]
    fn the_note_in_the_help_is_read() {
        let note: String =
            FORMAT.lines().filter_map(|line| line.strip_prefix("  ")).collect::<Vec<_>>().join("\n");
        let given = parse(&note).map_err(|wrong| wrong.what).unwrap();
        assert_eq!(given.product.unwrap().as_str(), "Green beans");
        assert_eq!(given.every_load.vent, Some(10));
        let loads: Vec<_> = given.loads.iter().map(|load| (load.minutes, load.drops.len())).collect();
        assert_eq!(loads, [(Some(20), 1), (Some(20), 0)]);
    }

    #[test]
    fn errors_name_the_place_and_the_key() {
        for (text, given) in [
            ("product = \"Beans\"\npack = \"warm\"\n", "2:8 pack: \u{201c}warm\u{201d} is not a pack"),
            ("product = \"B\"\ncolour = \"red\"\n", "2:1 \u{201c}colour\u{201d} is not a key"),
            ("[[load]]\nminutes = \"long\"\n", "2:11 minutes: \u{201c}long\u{201d} is not whole minutes"),
            ("[[load]]\njars = { pint = 0 }\n", "2:8 jars: "),
            ("[[load]]\ndrop = [\"14:05-14:12\", \"x\"]\n", "2:24 drop: "),
            ("load = 3\n", "1:8 load: "),
            ("product = [1]\n", "1:11 product: write a text or a number"),
            ("quality-months = 0\n", "1:18 quality-months: write 1 to 120"),
            ("product = \"B\n", "1:"),
            ("product = \"A\"\nproduct = \"B\"\n", "2:1 "),
        ] {
            let found = error_in(text);
            assert!(found.starts_with(given), "{text}: {found}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_without_a_panic(text in "(.|\n|=|\"|\\[|\\]){0,60}") {
            if let Err(wrong) = parse(&text) {
                line_and_column(&text, wrong.at.start);
            }
        }
    }
}
