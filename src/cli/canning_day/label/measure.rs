//! A sheet measured by its owner with a ruler, and moved until the print lies on the labels.

use crate::cli::arguments::out_file::OutArgs;
use crate::cli::canning_day::label::sheets;
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::{Asker, Question, parsed};
use crate::cli::talk::screen::Screen;
use crate::paper::label::sheet::definition::Sheet;
use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::measures::{FARTHEST, Measures, Move, grid, tenths};
use crate::values::names::name::Name;

/// What a measured sheet is named where the example needs one.
const RULER: &str = "with a ruler, in millimetres or inches: 66.5 or 2.6in";
/// What the moves are read from.
const LIGHT: &str =
    "with the test page and a sheet of labels against the light; 0 leaves it, a minus moves the other way";

/// The sheet and the command that made it, kept already.
pub(super) fn measure(
    name: &str,
    words: &[String],
    out: &OutArgs,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(Sheet, crate::cli::arguments::out_file::OutFile), Failure> {
    let name = sheets::own_name(name)?;
    let known = sheets::own(&*ctx.open()?, &name)?;
    let said = Move::read(words)?;
    let (sheet, file) = Asker::new(screen).talk(|asker| {
        let sheet = match (&known, said) {
            (Some(known), Some(said)) => moved(known, said)?,
            (Some(known), None) if words.is_empty() => moved(known, ask_move(asker)?)?,
            (None, Some(_)) => return Err(unknown(&name)),
            _ => Sheet::new(ask(Measures::read(words)?, asker)?.spec_alike(name.as_str())?)?,
        };
        Ok((sheet, out.file(ctx, "test-page.pdf", asker)?))
    })?;
    Ok((sheets::keep(&name, &sheet, "label --measure", ctx)?, file))
}

fn moved(known: &Sheet, Move { right, down }: Move) -> Result<Sheet, Failure> {
    Ok(known.spec().clone().moved(right, down)?)
}

fn unknown(name: &Name) -> Failure {
    Failure::new(
        Code::NotFound,
        format!("no label sheet of yours is called \u{201c}{name}\u{201d}; nothing was recorded"),
        format!("measure it first: `jarledger label --measure \"{name}\"`"),
    )
}

/// Asks how far the print is to be moved.
fn ask_move(asker: &Asker) -> Result<Move, Failure> {
    let read = |answer: &str| {
        tenths(answer)
            .ok_or_else(|| format!("Give whole tenths of a millimetre, {} to {FARTHEST}.", -FARTHEST))
    };
    let question = |ask, flag| Question { ask, flag, help: LIGHT, default: Some("0") };
    let right =
        asker.need(None, question("How many tenths of a millimetre to the right?", "right=TENTHS"), read)?;
    let down = asker.need(None, question("How many tenths of a millimetre down?", "down=TENTHS"), read)?;
    Ok(Move { right, down })
}

/// Asks for what was not given: the paper, the grid, and four distances.
fn ask(mut said: Measures, asker: &Asker) -> Result<Measures, Failure> {
    let question = |ask, flag, help, default| Question { ask, flag, help, default };
    said.page = Some(asker.need(
        said.page,
        question(
            "Which paper is it?",
            "page=letter",
            "letter, a4, or its size such as 148x210mm",
            Some("letter"),
        ),
        parsed,
    )?);
    let count = "labels across x labels down, such as 2x5";
    said.grid = Some(asker.need(
        said.grid,
        question("How many labels are on it?", "grid=2x5", count, None),
        |answer| grid(answer).ok_or_else(|| format!("Write {count}.")),
    )?);
    let length = |ask, flag, given: Option<Length>| {
        asker.need(given, question(ask, flag, RULER, None), parsed::<Length>)
    };
    let (width, height) = said.label.unzip();
    let width = length("How wide is one label?", "label=WIDTHxHEIGHT", width)?;
    let height = length("How high is one label?", "label=WIDTHxHEIGHT", height)?;
    let (left, top) = said.margin.unzip();
    let left = length("From the left edge of the paper to the first label?", "margin=LEFTxTOP", left)?;
    let top = length("From the top edge of the paper to the first label?", "margin=LEFTxTOP", top)?;
    if width == height && !said.round {
        let shapes = vec!["square", "round"];
        let asked = question("Are the labels square or round?", "round=DIAMETER", "", None);
        said.round = asker.need_one_of(None, asked, shapes, 1)? == "round";
    }
    (said.label, said.margin) = (Some((width, height)), Some((left, top)));
    Ok(said)
}
