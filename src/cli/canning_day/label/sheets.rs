//! Label sheets: the built-in ones and the household's own.

use crate::answers::near::did_you_mean;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::screen::Screen;
use crate::ledger::entry::names_in_use::Named;
use crate::ledger::file::open::Ledger;
use crate::paper::label::sheet::built_in::{built_in_sheet, built_in_sheets};
use crate::paper::label::sheet::definition::{Sheet, written_sheet};
use crate::paper::label::sheet::sheet_error::SheetError;
use crate::paper::label::sheet::spec::SheetSpec;
use crate::paper::label::words::run::PrintWarning;
use crate::paper::text::table::Table;
use crate::values::names::counted::counted;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

#[derive(serde::Serialize)]
struct Answer {
    sheets: Vec<Listed>,
}

#[derive(serde::Serialize)]
struct Listed {
    #[serde(flatten)]
    spec: SheetSpec,
    per_page: usize,
    built_in: bool,
}

/// The built-in sheet of a name.
pub(super) fn find_without_ledger(name: &Name) -> Option<Sheet> {
    built_in_sheet(name.as_str())
}

/// The household's sheet of a name.
pub(super) fn own(ledger: &Ledger, name: &Name) -> Result<Option<Sheet>, Failure> {
    ledger.label_sheet(name)?.map(|definition| read(name.as_str(), &definition)).transpose()
}

/// The sheet of a name: built in, or else the household's.
pub(super) fn find(ledger: &Ledger, name: &Name) -> Result<Sheet, Failure> {
    if let Some(sheet) = find_without_ledger(name) {
        return Ok(sheet);
    }
    match own(ledger, name)? {
        Some(sheet) => Ok(sheet),
        None => {
            let own = ledger.names_in_use(Named::LabelSheet)?;
            let built_in = built_in_sheets();
            let known = built_in.iter().map(Sheet::name).chain(own.iter().map(String::as_str));
            Err(Failure::new(
                Code::NotFound,
                format!("there is no label sheet \u{201c}{name}\u{201d}"),
                did_you_mean(&near_names(name.as_str(), known))
                    .unwrap_or_else(|| "see `jarledger label --sheets`".to_owned()),
            ))
        }
    }
}

fn read(name: &str, definition: &str) -> Result<Sheet, Failure> {
    written_sheet(definition).map_err(|error| {
        Failure::new(
            Code::Damaged,
            format!("the label sheet \u{201c}{name}\u{201d} cannot be read: {error}"),
            "define it again with `jarledger label --define`",
        )
    })
}

/// The name of a sheet of the household's own.
pub(super) fn own_name(name: &str) -> Result<Name, Failure> {
    let name: Name = name.parse().map_err(|error| {
        Failure::usage(format!("{error}"), "give a name and measurements: see `jarledger label --help`")
    })?;
    if find_without_ledger(&name).is_some() {
        return Err(SheetError::Taken(name.to_string()).into());
    }
    Ok(name)
}

/// Keeps a sheet in the ledger and reads it back.
pub(super) fn keep(name: &Name, sheet: &Sheet, command: &str, ctx: &Context) -> Result<Sheet, Failure> {
    let definition = serde_json::to_string(sheet.spec())
        .map_err(|error| Failure::new(Code::Other, format!("the sheet has no JSON form: {error}"), ""))?;
    let ledger = ctx.open_to_write()?;
    ledger.write(command, ctx.clock, |write| {
        write.define_label_sheet(name, &definition)?;
        Ok(((), format!("label sheet {name}: {sheet}")))
    })?;
    find(&ledger, name)
}

/// Records a sheet.
pub(super) fn define(
    name: &str,
    words: &[String],
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let name = own_name(name)?;
    let sheet = Sheet::new(SheetSpec::from_words(name.as_str(), words)?)?;
    let kept = keep(&name, &sheet, "label --define", ctx)?;
    if screen.json() {
        let per_page = kept.per_page();
        return screen.answer(&Listed { spec: kept.spec().clone(), per_page, built_in: false });
    }
    screen.say(format!(
        "Recorded label sheet {}: {kept}; {} a page.",
        kept.name(),
        counted(kept.per_page(), "label", "labels")
    ));
    if let Some(white) = kept.unprintable() {
        screen.say(format!("Note: {}.", PrintWarning::Margin { white }));
    }
    screen.next(format!("`jarledger label --outline --sheet \"{}\" --out test-page.pdf`", kept.name()));
    Ok(())
}

/// Lists the sheets.
pub(super) fn list(ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let mut sheets: Vec<(Sheet, bool)> = built_in_sheets().into_iter().map(|sheet| (sheet, true)).collect();
    // The built-in ones are there without a ledger too.
    if ctx.path.exists() {
        for (name, definition) in ctx.open()?.label_sheets()? {
            sheets.push((read(&name, &definition)?, false));
        }
    }
    if screen.json() {
        let listed = |(sheet, built_in): &(Sheet, bool)| Listed {
            spec: sheet.spec().clone(),
            per_page: sheet.per_page(),
            built_in: *built_in,
        };
        return screen.answer(&Answer { sheets: sheets.iter().map(listed).collect() });
    }
    let mut table = Table::new(["Sheet", "Label", "Page", "Labels a page"]).number(3);
    for (sheet, _) in &sheets {
        let spec = sheet.spec();
        let label = if spec.round {
            format!("round, {} across", spec.width)
        } else {
            format!("{} x {}", spec.width, spec.height)
        };
        table.row([sheet.name().to_owned(), label, spec.page.to_string(), sheet.per_page().to_string()]);
    }
    screen.table(&table);
    Ok(())
}

impl From<SheetError> for Failure {
    fn from(error: SheetError) -> Self {
        Self::usage(format!("{error}; nothing was recorded"), "see `jarledger label --help`")
    }
}
