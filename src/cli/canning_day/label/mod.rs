//! `label`: labels, cards and sheets of jars as PDF.
//!
//! May use: arguments, talk, answers, ledger, paper, rules, values.

pub(in crate::cli) mod fonts;
mod gather;
mod measure;
mod sheets;

use std::path::PathBuf;

use chrono::{DateTime, Utc};

use crate::cli::arguments::jars_arg::JarsArg;
use crate::cli::arguments::out_file::{OutArgs, OutFile};
use crate::cli::arguments::page_address::page_at;
use crate::cli::canning_day::label::fonts::{machine_fonts, read_font};
use crate::cli::context::Context;
use crate::cli::errors::{Code, Failure};
use crate::cli::talk::ask::Asker;
use crate::cli::talk::progress::Progress;
use crate::cli::talk::screen::Screen;
use crate::ledger::file::open::Ledger;
use crate::paper::font::fonts::Fonts;
use crate::paper::label::draw::print::{Printed, print_linked};
use crate::paper::label::draw::sheets_of_jars::{print_pull_sheet, print_shelf_card};
use crate::paper::label::draw::test_page::print_test_page;
use crate::paper::label::sheet::built_in::DEFAULT_SHEET;
use crate::paper::label::sheet::definition::Sheet;
use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::Page;
use crate::paper::label::words::by_hand::{LidText, lid_text};
use crate::paper::label::words::run::{Label, LabelError, LabelKind, LabelOrder, LabelRun};
use crate::rules::spoilage::cautions::{BOIL_SCOPE, LOCAL_LAW};
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::names::counted::counted;
use crate::values::names::name::Name;
use crate::values::time::day_words::DayOrder;

/// Print labels for jars, a card for a shelf or a sheet of jars to pull, as a PDF
#[derive(Debug, clap::Args)]
#[command(after_help = "\
The built-in sheets are for plain full-sheet label paper, cut along the printed lines. Any other sheet is described by \
measurement, in millimetres or inches: page=a4 label=80x45 grid=2x5, or roll=64x44 for a roll. Without pitch the labels \
touch; without margin they stand in the middle of the page. Of a die-cut sheet --measure asks the size of a label and \
its distance from the left and top edges; the sheet is taken to be alike left and right, above and below.")]
pub(in crate::cli) struct Args {
    #[command(flatten)]
    jars: JarsArg,
    /// Every jar of this batch
    #[arg(long, value_name = "BATCH", conflicts_with = "jars")]
    batch: Vec<BatchCode>,
    #[command(flatten)]
    out: OutArgs,
    /// A font file for letters that the program's own font lacks, before those of the machine
    #[arg(long, value_name = "FILE")]
    font: Option<PathBuf>,
    /// The label sheet; --sheets lists them
    #[arg(long, value_name = "NAME", default_value = DEFAULT_SHEET)]
    sheet: Name,
    /// First free label of the first sheet, counted from 1 along the rows
    #[arg(long, value_name = "POSITION", default_value_t = 1)]
    start: usize,
    /// Labels for each jar
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    copies: usize,
    /// Order of the labels: asked, batch (by day put up) or code
    #[arg(long, default_value_t = LabelOrder::Asked)]
    order: LabelOrder,
    /// How a day is written: day-month-year, month-day-year or year-month-day [default: as set by `setup`]
    #[arg(long, value_name = "ORDER")]
    dates: Option<DayOrder>,
    /// Draw the edges of the labels also on a sheet of your own, for plain paper and scissors
    #[arg(long)]
    edges: bool,
    /// Make the codes links to the page at the shelf, asked under this name, such as shelf.local
    #[arg(long, value_name = "NAME", value_parser = page_at, conflicts_with_all = ["text", "outline", "card", "pull"])]
    link: Option<String>,
    /// Print labels also for jars that are not sealed, not checked or on hold; the labels say so
    #[arg(long)]
    anyway: bool,
    /// Labels for jars to give away: what is in them by their recipe, and how to keep them once opened
    #[arg(long, conflicts_with_all = ["link", "text", "outline", "card", "pull", "sheets", "define", "measure"])]
    gift: bool,
    /// Stickers for lids: number and month
    #[arg(long, conflicts_with_all = ["gift", "link", "text", "outline", "card", "pull", "sheets", "define", "measure"])]
    lid: bool,
    /// Say what to write on each lid by hand, shortest first
    #[arg(long, conflicts_with = "out")]
    text: bool,
    /// Print a test page: the sheet's edges and positions, and rulers
    #[arg(long, conflicts_with_all = ["jars", "batch", "text"])]
    outline: bool,
    /// Print a card of what stands in a place, oldest first
    #[arg(long, value_name = "PLACE", conflicts_with_all = ["jars", "batch", "text", "outline"])]
    card: Option<Name>,
    /// Print a sheet of jars to pull: those named, else every jar on hold
    #[arg(long, conflicts_with_all = ["text", "outline", "card"])]
    pull: bool,
    /// List the label sheets
    #[arg(long, conflicts_with_all = ["jars", "batch", "out", "text", "outline", "card", "pull"])]
    sheets: bool,
    /// Record a label sheet: a name and its measurements
    #[arg(long, num_args = 2.., value_names = ["NAME", "MEASURE"],
          conflicts_with_all = ["jars", "batch", "out", "text", "outline", "card", "pull", "sheets"])]
    define: Vec<String>,
    /// Record a die-cut sheet measured with a ruler and print its test page; with right=, left=, up= or down= in
    /// tenths of a millimetre, move its print
    #[arg(long, num_args = 1.., value_names = ["NAME", "MEASURE"],
          conflicts_with_all = ["jars", "batch", "text", "outline", "card", "pull", "sheets", "define"])]
    measure: Vec<String>,
}

