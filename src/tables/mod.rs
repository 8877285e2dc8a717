//! Published tables carried inside the crate, each row with its source and basis.
