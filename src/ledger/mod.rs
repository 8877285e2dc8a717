//! The query layer: the only SQL in the program.
//!
//! [`Ledger`] is an open file, reading only unless opened for writing. A command
//! that changes something does so inside one [`Ledger::write`], which is one
//! transaction and one entry; everything readable is readable there too, since a
//! [`Write`] is a `Ledger` seen from inside its transaction.

mod acts;
mod appetite;
mod backup;
mod batch;
mod batch_story;
mod canner;
mod canner_use;
mod check;
mod connect;
mod copy;
mod correct;
mod correct_field;
mod count;
mod create;
mod dates;
mod dump;
mod entry;
mod error;
mod event;
mod gauge;
mod glance;
mod header;
mod history;
mod hold;
mod household_process;
mod import;
pub mod interrupt;
mod jar;
mod jar_story;
mod jar_words;
mod judging;
mod label_sheet;
mod last_load;
mod last_made;
mod last_time;
#[cfg(test)]
mod laws;
mod live;
mod load;
mod many_rows;
mod migrate;
mod names;
mod new_file;
mod new_folder;
#[cfg(test)]
mod one_pass_tests;
mod open;
mod out_moved;
mod progress;
mod recognise;
mod rejudged;
mod reprocessed;
mod rescue;
mod restore;
mod row;
mod schema;
mod seal;
mod seal_counts;
mod setting;
mod shelf;
mod surroundings;
mod trace;
mod trace_links;
mod traced;
mod undo;
mod wall_clock;
mod wasted;
mod whole;

pub use acts::Happened;
pub use appetite::Appetite;
pub use backup::{Made, Newest, Target, backup_folder, backups, newest_backup};
pub use batch::{Logged, NewBatch, NewLoad};
pub use batch_story::{Batch, BatchLine, BatchStory, IngredientLot, LoadStory, Origin};
pub use canner::{Canner, NewCanner};
pub use check::{CheckReport, Kind as CheckKind, Problem};
pub use connect::on_waiting;
pub use copy::Extent;
pub use correct::{Amendment, Corrected, Correction};
pub use correct_field::{Field, Subject};
pub use count::{Compared, Counted, Tally};
pub use create::make_folder;
pub use dates::{CooledLoad, DialGauge, InRefrigerator};
pub use dump::{Cell, CellKind, Column, Refill, Table};
pub use entry::{EntryId, Write, Written};
pub use error::LedgerError;
pub use event::Particulars;
pub use gauge::RecordedTest;
pub use glance::{Meant, Named};
pub use header::journal_of;
pub use history::{Fact, HistoryLine};
pub use hold::{Hold, HoldCause};
pub use import::{Imported, Importer, MOST_ROWS, ShelfRow};
pub use jar::Jar;
pub use jar_story::{Event, HoldTold, JarStory, SealCheck};
pub use jar_words::BareBatch;
pub use judging::{Judged, JudgedAnew, Judging};
pub use last_load::{LastCanner, LastLoad};
pub use last_made::LastMade;
pub use last_time::LastTime;
pub use live::{GoodJars, LiveJar, LiveRow, Which};
pub use load::Load;
pub use new_file::{NewFile, folder_of};
pub use new_folder::NewFolder;
pub use open::Ledger;
pub use progress::on_progress;
pub use rejudged::Rejudged;
pub use rescue::Rescue;
pub use restore::{Restored, look_at, restore};
pub use seal::{Checked, SealLook};
pub use setting::{Household, QUALITY_MONTHS, Settings};
pub use shelf::Stock;
pub use surroundings::{Surroundings, as_it_is, surroundings};
pub use trace::TraceQuery;
pub use trace_links::{Link, LinkKind};
pub use traced::{Ending, Traced, TracedJar};
pub use undo::Undone;
pub use wall_clock::on_the_wall;
pub use wasted::Wasted;

/// The newest schema this build reads, as `major.minor`.
pub fn schema_version() -> String {
    schema::Version::CURRENT.to_string()
}

/// The version of SQLite in this build.
pub fn sqlite_version() -> &'static str {
    rusqlite::version()
}