impl Args {
    fn fonts(&self) -> Result<Fonts, Failure> {
        let given = self.font.as_deref().map(read_font).transpose()?;
        Ok(Fonts { given, ..machine_fonts() })
    }

    const fn kind(&self) -> LabelKind {
        match (self.gift, self.lid) {
            (true, _) => LabelKind::Gift { ingredients: None },
            (false, true) => LabelKind::Lid,
            (false, false) => LabelKind::Shelf,
        }
    }

    fn days(&self, ledger: &Ledger) -> Result<DayOrder, Failure> {
        self.dates.map_or_else(|| Ok(ledger.day_order()?.unwrap_or(DayOrder::DayMonthYear)), Ok)
    }
}

/// What was printed.
#[derive(serde::Serialize)]
struct Answer<'a> {
    out: PathBuf,
    pages: usize,
    sheet: &'a str,
    jars: Vec<JarCode>,
    labels: usize,
    warnings: Vec<String>,
}

#[derive(serde::Serialize)]
struct Lids {
    lids: Vec<Lid>,
}

#[derive(serde::Serialize)]
struct Lid {
    jar: JarCode,
    #[serde(flatten)]
    text: LidText,
}

pub(in crate::cli) fn run(args: Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    if args.sheets {
        return sheets::list(ctx, screen);
    }
    if let [name, words @ ..] = args.define.as_slice() {
        return sheets::define(name, words, ctx, screen);
    }
    if let [name, words @ ..] = args.measure.as_slice() {
        return measured(name, words, &args, ctx, screen);
    }
    if args.outline {
        return outline(&args, ctx, screen);
    }
    if let Some(place) = &args.card {
        return card(&args, place, ctx, screen);
    }
    if args.pull {
        return pull(&args, ctx, screen);
    }
    labels(&args, ctx, screen)
}

