//! Label sheets by measurement: where on the page each label lies.

use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::{Page, PageError, pair};

/// Most labels on one page.
const MOST: u32 = 1_000;
/// Smallest label that still takes a code and legible words.
const LEAST_WIDTH: Length = Length::mm(38);
/// See [`LEAST_WIDTH`].
const LEAST_HEIGHT: Length = Length::mm(20);
/// Smallest round label, for the same reason.
const LEAST_ACROSS: Length = Length::mm(45);

/// The measurements of a label sheet, as a household gives them and the ledger keeps them.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetSpec {
    /// What the sheet is called.
    pub name: String,
    /// The paper.
    #[serde(with = "as_text")]
    pub page: Page,
    /// Whether the labels are discs; then `width` and `height` are the diameter.
    pub round: bool,
    /// Width of one label.
    #[serde(with = "as_text")]
    pub width: Length,
    /// Height of one label.
    #[serde(with = "as_text")]
    pub height: Length,
    /// Radius of the label's corners.
    #[serde(with = "as_text")]
    pub corner: Length,
    /// Labels side by side.
    pub columns: u32,
    /// Labels one below the other.
    pub rows: u32,
    /// From the left edge of one label to that of the next.
    #[serde(with = "as_text")]
    pub pitch_across: Length,
    /// From the top edge of one label to that of the next.
    #[serde(with = "as_text")]
    pub pitch_down: Length,
    /// From the left edge of the page to the first label.
    #[serde(with = "as_text")]
    pub left: Length,
    /// From the top edge of the page to the first label.
    #[serde(with = "as_text")]
    pub top: Length,
}

/// A sheet as the ledger keeps it.
///
/// # Errors
/// What of the definition makes no sheet, in words.
pub fn written_sheet(definition: &str) -> Result<Sheet, String> {
    let spec: Result<SheetSpec, _> = serde_json::from_str(definition);
    spec.map_err(|error| error.to_string())
        .and_then(|spec| Sheet::new(spec).map_err(|error| error.to_string()))
}

/// Serialises through `Display` and `FromStr`.
mod as_text {
    use std::fmt::Display;
    use std::str::FromStr;

    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub fn serialize<T: Display, S: Serializer>(value: &T, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(value)
    }

    pub fn deserialize<'de, T, D>(deserializer: D) -> Result<T, D::Error>
    where
        T: FromStr<Err: Display>,
        D: Deserializer<'de>,
    {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

/// Says why measurements do not make a label sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The page is not one.
    #[error(transparent)]
    Page(#[from] PageError),
    /// A word of the description is not known.
    #[error(
        "\u{201c}{0}\u{201d} does not describe a label sheet; use page=a4 label=63x38 grid=3x6, and if need be round=60 (in place of label), pitch=66x42, margin=9x15 (left, top) and corner=2"
    )]
    Word(String),
    /// A part without which there is no sheet is missing.
    #[error("the sheet needs {0}")]
    Missing(&'static str),
    /// The name is empty, long or holds characters that do not print.
    #[error("\u{201c}{0}\u{201d} cannot name a sheet; use 1 to 40 letters, digits, spaces and hyphens")]
    Name(String),
    /// The name is that of a built-in sheet.
    #[error("\u{201c}{0}\u{201d} is a built-in sheet; choose another name")]
    Taken(String),
    /// Rows or columns out of range.
    #[error("{columns} across and {rows} down is not a sheet; use 1 to 1,000 labels a page")]
    Count {
        /// Labels side by side.
        columns: u32,
        /// Labels one below the other.
        rows: u32,
    },
    /// The label is too small for a code that scans and words that can be read.
    #[error(
        "a label of {width} by {height} is too small for a code that scans and words that can be read; use at least 38 by 20 mm, or 45 mm across if round"
    )]
    Small {
        /// Width given.
        width: Length,
        /// Height given.
        height: Length,
    },
    /// A round label is not round.
    #[error("a round label has one diameter, not {width} by {height}")]
    Oval {
        /// Width given.
        width: Length,
        /// Height given.
        height: Length,
    },
    /// Labels overlap.
    #[error("labels {size} {way} overlap at a pitch of {pitch}")]
    Overlap {
        /// Size of the label in that direction.
        size: Length,
        /// "wide" or "high".
        way: &'static str,
        /// Pitch given.
        pitch: Length,
    },
    /// The last label runs off the page.
    #[error("the labels need {needed} {way}, the page has {has}")]
    OffPage {
        /// Margin plus all labels.
        needed: Length,
        /// "across" or "down".
        way: &'static str,
        /// The page.
        has: Length,
    },
    /// The corner is larger than half the label.
    #[error("a corner of {0} is more than half the label")]
    Corner(Length),
}

/// A label sheet whose labels lie on the page and clear of each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet(SheetSpec);

