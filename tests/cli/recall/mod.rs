//! Something is wrong: holds, releases and traces.

mod hold;
mod trace;
