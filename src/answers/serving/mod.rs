//! What the page is to serve, and to whom.
//!
//! May use: rules.

pub(crate) mod phones;

use std::io;
use std::path::PathBuf;

use crate::rules::canning_day::run::Instant;

/// What is served.
pub struct Serving {
    /// The ledger.
    pub ledger: PathBuf,
    /// The port; 0: any.
    pub port: u16,
    /// Whether phones on the network may ask, not this machine alone.
    pub lan: bool,
    /// Addresses besides the machine's own under which it is asked, such as `https://shelf.example`.
    pub origins: Vec<String>,
    /// The clock, and the one since the machine started.
    pub now: Box<dyn Fn() -> Instant + Send + Sync>,
}

/// Serves until it is stopped; calls back with its addresses, best first, once it listens.
pub type Serve = fn(Serving, &dyn Fn(&[String])) -> io::Result<()>;
