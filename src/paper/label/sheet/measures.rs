//! Measurements as they are entered: in words, or by what a ruler shows.

use crate::paper::label::sheet::definition::{Sheet, reach};
use crate::paper::label::sheet::length::Length;
use crate::paper::label::sheet::page::{Page, pair};
use crate::paper::label::sheet::sheet_error::SheetError;
use crate::paper::label::sheet::spec::SheetSpec;

/// What a ruler may be off by where labels touch, in micrometres.
const RULER: i64 = 1_000;
/// Farthest a sheet is moved at once, in tenths of a millimetre.
pub(crate) const FARTHEST: i64 = 100;

/// What is known of a sheet so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Measures {
    /// The paper.
    pub page: Option<Page>,
    /// Whether the labels are discs.
    pub round: bool,
    /// Width and height of a label.
    pub label: Option<(Length, Length)>,
    /// Labels across and down.
    pub grid: Option<(u32, u32)>,
    /// From label to label, across and down.
    pub pitch: Option<(Length, Length)>,
    /// White to the left of the first label and above it.
    pub margin: Option<(Length, Length)>,
    /// Radius of the corners.
    pub corner: Length,
}

/// Reads columns and rows, such as `3x7`.
pub fn grid(text: &str) -> Option<(u32, u32)> {
    let (columns, rows) = text.split_once(['x', '\u{d7}'])?;
    Some((columns.trim().parse().ok()?, rows.trim().parse().ok()?))
}

impl Measures {
    /// Reads words such as `page=a4 label=60x36 grid=3x7`.
    ///
    /// # Errors
    /// [`SheetError`] naming a word that is not known.
    pub fn read<W: AsRef<str>>(words: &[W]) -> Result<Self, SheetError> {
        let mut given = Self::default();
        for word in words.iter().map(AsRef::as_ref) {
            let refuse = || SheetError::Word(word.to_owned());
            let (key, value) = word.split_once('=').ok_or_else(refuse)?;
            match key {
                "page" => given.page = Some(value.parse::<Page>()?),
                "label" => given.label = Some(pair(value).ok_or_else(refuse)?),
                "round" => {
                    let across: Length = value.parse().map_err(|_| refuse())?;
                    given.round = true;
                    given.label = Some((across, across));
                }
                "roll" => {
                    given.page = Some(value.parse::<Page>()?);
                    given.label = given.page.map(|page| page.size());
                    given.grid = Some((1, 1));
                }
                "grid" => given.grid = Some(grid(value).ok_or_else(refuse)?),
                "pitch" => given.pitch = Some(pair(value).ok_or_else(refuse)?),
                "margin" => given.margin = Some(pair(value).ok_or_else(refuse)?),
                "corner" => given.corner = value.parse().map_err(|_| refuse())?,
                _ => return Err(refuse()),
            }
        }
        Ok(given)
    }

    /// The sheet as it was described. Without a pitch the labels touch; without margins they stand in the middle of the
    /// page.
    ///
    /// # Errors
    /// [`SheetError::Missing`] where a measurement is needed.
    pub fn spec(self, name: &str) -> Result<SheetSpec, SheetError> {
        let page = self.page.ok_or(SheetError::Missing("page=letter, page=a4 or page=148x210mm"))?;
        let (width, height) = self.label.ok_or(SheetError::Missing("label=80x45mm or round=58mm"))?;
        let (columns, rows) =
            self.grid.ok_or(SheetError::Missing("grid=2x5 (labels across x labels down)"))?;
        let (pitch_across, pitch_down) = self.pitch.unwrap_or((width, height));
        let centred = |has: Length, pitch: Length, count: u32, size: Length| {
            let used = reach(pitch, count, size).as_micrometres();
            Length::micrometres((has.as_micrometres() - used).max(0) / 2)
        };
        let (left, top) = self.margin.unwrap_or_else(|| {
            let (across, down) = page.size();
            (centred(across, pitch_across, columns, width), centred(down, pitch_down, rows, height))
        });
        Ok(SheetSpec {
            name: name.to_owned(),
            page,
            round: self.round,
            width,
            height,
            corner: self.corner,
            columns,
            rows,
            pitch_across,
            pitch_down,
            left,
            top,
        })
    }

    /// The sheet of which a label and the white to the left and above the first were measured: it is alike left and
    /// right, above and below, which gives the white between the labels.
    ///
    /// # Errors
    /// [`SheetError`] where a measurement is missing or they do not add up.
    pub(crate) fn spec_alike(self, name: &str) -> Result<SheetSpec, SheetError> {
        if self.margin.is_none() {
            return Err(SheetError::Missing("margin=9x15 (left of the first label and above it)"));
        }
        let pitch = self.pitch;
        let mut spec = self.spec(name)?;
        if pitch.is_some() {
            return Ok(spec);
        }
        let (across, down) = spec.page.size();
        (spec.pitch_across, spec.width) = alike("across", across, spec.left, spec.columns, spec.width)?;
        (spec.pitch_down, spec.height) = alike("down", down, spec.top, spec.rows, spec.height)?;
        if spec.round {
            spec.width = spec.width.min(spec.height);
            spec.height = spec.width;
        }
        Ok(spec)
    }
}