fn labels(args: &Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let ledger = ctx.open()?;
    let (jars, file) = Asker::new(screen).talk(|asker| {
        let jars = gather::jars(&ledger, &args.jars, &args.batch, asker)?;
        let file = if args.text { None } else { Some(args.out.file(ctx, "labels.pdf", asker)?) };
        Ok((jars, file))
    })?;
    let labels = gather::labels(&ledger, &jars, args.anyway, &args.kind(), ctx.clock.now)?;
    let days = args.days(&ledger)?;
    let boils = labels.iter().any(|label| label.household.is_some());
    match file {
        None => by_hand(&labels, days, screen)?,
        Some(file) => {
            let sheet = sheets::find(&ledger, &args.sheet)?;
            let codes = labels.iter().map(|label| label.code).collect();
            let run = LabelRun {
                labels,
                sheet,
                start: args.start,
                copies: args.copies,
                order: args.order,
                days,
                // A sheet of one's own is cut already; those built in are cut along their lines.
                outline: args.edges || sheets::find_without_ledger(&args.sheet).is_some(),
                fonts: args.fonts()?,
            };
            let progress = Progress::begin(screen, "drawing labels");
            let printed = print_linked(&run, args.link.as_deref(), created(ctx)?)?;
            drop(progress);
            finish(file, &printed, Some(run.sheet.name()), codes, screen)?;
            if let Some(page) = &args.link {
                screen.next(format!(
                    "`jarledger serve --lan` must be asked as {page}: where that is not this machine's own name, add \
                     --origin {page}"
                ));
            }
        }
    }
    if !screen.json() {
        if boils {
            screen.say(BOIL_SCOPE.text);
        }
        if args.gift {
            screen.say(LOCAL_LAW.text);
        }
    }
    Ok(())
}

fn by_hand(labels: &[Label], dates: DayOrder, screen: &mut Screen) -> Result<(), Failure> {
    let lids: Vec<Lid> =
        labels.iter().map(|label| Lid { jar: label.code, text: lid_text(label, dates) }).collect();
    if screen.json() {
        return screen.answer(&Lids { lids });
    }
    for lid in lids {
        screen.say(lid.text.code);
        screen.say(format!("  or: {}", lid.text.short));
        screen.say(format!("  or: {}", lid.text.full));
    }
    Ok(())
}

fn outline(args: &Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = args.out.file(ctx, "test-page.pdf", &Asker::new(screen))?;
    let sheet = sheets::find_without_ledger(&args.sheet)
        .map_or_else(|| sheets::find(&*ctx.open()?, &args.sheet), Ok)?;
    let printed = print_test_page(&sheet, created(ctx)?)?;
    finish(file, &printed, Some(sheet.name()), Vec::new(), screen)?;
    screen.next("print it at 100 %, hold it against a sheet of labels, and measure the rulers");
    Ok(())
}

fn measured(
    name: &str,
    words: &[String],
    args: &Args,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let (sheet, file) = measure::measure(name, words, &args.out, ctx, screen)?;
    let printed = print_test_page(&sheet, created(ctx)?)?;
    if !screen.json() {
        screen.say(format!("Recorded label sheet {}: {sheet}.", sheet.name()));
    }
    finish(file, &printed, Some(sheet.name()), Vec::new(), screen)?;
    screen.next(format!(
        "print it at 100 % on plain paper and hold it with a sheet of labels against the light; \
         `jarledger label --measure \"{}\" right=4 up=2` moves it by tenths of a millimetre",
        sheet.name()
    ));
    Ok(())
}

fn card(args: &Args, place: &Name, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = args.out.file(ctx, "shelf-card.pdf", &Asker::new(screen))?;
    let ledger = ctx.open()?;
    let page = list_page(&sheets::find(&ledger, &args.sheet)?);
    let (card, codes) = gather::card(&ledger, place, ctx.clock.now)?;
    let printed = print_shelf_card(&card, args.days(&ledger)?, page, &args.fonts()?, created(ctx)?)?;
    finish(file, &printed, None, codes, screen)
}

