//! What `plan` is told.

use std::path::PathBuf;

use crate::cli::planning::plan::jars_wanted::JarsWanted;
use crate::cli::planning::plan::time_ahead::TimeAhead;
use crate::paper::label::sheet::page::Page;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Pack;
use crate::values::measures::altitude::Altitude;
use crate::values::measures::pounds::Pounds;
use crate::values::names::name::Name;

/// Plan a batch to come: jars, loads, lids, produce and the day's hours
///
/// With --recipe it plans the whole day by the clock: what to buy, which jars of your own to use, what is done when, and
/// in which canner.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Args {
    /// What it will be: a product on record, or the key of a food
    pub(super) product: Option<Name>,
    /// Produce there is, such as 24lb or 11kg
    #[arg(long, value_name = "WEIGHT", conflicts_with = "jars")]
    pub(super) from_pounds: Option<Pounds>,
    /// Jars wanted: 14, or with their size pint:18; or of several sizes pint:18,quart:7
    #[arg(long, value_name = "JARS", allow_negative_numbers = true)]
    pub(super) jars: Option<JarsWanted>,
    /// The jar: half-pint, pint, quart or half-gallon
    #[arg(long, value_name = "SIZE", value_parser = JarSize::read)]
    pub(super) jar: Option<JarSize>,
    /// Hot or raw [default: as the product was packed last]
    #[arg(long)]
    pub(super) pack: Option<Pack>,
    /// The food of the process table, where the product's name is not its key
    #[arg(long)]
    pub(super) food: Option<String>,
    /// Which style, where the guide gives produce for several, such as "thin sauce"
    #[arg(long)]
    pub(super) style: Option<String>,
    /// The canner; may be repeated with --recipe [default: the only one; with --recipe all that take the jars]
    #[arg(long, value_name = "NAME")]
    pub(super) canner: Vec<Name>,
    /// Height above sea level [default: the kitchen's]
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub(super) altitude: Option<Altitude>,
    /// The recipe to plan the day by
    #[arg(long, value_name = "NAME", conflicts_with_all = ["product", "from_pounds", "jar", "pack", "food", "style"])]
    pub(super) recipe: Option<Name>,
    /// When to begin, such as 9:00 or "Saturday 9am" [default: now]
    #[arg(long, value_name = "TIME", requires = "recipe")]
    pub(super) start: Option<TimeAhead>,
    /// When the last jar is to be out, such as 18:00 or "tomorrow 18:00"
    #[arg(long, value_name = "TIME", requires = "recipe", conflicts_with = "start")]
    pub(super) done_by: Option<TimeAhead>,
    /// Write the day as a page to hang in the kitchen (PDF)
    #[arg(long, value_name = "FILE.pdf", requires = "recipe")]
    pub(super) card: Option<PathBuf>,
    /// The paper of that page: letter, a4, or its width and height
    #[arg(long, value_name = "PAGE", default_value = "letter", requires = "card")]
    pub(super) page: Page,
    /// Write the day as a calendar file, with an alarm for each step that needs hands
    #[arg(long, value_name = "FILE.ics", requires = "recipe")]
    pub(super) ics: Option<PathBuf>,
    /// Replace such a file if there is one
    #[arg(long, requires = "recipe")]
    pub(super) force: bool,
}