/// Pitch and size of labels between two equal margins. Labels that overlap by no more than a ruler is off touch.
fn alike(
    way: &'static str,
    has: Length,
    margin: Length,
    count: u32,
    size: Length,
) -> Result<(Length, Length), SheetError> {
    if count < 2 {
        return Ok((size, size));
    }
    let room = has.as_micrometres() - 2 * margin.as_micrometres() - size.as_micrometres();
    let pitch = Length::micrometres(room.max(0) / i64::from(count - 1));
    if pitch.as_micrometres() + RULER < size.as_micrometres() {
        let used = 2 * margin.as_micrometres() + i64::from(count) * size.as_micrometres();
        return Err(SheetError::OffPage { needed: Length::micrometres(used), way, has });
    }
    Ok((pitch, size.min(pitch)))
}

impl SheetSpec {
    /// Reads a description such as `page=a4 label=60x36 grid=3x7`.
    ///
    /// # Errors
    /// [`SheetError`] where a word is unknown or a needed one is missing. The
    /// measurements are checked by [`Sheet::new`].
    pub fn from_words<W: AsRef<str>>(name: &str, words: &[W]) -> Result<Self, SheetError> {
        Measures::read(words)?.spec(name)
    }

    /// The sheet with its print moved, in tenths of a millimetre to the right and down.
    ///
    /// # Errors
    /// [`SheetError`] where it would leave the paper.
    pub fn moved(mut self, right: i64, down: i64) -> Result<Sheet, SheetError> {
        let moved = |from: Length, tenths: i64| {
            let to = from.as_micrometres() + tenths * 100;
            if to < 0 { Err(SheetError::Beyond) } else { Ok(Length::micrometres(to)) }
        };
        (self.left, self.top) = (moved(self.left, right)?, moved(self.top, down)?);
        Sheet::new(self)
    }
}

/// How far a sheet is to be moved.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Move {
    /// Tenths of a millimetre to the right.
    pub right: i64,
    /// Tenths of a millimetre down.
    pub down: i64,
}

impl Move {
    /// Reads words such as `right=4 up=2`; none where they speak of something else.
    ///
    /// # Errors
    /// [`SheetError::Move`] where a figure is none, or larger than a move may be.
    pub fn read<W: AsRef<str>>(words: &[W]) -> Result<Option<Self>, SheetError> {
        let mut given = Self::default();
        for word in words.iter().map(AsRef::as_ref) {
            let Some((key, value)) = word.split_once('=') else { return Ok(None) };
            let (along, sign) = match key {
                "right" => (&mut given.right, 1),
                "left" => (&mut given.right, -1),
                "down" => (&mut given.down, 1),
                "up" => (&mut given.down, -1),
                _ => return Ok(None),
            };
            *along += sign * tenths(value).ok_or_else(|| SheetError::Move(word.to_owned()))?;
        }
        Ok(Some(given).filter(|_| !words.is_empty()))
    }
}

/// Reads tenths of a millimetre, either way.
pub fn tenths(text: &str) -> Option<i64> {
    text.trim().parse().ok().filter(|tenths: &i64| tenths.abs() <= FARTHEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn alike(words: &str) -> Result<Sheet, SheetError> {
        let words: Vec<&str> = words.split(' ').collect();
        Sheet::new(Measures::read(&words)?.spec_alike("measured")?)
    }

    #[test]
    fn four_distances_give_the_white_between_the_labels() {
        let sheet = alike("page=a4 grid=3x7 label=60x36 margin=10x13.5").unwrap();
        // By hand: (210 - 20 - 60) / 2 = 65; (297 - 27 - 36) / 6 = 39.
        assert_eq!((sheet.spec().pitch_across, sheet.spec().pitch_down), (Length::mm(65), Length::mm(39)));
        // Labels that touch, measured 0.4 mm too wide: (210 - 15 - 65.4) / 2 = 64.8, and no label is wider.
        let touching = alike("page=a4 grid=3x6 label=65.4x42 margin=7.5x22.5").unwrap();
        assert_eq!(touching.spec().width, "64.8".parse().unwrap());
        assert_eq!(touching.spec().pitch_down, Length::mm(42));
        let one = alike("page=a4 grid=1x2 label=180x130 margin=15x15").unwrap();
        // (297 - 30 - 130) / 1 = 137.
        assert_eq!(one.spec().pitch_down, Length::mm(137));
    }

    #[test]
    fn distances_that_do_not_add_up_are_refused() {
        // 2 * 12 + 3 * 66 = 222.
        assert_eq!(
            alike("page=a4 grid=3x7 label=66x36 margin=12x13.5").unwrap_err().to_string(),
            "the labels need 222mm across, the page has 210mm"
        );
        assert!(alike("page=a4 grid=3x7 label=66x36").unwrap_err().to_string().contains("margin="));
    }

    #[test]
    fn a_sheet_is_moved_by_tenths_of_a_millimetre_and_not_off_its_paper() {
        let sheet = alike("page=a4 grid=3x7 label=60x36 margin=10x13.5").unwrap();
        let given = Move::read(&["right=4", "up=15"]).unwrap().unwrap();
        assert_eq!(given, Move { right: 4, down: -15 });
        let moved = sheet.spec().clone().moved(given.right, given.down).unwrap();
        assert_eq!(moved.spec().left, "10.4".parse().unwrap());
        assert_eq!(moved.spec().top, Length::mm(12));
        assert_eq!(sheet.spec().clone().moved(-101, 0), Err(SheetError::Beyond));
        assert!(matches!(sheet.spec().clone().moved(101, 0), Err(SheetError::OffPage { .. })));
        assert!(Move::read(&["right=0.4"]).is_err() && Move::read(&["down=101"]).is_err());
        assert_eq!(Move::read(&["page=a4"]), Ok(None));
    }
}
