//! Labels for jars: sheets of stickers and lid rounds as a PDF.

mod built_in;
mod length;
mod page;
mod sheet;

pub use built_in::{DEFAULT_SHEET, built_in_sheet, built_in_sheets};
pub use length::{Length, LengthError};
pub use page::{Page, PageError};
pub use sheet::{LabelBox, Sheet, SheetError, SheetSpec};