/// Where one label lies, from the top left corner of its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LabelBox {
    /// Left edge.
    pub left: Length,
    /// Top edge.
    pub top: Length,
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
}

impl SheetSpec {
    /// Reads a description such as `page=a4 label=60x36 grid=3x7`.
    ///
    /// Without a pitch the labels touch; without margins they stand in the
    /// middle of the page.
    ///
    /// # Errors
    /// [`SheetError`] where a word is unknown or a needed one is missing. The
    /// measurements are checked by [`Sheet::new`].
    pub fn from_words<W: AsRef<str>>(name: &str, words: &[W]) -> Result<Self, SheetError> {
        let (mut page, mut label, mut grid, mut pitch, mut margin) = (None, None, None, None, None);
        let (mut round, mut corner) = (false, Length::default());
        for word in words.iter().map(AsRef::as_ref) {
            let refuse = || SheetError::Word(word.to_owned());
            let (key, value) = word.split_once('=').ok_or_else(refuse)?;
            match key {
                "page" => page = Some(value.parse::<Page>()?),
                "label" => label = Some(pair(value).ok_or_else(refuse)?),
                "round" => {
                    let across: Length = value.parse().map_err(|_| refuse())?;
                    round = true;
                    label = Some((across, across));
                }
                "grid" => {
                    let (columns, rows) = value.split_once(['x', '\u{d7}']).ok_or_else(refuse)?;
                    let count = |text: &str| text.trim().parse::<u32>().map_err(|_| refuse());
                    grid = Some((count(columns)?, count(rows)?));
                }
                "pitch" => pitch = Some(pair(value).ok_or_else(refuse)?),
                "margin" => margin = Some(pair(value).ok_or_else(refuse)?),
                "corner" => corner = value.parse().map_err(|_| refuse())?,
                _ => return Err(refuse()),
            }
        }
        let page = page.ok_or(SheetError::Missing("page=letter, page=a4 or page=148x210mm"))?;
        let (width, height) = label.ok_or(SheetError::Missing("label=63x38mm or round=60mm"))?;
        let (columns, rows) = grid.ok_or(SheetError::Missing("grid=3x6 (labels across x labels down)"))?;
        let (pitch_across, pitch_down) = pitch.unwrap_or((width, height));
        let centred = |has: Length, pitch: Length, count: u32, size: Length| {
            let used = reach(pitch, count, size).as_micrometres();
            Length::micrometres((has.as_micrometres() - used).max(0) / 2)
        };
        let (left, top) = margin.unwrap_or_else(|| {
            let (across, down) = page.size();
            (centred(across, pitch_across, columns, width), centred(down, pitch_down, rows, height))
        });
        Ok(Self {
            name: name.to_owned(),
            page,
            round,
            width,
            height,
            corner,
            columns,
            rows,
            pitch_across,
            pitch_down,
            left,
            top,
        })
    }
}

/// From the first edge of the first label to the last edge of the last.
fn reach(pitch: Length, count: u32, size: Length) -> Length {
    let pitches = pitch.as_micrometres().saturating_mul(i64::from(count.saturating_sub(1)));
    Length::micrometres(pitches.saturating_add(size.as_micrometres()))
}

impl Sheet {
    /// Checks measurements.
    ///
    /// # Errors
    /// [`SheetError`] naming the first measurement that does not work out.
    pub fn new(spec: SheetSpec) -> Result<Self, SheetError> {
        let SheetSpec { width, height, columns, rows, .. } = spec;
        let name_fits = (1..=40).contains(&spec.name.chars().count())
            && spec.name.trim() == spec.name
            && spec.name.chars().all(|c| c.is_alphanumeric() || c == ' ' || c == '-');
        if !name_fits {
            return Err(SheetError::Name(spec.name));
        }
        if columns == 0 || rows == 0 || columns.saturating_mul(rows) > MOST {
            return Err(SheetError::Count { columns, rows });
        }
        if spec.round && width != height {
            return Err(SheetError::Oval { width, height });
        }
        let too_small =
            if spec.round { width < LEAST_ACROSS } else { width < LEAST_WIDTH || height < LEAST_HEIGHT };
        if too_small {
            return Err(SheetError::Small { width, height });
        }
        if spec.corner.as_micrometres() * 2 > width.min(height).as_micrometres() {
            return Err(SheetError::Corner(spec.corner));
        }
        let (page_across, page_down) = spec.page.size();
        for (way, count, size, pitch) in
            [("wide", columns, width, spec.pitch_across), ("high", rows, height, spec.pitch_down)]
        {
            if count > 1 && pitch < size {
                return Err(SheetError::Overlap { size, way, pitch });
            }
        }
        for (way, margin, count, size, pitch, has) in [
            ("across", spec.left, columns, width, spec.pitch_across, page_across),
            ("down", spec.top, rows, height, spec.pitch_down, page_down),
        ] {
            let used = reach(pitch, count, size).as_micrometres();
            let needed = Length::micrometres(used.saturating_add(margin.as_micrometres()));
            if needed > has {
                return Err(SheetError::OffPage { needed, way, has });
            }
        }
        Ok(Self(spec))
    }

