//! Labels for jars: sheets of stickers and lid rounds as a PDF.

mod breaks;
mod built_in;
mod by_hand;
mod fit;
mod ink;
mod layout;
mod length;
mod list;
mod page;
mod print;
mod printable;
mod run;
mod sheet;
mod sheets_of_jars;
mod symbol;
mod test_page;
mod wording;

pub use built_in::{DEFAULT_SHEET, built_in_sheet, built_in_sheets};
pub use by_hand::{LidText, lid_text};
pub use length::{Length, LengthError};
pub use page::{Page, PageError};
pub use print::{Printed, print_labels};
pub use run::{Label, LabelError, LabelOrder, LabelRun, MOST_LABELS, PrintWarning};
pub use sheet::{LabelBox, Sheet, SheetError, SheetSpec};
pub use sheets_of_jars::{CardLine, PullLine, PullSheet, ShelfCard, print_pull_sheet, print_shelf_card};
pub use test_page::print_test_page;
