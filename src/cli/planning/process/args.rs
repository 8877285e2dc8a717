//! What `process` is told.

use crate::cli::planning::process::add;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::{Method, Pack};
use crate::values::measures::altitude::Altitude;
use crate::values::names::name::Name;

/// Find the tested process for a food, jar and altitude
///
/// Give all of --food, --pack, --jar and a canner for one answer, or fewer for everything that is tested.
/// A process is never worked out from another: no row means no tested process.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    pub(super) add: Option<Add>,
    /// The food, by its key or in everyday words
    #[arg(value_name = "FOOD", conflicts_with_all = ["food", "own"])]
    pub(super) words: Vec<String>,
    /// The same
    #[arg(long)]
    pub(super) food: Option<String>,
    /// How it goes into the jar: hot or raw
    #[arg(long)]
    pub(super) pack: Option<Pack>,
    /// The jar: half-pint, pint, quart or half-gallon
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    pub(super) jar: Option<JarSize>,
    /// The kind of canner: pressure-dial, pressure-weighted, boiling-water or steam
    #[arg(long, conflicts_with = "canner")]
    pub(super) method: Option<Method>,
    /// One of your canners, with what its gauge is known to read
    #[arg(long, value_name = "NAME")]
    pub(super) canner: Option<Name>,
    /// Height above sea level, such as 850ft or 260m [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(super) altitude: Option<Altitude>,
    /// The whole table, or all of it that fits the other options
    #[arg(long)]
    pub(super) all: bool,
    /// The processes you added
    #[arg(long, conflicts_with_all = ["all", "food", "pack", "jar", "method", "canner", "altitude"])]
    pub(super) own: bool,
}

#[derive(Debug, clap::Subcommand)]
pub(super) enum Add {
    /// Add a process of your own, from a publication of yours
    ///
    /// It is never called tested: no table here confirms it. It counts for loads put up from today, and lifts no hold.
    /// It is refused where it asks for less than the tables do for the same food; a food of the tables goes by its key.
    Add(Box<add::Args>),
}
