//! A print run: which labels go where, in which order.

use crate::paper::font::fonts::{FontError, Fonts};
use crate::paper::label::sheet::definition::{PRINTABLE, Sheet};
use crate::paper::label::sheet::length::Length;
use crate::rules::jar::keeps::Keeps;
use crate::rules::load::process_record::ProcessMark;
use crate::values::codes::jar_code::{BatchCode, JarCode};
use crate::values::kinds::jar_size::JarSize;
use crate::values::names::counted::{counted, jars};
use crate::values::names::named::named_enum;
use crate::values::time::day_words::DayOrder;
use chrono::NaiveDate;

/// Most rows on one list: more than any shelf holds, and a PDF of it is still made in little memory.
pub(in crate::paper) const MOST_ROWS: usize = 4_000;

/// What one label says.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Label {
    /// The jar.
    pub code: JarCode,
    /// What is in it.
    pub contents: String,
    /// The day it was put up.
    pub put_up: NaiveDate,
    /// Until when it is to be eaten.
    pub keeps: Keeps,
    /// The jar's size.
    pub size: JarSize,
    /// A line for the household, such as "boil 15 min before tasting".
    pub household: Option<String>,
    /// Why the jar is not to be eaten from, in words: unsealed, unchecked or on hold.
    pub warning: Option<String>,
    /// Why it is on hold, as far as there is room.
    pub because: Option<String>,
    /// What must be said of its process.
    pub process: ProcessMark,
    /// What it is for.
    pub kind: LabelKind,
}

/// What a label is for.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub enum LabelKind {
    /// The shelf: with the jar's number and its symbol.
    #[default]
    Shelf,
    /// A jar given away: with what is in it and how to keep it once opened.
    Gift {
        /// What is in it, in words; none where no recipe says so.
        ingredients: Option<String>,
    },
    /// A lid: the jar's number and the month it was put up.
    Lid,
}

named_enum! {
    /// The order labels are printed in.
    pub enum LabelOrder as "an order of labels" {
        /// As the jars were asked for.
        Asked = "asked",
        /// By the day put up, then batch and jar number.
        Batch = "batch",
        /// By jar code alone.
        Code = "code",
    }
}

/// Labels for a sheet.
#[derive(Debug, Clone)]
pub struct LabelRun {
    /// The labels.
    pub labels: Vec<Label>,
    /// The sheet they go on.
    pub sheet: Sheet,
    /// The first free position of the first sheet, from 1.
    pub start: usize,
    /// How many of each, side by side.
    pub copies: usize,
    /// In which order.
    pub order: LabelOrder,
    /// How days are written.
    pub days: DayOrder,
    /// Whether the edges of the labels are drawn, for plain paper and scissors.
    pub outline: bool,
    /// What is printed with.
    pub fonts: Fonts,
}

/// Most labels in one run: a hundred sheets of the smallest built-in.
const MOST_LABELS: usize = 10_000;

/// Says why labels cannot be printed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LabelError {
    /// Nothing to print.
    #[error("there is no jar to print a label for")]
    Empty,
    /// The first free position does not exist.
    #[error("the sheet has positions 1 to {last}, not {start}")]
    Start {
        /// Position asked for.
        start: usize,
        /// Last position of the sheet.
        last: usize,
    },
    /// No copies, or more labels than one run takes.
    #[error(
        "{} at {} is not a print run; it takes 1 to 10,000 labels",
        jars(*.labels),
        counted(*.copies, "copy", "copies")
    )]
    Count {
        /// Jars.
        labels: usize,
        /// Copies of each.
        copies: usize,
    },
    /// What must stand on a label has no room on it.
    #[error("there is no room on {sheet} for all that the label of {code} must say: \u{201c}{text}\u{201d}")]
    NoRoom {
        /// The sheet.
        sheet: String,
        /// The jar.
        code: JarCode,
        /// What does not fit.
        text: String,
    },
    /// A link makes the symbol too fine to be read.
    #[error(
        "on {sheet} a link in the code of {code} leaves modules of 0.{hundredths:02} mm, and a phone's camera needs 0.5 mm"
    )]
    Link {
        /// The sheet.
        sheet: String,
        /// The jar.
        code: JarCode,
        /// Side of a module, in hundredths of a millimetre.
        hundredths: u32,
    },
    /// More rows than one list takes.
    #[error("a list of {0} rows is too long; it takes at most {MOST_ROWS}")]
    Rows(usize),
    /// A font that was given is of no use.
    #[error(transparent)]
    Font(#[from] FontError),
    /// The PDF writer gave up.
    #[error("the PDF could not be made: {0}")]
    Pdf(String),
}

