//! What the tests of the program share: a sealed world, a kitchen at work, and programs that read what ours writes.

pub(crate) mod kitchen;
pub(crate) mod readers;
pub(crate) mod world;