fn pull(args: &Args, ctx: &Context, screen: &mut Screen) -> Result<(), Failure> {
    let file = args.out.file(ctx, "pull.pdf", &Asker::new(screen))?;
    let ledger = ctx.open()?;
    let page = list_page(&sheets::find(&ledger, &args.sheet)?);
    let jars = if args.jars.is_empty() && args.batch.is_empty() {
        gather::on_hold(&ledger)?
    } else {
        gather::jars(&ledger, &args.jars, &args.batch, &Asker::new(screen))?
    };
    let (sheet, codes) = gather::pull(&ledger, &jars, ctx.clock.today())?;
    let printed = print_pull_sheet(&sheet, args.days(&ledger)?, page, &args.fonts()?, created(ctx)?)?;
    finish(file, &printed, None, codes, screen)
}

/// The paper of a sheet for a list, which does not go on the labels of a roll.
fn list_page(sheet: &Sheet) -> Page {
    let (width, height) = sheet.spec().page.size();
    if width.min(height) < Length::mm(100) { Page::Letter } else { sheet.spec().page }
}

/// Writes the document and says what is in it.
fn finish(
    file: OutFile,
    printed: &Printed,
    sheet: Option<&str>,
    jars: Vec<JarCode>,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let path = file.path().to_owned();
    file.write(&printed.pdf)?;
    let warnings: Vec<String> = printed.warnings.iter().map(ToString::to_string).collect();
    if screen.json() {
        let (pages, labels) = (printed.pages, printed.labels);
        let sheet = sheet.unwrap_or_default();
        return screen.answer(&Answer { out: path, pages, sheet, jars, labels, warnings });
    }
    let pages = counted(printed.pages, "page", "pages");
    screen.say(match (printed.labels, sheet) {
        (0, _) => format!("Wrote {}: {pages}.", path.display()),
        (labels, Some(sheet)) => {
            format!("Wrote {}: {} on {pages} of {sheet}.", path.display(), counted(labels, "label", "labels"))
        }
        (labels, None) => {
            format!("Wrote {}: {} on {pages}.", path.display(), counted(labels, "label", "labels"))
        }
    });
    for warning in warnings {
        screen.say(format!("Note: {warning}."));
    }
    Ok(())
}

/// The time written into a document: `SOURCE_DATE_EPOCH` where it is set, else now.
fn created(ctx: &Context) -> Result<Option<DateTime<Utc>>, Failure> {
    let Some(epoch) = std::env::var_os("SOURCE_DATE_EPOCH") else {
        return Ok(Some(ctx.clock.now.to_utc()));
    };
    epoch
        .to_str()
        .and_then(|text| text.parse().ok())
        .and_then(|seconds| DateTime::from_timestamp(seconds, 0))
        .map(Some)
        .ok_or_else(|| {
            Failure::usage(
                "SOURCE_DATE_EPOCH is not a number of seconds; nothing was written",
                "unset it, or set it to seconds since 1970 in UTC",
            )
        })
}

impl From<LabelError> for Failure {
    fn from(error: LabelError) -> Self {
        let message = format!("{error}; nothing was written");
        match error {
            LabelError::Empty => Self::new(Code::NotFound, message, "see `jarledger shelf --jars`"),
            LabelError::Start { last, .. } => Self::usage(message, format!("give --start 1 to {last}")),
            LabelError::Count { .. } => Self::usage(message, "print fewer at a time"),
            LabelError::Rows(_) => Self::usage(
                message,
                "print fewer at a time, or see them all on the screen with `shelf --jars` or `trace`",
            ),
            LabelError::Link { .. } => Self::new(
                Code::Refused,
                message,
                "take a larger sheet (`jarledger label --sheets` lists them), a shorter name, or leave --link out: the page \
                 finds a jar by its plain code too",
            ),
            LabelError::NoRoom { .. } => Self::new(
                Code::Refused,
                message,
                "take a larger sheet: `jarledger label --sheets` lists them",
            ),
            LabelError::Font(_) => Self::new(Code::BadInput, message, "give another font file, or none"),
            LabelError::Pdf(_) => Self { code: Code::Other, message, hint: None },
        }
    }
}