/// Says what of a label's words could not be shown as they stand.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum PrintWarning {
    /// No font has a picture for some characters.
    #[error(
        "no font here has a picture for {characters} in \u{201c}{text}\u{201d}; a box is printed for each. The Debian \
         package {package} has them, or give a font file with --font"
    )]
    Missing {
        /// The whole text.
        text: String,
        /// The characters, each once.
        characters: String,
        /// The package of the first.
        package: &'static str,
    },
    /// Control or invisible characters were replaced.
    #[error("\u{201c}{text}\u{201d} holds control or invisible characters; \u{fffd} is printed for each")]
    Replaced {
        /// The text as printed.
        text: String,
    },
    /// No recipe says what is in a jar that is given away.
    #[error(
        "{batch} was put up by no recipe on record, so its labels do not say what is in it: write it there by hand"
    )]
    Ingredients {
        /// The batch.
        batch: BatchCode,
    },
    /// Labels lie where printers leave white.
    #[error(
        "labels lie {white} from the edge of the paper, where most printers leave {PRINTABLE} white; what falls there is not printed"
    )]
    Margin {
        /// From the edge to the nearest label.
        white: Length,
    },
    /// The text is too long for the label at the smallest size.
    #[error("\u{201c}{text}\u{201d} is too long for the label and was {}", left_of_it(shown))]
    Cut {
        /// The whole text.
        text: String,
        /// What is printed.
        shown: String,
    },
}

/// What became of a text of which this is printed.
fn left_of_it(shown: &str) -> String {
    if shown.is_empty() { "left out".to_owned() } else { format!("cut to \u{201c}{shown}\u{201d}") }
}

impl LabelRun {
    /// Checks the run and gives its labels in printing order, copies side by side.
    pub(in crate::paper) fn ordered(&self) -> Result<Vec<&Label>, LabelError> {
        let last = self.sheet.per_page();
        if self.labels.is_empty() {
            return Err(LabelError::Empty);
        }
        if !(1..=last).contains(&self.start) {
            return Err(LabelError::Start { start: self.start, last });
        }
        let count = self.labels.len().saturating_mul(self.copies);
        if !(1..=MOST_LABELS).contains(&count) {
            return Err(LabelError::Count { labels: self.labels.len(), copies: self.copies });
        }
        let mut ordered: Vec<&Label> = self.labels.iter().collect();
        match self.order {
            LabelOrder::Asked => {}
            LabelOrder::Batch => ordered.sort_by_key(|label| (label.put_up, label.code)),
            LabelOrder::Code => ordered.sort_by_key(|label| label.code),
        }
        Ok(ordered.into_iter().flat_map(|label| std::iter::repeat_n(label, self.copies)).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::label::sheet::built_in::built_in_sheet;

    fn label(code: &str, put_up: (i32, u32, u32)) -> Label {
        Label {
            code: code.parse().unwrap(),
            contents: "Beans".to_owned(),
            put_up: NaiveDate::from_ymd_opt(put_up.0, put_up.1, put_up.2).unwrap(),
            keeps: Keeps::Undecided,
            size: JarSize::Pint,
            household: None,
            warning: None,
            because: None,
            process: ProcessMark::default(),
            kind: LabelKind::Shelf,
        }
    }

    fn run(copies: usize, start: usize, order: LabelOrder) -> LabelRun {
        // Check digits by python-stdnum, iso7064.mod_11_10: 2604103 -> 3, 2600102 -> 8, 9900101 -> 2.
        let labels = vec![
            label("26-041-03-3", (2026, 9, 1)),
            label("99-001-01-2", (1999, 8, 1)),
            label("26-001-02-8", (2026, 2, 1)),
        ];
        let sheet = built_in_sheet("a4-3x6").unwrap();
        LabelRun {
            labels,
            sheet,
            start,
            copies,
            order,
            days: DayOrder::DayMonthYear,
            outline: false,
            fonts: Fonts::default(),
        }
    }

    fn codes(run: &LabelRun) -> Vec<String> {
        run.ordered().unwrap().iter().map(|label| label.code.to_string()).collect()
    }

    #[test]
    fn labels_come_as_asked_by_day_or_by_code() {
        assert_eq!(codes(&run(1, 1, LabelOrder::Asked)), ["26-041-03-3", "99-001-01-2", "26-001-02-8"]);
        assert_eq!(codes(&run(1, 1, LabelOrder::Batch)), ["99-001-01-2", "26-001-02-8", "26-041-03-3"]);
        assert_eq!(codes(&run(1, 1, LabelOrder::Code)), ["26-001-02-8", "26-041-03-3", "99-001-01-2"]);
        assert_eq!(codes(&run(2, 1, LabelOrder::Code))[..3], ["26-001-02-8", "26-001-02-8", "26-041-03-3"]);
    }

    #[test]
    fn a_run_that_cannot_be_printed_is_refused() {
        assert_eq!(run(1, 0, LabelOrder::Code).ordered(), Err(LabelError::Start { start: 0, last: 18 }));
        assert_eq!(run(1, 19, LabelOrder::Code).ordered(), Err(LabelError::Start { start: 19, last: 18 }));
        assert!(run(0, 1, LabelOrder::Code).ordered().is_err());
        assert!(run(usize::MAX, 1, LabelOrder::Code).ordered().is_err());
        assert_eq!(
            LabelRun { labels: vec![], ..run(1, 1, LabelOrder::Code) }.ordered(),
            Err(LabelError::Empty)
        );
    }
}
