//! Setup, canners and gauges.

mod canner;
mod gauge;
mod setup;
