//! What is asked of a season.

use std::collections::HashMap;

use chrono::NaiveDate;

use crate::answers::eating::season::on_hand::OnHand;
use crate::rules::eating::sureness::Sureness;
use crate::rules::eating::what_if::WhatIf;

/// What is asked of a season.
#[derive(Debug)]
pub(crate) struct Asked<'a> {
    pub(crate) today: NaiveDate,
    /// The day the next season's jars are there.
    pub(crate) until: NaiveDate,
    pub(crate) sure: Sureness,
    /// The one product asked about; none: all.
    pub(crate) product: Option<&'a str>,
    /// Changes of appetite to try out, by product.
    pub(crate) changes: &'a HashMap<String, WhatIf>,
    pub(crate) on_hand: &'a OnHand,
}

impl Asked<'_> {
    /// Days until then.
    pub(super) fn horizon(&self) -> u32 {
        u32::try_from((self.until - self.today).num_days()).unwrap_or(0)
    }
}
