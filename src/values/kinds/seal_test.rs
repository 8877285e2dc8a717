//! How a lid is tested.

use crate::values::names::named::named_enum;

named_enum! {
    /// The three tests of a seal (USDA AIB 539, Guide 1, Testing jar seals).
    pub enum SealTest as "a test of a seal" {
        /// Press the middle of the lid: it must not spring.
        Press = "press",
        /// Tap it with a spoon: it must ring, not sound dull.
        Tap = "tap",
        /// Look across it at eye level: it must curve down in the middle.
        Look = "look",
    }
}
