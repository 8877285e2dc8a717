//! Label sheets by measurement: where on the page each label lies.

use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::sheet_error::SheetError;
use crate::paper::label::sheet::spec::SheetSpec;

/// Most labels on one page.
const MOST: u32 = 1_000;
/// White that most printers leave along the edges of the paper (common practice, no source).
pub(crate) const PRINTABLE: Length = Length::mm(4);
/// Smallest label that still takes a code and legible words.
const LEAST_WIDTH: Length = Length::mm(38);
/// See [`LEAST_WIDTH`].
const LEAST_HEIGHT: Length = Length::mm(20);
/// Smallest round label, for the same reason.
const LEAST_ACROSS: Length = Length::mm(38);

/// A sheet as the ledger keeps it.
///
/// # Errors
/// What of the definition makes no sheet, in words.
pub(crate) fn written_sheet(definition: &str) -> Result<Sheet, String> {
    let spec: Result<SheetSpec, _> = serde_json::from_str(definition);
    spec.map_err(|error| error.to_string())
        .and_then(|spec| Sheet::new(spec).map_err(|error| error.to_string()))
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

/// From the first edge of the first label to the last edge of the last.
pub(super) fn reach(pitch: Length, count: u32, size: Length) -> Length {
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

    /// The white between the paper's edge and the nearest label, where it is less than printers leave; on a roll
    /// the label is the paper, and there is none.
    pub(crate) fn unprintable(&self) -> Option<Length> {
        let spec = &self.0;
        let (across, down) = spec.page.size();
        if (across, down) == (spec.width, spec.height) {
            return None;
        }
        let white = |has: Length, pitch, count, size, margin: Length| {
            let used = reach(pitch, count, size).as_micrometres() + margin.as_micrometres();
            margin.min(Length::micrometres(has.as_micrometres() - used))
        };
        let least = white(across, spec.pitch_across, spec.columns, spec.width, spec.left).min(white(
            down,
            spec.pitch_down,
            spec.rows,
            spec.height,
            spec.top,
        ));
        Some(least).filter(|least| *least < PRINTABLE)
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
        assert!(refusal("page=a4 round=37 grid=3x4").contains("too small"));
        assert!(refusal("page=a4 label=60x36 grid=0x7").contains("0 across and 7 down"));
        assert!(refusal("page=a4 label=60x36 grid=99999x99999").contains("1 to 1,000"));
        assert!(refusal("page=a4 label=60x36 grid=1x1 corner=19").contains("more than half"));
        assert!(refusal("page=a4 label=60x36").contains("needs grid"));
        assert!(refusal("page=a4 colour=red").contains("does not describe"));
    }

    #[test]
    fn labels_nearer_to_the_edge_than_printers_reach_are_found() {
        // 210 - 205 and 297 - 290, halved: 2.5 mm across, 3.5 mm down.
        assert_eq!(sheet("page=a4 label=205x290 grid=1x1").unwrap().unprintable(), "2.5".parse().ok());
        // To the right and below: 210 - 195 - 13 = 2 mm.
        assert_eq!(
            sheet("page=a4 label=65x40 grid=3x6 margin=13x10").unwrap().unprintable(),
            "2".parse().ok()
        );
        assert_eq!(sheet("page=a4 label=202x289 grid=1x1").unwrap().unprintable(), None);
        assert_eq!(sheet("roll=64x44").unwrap().unprintable(), None);
    }

    #[test]
    fn a_sheet_reads_back_from_what_the_ledger_keeps() {
        for words in [
            "page=letter label=3.1x1.7in grid=2x5 corner=2 margin=9.45x15.7",
            "page=a4 round=58 grid=3x4",
            "roll=64x44",
        ] {
            let spec = sheet(words).unwrap().spec().clone();
            let kept = serde_json::to_string(&spec).unwrap();
            assert_eq!(serde_json::from_str::<SheetSpec>(&kept).unwrap(), spec, "{kept}");
            let said = Sheet(spec.clone()).to_string();
            assert_eq!(*sheet(&said).unwrap().spec(), spec, "{said}");
        }
    }
}
