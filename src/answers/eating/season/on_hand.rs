//! Empty jars and lids the household has counted.

use std::collections::BTreeMap;

use crate::values::kinds::jar_size::JarSize;

/// What was counted; a kind that was not is none.
#[derive(Debug, Default)]
pub(crate) struct OnHand {
    pub(crate) jars: BTreeMap<JarSize, u32>,
    pub(crate) lids: Option<u32>,
}