    /// What the sheet is called.
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// The measurements.
    pub fn spec(&self) -> &SheetSpec {
        &self.0
    }

    /// Labels on one page.
    pub fn per_page(&self) -> usize {
        (self.0.columns * self.0.rows) as usize
    }

    /// Where a label lies; labels count from 0 in the top left corner, row by row.
    pub fn label_box(&self, position: usize) -> LabelBox {
        let columns = self.0.columns as usize;
        let along = |start: Length, pitch: Length, steps: usize| {
            Length::micrometres(start.as_micrometres() + pitch.as_micrometres() * steps as i64)
        };
        LabelBox {
            left: along(self.0.left, self.0.pitch_across, position % columns),
            top: along(self.0.top, self.0.pitch_down, position / columns % self.0.rows as usize),
            width: self.0.width,
            height: self.0.height,
        }
    }
}

impl std::fmt::Display for Sheet {
    /// Says the measurements in a line, as `--define` takes them.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let spec = &self.0;
        let two = |a: Length, b: Length| format!("{}x{b}", a.millimetres());
        write!(f, "page={}", spec.page)?;
        if spec.round {
            write!(f, " round={}", spec.width)?;
        } else {
            write!(f, " label={} corner={}", two(spec.width, spec.height), spec.corner)?;
        }
        write!(
            f,
            " grid={}x{} pitch={} margin={}",
            spec.columns,
            spec.rows,
            two(spec.pitch_across, spec.pitch_down),
            two(spec.left, spec.top)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(words: &str) -> Result<Sheet, SheetError> {
        let words: Vec<&str> = words.split(' ').collect();
        Sheet::new(SheetSpec::from_words("pantry", &words)?)
    }

    #[test]
    fn a_sheet_without_margins_stands_in_the_middle_of_the_page() {
        let sheet = sheet("page=a4 label=60x36 grid=3x7 pitch=65x39").unwrap();
        // By hand: 210 - (2 * 65 + 60) = 20, halved; 297 - (6 * 39 + 36) = 27, halved.
        assert_eq!(sheet.label_box(0).left, Length::mm(10));
        assert_eq!(sheet.label_box(0).top, Length::micrometres(13_500));
        // The fifth label is the second of the second row.
        assert_eq!(sheet.label_box(4).left, Length::mm(75));
        assert_eq!(sheet.label_box(4).top, Length::micrometres(52_500));
        assert_eq!(sheet.per_page(), 21);
    }

    #[test]
    fn a_sheet_that_does_not_work_out_is_refused_by_name() {
        let refusal = |words| sheet(words).unwrap_err().to_string();
        assert_eq!(
            refusal("page=a4 label=60x36 grid=3x7 pitch=59x39"),
            "labels 60mm wide overlap at a pitch of 59mm"
        );
        assert_eq!(
            refusal("page=a4 label=60x36 grid=3x7 pitch=60x35"),
            "labels 36mm high overlap at a pitch of 35mm"
        );
        assert_eq!(
            refusal("page=a4 label=71x36 grid=3x7"),
            "the labels need 213mm across, the page has 210mm"
        );
        assert_eq!(
            refusal("page=a4 label=60x36 grid=3x7 margin=10x46"),
            "the labels need 298mm down, the page has 297mm"
        );
        assert!(refusal("page=a4 label=30x36 grid=3x7").contains("too small"));
        assert!(refusal("page=a4 round=44 grid=3x4").contains("too small"));
        assert!(refusal("page=a4 label=60x36 grid=0x7").contains("0 across and 7 down"));
        assert!(refusal("page=a4 label=60x36 grid=99999x99999").contains("1 to 1,000"));
        assert!(refusal("page=a4 label=60x36 grid=1x1 corner=19").contains("more than half"));
        assert!(refusal("page=a4 label=60x36").contains("needs grid"));
        assert!(refusal("page=a4 colour=red").contains("does not describe"));
    }

    #[test]
    fn a_sheet_reads_back_from_what_the_ledger_keeps() {
        for words in
            ["page=letter label=2.5x1.5in grid=3x6 corner=2 margin=9.45x15.7", "page=a4 round=60 grid=3x4"]
        {
            let spec = sheet(words).unwrap().spec().clone();
            let kept = serde_json::to_string(&spec).unwrap();
            assert_eq!(serde_json::from_str::<SheetSpec>(&kept).unwrap(), spec, "{kept}");
            let said = Sheet(spec.clone()).to_string();
            assert_eq!(*sheet(&said).unwrap().spec(), spec, "{said}");
        }
    }
}
