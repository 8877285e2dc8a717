//! Labels for jars: sheets of stickers and lid rounds as a PDF.

mod built_in;
mod fit;
mod ink;
mod layout;
mod length;
mod page;
mod print;
mod printable;
mod run;
mod sheet;
mod symbol;
mod test_page;
mod wording;

pub use built_in::{DEFAULT_SHEET, built_in_sheet, built_in_sheets};
pub use length::{Length, LengthError};
pub use page::{Page, PageError};
pub use print::{Printed, print_labels};
pub use run::{Label, LabelError, LabelOrder, LabelRun, MOST_LABELS, PrintWarning};
pub use sheet::{LabelBox, Sheet, SheetError, SheetSpec};
pub use test_page::print_test_page;
